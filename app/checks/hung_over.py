"""What other kit hangs overhead where somebody trains: a heating panel, a bar under the joists.

What reaches lower is in the way of who works there and is judged with its working space; this is
what only something raised comes to.
"""

from __future__ import annotations

import numpy as np
import shapely

from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.tolerance import Geometries

_HIGH = "space.to-mm"
"""What hangs higher is no hindrance in a working space, so no check of these asks of it."""


def hung_places(scene: Scene) -> tuple[tuple[object, ...], ...]:
    """Return where everything is that hangs over people's heads: what answers hang on."""
    return tuple((one.piece.id, *one.at, one.pose.angle_deg) for one in _hung(scene))


def lowest_over(scene: Scene, root: str, areas: Geometries) -> list[tuple[float, Placed] | None]:
    """Return for each area how low the lowest part hangs that another station has over it, in mm.

    `root` is the station whose own parts do not count.
    """
    lowest: list[tuple[float, Placed] | None] = [None] * len(areas)
    for placed in _hung(scene):
        if placed.root == root:
            continue
        met = shapely.intersects(placed.polygons()[:, np.newaxis], areas[np.newaxis, :])
        under = np.where(met, (placed.shape.low_mm + placed.lift_mm)[:, np.newaxis], np.inf)
        for i, low in enumerate(under.min(axis=0).tolist()):
            before = lowest[i]
            if np.isfinite(low) and (before is None or low < before[0]):
                lowest[i] = low, placed
    return lowest


def _hung(scene: Scene) -> list[Placed]:
    high = published(_HIGH)
    known = scene.memo(
        ("hung over",),
        lambda: tuple(
            placed.piece.id
            for placed in scene.order
            if placed.kit.bar is None
            and len(placed.shape.low_mm)
            and placed.shape.low_mm.min() + placed.lift_mm >= high
        ),
    )
    return [scene.placed[piece_id] for piece_id in known]
