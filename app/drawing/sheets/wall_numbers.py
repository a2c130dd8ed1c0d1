"""The kit that stands pale before a wall: its numbers, and the ceiling over what is higher."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from app.drawing.lettering import width_of
from app.drawing.placing import Crowd, Floats, Spot, around
from app.drawing.primitives import Circle, Item, Line, Text
from app.drawing.sheets.wall_items import Before, FlatWall
from app.drawing.sheets.wall_leaders import aside_at, leader
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


@dataclass(frozen=True, slots=True)
class Places:
    """Where the number of a piece may stand on it: middles (n, 2) in mm, y down, and costs (n,)."""

    at: Floats
    costs: Floats


def places_of(flat: FlatWall) -> dict[str, Places]:
    """Return for each piece before the wall the places on it, by its id.

    They are dearer off the middle of a box and where another piece hides it.
    """
    boxes = flat.before
    if not boxes:
        return {}
    sides = np.array([(b.left, b.right, b.low, b.high, b.off) for b in boxes])
    left, right, low, high, off = (side[:, None] for side in sides.T)
    across, up = (share.ravel() for share in np.meshgrid(_SHARES, _SHARES, indexing="ij"))
    x, z = left + (right - left) * across, low + (high - low) * up
    pieces = {piece: i for i, piece in enumerate(dict.fromkeys(b.placed.piece.id for b in boxes))}
    owner = np.array([pieces[b.placed.piece.id] for b in boxes])
    hides = (off + _OVER_MM < off.T) & (owner != owner[:, None])
    one, other = np.nonzero(hides)
    behind = (left[other] < x[one]) & (x[one] < right[other])
    behind &= (low[other] < z[one]) & (z[one] < high[other])
    hidden = np.zeros(x.shape, dtype=bool)
    np.logical_or.at(hidden, one, behind)
    costs = np.abs(across - 0.5) + np.abs(up - 0.5) + np.where(hidden, _HIDDEN_COST, 0.0)
    at = np.stack([x, -z], axis=-1)
    return {
        piece: Places(at[owner == i].reshape(-1, 2), costs[owner == i].ravel())
        for piece, i in pieces.items()
    }


def piece_numbers(
    places: Mapping[str, Places],
    numbers: Mapping[str, int],
    crowd: Crowd,
    within: shapely.Polygon,
    em: float,
) -> Iterator[Item]:
    """Number the pieces that stand before the wall, on what of each nothing nearer hides.

    Where that is taken by words a number stands aside with a line; `within` is the wall, y down.
    """
    size = 2 * em * _RADIUS_EM, 2 * em * _RADIUS_EM
    for piece, on in places.items():
        at, costs = on.at, on.costs
        order = np.argsort(costs, kind="stable")
        first = at[order[0]].tolist()
        to = first[0], first[1]
        if all(crowd.meets(around((x, y), *size)) for x, y in at[order].tolist()):
            points, dear = aside_at(to, size, within, em)
            at, costs = np.concatenate([at, points]), np.concatenate([costs, dear])
        chosen = crowd.choose(*size, at, costs)
        x, y = at[chosen].tolist()
        if chosen >= len(on.at):
            yield from leader((x, y), size, to, em)
        yield Circle((x, y), em * _RADIUS_EM, "balloon")
        yield Text((x, y + em * 0.36), str(numbers[piece]), "numeral")
