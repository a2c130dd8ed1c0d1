"""Where the supply of a run of light strip lies, and the way of the cable from there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import LineString, Point

from app.library.finishes import finishes
from app.model.finishing import StripRun
from app.model.room import Opening, Socket
from app.model.room_check import opening_name
from app.published.register import published
from app.scene.build import Scene
from app.scene.naming import wall_called
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.calling import in_front, strip_called
from app.takeoff.surfaces import along_face, face_of
from app.wording import joined, lower, phrase


@dataclass(frozen=True, slots=True)
class Feed:
    """The socket beside which a supply lies, and the way of the cable from it to the run.

    `over` names the doors whose heads it goes over.
    """

    socket: str
    wall: str
    offset_mm: float
    way_mm: float
    over: tuple[str, ...] = ()


def runs_with_feeds(scene: Scene) -> Iterator[tuple[StripRun, Feed | None]]:
    """Yield each run of a known strip in the room with the socket it is fed from, if there is one.

    List and drawing both take the place of a supply from here.
    """
    walls = {wall.id for wall in scene.room.walls}
    for run in scene.plan.fit_out.strips:
        if run.strip in finishes().strips and (run.wall is None or run.wall in walls):
            yield run, feed_of(scene, run)


def feed_of(scene: Scene, run: StripRun) -> Feed | None:
    """Return the socket with the shortest way to the start of a run that can be reached.

    A socket behind something that stands before it is none. None without any. The way to a run
    on a wall is along the walls, never across a doorway; to one under the ceiling it is up the
    wall, along it and square out from it.
    """
    feeds = [
        _up_to(scene, socket, run) if run.wall is None else _along(scene, socket, run)
        for socket in scene.plan.room.sockets
        if not _is_behind(scene, socket.wall, socket.offset_mm, socket.height_mm)
    ]
    return min(feeds, key=lambda feed: feed.way_mm, default=None)


def supply_says(scene: Scene, run: StripRun) -> Iterator[str]:
    """Say where the supply of a run lies and which way its cable goes, or why none is told."""
    called, units = in_front(strip_called(scene, run)), scene.plan.units
    feed = feed_of(scene, run)
    air = published("strip.supply-air-mm")
    if feed is None:
        if scene.plan.room.sockets:
            yield f"{called}: every socket is behind something; its supply must be reached."
        else:
            yield (
                f"{called}: no socket is marked on the plan, so that no place of its supply is "
                "told; mark the one that it is plugged into."
            )
        return
    way = "along the walls"
    if run.wall is None:
        way = "up the wall to the ceiling, along the wall, and square out from it to the start"
    elif feed.over:
        heads = "head" if len(feed.over) == 1 else "heads"
        names = joined(" and ", [f"the {lower(name)}" for name in feed.over])
        way += f", over the {heads} of {names}"
    yield phrase(
        "{}: its supply lies beside the socket on {}, {:fine} from that wall's corner, where a "
        "hand reaches it, with {:mm} of air round it; from there the cable is {:fine} {}.",
        called, wall_called(scene, feed.wall), feed.offset_mm, air, feed.way_mm, way,
    ).worded(units)  # fmt: skip
    if feed.way_mm > run.cable_mm + TOLERANCE_MM:
        yield phrase(
            "{}: the cable is counted with {:fine}, which does not reach: type {:fine}.",
            called, run.cable_mm, feed.way_mm,
        ).worded(units)  # fmt: skip


def _along(scene: Scene, socket: Socket, run: StripRun) -> Feed:
    """Return the shorter of the two ways round the room, each over the doors that lie on it."""
    start, height = run.points[0]
    low, high = sorted((height, socket.height_mm))
    places, around = _around(scene)
    ends = sorted((places[socket.wall] + socket.offset_mm, places[str(run.wall)] + start))
    inside: list[Opening] = []
    outside: list[Opening] = []
    for opening in scene.plan.room.openings:
        # under a sill a cable passes, and over what ends below it
        if opening.sill_mm >= low and opening.kind == "window":
            continue
        middle = places[opening.wall] + opening.offset_mm + opening.width_mm / 2
        (inside if ends[0] < middle < ends[1] else outside).append(opening)
    apart = ends[1] - ends[0]
    ways = []
    for level, met in ((apart, inside), (around - apart, outside)):
        head = max((o.sill_mm + o.height_mm for o in met), default=0.0)
        up = max(0.0, head - high)
        over = tuple(opening_name(opening) for opening in met)
        way = level + high - low + 2 * up
        ways.append(Feed(socket.id, socket.wall, socket.offset_mm, way, over))
    return min(ways, key=lambda feed: feed.way_mm)


def _around(scene: Scene) -> tuple[dict[str, float], float]:
    """Return where each wall begins on a walk round the room, and how long the walk is, in mm."""
    around, at = 0.0, {}
    for wall in scene.plan.room.walls:
        at[wall.id] = around
        around += scene.plan.room.wall_length_mm(wall.id)
    return at, around


def _up_to(scene: Scene, socket: Socket, run: StripRun) -> Feed:
    """Return the way to a run under the ceiling: up at the socket, along its wall, out from it."""
    face = face_of(scene, socket.wall)
    wall = face.wall
    (ax, ay), (ix, iy) = wall.along, wall.inward
    x, y = (to - begin for to, begin in zip(run.points[0], wall.start, strict=True))
    at = along_face(wall, socket.offset_mm)
    _, low, _, high = face.whole.bounds
    upright = LineString([(at, low), (at, high)]).intersection(face.whole)
    top = high if upright.is_empty else max(float(z) for _, z in shapely.get_coordinates(upright))
    along, out = abs(x * ax + y * ay - at), abs(x * ix + y * iy)
    way = top - socket.height_mm + along + out
    return Feed(socket.id, socket.wall, socket.offset_mm, way)


def _is_behind(scene: Scene, wall_id: str, offset_mm: float, height_mm: float) -> bool:
    wall = next(wall for wall in scene.room.walls if wall.id == wall_id)
    at = along_face(wall, offset_mm)
    (ax, ay), (ix, iy) = wall.along, wall.inward
    room = published("strip.supply-air-mm")
    point = Point(wall.start[0] + ax * at + ix, wall.start[1] + ay * at + iy)
    return any(
        placed.footprint.distance(point) < room
        and placed.lift_mm + placed.extent.height_mm > height_mm
        for placed in scene.order
    )
