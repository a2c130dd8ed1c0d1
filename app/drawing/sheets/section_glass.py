"""Mirrors on walls as a section shows them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely import Polygon

from app.drawing.medium import region
from app.drawing.sheets.cutting_plane import Cut, floor_z
from app.drawing.sheets.section_room import ON_WALL_MM, Beyond
from app.drawing.wall_glass import glass
from app.scene.build import Scene


def glass_seen(scene: Scene, cut: Cut, inner: Sequence[tuple[float, float]]) -> Iterator[Beyond]:
    """Yield the mirrors that the cut meets or that hang behind it, between its walls (`inner`)."""
    for deep, area in glass_areas(scene, cut, inner):
        down = shapely.transform(area, lambda xy: xy * (1, -1))
        yield Beyond(deep - ON_WALL_MM, region(down, "mirror"))


def glass_areas(
    scene: Scene, cut: Cut, inner: Sequence[tuple[float, float]]
) -> Iterator[tuple[float, Polygon]]:
    """Yield how far behind the cut each of them is, and what is seen of it, z up."""
    for one in glass(scene):
        (s0, _), (s1, deep) = (
            end(cut.flat(shapely.get_coordinates(one.outline)), axis=0) for end in (np.min, np.max)
        )
        middle = (one.outline.centroid.x, one.outline.centroid.y)
        low = one.area.bottom_mm + floor_z(scene.room.room, middle)
        for a, b in inner if deep >= 0 else ():
            left, right = max(a, s0), min(b, s1)
            if left < right:
                yield float(deep), shapely.box(left, low, right, low + one.area.height_mm)
