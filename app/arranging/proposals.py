"""Where a station may go beside those that stand: places drawn, asked of the core, and rated."""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from app.arranging.candidates import Drawer
from app.arranging.merit import Merits
from app.arranging.open_floor import OpenFloor
from app.arranging.problem import Problem
from app.placing.layout import Layout

Floats = NDArray[np.float64]
Place = tuple[float, float, tuple[float, float]]
"""What a place promises, the turn of a station there, and where its root lies."""
TURNS_SHARE = 0.75
"""Share of its turns that a station is tried at in a step."""
NOISE = 2.0
"""How far the choice among places strays, in points of the score: about what the smaller
preferences come to."""
PLACES_SCORED = 2
"""Places of the last station of a step at which the whole layout is scored: the rest of them look
worse already."""
ELSEWHERE_SCORED, OTHERS_SCORED = 2, 2
"""Places scored besides where one station alone is set down: the best of those that lie elsewhere,
at another wall or turn, and some drawn from all the rest. What places promise says little of the
smaller preferences, and these decide between good ones."""
NEAR_SHARE = 0.7
"""How often a station that is slid keeps near where it was at another turn as well."""
NEAR_MM = 600
"""How near that is: half the width of most things."""
WALLS_DRAWN, WALLS_TRIED = 24, 8
"""Places at walls that are drawn, and those nearest to what is used there of which one is chosen:
two along each wall of a room."""
WALL_STEP_MM = 100.0
"""How far apart the places are at which it is asked whether a wall can have the largest at all."""
MAKE_WAY_AT_MOST = 2
"""Stations that make way for one at a wall: more seldom find places again."""
SHUFFLE = 0.5
"""How far the choice among them strays: by half of the floor of what makes way."""


