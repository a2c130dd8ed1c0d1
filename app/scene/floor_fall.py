"""How the bare floor falls: under one piece and over an area."""

from __future__ import annotations

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.formulas.statics import fall_mm
from app.model.room import Plane
from app.scene.build import Placed, Scene


def falls(scene: Scene) -> bool:
    """Return whether any patch of the floor is not level."""
    planes = scene.plan.room.floor.planes
    return scene.memo(("slopes",), lambda: any(p.rise_x or p.rise_y for p in planes))


def stands_level(placed: Placed) -> bool:
    """Return whether a piece must stand level: a bar that lies on it would roll off."""
    alone = placed.root == placed.piece.id
    return alone and bool(placed.kit.rests or placed.kit.group == "Racks")


def fall_under(scene: Scene, placed: Placed) -> tuple[float, Plane]:
    """Return how much the floor falls between the corners of a piece's foot, and that floor."""
    key = ("falls", placed.piece.id, *placed.at, placed.pose.angle_deg)
    return scene.memo(key, lambda: _under(scene, placed))


def _under(scene: Scene, placed: Placed) -> tuple[float, Plane]:
    planes = scene.plan.room.floor.planes
    at = shapely.Point(placed.at)
    here = [p for p in planes if not p.outline or Polygon(p.outline).covers(at)]
    plane = max(here or planes, key=lambda p: p.height_at(*placed.at))
    box = shapely.get_coordinates(placed.footprint.convex_hull)
    heights = [
        fall_mm(plane.rise_x, plane.rise_y, x - placed.at[0], y - placed.at[1]) for x, y in box
    ]
    return max(heights) - min(heights), plane


def fall_over(scene: Scene, area: BaseGeometry) -> tuple[float, float, Plane]:
    """Return how much the one floor falls over an area, and how much on average below its highest
    point, in mm; of several patches only the one that lies under all of the room counts.
    """
    plane = next((p for p in scene.plan.room.floor.planes if not p.outline), None)
    plane = plane or scene.plan.room.floor.planes[0]
    heights = [plane.height_at(x, y) for x, y in shapely.get_coordinates(area)]
    middle = area.centroid
    high = max(heights)
    return high - min(heights), high - plane.height_at(middle.x, middle.y), plane
