"""Mirrors on walls as a section shows them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from app.drawing.medium import region
from app.drawing.sheets.cutting_plane import Cut, floor_z
from app.drawing.sheets.section_room import ON_WALL_MM, Beyond
from app.drawing.wall_glass import glass
from app.scene.build import Scene


def glass_seen(scene: Scene, cut: Cut, inner: Sequence[tuple[float, float]]) -> Iterator[Beyond]:
    """Yield the mirrors that the cut meets or that hang behind it, between its walls (`inner`)."""
    for one in glass(scene):
        (s0, _), (s1, deep) = (
            end(cut.flat(shapely.get_coordinates(one.outline)), axis=0) for end in (np.min, np.max)
        )
        middle = (one.outline.centroid.x, one.outline.centroid.y)
        low = one.area.bottom_mm + floor_z(scene.room.room, middle)
        for a, b in inner if deep >= 0 else ():
            left, right = max(a, s0), min(b, s1)
            if left < right:
                box = shapely.box(left, -low - one.area.height_mm, right, -low)
                yield Beyond(deep - ON_WALL_MM, region(box, "mirror"))