class Proposals:
    """Proposes places for the stations of one search: what it draws hangs on its own chance."""

    def __init__(
        self, problem: Problem, drawer: Drawer, merits: Merits, rng: Random, draws: Generator
    ) -> None:
        self.problem = problem
        self.drawer = drawer
        self.merits = merits
        self.rng = rng
        self.draws = draws
        self.bare = problem.core.layout()
        self.wall: int | None = None

    def places(self, layout: Layout, root: str, near: Layout | None) -> list[Place]:
        """Return places for a station beside others, the most promising first.

        With `near` they lie about where it stands there, mostly. The largest goes to its wall, if
        there is one that it is to go to and it has a place there.
        """
        wall = self._wall_of(root)
        places = [] if wall is None else self._places(layout, root, near, wall)
        return places or self._places(layout, root, near)

    def _wall_of(self, root: str) -> int | None:
        return self.wall if root == self.problem.largest else None

    def _places(
        self, layout: Layout, root: str, near: Layout | None, wall: int | None = None
    ) -> list[Place]:
        core, rng = self.problem.core, self.rng
        places: list[Place] = []
        floor = self.merits.open_floor(layout)
        every = self.drawer.turns[root] if wall is None else (core.wall_turns[wall],)
        turns = rng.sample(every, max(1, math.ceil(len(every) * TURNS_SHARE)))
        here = near.at.get(root) if near is not None else None
        for turn in turns:
            points = self.drawer.draw(self.draws, root, turn, layout, at_walls=wall is not None)
            if here is not None and turn == here.turn_deg:
                at = here.x_mm, here.y_mm
                points = self.drawer.aside(self.draws, root, turn, layout, at)
            elif here is not None and rng.random() < NEAR_SHARE:
                points = points[np.abs(points - (here.x_mm, here.y_mm)).max(axis=1) < NEAR_MM]
            if wall is not None:
                points = points[self.drawer.at_wall(root, turn, points, wall)]
            places += self._merits(layout, root, turn, points, floor)
        if not places and wall is None:
            # nothing by luck: then the corners of what is free at all
            for turn in turns:
                points = core.free_points(root, turn, layout)
                points = np.asarray(points).reshape(-1, 2)
                places += self._merits(layout, root, turn, points, floor)
        places.sort(key=lambda one: -one[0])
        return places

    def to_score(self, places: Sequence[Place], alone: bool) -> list[Place]:
        """Return the places of the last station of a step at which the whole layout is scored."""
        first = list(places[:PLACES_SCORED])
        if not alone:
            return first
        rest = list(places[PLACES_SCORED:])
        for _ in range(ELSEWHERE_SCORED):
            found = next((one for one in rest if all(_elsewhere(one, f) for f in first)), None)
            if found is not None:
                first.append(found)
                rest.remove(found)
        return first + self.rng.sample(rest, min(OTHERS_SCORED, len(rest)))

    def seek(self, number: int, anew: int) -> None:
        """Let the largest go to one wall, another one in each search and each time it begins anew.

        The search of number nought has all walls before it.
        """
        walls = self.walls() if number else []
        self.wall = walls[(number - 1 + anew) % len(walls)] if walls else None

    def walls(self) -> list[int]:
        """Return the numbers of the walls at which the largest could stand by itself.

        The one with most places comes first.
        """
        return walls_of_the_largest(self.problem, self.drawer)

    def to_a_wall(self, layout: Layout, root: str) -> tuple[Layout, tuple[str, ...]] | None:
        """Return a layout in which a station stands at a wall, and what it lacks as it stood there.

        Of some places that with the least in the way; None where none was drawn.
        """
        core, sizes, rng = self.problem.core, self.problem.sizes, self.rng
        without = layout.without(root)
        places: list[tuple[float, tuple[float, float]]] = []
        for turn in self.drawer.turns[root]:
            points = self.drawer.draw(self.draws, root, turn, without, at_walls=True)
            points = points[self.drawer.at_wall(root, turn, points, self._wall_of(root))]
            points = points[core.admits(root, turn, points, self.bare)]
            places += [(turn, (float(x), float(y))) for x, y in points]
        best: tuple[float, Layout, tuple[str, ...]] | None = None
        tried = rng.sample(places, min(WALLS_DRAWN, len(places)))
        lost = self.merits.pulled(root, np.array([at for _, at in tried]).reshape(-1, 2), without)
        for number in np.argsort(lost, kind="stable")[:WALLS_TRIED]:
            turn, point = tried[number]
            met = tuple(sorted(set(core.reasons(root, turn, point, without))))
            if len(met) > MAKE_WAY_AT_MOST or not all(r in without.at and r in sizes for r in met):
                continue
            size = sum(sizes[r] for r in met) * rng.uniform(1 - SHUFFLE, 1 + SHUFFLE)
            if best is None or size < best[0]:
                freed = without
                for other in met:
                    freed = freed.without(other)
                best = size, freed.put(root, turn, point), met
        return None if best is None else best[1:]

    def _merits(
        self,
        layout: Layout,
        root: str,
        turn_deg: float,
        points: Floats,
        floor: OpenFloor | None,
    ) -> list[Place]:
        """Return the places that the core admits with what they promise."""
        if not len(points):
            return []
        core = self.problem.core
        points = points[core.admits(root, turn_deg, points, layout)]
        if not len(points):
            return []
        merit = self.merits.of(root, turn_deg, points, layout, floor)
        merit = merit + self.draws.normal(0.0, NOISE, len(points))
        return [
            (float(m), turn_deg, (float(x), float(y)))
            for m, (x, y) in zip(merit, points, strict=True)
        ]


def _elsewhere(one: Place, other: Place) -> bool:
    """Return whether two places are ones that somebody would tell apart."""
    return one[1] != other[1] or math.dist(one[2], other[2]) > NEAR_MM


def walls_of_the_largest(problem: Problem, drawer: Drawer) -> list[int]:
    """Return the numbers of the walls at which the largest could stand, most places first."""
    root, core, bare = problem.largest, problem.core, problem.core.layout()
    if root is None or not drawer.frames[root].has_back:
        return []
    frame, found = drawer.frames[root], []
    room = problem.scene.room
    for number, wall in enumerate(room.walls):
        offs = np.arange(WALL_STEP_MM / 2, math.dist(wall.start, wall.end), WALL_STEP_MM)
        for shape in room.openings:
            if shape.wall is wall and shape.opening.kind != "window":
                ends = [math.dist(wall.start, end) for end in (shape.left, shape.right)]
                offs = offs[(offs < min(ends)) | (offs > max(ends))]
        line = np.array(wall.start) + offs[:, None] * np.array(wall.along)
        inward = np.array(wall.inward) * (frame.depth_mm / 2 + frame.behind_mm)
        places = core.admits(root, core.wall_turns[number], line + inward, bare)
        found.append((-int(places.sum()), number))
    return [number for count, number in sorted(found) if count]
