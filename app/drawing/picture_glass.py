"""What hangs on the walls nearest to the eye, as outlines: drawn whole it would hide the room."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from app.checks.behind import wall_behind
from app.checks.mirrors import edges_mm
from app.drawing.picture_view import View
from app.drawing.wall_glass import glass
from app.scene.build import Placed, Scene
from app.scene.walls import WallShape

_HUNG = frozenset({"mirror", "boiler", "consumer-unit"})
"""What hangs on a wall and nobody trains at. Before a wall that is cut low a boiler drawn whole
looked like a cabinet on the floor, and a fuse box like the screen of what stands behind it."""
_ON_WALL_MM = 100.0
"""One that stands farther off its wall than this stands in the room."""


@dataclass(frozen=True, slots=True)
class NearGlass:
    """What hangs on a near wall: what it is called, and its corners on the paper, (4, 2)."""

    name: str
    flat: NDArray[np.float64]


def is_near(wall: WallShape, view: View) -> bool:
    """Return whether a wall is near the eye: its outer side looks at it."""
    eye = view.eye()
    return bool(wall.inward[0] * eye[0] + wall.inward[1] * eye[1] < 0)


def on_near_wall(scene: Scene, placed: Placed, view: View) -> bool:
    """Return whether a piece hangs on a near wall, and its outline is drawn alone."""
    if placed.kit.key not in _HUNG or not len(placed.shape.parts):
        return False
    wall, gap = wall_behind(scene, placed)
    return gap <= _ON_WALL_MM and is_near(wall, view)


def near_glass(scene: Scene, view: View) -> Iterator[NearGlass]:
    """Yield what hangs on near walls: mirrors of the fit-out, and pieces."""
    for one in glass(scene):
        if is_near(one.wall, view):
            low = one.area.bottom_mm
            yield NearGlass(
                "Mirror", _flat(one.wall, one.outline, (low, low + one.area.height_mm), view)
            )
    for placed in scene.order:
        if on_near_wall(scene, placed, view):
            wall, _ = wall_behind(scene, placed)
            yield NearGlass(placed.name, _flat(wall, placed.footprint, edges_mm(placed), view))


def _flat(
    wall: WallShape, outline: shapely.Polygon, ends: tuple[float, float], view: View
) -> NDArray[np.float64]:
    """Return the corners of what hangs as they come on the paper, on the face of its wall."""
    start, along = np.array(wall.start), np.array(wall.along)
    at = (shapely.get_coordinates(outline) - start) @ along
    a, b = (start + along * far for far in (at.min(), at.max()))
    low, top = ends
    corners = np.array([(*xy, z) for xy, z in ((a, low), (b, low), (b, top), (a, top))])
    return view.flat(corners)
