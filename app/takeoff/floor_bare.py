"""What a wall that turned out otherwise leaves: slits that stay bare, pieces that lie too far."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import shapely
from shapely.geometry.base import BaseGeometry

from app.scene.build import Scene
from app.scene.naming import wall_called
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.floor_layout import Laid
from app.units import Units
from app.wording import length_words


def left_bare(scene: Scene, laid: Laid) -> dict[str, float]:
    """Return how wide what stays bare is beside the gap, mm, by the wall that it lies at."""
    covered = shapely.union_all([mat.polygon for mat in laid.mats])
    return _strips(scene, laid.region.difference(covered))


def too_long(scene: Scene, laid: Laid) -> dict[int, dict[str, float]]:
    """Return the pieces that lie and reach beyond where they should end now, by their numbers:
    how far, mm, by the wall that they reach to.
    """
    beyond = {
        mat.number: _strips(scene, mat.polygon.difference(laid.region))
        for mat in laid.mats
        if mat.down
    }
    return {number: strips for number, strips in beyond.items() if strips}


def _strips(scene: Scene, area: BaseGeometry) -> dict[str, float]:
    """Return how wide the strips of an area are, mm, by the wall that each lies nearest to."""
    half = TOLERANCE_MM / 2
    walls = [(wall.id, shapely.LineString([wall.start, wall.end])) for wall in scene.room.walls]
    wide = area.buffer(-half, join_style="mitre").buffer(half, join_style="mitre")
    found: dict[str, float] = {}
    for part in shapely.get_parts(wide):
        if part.is_empty:
            continue
        inside = part.representative_point()
        name, _ = min(walls, key=lambda wall: float(wall[1].distance(inside)))
        # of a slit, also of one round a corner, width and length add up to half of its outline
        side = part.length / 2 / 2
        width = side - math.sqrt(max(side**2 - part.area, 0.0))
        if width > TOLERANCE_MM:
            found[name] = max(found.get(name, 0.0), width)
    return found


def anew_words(scene: Scene, laid: Laid, units: Units) -> Iterator[str]:
    """Say where a strip stays bare that is too narrow to lay and which pieces are to be trimmed."""
    bare = left_bare(scene, laid)
    if bare:
        yield (
            f"More than the gap stays bare: {_places(scene, bare, units)}. So narrow a strip does "
            "not stay where it is laid."
        )
    over = too_long(scene, laid)
    if over:
        one = len(over) == 1
        most: dict[str, float] = {}
        for strips in over.values():
            for name, width in strips.items():
                most[name] = max(most.get(name, 0.0), width)
        *first, last = map(str, over)
        numbers = f"{', '.join(first)} and {last}" if first else last
        yield (
            f"{'Piece' if one else 'Pieces'} {numbers} {'lies' if one else 'lie'} too far out: "
            f"trim {'it' if one else 'them'} by {_places(scene, most, units)}."
        )


def _places(scene: Scene, widths: Mapping[str, float], units: Units) -> str:
    return " and ".join(
        f"{length_words(width, units)} along {wall_called(scene, name)}"
        for name, width in widths.items()
    )
