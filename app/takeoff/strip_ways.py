"""What a run of light strip meets on its way."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from app.model.finishing import StripRun
from app.model.room_check import opening_name
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM
from app.scene.walls import WallShape
from app.takeoff.calling import in_front, strip_called
from app.takeoff.supply_ways import supply_says
from app.takeoff.surfaces import Face, along_face, face_of
from app.wording import joined, lower, phrase

NEAR_WALL_MM = 60.0
"""What hangs so near to a wall is in the way of a profile on it: wider than one is deep."""
DRILL_MM = 400.0
"""What hangs no farther off a wall keeps a drill with its bit and the hands on it from what is
behind, and light from the room."""


@dataclass(frozen=True, slots=True)
class Met:
    """Something in the way of a run: what, and where along the wall it begins and ends, in mm.

    Under a ceiling the lengths are along the run.
    """

    name: str
    from_mm: float
    to_mm: float


@dataclass(frozen=True, slots=True)
class Hidden:
    """What hangs before a run: its name, its underside, and where along the wall, all in mm."""

    name: str
    under_mm: float
    from_mm: float
    to_mm: float


def met_on_the_way(scene: Scene, run: StripRun) -> tuple[Met, ...]:
    """Return what a run would cross: openings, what hangs low, the end of its wall or ceiling."""
    if run.wall is None:
        return tuple(_under_ceiling(scene, run))
    return tuple(_on_wall(scene, run, face_of(scene, run.wall)))


def hidden_stretches(scene: Scene, run: StripRun) -> tuple[Hidden, ...]:
    """Return what hangs before a run on a wall, off it: no drill comes there and no light out.

    What touches the wall is in its way, and none of these.
    """
    if run.wall is None:
        return ()
    face = face_of(scene, run.wall)
    shift = along_face(face.wall, 0.0)
    line = LineString([(x + shift, z) for x, z in run.points])
    return tuple(
        Hidden(name, under, met.from_mm, met.to_mm)
        for under, name, area in hung_before(scene, face)
        for met in _crossed(line, area, name, shift)
    )


def hung_before(scene: Scene, face: Face) -> Iterator[tuple[float, str, BaseGeometry]]:
    """Yield what hangs low before a wall, off it: its underside, its name, what of it it hides."""
    for low in scene.plan.room.low_things:
        outline = Polygon(low.outline)
        if _against(face.wall, outline, low.bottom_mm, face) is None:
            area = _against(face.wall, outline, low.bottom_mm, face, DRILL_MM)
            if area is not None:
                yield low.bottom_mm, low.label or low.kind, area


def way_says(scene: Scene, run: StripRun) -> Iterator[str]:
    """Say of each thing in the way where it is, and where the supply lies best."""
    called, units = in_front(strip_called(scene, run)), scene.plan.units
    met = met_on_the_way(scene, run)
    if met:
        where = "along the run" if run.wall is None else "along the wall"
        parts = [
            phrase("the {} from {:fine} to {:fine} {}", m.name, m.from_mm, m.to_mm, where)
            for m in met
        ]
        yield phrase(
            "{}: in its way {} {}. Lead it round, or end it before.",
            called,
            "is" if len(parts) == 1 else "are",
            joined(" and ", parts),
        ).worded(units)
    for hidden in hidden_stretches(scene, run):
        yield phrase(
            "{}: the {} hangs before it from {:fine} to {:fine} along the wall: no drill comes "
            "to the wall there and no light out. Hang it under {:fine}, or on another wall.",
            called, lower(hidden.name), hidden.from_mm, hidden.to_mm, hidden.under_mm,
        ).worded(units)  # fmt: skip
    yield from supply_says(scene, run)


def _on_wall(scene: Scene, run: StripRun, face: Face) -> Iterator[Met]:
    shift = along_face(face.wall, 0.0)
    line = LineString([(x + shift, z) for x, z in run.points])
    for opening, hole in face.holes:
        yield from _crossed(line, hole, opening_name(opening), shift)
    rest = line.difference(face.whole)
    if rest.length > TOLERANCE_MM:
        yield Met("end of the wall", *_ends(rest, shift))
    for name, area in hung_against(scene, face):
        yield from _crossed(line, area, name, shift)


def hung_against(scene: Scene, face: Face) -> Iterator[tuple[str, BaseGeometry]]:
    """Yield what hangs low against a wall: its name and the part of the face that it takes."""
    for low in scene.plan.room.low_things:
        area = _against(face.wall, Polygon(low.outline), low.bottom_mm, face)
        if area is not None:
            yield low.label or low.kind, area


def _against(
    wall: WallShape, outline: Polygon, bottom_mm: float, face: Face, near_mm: float = NEAR_WALL_MM
) -> BaseGeometry | None:
    """Return the part of a wall's face that a low thing hangs so near to; None for no part."""
    length = math.dist(wall.start, wall.end)
    (ax, ay), (ix, iy) = wall.along, wall.inward
    x, y = wall.start
    strip = Polygon(
        [
            (x, y),
            (x + ax * length, y + ay * length),
            (x + ax * length + ix * near_mm, y + ay * length + iy * near_mm),
            (x + ix * near_mm, y + iy * near_mm),
        ]
    )
    touched = strip.intersection(outline)
    if touched.area < TOLERANCE_MM:
        return None
    spots = [
        (px - x) * ax + (py - y) * ay for px, py in shapely.get_coordinates(touched)
    ]  # fmt: skip
    _, _, _, top = face.whole.bounds
    return shapely.box(min(spots), bottom_mm, max(spots), top)


def _crossed(line: LineString, area: BaseGeometry, name: str, shift: float) -> Iterator[Met]:
    part = line.intersection(area)
    if part.length > TOLERANCE_MM:
        yield Met(name, *_ends(part, shift))


def _ends(part: BaseGeometry, shift: float) -> tuple[float, float]:
    places = shapely.get_coordinates(part)[:, 0] - shift
    return float(places.min()), float(places.max())


def _under_ceiling(scene: Scene, run: StripRun) -> Iterator[Met]:
    line = LineString(run.points)
    beyond = line.difference(scene.room.free)
    areas = [(low.label or low.kind, Polygon(low.outline)) for low in scene.plan.room.low_things]
    areas += [(column.label.lower(), Polygon(column.outline)) for column in scene.plan.room.columns]
    crossed = [(name, line.intersection(area)) for name, area in areas]
    for name, part in [*crossed, ("edge of the ceiling", beyond)]:
        if part.length > TOLERANCE_MM:
            spots = [line.project(Point(at)) for at in shapely.get_coordinates(part)]
            yield Met(name, min(spots), max(spots))
