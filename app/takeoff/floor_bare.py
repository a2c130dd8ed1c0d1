"""What stays bare of a floor that goes on: slits that a wall left which turned out longer."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from app.scene.build import Scene
from app.scene.naming import wall_called
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.floor_layout import Laid
from app.units import Units
from app.wording import length_words


def left_bare(scene: Scene, laid: Laid) -> dict[str, float]:
    """Return how wide what stays bare is beside the gap, mm, by the wall that it lies at."""
    covered = shapely.union_all([mat.polygon for mat in laid.mats])
    half = TOLERANCE_MM / 2
    bare = laid.region.difference(covered).buffer(-half, join_style="mitre")
    walls = [(wall.id, shapely.LineString([wall.start, wall.end])) for wall in scene.room.walls]
    found: dict[str, float] = {}
    for part in shapely.get_parts(bare.buffer(half, join_style="mitre")):
        inside = part.representative_point()
        name, _ = min(walls, key=lambda wall: float(wall[1].distance(inside)))
        # of a slit, also of one round a corner, width and length add up to half of its outline
        side = part.length / 2 / 2
        wide = side - math.sqrt(max(side**2 - part.area, 0.0))
        if wide > TOLERANCE_MM:
            found[name] = max(found.get(name, 0.0), wide)
    return found


def bare_words(scene: Scene, laid: Laid, units: Units) -> Iterator[str]:
    """Say where a strip stays bare that is too narrow to lay; nothing where none does."""
    found = left_bare(scene, laid)
    if not found:
        return
    places = " and ".join(
        f"{length_words(wide, units)} along {wall_called(scene, name)}"
        for name, wide in found.items()
    )
    yield (
        f"More than the gap stays bare: {places}. So narrow a strip does not stay where it is laid."
    )
