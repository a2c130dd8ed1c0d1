"""Ways out by two moves: what is in the way goes first, then the thing that needs the room.

They are sought for stops that no single change helps with, and for cares whose room a thing takes:
each takes a search of its own, so for a care fewer are tried, and none that costs anything.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from app.arrange.effort import FULL, work_of
from app.arrange.guide import Level
from app.arrange.moves import Move, Mover, hangs_on_place
from app.arrange.on_walls import for_wall
from app.arrange.sense import sensible
from app.arrange.shifts import directions, shift_words
from app.arrange.tries import shifted
from app.checks.run import run
from app.checks.snag import Snag
from app.scene.build import Scene
from app.wording import lower, phrase

OTHERS_AT_MOST = 4
"""Stations of which one is moved out of the way: the nearest, for what stands farther off seldom
is in it."""
PLACES_AT_MOST = 3
"""Places of the thing itself that are tried with each of them, the nearest first."""
OF_A_CARE_AT_MOST = 2
"""Stations, and places of the thing itself with each, that are tried for a care."""
LOOKED_AT_AT_MOST = 40
"""Places that are looked at for whether anybody would put it there."""
APART_MM = 200.0
"""How far such places lie from one another: nearer by they ask the other for the same room."""
LEVELS: tuple[Level, ...] = ("clean", "clears")


def two_moves(mover: Mover, snag: Snag) -> Iterator[Move]:
    """Yield what clears a finding or makes it milder by moving one station, then another."""
    if not hangs_on_place(snag):
        return
    for root in mover.roots(snag):
        for other in _near(mover, root)[: _at_most(snag, OTHERS_AT_MOST)]:
            for dx, dy in _places(mover, snag, root, other):
                if mover.budget.over:
                    return
                move = _both(mover, snag, (root, dx, dy), other)
                if move is not None and (snag.severity == "stop" or move.effect.is_free):
                    yield move


def _at_most(snag: Snag, of_a_stop: int) -> int:
    """Return how many are tried for a finding."""
    return of_a_stop if snag.severity == "stop" else OF_A_CARE_AT_MOST


def _near(mover: Mover, root: str) -> list[str]:
    """Return the stations that may be moved out of the way of one, the nearest first."""
    mine = mover.scene.placed[root].footprint
    others = [
        (placed.footprint.distance(mine), other)
        for other, (placed, *_) in mover.scene.stations.items()
        if other != root and mover.may_move(other)
    ]
    return [other for _, other in sorted(others)[:OTHERS_AT_MOST]]


def _places(mover: Mover, snag: Snag, root: str, other: str) -> list[tuple[float, float]]:
    """Return shifts of a station that clear a finding once another one is out of the way."""
    scene = mover.scene
    angle = scene.placed[root].pose.angle_deg
    every = mover.every(root)
    if not mover.budget.allows(len(every) + 1):
        return []
    way = mover.guide.way(root, angle, snag, other)
    rays = np.zeros((0, 2)) if for_wall(scene, root) else directions(scene)
    found: list[tuple[float, float]] = []
    for level in LEVELS:
        for dx, dy in mover.guide.shifts(way, level, rays, every)[:LOOKED_AT_AT_MOST].tolist():
            if len(found) >= _at_most(snag, PLACES_AT_MOST):
                return found
            if any(math.dist((dx, dy), there) < APART_MM for there in found):
                continue
            if sensible(scene, mover.moved(shifted(scene, root, dx, dy)), root):
                found.append((dx, dy))
    return found


def _both(mover: Mover, snag: Snag, first: tuple[str, float, float], other: str) -> Move | None:
    """Return the two moves that bring a station to a place and another one out of its way there."""
    scene, (root, dx, dy) = mover.scene, first
    mine = shifted(scene, root, dx, dy)
    there = mover.moved(mine)
    if not mover.budget.allows(work_of(there, FULL)):
        return None
    after = run(there, weighed=True)
    in_the_way = _new_for(scene, mover.before, after, other, snag)
    if in_the_way is None:
        return None
    away = mover.next(there, after).shift_of(other, in_the_way)
    if away is None:
        return None
    poses = {**mine, **away.poses}
    effect = mover.effect(poses, snag)
    if effect is None:
        return None
    here, gone = scene.placed[other].at, away.poses[other]
    words = phrase(
        "Move the {} {}, then the {} {}.",
        lower(scene.placed[other].name),
        shift_words(scene, gone.x_mm - here[0], gone.y_mm - here[1]),
        lower(scene.placed[root].name),
        shift_words(scene, dx, dy),
    ).worded(scene.plan.units)
    return Move(words, poses, math.hypot(dx, dy) + away.distance_mm, effect)


def _new_for(
    scene: Scene, before: tuple[Snag, ...], after: tuple[Snag, ...], other: str, snag: Snag
) -> Snag | None:
    """Return the first finding that is new, as grave as the one to mend, and names a station."""
    grave = ("stop",) if snag.severity == "stop" else ("stop", "care")
    known = {one.key for one in before if one.severity in grave}
    return next(
        (
            one
            for one in after
            if one.severity in grave
            and one.key not in known
            and hangs_on_place(one)
            and any(scene.placed[piece].root == other for piece in one.pieces)
        ),
        None,
    )
