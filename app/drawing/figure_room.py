"""The room of a figure: floor, walls, what stands in it and what hangs over it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.hatching import hatch
from app.drawing.medium import Medium, region
from app.drawing.primitives import Group, Item, Line, Point, Polygon
from app.model.room import Plane
from app.scene.overhead import Above
from app.scene.room import RoomShape
from app.scene.walls import WallShape

WALL_TURN_DEG = -45.0
STAY_TURN_DEG = 45.0


def floor(room: RoomShape) -> Group:
    """Draw the floor between the linings, and the edges of steps on it."""
    return Group((region(room.free, "floor"), *_edges(room.room.floor.planes, room)), "layer-floor")


def _edges(planes: Sequence[Plane], room: RoomShape, ink: str = "thin") -> Iterator[Line]:
    """Draw where parts of floor or ceiling end within the room, not where they meet its walls."""
    walls = room.free.boundary.buffer(1)
    for plane in planes:
        if not plane.outline:
            continue
        patch = room.free.intersection(shapely.Polygon(plane.outline))
        shown = patch.boundary.difference(walls)
        for part in getattr(shown, "geoms", (shown,)):
            if part.geom_type == "LineString":
                for start, end in pairwise(part.coords):
                    yield Line(start[:2], end[:2], ink)


def wall_area(room: RoomShape) -> BaseGeometry:
    """Return the walls as they are cut: linings included, openings left out.

    What lies between the faces of a nib, and is no wider than a wall, is wall too.
    """
    solid = shapely.union_all([wall.polygon.buffer(0) for wall in room.walls])
    half = max((wall.wall.thickness_mm for wall in room.walls), default=0.0) / 2
    closed = solid.buffer(half, join_style="mitre").buffer(-half, join_style="mitre")
    cores = shapely.get_parts(closed.difference(shapely.union_all([solid, room.free])))
    solid = shapely.union_all([solid, *(core for core in cores if core.area > half)])
    # the holes reach a little past both faces, so that no sliver of wall stays in front of them
    holes = [hole.hole.buffer(0.5, join_style="mitre") for hole in room.openings]
    cut: BaseGeometry = solid.difference(shapely.union_all(holes)) if holes else solid
    return cut


def walls(room: RoomShape, medium: Medium) -> Group:
    """Draw the walls, hatched, the face as measured where a lining hides it, and columns."""
    area = wall_area(room)
    parts: list[Item] = [region(area, "wall cut", "hatch-wall")]
    if medium.strokes and not medium.bounds_only:
        parts.insert(0, hatch(area, medium.em_mm * 0.5, WALL_TURN_DEG, "hatch-line wall-line"))
    corners = room.room.corners
    for i, wall in enumerate(room.walls):
        if wall.wall.lining_mm:
            face = shapely.LineString([corners[i], corners[(i + 1) % len(corners)]])
            shown = shapely.intersection(face, area)
            for part in getattr(shown, "geoms", (shown,)):
                if part.geom_type == "LineString" and not part.is_empty:
                    (x0, y0), (x1, y1) = part.coords[0], part.coords[-1]
                    parts.append(Line((x0, y0), (x1, y1), "thin"))
    for _, polygon in room.columns:
        if medium.strokes and not medium.bounds_only:
            parts.append(region(polygon, "column-ground"))
            parts.append(hatch(polygon, medium.em_mm * 0.5, WALL_TURN_DEG, "hatch-line wall-line"))
        parts.append(region(polygon, "wall cut column", "hatch-wall"))
    return Group(tuple(parts), "layer-walls")


def ceiling_edges(room: RoomShape) -> tuple[Line, ...]:
    """Return where parts of the ceiling meet within the room, as `low_things` draws them."""
    return tuple(_edges(room.room.ceiling.planes, room, "low"))


def joists(room: RoomShape) -> tuple[Item, ...]:
    """Draw every joist by its middle line: thin, dashed, under everything else."""
    return tuple(_middles(room.joists))


def _middles(strips: tuple[shapely.Polygon, ...]) -> Iterator[Item]:
    for strip in strips:
        box = strip.minimum_rotated_rectangle
        ring = list(getattr(box, "exterior", strip.exterior).coords)[:4]
        sides = sorted(
            ((ring[i], ring[(i + 1) % 4]) for i in range(4)),
            key=lambda side: shapely.Point(side[0]).distance(shapely.Point(side[1])),
        )
        (a, b), (c, d) = sides[0], sides[1]
        yield Line(
            ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), ((c[0] + d[0]) / 2, (c[1] + d[1]) / 2), "joist"
        )


def low_things(room: RoomShape) -> tuple[Item, ...]:
    """Draw what hangs below the ceiling, and where its parts end: beams, ducts, tracks, openers."""
    items: list[Item] = list(ceiling_edges(room))
    items += [region(polygon, f"low {thing.kind}") for thing, polygon in room.low]
    items += [region(above.polygon, "low opener") for above in openers(room)]
    return tuple(items)


def openers(room: RoomShape) -> list[Above]:
    """Return the openers of garage doors that hang under the ceiling."""
    return [item for item in room.shut.items if item.kind == "opener"]


def sockets(room: RoomShape, medium: Medium) -> tuple[Item, ...]:
    """Draw every socket at its wall: a half round towards the room on a stem (IEC 60617)."""
    items: list[Item] = []
    walls = {wall.id: wall for wall in room.walls}
    radius = medium.em_mm * 0.5
    for socket in room.room.sockets:
        items.append(
            socket_mark(socket_at(walls[socket.wall], socket.offset_mm), walls[socket.wall], radius)
        )
    return tuple(items)


def socket_at(wall: WallShape, offset_mm: float) -> Point:
    """Return where on the face of a wall a socket is, so far along from the wall's corner."""
    (ax, ay), (ix, iy) = wall.along, wall.inward
    lining = wall.wall.lining_mm
    x, y = wall.wall.x_mm + ax * offset_mm, wall.wall.y_mm + ay * offset_mm
    return x + ix * lining, y + iy * lining


def socket_mark(at: Point, wall: WallShape, radius: float) -> Group:
    """Draw the mark of a socket at a point of a wall's face."""
    return socket_symbol(at, wall.along, wall.inward, radius)


def socket_symbol(at: Point, along: Point, inward: Point, radius: float) -> Group:
    """Draw a socket at a point of a face that runs along one way and looks another."""
    (ax, ay), (ix, iy) = along, inward

    def off(run: float, out: float) -> Point:
        return at[0] + ax * run + ix * out, at[1] + ay * run + iy * out

    ring = tuple(
        off(-radius * math.cos(math.pi * i / 12), radius * (1.6 - math.sin(math.pi * i / 12)))
        for i in range(13)
    )
    return Group(
        (
            Line(off(0, 0), off(0, radius * 0.6), "socket-pin"),
            Polygon(ring, "socket"),
            Line(off(-radius, radius * 0.6), off(radius, radius * 0.6), "socket-pin"),
        ),
        "socket-mark",
    )
