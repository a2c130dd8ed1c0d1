"""Walls as they stand: the face inside the linings, the outer face, and the floor between."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely import Polygon

from app.model.outline import signed_area_mm2
from app.model.room import Room, Wall
from app.scene.tolerance import ROUNDING

Corner = tuple[float, float]


@dataclass(frozen=True, slots=True)
class WallShape:
    """One wall: its inner face runs from `start` to `end`.

    `inward` is the unit normal into the room. `outer_start` and `outer_end` are the corners of
    its outer face. `polygon` is the wall seen from above, linings included: made once with the
    room, for every step of a drag asks for it.
    """

    wall: Wall
    start: Corner
    end: Corner
    outer_start: Corner
    outer_end: Corner
    inward: Corner
    polygon: Polygon

    @property
    def id(self) -> str:
        """The wall's id."""
        return self.wall.id

    @property
    def wall_middle(self) -> Corner:
        """The middle of the wall itself, between its faces."""
        corners = (self.start, self.end, self.outer_start, self.outer_end)
        return sum(x for x, _ in corners) / len(corners), sum(y for _, y in corners) / len(corners)

    @property
    def along(self) -> Corner:
        """Unit vector from start to end."""
        length = math.dist(self.start, self.end)
        return (self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length

    def off_mm(self, point: Corner) -> float:
        """Return how far a point is off the inner face, from end to end of that, in mm."""
        x0, y0 = self.start
        length = math.dist(self.start, self.end)
        dx, dy = (self.end[0] - x0) / length, (self.end[1] - y0) / length
        t = min(max((point[0] - x0) * dx + (point[1] - y0) * dy, 0.0), length)
        return math.dist(point, (x0 + t * dx, y0 + t * dy))


def wall_shapes(room: Room) -> tuple[WallShape, ...]:
    """Return every wall with mitred corners, in the order of the walls."""
    corners = room.corners
    inner = moved_faces(corners, [wall.lining_mm for wall in room.walls])
    outer = moved_faces(corners, [-wall.thickness_mm for wall in room.walls])
    sense = 1 if signed_area_mm2(corners) > 0 else -1
    shapes = []
    for i, wall in enumerate(room.walls):
        j = (i + 1) % len(corners)
        (x0, y0), (x1, y1) = corners[i], corners[j]
        length = math.dist(corners[i], corners[j])
        inward = (-sense * (y1 - y0) / length, sense * (x1 - x0) / length)
        polygon = Polygon([inner[i], inner[j], outer[j], outer[i]])
        shapes.append(WallShape(wall, inner[i], inner[j], outer[i], outer[j], inward, polygon))
    return tuple(shapes)


def moved_faces(corners: tuple[Corner, ...], inward_mm: list[float]) -> list[Corner]:
    """Move each side of a ring inwards by its own distance (outwards where negative).

    Gives the new corner i, where the moved sides i - 1 and i meet. Sides in one line are joined
    at the greater of the two moves.
    """
    sense = 1 if signed_area_mm2(corners) > 0 else -1
    count = len(corners)
    lines = []
    for i in range(count):
        (x0, y0), (x1, y1) = corners[i], corners[(i + 1) % count]
        length = math.dist((x0, y0), (x1, y1))
        dx, dy = (x1 - x0) / length, (y1 - y0) / length
        nx, ny = -sense * dy, sense * dx
        lines.append((x0 + nx * inward_mm[i], y0 + ny * inward_mm[i], dx, dy))
    result = []
    for i in range(count):
        ax, ay, adx, ady = lines[i - 1]
        bx, by, bdx, bdy = lines[i]
        cross = adx * bdy - ady * bdx
        if abs(cross) < ROUNDING:
            most = max(inward_mm[i - 1], inward_mm[i], key=abs)
            result.append((corners[i][0] - sense * bdy * most, corners[i][1] + sense * bdx * most))
            continue
        t = ((bx - ax) * bdy - (by - ay) * bdx) / cross
        result.append((ax + t * adx, ay + t * ady))
    return result
