"""Light strip on a wall, dashed where a pipe or a duct hangs before it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.primitives import Item, Line
from app.drawing.sheets.wall_items import FlatWall, OnWall
from app.takeoff.strip_ways import NEAR_WALL_MM
from app.units import Units, format_short
from app.wording import lower

_TOUCH_MM = 1.0
"""What is hidden for no longer is a strip that just meets a thing."""


def lit_lines(thing: OnWall, every: Sequence[OnWall]) -> list[Item]:
    """Draw a leg of strip: whole where one sees it, dashed behind what hangs before it."""
    data = (("on-wall", thing.kind),)
    line = shapely.LineString([(thing.left, thing.low), (thing.right, thing.high)])
    behind = shapely.union_all([line.intersection(area) for _, area in _before(every)])
    if behind.length <= _TOUCH_MM:
        return [Line((thing.left, -thing.low), (thing.right, -thing.high), "lit", data)]
    items: list[Item] = []
    for ink, some in (("lit", line.difference(behind)), ("lit-behind", behind)):
        for part in shapely.get_parts(some):
            if part.length > _TOUCH_MM:
                (x0, z0), *_, (x1, z1) = shapely.get_coordinates(part).tolist()
                items.append(Line((x0, -z0), (x1, -z1), ink, data))
    return items


def behind_words(flat: FlatWall, units: Units) -> Iterator[str]:
    """Say of each thing that hangs before a strip that nobody drills or sees what is behind it."""
    strips = [one for one in flat.items if one.kind == "strip"]
    for low, area in _before(flat.items):
        for one in strips:
            line = shapely.LineString([(one.left, one.low), (one.right, one.high)])
            if line.intersection(area).length > _TOUCH_MM:
                under = format_short(low.low, units)
                yield (
                    f"Dashed: behind the {lower(low.name)}, where no drill comes and no light "
                    f"comes out. Hang it lower than {under}, or on another wall."
                )
                break


def _before(every: Sequence[OnWall]) -> Iterator[tuple[OnWall, BaseGeometry]]:
    """Yield what hangs before the wall, off it, and what of the wall it hides, z up."""
    for one in every:
        if one.kind == "low" and one.off > NEAR_WALL_MM:
            yield one, shapely.box(one.left, one.low, one.right, one.high)
