"""A picture thrown on a wall: its width from throw ratio and distance, and where it stands."""

from __future__ import annotations

import math

import shapely
from shapely import Polygon

from app.model.finishing import Projection
from app.published.register import published
from app.scene.build import Scene
from app.scene.tolerance import SKY_MM
from app.scene.walls import WallShape
from app.takeoff.calling import NO_WALL, in_front, projection_called
from app.takeoff.line import Gathered
from app.takeoff.surfaces import MM2_A_M2, Face, along_face, face_of, faces
from app.units import KILO
from app.wording import phrase

_MM = KILO


_SMALLEST_MM = 10.0
"""Nobody throws a picture smaller than a thumb on a wall."""


def image_width_mm(distance_mm: float, throw_ratio: float) -> float:
    """Return the width of a picture: distance over throw ratio.

    Raises ValueError for a ratio of nothing. Worked: 3.2 m at 1.5: 2133 mm.
    """
    if throw_ratio <= 0:
        raise ValueError("a throw ratio is more than nothing")
    return distance_mm / throw_ratio


def picture_lux(lumens: float, width_mm: float, aspect: float) -> float:
    """Return the light of a white picture on the wall. Worked: 3000 lm on 2 x 1 m: 1500 lx."""
    return lumens / (width_mm * width_mm / aspect / MM2_A_M2)


def size_mm(wanted: Projection) -> tuple[float, float] | None:
    """Return the width and height of a picture; None for one that cannot be thrown."""
    if wanted.throw_ratio <= 0 or wanted.lumens <= 0:
        return None
    width = image_width_mm(wanted.distance_mm, wanted.throw_ratio)
    high = width / wanted.aspect
    return (width, high) if min(width, high) >= _SMALLEST_MM else None


def projections(scene: Scene) -> Gathered:
    """Say of each projection how wide it gets, whether it can stand there, and how bright it is."""
    gathered = Gathered()
    for wanted in scene.plan.fit_out.projections:
        walls = {wall.id: wall for wall in scene.room.walls}
        called = projection_called(scene, wanted)
        if wanted.wall not in walls:
            gathered.problems.append(f"{called}: {NO_WALL}")
            continue
        if wanted.throw_ratio <= 0:
            gathered.problems.append(
                f"{called}: a throw ratio of {wanted.throw_ratio:g} is none; "
                "it stands in the manual"
            )
            continue
        if wanted.lumens <= 0:
            gathered.problems.append(f"{called}: it gives no light; tell its lumens")
            continue
        width = image_width_mm(wanted.distance_mm, wanted.throw_ratio)
        if min(width, width / wanted.aspect) < _SMALLEST_MM:
            sentence = phrase(
                "{}: a picture {:mm} wide and {:mm} high shows nothing; tell its distance, throw "
                "ratio and shape",
                called,
                width,
                width / wanted.aspect,
            )
            gathered.problems.append(sentence.worded(scene.plan.units))
            continue
        gathered.says += _sentences(scene, wanted, walls[wanted.wall])
    return gathered


def _sentences(scene: Scene, wanted: Projection, wall: WallShape) -> list[str]:
    called = in_front(projection_called(scene, wanted))
    width = image_width_mm(wanted.distance_mm, wanted.throw_ratio)
    high, units = width / wanted.aspect, scene.plan.units
    clauses = [
        phrase(
            "{}: from {:fine} it is {:fine} wide and {:fine} high.",
            called,
            wanted.distance_mm,
            width,
            high,
        ).worded(units)
    ]
    length = math.dist(wall.start, wall.end)
    at = along_face(wall, wanted.middle_mm)
    if at - width / 2 < 0 or at + width / 2 > length:
        clauses.append(
            phrase(
                "{}: the wall is {:fine} long there; the picture runs past its end: "
                "move its middle or come nearer.",
                called,
                length,
            ).worded(units)
        )
    above = _top_mm(face_of(scene, wall.id))
    if high > above:
        clauses.append(
            phrase(
                "{}: the wall is {:fine} high at the most, so the picture does not fit: come "
                "nearer.",
                called,
                above,
            ).worded(units)
        )
    if not 0 < wanted.lens_mm < max(map(_top_mm, faces(scene))):
        clauses.append(f"{called}: its lens lies outside the room; tell its height.")
    clauses += _standing(scene, wanted, wall, at)
    lux, dim = picture_lux(wanted.lumens, width, wanted.aspect), published("lighting.dim-lux")
    if lux < published("projection.trace-lux"):
        clauses.append(f"{called}: {lux:.0f} lux is faint even in the dark; come nearer.")
    else:
        clauses.append(
            f"{called}: {lux:.0f} lux on white, in the dark. The light to train by "
            f"would wash it out, even {dim:.0f} lux shows; and nobody should look into the beam."
        )
    return clauses


def _top_mm(face: Face) -> float:
    *_, top = face.whole.bounds
    return float(top)


def _standing(scene: Scene, wanted: Projection, wall: WallShape, at: float) -> list[str]:
    called = in_front(projection_called(scene, wanted))
    (ax, ay), (ix, iy) = wall.along, wall.inward
    half = published("projection.stand-mm") / 2
    x = wall.start[0] + ax * at + ix * wanted.distance_mm
    y = wall.start[1] + ay * at + iy * wanted.distance_mm
    corners = ((-half, -half), (half, -half), (half, half), (-half, half))
    stand = Polygon([(x + ax * a + ix * b, y + ay * a + iy * b) for a, b in corners])
    if not scene.room.within.covers(stand):
        longest = _free_mm(scene, wall, at)
        return [
            phrase(
                "{}: it cannot stand {:fine} off, the room is {:fine} deep there.",
                called,
                wanted.distance_mm,
                longest,
            ).worded(scene.plan.units)
        ]
    low = wanted.lens_mm - published("projection.body-mm")
    beam_ends = [
        (wall.start[0] + ax * (at + d) + ix, wall.start[1] + ay * (at + d) + iy)
        for d in (
            -image_width_mm(wanted.distance_mm, wanted.throw_ratio) / 2,
            image_width_mm(wanted.distance_mm, wanted.throw_ratio) / 2,
        )
    ]
    beam = Polygon([(x, y), *beam_ends])
    clauses = []
    for placed in scene.order:
        footprint = placed.footprint
        if footprint.intersects(stand):
            clauses.append(
                f"{called}: {placed.name} stands where the projector should; move one of them."
            )
        elif footprint.intersects(beam) and placed.lift_mm + placed.extent.height_mm > low:
            clauses.append(f"{called}: {placed.name} stands in the beam.")
    return clauses


def _free_mm(scene: Scene, wall: WallShape, at: float) -> float:
    (ax, ay), (ix, iy) = wall.along, wall.inward
    x, y = wall.start[0] + ax * at + ix, wall.start[1] + ay * at + iy
    far = SKY_MM
    ray = shapely.LineString([(x, y), (x + ix * far, y + iy * far)])
    inside = shapely.get_parts(ray.intersection(scene.room.free))
    start = shapely.Point(x, y)
    return max((float(part.length) for part in inside if part.distance(start) < 1), default=0.0)
