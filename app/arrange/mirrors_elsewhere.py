"""Ways out for a mirror over an opening or behind a belt: elsewhere on a wall, or a narrower one.

It is kept off sockets, other mirrors, openings, what hangs low, kit that stands before it, and
what is behind a belt.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely import LineString, box

from app.arrange.effort import ROUNDING_MM
from app.arrange.swaps import Proposal
from app.changes.difference import difference
from app.checks.glass_behind import (
    GLASS_BESIDE,
    asked_behind,
    behind_belt,
    belt_of,
    lane_behind,
)
from app.checks.mirrors import MIRROR
from app.checks.snag import Snag
from app.model.base import json_of
from app.model.finishing import MirrorArea
from app.model.plan import Plan
from app.published.register import published
from app.scene.build import Scene
from app.scene.naming import wall_called
from app.scene.tolerance import HALF_MM, TOLERANCE_MM
from app.takeoff.strip_ways import hung_against
from app.takeoff.surfaces import Face, along_face, faces
from app.wording import Phrase, phrase

NARROWEST_MM = 600
"""A mirror narrower than a person with elbows out shows nobody whole: it is not offered."""

_Span = tuple[float, float]


def mirrors_elsewhere(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield other places for the mirror of the fit-out that a finding is about."""
    for area in scene.plan.fit_out.mirrors:
        if area.id != snag.sheet:
            continue
        there = {face.wall.id: face for face in faces(scene)}
        others = [face for wall, face in there.items() if wall != area.wall]
        yield from _along(scene, area, there[area.wall])
        for face in others:
            yield from _on(scene, area, face)
        yield from _narrower(scene, area, there[area.wall])


def _along(scene: Scene, area: MirrorArea, face: Face) -> Iterator[Proposal]:
    """Yield it farther along its wall, the nearest free stretch first."""
    now = along_face(face.wall, area.offset_mm)
    nearest = sorted(
        (_nearest(now, low, high - area.width_mm) for low, high in _free(scene, area, face)),
        key=lambda at: math.inf if at is None else abs(at - now),
    )
    for at in nearest:
        if at is None:
            continue
        if abs(at - now) < ROUNDING_MM:
            continue
        side = "right" if at > now else "left"
        words = phrase("Hang it {:mm} farther {}, seen from inside.", abs(at - now), side)
        yield from _offered(scene, area, face, at, area.width_mm, words)


def _nearest(now: float, low: float, high: float) -> float | None:
    """Return the place between two that is so many whole steps from here, None for none."""
    if high < low:
        return None
    far = max(low - now, now - high, 0.0)
    at = now + math.copysign(math.ceil((far - TOLERANCE_MM) / ROUNDING_MM) * ROUNDING_MM, low - now)
    return at if low <= at <= high else min(max(now, low), high)


def _on(scene: Scene, area: MirrorArea, face: Face) -> Iterator[Proposal]:
    """Yield it in the middle of the longest free stretch of another wall."""
    low, high = max(_free(scene, area, face), key=lambda one: one[1] - one[0], default=(0.0, 0.0))
    if high - low < area.width_mm:
        return
    middle = (low + high - area.width_mm) / 2
    at = max(low, math.floor(middle / ROUNDING_MM) * ROUNDING_MM)
    words = phrase("Hang it on {}, {:mm} from its left end.", wall_called(scene, face.wall.id), at)
    yield from _offered(scene, area, face, at, area.width_mm, words)


def _narrower(scene: Scene, area: MirrorArea, face: Face) -> Iterator[Proposal]:
    """Yield as much of its width as the longest free stretch of its wall takes."""
    low, high = max(_free(scene, area, face), key=lambda one: one[1] - one[0], default=(0.0, 0.0))
    width = min(math.floor((high - low) / ROUNDING_MM) * ROUNDING_MM, area.width_mm)
    if NARROWEST_MM <= width < area.width_mm:
        words = phrase("Take one {:mm} wide, {:mm} from the left end of the wall.", width, low)
        yield from _offered(scene, area, face, low, width, words)


