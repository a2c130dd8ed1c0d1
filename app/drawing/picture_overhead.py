"""What hangs over the room in the picture: dashed outlines, and what is told of their heights."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.picture_faces import polygons_of
from app.drawing.picture_view import Floats, View
from app.drawing.primitives import Polyline
from app.drawing.short_names import short_name
from app.scene.build import Scene
from app.scene.overhead import Above
from app.units import Units, format_short

GHOST, JOIST = "picture-ghost", "picture-joist"
_SHARES = (0.0, 0.25, 0.5, 0.75)
"""Where a leader may end on each edge of what hangs there."""
_DRAWN_ALIKE_MM = 1.0


@dataclass(frozen=True, slots=True)
class Told:
    """What a name of something overhead says, and where on the paper (n, 2) its leader may end.

    `height` is what a long name has after it.
    """

    words: str
    points: Floats
    height: str = ""


def overhead_lines(scene: Scene, view: View) -> Iterator[Polyline]:
    """Yield ceiling, joists, what hangs lower, and every garage door as it hangs when open."""
    for above in scene.overhead.items:
        for ring in _rings(above.polygon):
            flat = view.flat(np.column_stack([ring, above.heights_at(ring)])).tolist()
            yield Polyline(tuple((u, v) for u, v in flat), JOIST if _is_joist(above) else GHOST)
    for _, polygon, low in _open_doors(scene):
        # with the door open it is among what is overhead
        if any(_same(above, polygon, low) for above in scene.overhead.items):
            continue
        for ring in _rings(polygon):
            flat = view.flat(np.column_stack([ring, np.full(len(ring), low)])).tolist()
            yield Polyline(tuple((u, v) for u, v in flat), GHOST)


def overhead_told(scene: Scene, view: View) -> Iterator[Told]:
    """Yield the heights above the bare floor of what decides how tall one may be.

    A ceiling over joists is not told: nobody comes up to it.
    """
    units = scene.plan.units
    alike: dict[str, list[Above]] = {}
    for above in scene.overhead.items:
        if above.kind != "door":
            alike.setdefault(above.kind if _is_joist(above) else above.name, []).append(above)
    if any(_is_joist(some[0]) for some in alike.values()):
        alike.pop("ceiling", None)
    for name, several in alike.items():
        heights = np.concatenate([above.heights(above.polygon) for above in several])
        points = [_ends(above.polygon, above, view) for above in several]
        what = "joists" if _is_joist(several[0]) else name
        what, high = f"{what[:1].upper()}{what[1:]}", _span(heights, units)
        if short_name(what) != what:
            yield Told(what, np.concatenate(points), high)
        else:
            yield Told(f"{what} {high}", np.concatenate(points))
    for name, polygon, low in _open_doors(scene):
        flat_there = Above(name, polygon, (low, 0.0, 0.0), "door")
        words = f"{name} {format_short(low, units)}"
        yield Told(words, _ends(polygon, flat_there, view))


def _is_joist(above: Above) -> bool:
    return above.kind == "joist"


def _open_doors(scene: Scene) -> Iterator[tuple[str, shapely.Polygon, float]]:
    for shape in scene.room.openings:
        for hanging in shape.when_open:
            yield "Garage door when open", hanging.polygon, hanging.bottom_mm


def _same(above: Above, polygon: BaseGeometry, low_mm: float) -> bool:
    return above.kind == "door" and bool(
        abs(above.coefficients[0] - low_mm) < _DRAWN_ALIKE_MM
        and shapely.hausdorff_distance(above.polygon, polygon) < _DRAWN_ALIKE_MM
    )


def _rings(area: BaseGeometry) -> Iterator[Floats]:
    for polygon in polygons_of(area):
        yield shapely.get_coordinates(polygon.exterior)


def _ends(area: BaseGeometry, above: Above, view: View) -> Floats:
    """Return points along the outline of what hangs, as they come on the paper, (n, 2)."""
    rows = []
    for ring in _rings(area):
        run = np.diff(ring, axis=0)
        xy = np.concatenate([ring[:-1] + share * run for share in _SHARES])
        rows.append(view.flat(np.column_stack([xy, above.heights_at(xy)])))
    return np.concatenate(rows) if rows else np.empty((0, 2))


def _span(heights: Floats, units: Units) -> str:
    low, high = (format_short(float(mm), units) for mm in (heights.min(), heights.max()))
    return low if low == high else f"{low} to {high}"
