"""Edges of a floor covering that somebody walks or drives over: at doors and inside the room."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import shapely
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from app.errors import PlanError
from app.published.register import published
from app.scene.build import Scene
from app.takeoff.floor_region import ROLLED_OFF, floor_to_cover, gap_of, let_in
from app.takeoff.surfaces import floor_area

_HAIR_MM = 1.0
"""Half of the slit by which a door is cut out of the walls: no wall is as short."""


def free_edges(scene: Scene) -> BaseGeometry:
    """Return the lines where the covering ends and no wall, column or staying thing stops a foot.

    Where no floor is laid out the covering is taken to reach the walls.
    """
    floors = scene.plan.fit_out.floors
    covered, gap = [], 0.0
    for laying in floors:
        try:
            covered.append(floor_to_cover(scene, laying))
            gap = max(gap, gap_of(laying))
        except PlanError:
            # What cannot be laid has no edge; the list names it where it is counted.
            continue
    if not floors:
        covered = [floor_area(scene)]
    near = max(gap, published("flooring.left-bare-mm")) + 2 * _HAIR_MM
    stands: list[BaseGeometry] = [*_walls(scene)]
    stands += [polygon for _, polygon in scene.room.columns]
    stands += [
        placed.footprint
        for placed in scene.order
        if placed.piece.stays and placed.kit.key not in ROLLED_OFF
    ]
    stands += [placed.footprint for laying in floors for placed in let_in(scene, laying)]
    # floors that meet have no edge between them
    whole = shapely.union_all([part.buffer(near / 2, join_style="mitre") for part in covered])
    edge = shapely.simplify(whole.buffer(-near / 2, join_style="mitre").boundary, _HAIR_MM / 2)
    lines = [_free_of(line, stands, near) for line in _straight_lines(edge)]
    return shapely.MultiLineString([line for free in lines for line in free])


def _free_of(
    line: LineString, stands: Sequence[BaseGeometry], near_mm: float
) -> Iterator[LineString]:
    """Yield what of a straight edge is free: a part that goes up to a wall does so all the way."""
    stops = shapely.union_all(
        [one.buffer(near_mm, cap_style="flat", join_style="mitre") for one in stands]
    )
    standing = shapely.union_all(stands)
    for part in shapely.get_parts(line.difference(stops)):
        if part.is_empty:
            continue
        ends = sorted(line.project(Point(end)) for end in (part.coords[0], part.coords[-1]))
        for bit in shapely.get_parts(line.intersection(stops)):
            if bit.is_empty or bit.geom_type != "LineString" or bit.length > 2 * near_mm:
                continue
            low, high = sorted(line.project(Point(end)) for end in (bit.coords[0], bit.coords[-1]))
            # beside a post it runs along the wall and ends there; else it runs up to something
            if abs(high - ends[0]) < _HAIR_MM and _away(line, high, standing) > near_mm - _HAIR_MM:
                ends[0] = low
            if abs(low - ends[1]) < _HAIR_MM and _away(line, low, standing) > near_mm - _HAIR_MM:
                ends[1] = high
        yield LineString([line.interpolate(at) for at in ends])


def _away(line: LineString, at_mm: float, standing: BaseGeometry) -> float:
    return float(line.interpolate(at_mm).distance(standing))


def _straight_lines(edge: BaseGeometry) -> Iterator[LineString]:
    for line in shapely.get_parts(edge):
        yield from (LineString(pair) for pair in pairwise(line.coords))


def _walls(scene: Scene) -> list[BaseGeometry]:
    """Return the lines of the walls, open at their doors; windows are wall."""
    gaps = [
        LineString([shape.left, shape.right]).buffer(_HAIR_MM, cap_style="flat")
        for shape in scene.room.openings
        if shape.opening.kind != "window"
    ]
    lines = scene.room.free.exterior.difference(shapely.union_all(gaps))
    whole = shapely.line_merge(lines) if lines.geom_type == "MultiLineString" else lines
    return list(shapely.get_parts(whole))
