"""Edges of a floor covering that somebody walks or drives over: at doors and inside the room."""

from __future__ import annotations

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.errors import PlanError
from app.published.register import published
from app.scene.build import Scene
from app.takeoff.floor_region import floor_to_cover, gap_of
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
    stops = [*_walls(scene, near)]
    stops += [polygon.buffer(near, join_style="mitre") for _, polygon in scene.room.columns]
    stops += [
        placed.footprint.buffer(near, join_style="mitre")
        for placed in scene.order
        if placed.piece.stays
    ]
    # floors that meet have no edge between them
    whole = shapely.union_all([part.buffer(near / 2, join_style="mitre") for part in covered])
    edge = whole.buffer(-near / 2, join_style="mitre").boundary
    return edge.difference(shapely.union_all(stops))


def _walls(scene: Scene, near_mm: float) -> list[BaseGeometry]:
    """Return strips along the walls, open at their doors; windows are wall."""
    gaps = [
        LineString([shape.left, shape.right]).buffer(_HAIR_MM, cap_style="flat")
        for shape in scene.room.openings
        if shape.opening.kind != "window"
    ]
    lines = scene.room.free.exterior.difference(shapely.union_all(gaps))
    whole = shapely.line_merge(lines) if lines.geom_type == "MultiLineString" else lines
    return [
        line.buffer(near_mm, cap_style="flat", join_style="mitre")
        for line in shapely.get_parts(whole)
    ]
