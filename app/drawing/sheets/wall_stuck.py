"""What of the kit on a wall or before it is higher than the room: red, and by how much."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.lettering import width_of
from app.drawing.placing import Crowd, Spot
from app.drawing.primitives import Group, Item, Text
from app.drawing.sheets.wall_items import Before, FlatWall
from app.drawing.too_high import red_shapes, words_of


def stuck_on_wall(flat: FlatWall, em: float) -> list[Item]:
    """Hatch in red what of pieces lies in ceiling or beam, as one sees it who faces the wall."""
    items: list[Item] = []
    for piece, red in _red(flat):
        items.append(Group(red_shapes(red, em), "too-high", (("too-high", piece),)))
    return items


def stuck_words(flat: FlatWall, crowd: Crowd, em: float) -> list[Item]:
    """Letter by how much each of them is too high, and mark the place as taken."""
    items: list[Item] = []
    over, units = flat.over, flat.scene.plan.units
    for piece, red in _red(flat):
        words = words_of(flat.scene.placed[piece], over[piece], units)
        wide = width_of(words, em, bold=True)
        x0, _, x1, y1 = red.bounds
        beside = [Spot((x, y1), 0.4) for x in (x0 - wide / 2 - em, x1 + wide / 2 + em)]
        middle = (x0 + x1) / 2
        under = [Spot((middle, y1 + em * down), cost) for down, cost in ((1.0, 0.0), (2.6, 0.3))]
        spots = [*under, *beside]
        x, y = crowd.place(wide, em * 1.25, spots)
        items.append(Text((x, y + em * 0.36), words, "dimt dimt-stop"))
    return items


def _red(flat: FlatWall) -> Iterator[tuple[str, BaseGeometry]]:
    """Yield what of each piece is too high, y down, by its id."""
    over = flat.over
    boxes: dict[str, list[Before]] = {}
    for box in (*flat.before, *(part for item in flat.items for part in item.parts)):
        boxes.setdefault(box.placed.piece.id, []).append(box)
    for piece, some in boxes.items():
        parts = [
            shapely.box(box.left, -box.high, box.right, -max(box.low, box.over))
            for box in some
            if piece in over and box.high > box.over
        ]
        if parts:
            yield piece, shapely.union_all(parts)
