"""Puts the outline of a walk in the place of a room's: walls, openings, sockets, ceiling."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from app.errors import PlanError
from app.formulas.survey import turn_deg
from app.model.base import Point, json_of
from app.model.fit_out import FitOut
from app.model.plan import Plan
from app.model.room import Ceiling, Opening, Plane, Room, Socket, Wall
from app.model.room_check import changed_plan, opening_name
from app.model.room_overhead import fitted_planes, free_ids, split_planes
from app.model.room_walls import fresh_id, letter_at
from app.model.walk import Diagonal, Hand, TurnWord, Walk, WalkStep
from app.model.walk_heights import Overhead, overhead
from app.model.walk_solve import TURNS, Solved, solve
from app.units import Units, format_length, usual_currency, written_on_tape

_SQUARE_DEG = 0.3
NEW_CEILING_MM = 2400.0
"""Stands for a ceiling nobody has measured yet while the outline is shown."""


@dataclass(frozen=True, slots=True)
class Outline:
    """What a walk makes of a plan, the ceiling it found, and what no longer fits, in sentences.

    `lost` are openings and sockets that are left out, `moved` those that stand elsewhere.
    """

    plan: Plan
    solved: Solved
    overhead: Overhead | None
    lost: tuple[str, ...]
    moved: tuple[str, ...]


def outlined(plan: Plan, walk: Walk) -> Outline:
    """Return the plan with the outline of a walk. Raises PlanError where the walk is no room.

    Walls named by steps stay themselves, with all that is fixed to them where it still fits. The
    first wall that stays keeps its place and direction, so that what stands in the room does not
    move against it.
    """
    solved = solve(walk, plan.units)
    walk = _with_walls(walk, plan.room)
    corners = _laid(solved, walk, plan.room)
    walls = _walls(walk, plan.room, corners)
    openings, lost, moved = _openings(plan, walls)
    sockets, lost_sockets = _sockets(plan, walls)
    bare = Room(walls=walls, ceiling=Ceiling(planes=(Plane(id="c", height_mm=1e5),)))
    over = overhead(walk, bare, plan.units, _floor_of(plan.room))
    base, parts = split_planes(plan.room)
    after = changed_plan(
        plan,
        "",
        walls=walls,
        openings=openings,
        sockets=sockets,
        walk=walk,
        ceiling=_ceiling(
            plan.room,
            (*over.planes, *free_ids(parts if base else (), *(p.id for p in over.planes)))
            if over
            else plan.room.ceiling.planes,
        ),
    )
    if over is None:
        planes = fitted_planes(plan.room, after.room)
        after = changed_plan(after, "", ceiling=_ceiling(after.room, planes))
    return Outline(after, solved, over, (*lost, *lost_sockets), moved)


def first_plan(walk: Walk, name: str, units: Units, currency: str = "") -> Outline:
    """Make a plan whose room is the outline of a walk, with nothing in it yet.

    `currency` is three letters, else what goes with the units. Raises PlanError where the walk is
    no room.
    """
    side = NEW_CEILING_MM
    square = ((0.0, 0.0), (side, 0.0), (side, side), (0.0, side))
    room = Room(
        walls=tuple(Wall(id=f"start-{i}", x_mm=x, y_mm=y) for i, (x, y) in enumerate(square)),
        ceiling=Ceiling(planes=(Plane(id="ceiling", height_mm=NEW_CEILING_MM),)),
    )
    plan = Plan(
        name=name,
        units=units,
        currency=currency or usual_currency(units),
        room=room,
        drawn="door-below",
        fit_out=FitOut(nothing_assumed=True),
    )
    return outlined(plan, walk)


def walk_of(plan: Plan) -> Walk:
    """Return the walk that a room's outline came from, else one read off its walls.

    Turns are read as the nearest right angle, and a corner that is out of square gets the length
    across it. A walk that the walls no longer follow is read off anew.
    """
    room = plan.room
    if room.walk is not None and _follows(room, room.walk):
        return room.walk
    count, sign = len(room.walls), 1 if room.clockwise else -1
    steps, diagonals = [], []
    for i, wall in enumerate(room.walls):
        here, there = room.corners[i], room.corners[(i + 1) % count]
        after = room.corners[(i + 2) % count]
        turn = sign * turn_deg(here, there, after)
        word: TurnWord = "in" if turn > 45 else "out" if turn < -45 else "straight"
        length = math.dist(here, there)
        typed = written_on_tape(length, plan.units)
        steps.append(WalkStep(length_mm=length, typed=typed, turn=word, wall=wall.id))
        if count > 3 and abs(turn - 90 * TURNS[word]) > _SQUARE_DEG:
            across = math.dist(here, after)
            ends = (i + 1, (i + 2) % count + 1)
            diagonals.append(
                Diagonal(
                    start=ends[0],
                    end=ends[1],
                    length_mm=across,
                    typed=written_on_tape(across, plan.units),
                )
            )
    hand: Hand = "left" if room.clockwise else "right"
    return Walk(steps=tuple(steps), diagonals=tuple(diagonals), hand=hand)


def _follows(room: Room, walk: Walk) -> bool:
    """Return whether the walls of a room are still those that its walk makes."""
    ids = tuple(wall.id for wall in room.walls)
    if tuple(step.wall for step in walk.steps) != ids:
        return False
    try:
        corners = solve(walk).corners
    except PlanError:
        return False
    places = range(len(ids))
    return all(
        abs(math.dist(corners[i], corners[j]) - math.dist(room.corners[i], room.corners[j])) < 1
        for i in places
        for j in places
        if i < j
    )


def _with_walls(walk: Walk, room: Room) -> Walk:
    """Name the wall of each step: one that is there and not named before, else a fresh one."""
    there = {wall.id for wall in room.walls}
    taken = {*there}
    used: set[str] = set()
    steps = []
    for step in walk.steps:
        wall = step.wall
        if wall is None or wall not in there or wall in used:
            wall = fresh_id("wall", taken)
        taken.add(wall)
        used.add(wall)
        steps.append(WalkStep(**{**json_of(step), "wall": wall}))
    return Walk(**{**json_of(walk), "steps": steps})


def _laid(solved: Solved, walk: Walk, room: Room) -> tuple[Point, ...]:
    """Move and turn the outline so that its first wall that stays lies as it lay."""
    there = {wall.id for wall in room.walls}
    anchor = next((i for i, step in enumerate(walk.steps) if step.wall in there), None)
    corners = solved.corners
    if anchor is None:
        return _tidy(corners)
    wall_id = walk.steps[anchor].wall or ""
    was, now = room.wall_ends(wall_id), (corners[anchor], corners[(anchor + 1) % len(corners)])
    turn = _heading(*was) - _heading(*now)
    cos, sin = math.cos(turn), math.sin(turn)
    (x0, y0), (x1, y1) = now[0], was[0]
    return tuple(
        (
            round(x1 + (x - x0) * cos - (y - y0) * sin, 2),
            round(y1 + (x - x0) * sin + (y - y0) * cos, 2),
        )
        for x, y in corners
    )


def _tidy(corners: Sequence[Point]) -> tuple[Point, ...]:
    """Put a new room's outline so that its left and back lie at 0."""
    left, back = min(x for x, _ in corners), min(y for _, y in corners)
    return tuple((round(x - left, 2), round(y - back, 2)) for x, y in corners)


