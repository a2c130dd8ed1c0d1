"""Which way is which in a room: as somebody says who stands in its door and looks in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from app.model.base import Point
from app.model.plan import Plan
from app.model.room import Opening, Room
from app.model.room_overhead import across_mm
from app.model.room_walls import inward, letter_at

DOORS = frozenset({"hinged", "pair", "gap"})
_PLAIN = ("back", "front", "left", "right")
NAMES_A_WALL = {"boiler": "the boiler wall"}
"""Kinds of things of the house by which people call a wall."""
_FACING = 0.9
"""Cosine of how far a wall may be out of square with the door and still be the far one."""
_BESIDE_MM = 600.0
"""So near to a wall the middle of a thing stands that hangs on it."""


@dataclass(frozen=True, slots=True)
class Front:
    """The four directions of a room in words, and the way that leads straight in from the door."""

    ahead: Point
    to_the_front: str
    to_the_back: str
    to_the_left: str
    to_the_right: str

    def split(self, dx: float, dy: float) -> tuple[float, float]:
        """Return how far a shift leads to the right and to the back, for one who looks in."""
        ax, ay = self.ahead
        return (-ay * dx + ax * dy, ax * dx + ay * dy)

    def words(self, dx: float, dy: float) -> tuple[tuple[float, str], ...]:
        """Return a shift as lengths along the room's own directions, sideways first."""
        right, back = self.split(dx, dy)
        return (
            (abs(right), self.to_the_right if right > 0 else self.to_the_left),
            (abs(back), self.to_the_back if back > 0 else self.to_the_front),
        )


PAPER = Front((0.0, -1.0), "to the front", "to the back", "left", "right")
"""The directions of a plan of which nobody said how it is drawn: those of the paper."""


def main_door(room: Room) -> Opening | None:
    """Return the door from which a room is seen: the widest garage door, else the widest door."""
    garage = [o for o in room.openings if o.is_garage_door]
    doors = garage or [o for o in room.openings if o.kind in DOORS]
    return max(doors, key=lambda o: o.width_mm, default=None)


def ahead_of(room: Room) -> Point:
    """Return the quarter of the drawing that leads in from the main door; up without a door."""
    door = main_door(room)
    if door is None:
        return (0.0, -1.0)
    x, y = inward(room, door.wall)
    if abs(x) > abs(y):
        return (1.0 if x > 0 else -1.0, 0.0)
    return (0.0, 1.0 if y > 0 else -1.0)


def front_of(plan: Plan) -> Front:
    """Return the directions of a plan in words.

    A plan of which nobody said how it is drawn is told as it lies on the paper, as ever.
    """
    door = main_door(plan.room)
    if plan.drawn == "as-measured" or door is None:
        return PAPER
    ahead = ahead_of(plan.room)
    seen = "" if ahead == PAPER.ahead else ", seen from the door"
    door_word = "garage door" if door.is_garage_door else "door"
    back = f"to {_wall_at(plan, ahead)}"
    return Front(ahead, f"towards the {door_word}", back, f"left{seen}", f"right{seen}")


_SIDES = ("back", "right", "front", "left")
_AHEAD = ((0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0))


def sides_on_paper(plan: Plan) -> Mapping[str, str]:
    """Return on which side of the drawing left, right, back and front of the room lie."""
    turned = _AHEAD.index(front_of(plan).ahead)
    return {side: _SIDES[(i + turned) % len(_SIDES)] for i, side in enumerate(_SIDES)}


def _wall_at(plan: Plan, ahead: Point) -> str:
    """Return what to call the far side of the room: by what hangs there, else the back."""
    for piece in plan.pieces:
        name = NAMES_A_WALL.get(piece.type)
        if name is None:
            continue
        for wall in plan.room.walls:
            nx, ny = inward(plan.room, wall.id)
            away = across_mm(plan.room, wall.id, (piece.pose.x_mm, piece.pose.y_mm))
            if nx * ahead[0] + ny * ahead[1] < -_FACING and 0 <= away < _BESIDE_MM:
                return name
    return "the back"


def wall_names(plan: Plan) -> tuple[str, ...]:
    """Return what the walls are called in sentences, in their order.

    By what is there ("the garage door wall"), in a room of four by the side on which somebody has
    them who looks in from the door, else by their letters in the drawing.
    """
    walls, door = plan.room.walls, main_door(plan.room)
    if plan.drawn == "as-measured" or door is None:
        return tuple(
            f"the {wall.id} wall" if wall.id in _PLAIN else f"wall {letter_at(i)}"
            for i, wall in enumerate(walls)
        )
    front = front_of(plan)
    sides = [_side(front, inward(plan.room, wall.id)) for wall in walls]
    by_side = len(walls) == len(set(sides)) == len(_PLAIN)
    names = []
    for i, (wall, side) in enumerate(zip(walls, sides, strict=True)):
        if door.wall == wall.id:
            names.append("the garage door wall" if door.is_garage_door else "the door wall")
        else:
            names.append(f"the {side} wall" if by_side else f"wall {letter_at(i)}")
    return tuple(names)


def _side(front: Front, into: Point) -> str:
    """Return on which side a wall is that faces a way, for one who looks in from the door."""
    right, back = front.split(*into)
    if abs(right) > abs(back):
        return "left" if right > 0 else "right"
    return "front" if back > 0 else "back"
