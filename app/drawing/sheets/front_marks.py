"""Which way pieces face: a triangle on the front edge of each, for who marks the floor."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from app.drawing.figure_kit import drawing_order, reaches_into
from app.drawing.placing import Crowd
from app.drawing.primitives import Group, Polygon
from app.scene.build import Placed, Scene
from app.scene.shapes import turn

FRONT_WORDS = "A triangle stands at the front of a piece, which is the side that its user is on."
_LONG_EM, _HALF_EM = 0.55, 0.35
"""How far a triangle points, and half its base, in sizes of the lettering."""


def has_front(placed: Placed) -> bool:
    """Return whether a piece is set out by the way it faces.

    Not what another carries or a wall, no bar, nothing that stands there already.
    """
    held = placed.root != placed.piece.id or placed.kit.fixing == "wall"
    solid = placed.kit.bar is None and bool(len(placed.shape.polygons))
    return solid and not held and not placed.piece.stays


def front_marks(scene: Scene, em: float, crowd: Crowd) -> Iterator[Group]:
    """Yield the triangle of each piece in the room, pointing out of it; letters keep off them."""
    for placed in drawing_order(scene):
        if not has_front(placed) or not reaches_into(placed, scene.room):
            continue
        half, (x, y) = placed.extent.depth_mm / 2, placed.at
        ring = tuple(
            (x + dx, y + dy)
            for across, out in ((-_HALF_EM, 0.0), (_HALF_EM, 0.0), (0.0, _LONG_EM))
            for dx, dy in (turn(across * em, half + out * em, placed.pose.angle_deg),)
        )
        crowd.take(shapely.Polygon(ring).envelope)
        yield Group((Polygon(ring, "dark"),), "", (("front", placed.piece.id),))