def _heading(start: Point, end: Point) -> float:
    return math.atan2(end[1] - start[1], end[0] - start[0])


def _walls(walk: Walk, room: Room, corners: Sequence[Point]) -> tuple[Wall, ...]:
    there = {wall.id: json_of(wall) for wall in room.walls}
    like: dict[str, Any] = {}
    walls = []
    for step, (x, y) in zip(walk.steps, corners, strict=True):
        # a wall that is new is made like the one before it
        like = there.get(step.wall or "", {**like, "photos": ()})
        walls.append(Wall(**{**like, "id": step.wall, "x_mm": x, "y_mm": y}))
    return tuple(walls)


def _ceiling(room: Room, planes: tuple[Plane, ...]) -> Ceiling:
    return Ceiling(**{**room.ceiling.model_dump(), "planes": planes})


def _floor_of(room: Room) -> Callable[[Point], float]:
    whole = [plane for plane in room.floor.planes if not plane.outline] or room.floor.planes

    def height(at: Point) -> float:
        return max(plane.height_at(*at) for plane in whole)

    return height


def _lengths(walls: Sequence[Wall]) -> dict[str, tuple[str, float]]:
    """Return the letter and length of each wall by its id."""
    count = len(walls)
    return {
        wall.id: (
            letter_at(i),
            math.dist((wall.x_mm, wall.y_mm), (after.x_mm, after.y_mm)),
        )
        for i, wall in enumerate(walls)
        for after in (walls[(i + 1) % count],)
    }


def _openings(
    plan: Plan, walls: Sequence[Wall]
) -> tuple[tuple[Opening, ...], list[str], tuple[str, ...]]:
    now, openings = _lengths(walls), []
    lost, moved = [], []

    def say(length: float) -> str:
        return format_length(length, plan.units)

    for opening in plan.room.openings:
        name = f"the {opening_name(opening)}"
        if opening.wall not in now:
            lost.append(f"{name}: its wall is no longer there")
            continue
        letter, length = now[opening.wall]
        if opening.width_mm > length:
            lost.append(
                f"{name}: {say(opening.width_mm)} wide, wall {letter} is now {say(length)} long"
            )
        elif opening.offset_mm + opening.width_mm > length:
            offset = math.floor((length - opening.width_mm) * 100) / 100
            moved.append(
                f"{name} begins {say(offset)} along wall {letter}, not "
                f"{say(opening.offset_mm)}, to end with the wall"
            )
            openings.append(Opening(**{**json_of(opening), "offset_mm": offset}))
        else:
            openings.append(opening)
    return tuple(openings), lost, tuple(moved)


def _sockets(plan: Plan, walls: Sequence[Wall]) -> tuple[tuple[Socket, ...], list[str]]:
    now, sockets, lost = _lengths(walls), [], []
    for socket in plan.room.sockets:
        if socket.wall not in now or socket.offset_mm > now[socket.wall][1]:
            lost.append("a socket: its wall is no longer there or now ends before it")
        else:
            sockets.append(socket)
    return tuple(sockets), lost