def _free(scene: Scene, area: MirrorArea, face: Face) -> list[_Span]:
    """Return the stretches of a wall on which nothing is as high as a mirror, in mm along it."""
    band = (area.bottom_mm, area.bottom_mm + area.height_mm)
    taken = sorted(
        (low, high)
        for low, foot, high, top in _taken(scene, area, face)
        if foot < band[1] - TOLERANCE_MM and top > band[0] + TOLERANCE_MM
    )
    length = math.dist(face.wall.start, face.wall.end)
    spans, at = [], 0.0
    for low, high in [*taken, (length, length)]:
        if low > at:
            spans.append((at, low))
        at = max(at, high)
    return [
        (low, high)
        for low, high in spans
        if face.whole.covers(box(low, band[0], high, band[1]).buffer(-TOLERANCE_MM))
    ]


def _taken(
    scene: Scene, area: MirrorArea, face: Face
) -> Iterator[tuple[float, float, float, float]]:
    """Yield what takes some of a wall: from, lower edge, to, upper edge, in mm of its face."""
    for _, hole in (*face.openings, *hung_against(scene, face)):
        yield hole.bounds
    near = published("mirror.socket-off-mm")
    for socket in scene.plan.room.sockets:
        if socket.wall == face.wall.id:
            at, high = along_face(face.wall, socket.offset_mm), socket.height_mm
            yield at - near, high - near, at + near, high + near
    for other in scene.plan.fit_out.mirrors:
        if other.wall == face.wall.id and other.id != area.id:
            at, foot = along_face(face.wall, other.offset_mm), other.bottom_mm
            yield at, foot, at + other.width_mm, foot + other.height_mm
    yield from _standing(scene, face)
    for low, high in _behind_belts(scene, face):
        yield low, 0.0, high, math.inf


def _behind_belts(scene: Scene, face: Face) -> Iterator[_Span]:
    """Yield the parts of a wall that who comes off a belt may be thrown against, and beside."""
    (x, y), (ax, ay) = face.wall.start, face.wall.along
    line = LineString([face.wall.start, face.wall.end])
    for placed in scene.order:
        for space in behind_belt(placed) if placed.in_use and belt_of(placed) else ():
            asked, beside = published(asked_behind(placed)[0]), published(GLASS_BESIDE)
            met = lane_behind(placed, space, asked, beside).intersection(line)
            along = (shapely.get_coordinates(met) - (x, y)) @ (ax, ay)
            if len(along):
                yield float(along.min()), float(along.max())


def _standing(scene: Scene, face: Face) -> Iterator[tuple[float, float, float, float]]:
    """Yield the parts of a wall before which kit stands nearer than it is kept off a mirror."""
    (x, y), (ax, ay), off = face.wall.start, face.wall.along, published("mirror.kit-mm")
    line = LineString([face.wall.start, face.wall.end])
    solids, end = scene.solids, scene.piece_solids
    away = shapely.distance(solids.cores[:end], line) - HALF_MM
    for number in (away < off).nonzero()[0].tolist():
        glass = scene.order[int(solids.owner[number])].kit.key == MIRROR
        beside = 0.0 if glass else off
        corners = shapely.get_coordinates(solids.cores[number])
        along = (corners - (x, y)) @ (ax, ay)
        yield (
            float(along.min()) - beside,
            float(solids.low_mm[number]),
            float(along.max()) + beside,
            float(solids.high_mm[number]),
        )


def _offered(
    scene: Scene, area: MirrorArea, face: Face, at: float, width_mm: float, words: Phrase
) -> Iterator[Proposal]:
    says = words.worded(scene.plan.units)
    offset = at - along_face(face.wall, 0.0)
    if offset < 0:
        return
    fields = {"wall": face.wall.id, "offset_mm": offset, "width_mm": width_mm}
    data = json_of(scene.plan)
    for one in data["fit_out"]["mirrors"]:
        if one["id"] == area.id:
            one |= fields
    command = difference(scene.plan, Plan.model_validate(data), "edit", says)
    if command is not None:
        yield says, command
