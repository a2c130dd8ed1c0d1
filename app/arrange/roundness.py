"""What a turn changes: nothing of what is round, but for the side from which it is used."""

from __future__ import annotations

import numpy as np
from shapely import Polygon

from app.arrange.tries import members
from app.library.anchors import Anchor, place
from app.library.kit import Space
from app.scene.build import Placed, Scene
from app.scene.shapes import Shape, shape_of, turn

SKEW_DEG = 30.0
"""A turn by which no outline with corners looks as it did: least of all a square or an octagon."""
OFF_SHARE = 0.02
"""Outlines that differ by less of their area are alike: a circle is drawn as many short lines."""
ALIKE_MM = 1.0
"""Places nearer than this are one."""


def is_round(scene: Scene, root: str) -> bool:
    """Return whether a station is one piece, all of whose solids are round about its middle."""
    if len(members(scene, root)) > 1:
        return False
    now, then = _both(scene.placed[root], SKEW_DEG)
    return bool(len(now.polygons)) and all(map(_alike, now.polygons, then.polygons))


def turns_into_itself(scene: Scene, root: str, angle_deg: float) -> bool:
    """Return whether a station turned about its middle stands, and is used, as before."""
    if len(members(scene, root)) > 1:
        return False
    placed = scene.placed[root]
    now, then = _both(placed, angle_deg)
    solids = zip(now.polygons, then.polygons, strict=True)
    return (
        all(_alike(one, other) for one, other in solids)
        and _alike(now.footprint, then.footprint)
        and _spaces_match(now, then)
        and all(_stays(placed, use.at, angle_deg) for use in placed.kit.uses)
    )


def _both(placed: Placed, angle_deg: float) -> tuple[Shape, Shape]:
    turned = shape_of(placed.piece, placed.pose.angle_deg + angle_deg, placed.kit)
    return placed.shape, turned


def _alike(one: Polygon, other: Polygon) -> bool:
    return bool(one.symmetric_difference(other).area <= OFF_SHARE * one.area)


def _spaces_match(now: Shape, then: Shape) -> bool:
    """Return whether each working space lies where one that asks for as much lay before."""
    left = list(then.spaces)
    for mine in now.spaces:
        same = [
            other
            for other in left
            if _asks(mine.space) == _asks(other.space) and _alike(mine.polygon, other.polygon)
        ]
        if not same:
            return False
        left.remove(same[0])
    return True


def _asks(space: Space) -> tuple[object, ...]:
    return (
        space.kind, space.least_mm, space.recommended_mm, space.z, space.heights, space.either,
        space.movement, space.to_wall_mm,
    )  # fmt: skip


def _stays(placed: Placed, at: tuple[Anchor, Anchor], angle_deg: float) -> bool:
    """Return whether a place of the piece's own frame lies where it lay."""
    x, y = (place(anchor, placed.extent) for anchor in at)
    tx, ty = turn(x, y, angle_deg)
    return bool(np.hypot(tx - x, ty - y) <= ALIKE_MM)
