"""The kit that stands pale before a wall: its numbers, and the ceiling over what is higher."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from app.drawing.lettering import width_of
from app.drawing.placing import Crowd, Spot, around
from app.drawing.primitives import Circle, Item, Line, Text
from app.drawing.sheets.wall_items import Before, FlatWall
from app.drawing.sheets.wall_leaders import aside, leader
from app.units import Units, format_short

_RADIUS_EM = 0.74
_OVER_MM = 1.0
_PAST_MM = 60.0
"""How far the line of a ceiling over a piece is drawn past its sides."""
_HIDDEN_COST = 2.0
_SHARES = (0.5, 0.2, 0.8)


@dataclass(frozen=True, slots=True)
class Tall:
    """A piece before a wall that is higher than it, and the ceiling over the piece, mm."""

    piece: str
    left: float
    right: float
    ceiling_mm: float


def _boxes_of(flat: FlatWall) -> dict[str, list[Before]]:
    boxes: dict[str, list[Before]] = {}
    for box in flat.before:
        boxes.setdefault(box.placed.piece.id, []).append(box)
    return boxes


def tall_pieces(flat: FlatWall) -> tuple[Tall, ...]:
    """Return what stands before the wall and is higher than it, under a ceiling that rises."""
    scene, over, found = flat.scene, flat.over, list[Tall]()
    for piece, boxes in _boxes_of(flat).items():
        left, right = min(box.left for box in boxes), max(box.right for box in boxes)
        high = max(box.high for box in boxes)
        if piece in over or high <= flat.top_over(left, right) + _OVER_MM:
            continue
        area = np.array([boxes[0].placed.footprint.intersection(scene.room.free)], dtype=object)
        clear = float(scene.room.training.clear(area)[0][0])
        if np.isfinite(clear):
            found.append(Tall(piece, left, right, clear))
    return tuple(found)


def tall_lines(tall: Sequence[Tall]) -> Iterator[Item]:
    """Draw the ceiling over each of them, dashed: it is nearer to the eye than the wall's top."""
    for one in tall:
        ends = (one.left - _PAST_MM, -one.ceiling_mm), (one.right + _PAST_MM, -one.ceiling_mm)
        yield Line(*ends, "beyond")


def tall_words(
    tall: Sequence[Tall], numbers: Mapping[str, int], crowd: Crowd, em: float, units: Units
) -> Iterator[Item]:
    """Letter how high the ceiling is over each of them."""
    for one in tall:
        words = f"ceiling over {numbers[one.piece]}: {format_short(one.ceiling_mm, units)}"
        wide = width_of(words, em)
        middle, up = (one.left + one.right) / 2, -one.ceiling_mm
        aside = [one.left - _PAST_MM - wide / 2 - em / 2, one.right + _PAST_MM + wide / 2 + em / 2]
        spots = [Spot((x, up), 0.0) for x in aside]
        spots += [Spot((middle, up - em), 0.5), Spot((middle, up + em), 0.6)]
        x, y = crowd.place(wide, em * 1.25, spots, anywhere=True)
        yield Text((x, y + em * 0.36), words, "dimt")


def piece_numbers(
    flat: FlatWall,
    numbers: Mapping[str, int],
    crowd: Crowd,
    within: shapely.Polygon,
    em: float,
) -> Iterator[Item]:
    """Number the pieces that stand before the wall, on what of each nothing nearer hides.

    Where that is taken by words a number stands aside with a line; `within` is the wall, y down.
    """
    size = 2 * em * _RADIUS_EM, 2 * em * _RADIUS_EM
    for piece, boxes in _boxes_of(flat).items():
        spots = [spot for box in boxes for spot in _on(flat, box)]
        to = min(spots, key=lambda spot: spot.cost).at
        if all(crowd.meets(around(spot.at, *size)) for spot in sorted(spots, key=_dearness)):
            spots_aside = aside(to, size, within, em)
        else:
            spots_aside = []
        x, y = crowd.place(*size, [*spots, *spots_aside])
        if all((x, y) != spot.at for spot in spots):
            yield from leader((x, y), size, to, em)
        yield Circle((x, y), em * _RADIUS_EM, "balloon")
        yield Text((x, y + em * 0.36), str(numbers[piece]), "numeral")


def _dearness(spot: Spot) -> float:
    return spot.cost


def _on(flat: FlatWall, box: Before) -> Iterator[Spot]:
    """Yield places on a box, dearer off its middle and where another piece hides it."""
    nearer = [
        other
        for other in flat.before
        if other.off > box.off + _OVER_MM and other.placed.piece.id != box.placed.piece.id
    ]
    for across in _SHARES:
        for up in _SHARES:
            x = box.left + (box.right - box.left) * across
            z = box.low + (box.high - box.low) * up
            cost = abs(across - 0.5) + abs(up - 0.5)
            if any(o.left < x < o.right and o.low < z < o.high for o in nearer):
                cost += _HIDDEN_COST
            yield Spot((x, -z), cost)
