"""What of the kit in a section is higher than the room: hatched in red, and by how much."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.drawing.lettering import width_of
from app.drawing.medium import Medium
from app.drawing.placing import Crowd, Spot
from app.drawing.primitives import Item, Text
from app.drawing.sheets.cutting_plane import Seen
from app.drawing.too_high import red_shapes, too_high, words_of
from app.scene.build import Scene

_AIR_EM = 0.3
_OVER_EM = 2.5
"""How far over or under what is too high its words may stand aside, in sizes of the lettering."""


def stuck_marks(
    scene: Scene,
    seen: Sequence[Seen],
    taken: Sequence[BaseGeometry],
    roof: Sequence[LineString],
    lid: float,
    bounds: tuple[float, float, float, float],
    medium: Medium,
) -> Iterator[Item]:
    """Yield red over what of pieces reaches into ceiling or beam, and how much too high it is.

    `taken` is what the words keep off, and the `roof`; `lid` is its upper edge as it is drawn,
    `bounds` are those of the section.
    """
    em, over = medium.em_mm, too_high(scene)
    # a ceiling is some lines of lettering thick: words keep off all of it
    thick = [shapely.affinity.translate(one, 0, -em * i) for one in roof for i in range(3)]
    crowd = Crowd(thick, shapely.box(*bounds))
    for area in taken:
        crowd.take(shapely.box(*area.buffer(em * _AIR_EM).bounds))
    for one in seen:
        inside = [box for box in one.boxes if box.high > box.over]
        if not inside:
            continue
        boxes = [shapely.box(b.left, max(b.low, b.over), b.right, b.high) for b in inside]
        red = shapely.transform(shapely.union_all(boxes), lambda xy: xy * (1, -1))
        yield from red_shapes(red, em)
        words = words_of(one.placed, over[one.placed.piece.id], medium.units)
        x0, y0, x1, y1 = red.bounds
        wide, middle = width_of(words, em, bold=True), (x0 + x1) / 2
        spots = [Spot((middle, y0 - em * 0.9), 0.0), Spot((middle, -lid - em * 0.8), 2.0)]
        spots.append(Spot((middle, y1 + em), 0.4))
        over_it, under = (y0 - em * _OVER_EM, y1 + em * _OVER_EM)
        for cost, up in ((0.5, y1 + em), (0.5, (y0 + y1) / 2), (1.0, over_it), (1.0, under)):
            spots += [Spot((x, up), cost) for x in (x0 - wide / 2 - em, x1 + wide / 2 + em)]
        spots = [Spot(crowd.within(one.at, wide, em * 2), one.cost) for one in spots]
        x, y = crowd.place(wide, em, spots)
        yield Text((x, y + em * 0.36), words, "dimt dimt-stop")
