"""What hangs over the room in the picture: dashed outlines, and what is told of their heights."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.picture_faces import polygons_of
from app.drawing.picture_shell import FAR_WALL_MM
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
_AT_WALL_MM = 5.0
"""A corner of a ceiling so near to a wall is over it."""


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
    yield from _let_down(scene, view)
    for _, polygon, low in _open_doors(scene):
        # with the door open it is among what is overhead
        if any(_same(above, polygon, low) for above in scene.overhead.items):
            continue
        for ring in _rings(polygon):
            flat = view.flat(np.column_stack([ring, np.full(len(ring), low)])).tolist()
            yield Polyline(tuple((u, v) for u, v in flat), GHOST)


def _let_down(scene: Scene, view: View) -> Iterator[Polyline]:
    """Let the corners of a ceiling that slopes down to the far walls: else it floats free."""
    several = _sloping(scene)
    corners: dict[tuple[float, float], float] = {}
    for above in several:
        for ring in _rings(above.polygon):
            for (x, y), high in zip(ring.tolist(), above.heights_at(ring).tolist(), strict=True):
                at = round(x), round(y)
                corners[at] = min(high, corners.get(at, high))
    eye = view.eye()
    for (x, y), high in corners.items():
        here = shapely.Point(x, y)
        # where all its walls are near it would lie over the room
        far = [
            wall
            for wall in scene.room.walls
            if wall.inward[0] * eye[0] + wall.inward[1] * eye[1] > 0
        ]
        if any(here.distance(wall.polygon) < _AT_WALL_MM for wall in far):
            ends = np.array([(x, y, high), (x, y, FAR_WALL_MM)])
            (u0, v0), (u1, v1) = view.flat(ends).tolist()
            yield Polyline(((u0, v0), (u1, v1)), GHOST)


def _sloping(scene: Scene) -> list[Above]:
    """Return the parts of a ceiling that is not level all over; none of a level one."""
    several = [above for above in scene.overhead.items if above.kind == "ceiling"]
    heights = [above.heights(above.polygon) for above in several]
    if not several or np.ptp(np.concatenate(heights)) < _DRAWN_ALIKE_MM:
        return []
    return several


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
        if several[0].kind == "ceiling" and _sloping(scene):
            yield from _both_told(what, several, heights, view, units)
            continue
        what, high = f"{what[:1].upper()}{what[1:]}", _span(heights, units)
        if short_name(what) != what:
            yield Told(what, np.concatenate(points), high)
        else:
            yield Told(f"{what} {high}", np.concatenate(points))
    for name, polygon, low in _open_doors(scene):
        flat_there = Above(name, polygon, (low, 0.0, 0.0), "door")
        words = f"{name} {format_short(low, units)}"
        yield Told(words, _ends(polygon, flat_there, view))


def _both_told(
    what: str, several: list[Above], heights: Floats, view: View, units: Units
) -> Iterator[Told]:
    """Yield the lowest and the highest height of a ceiling that slopes, each where it is."""
    rings = [ring for above in several for ring in _rings(above.polygon)]
    there = [above.heights_at(ring) for above in several for ring in _rings(above.polygon)]
    xyz = np.column_stack([np.concatenate(rings), np.concatenate(there)])
    for high in (float(heights.min()), float(heights.max())):
        at = xyz[np.abs(xyz[:, 2] - high) < _DRAWN_ALIKE_MM]
        words = f"{what[:1].upper()}{what[1:]} {format_short(high, units)}"
        yield Told(words, view.flat(at))


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
