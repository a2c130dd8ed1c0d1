"""Arrange it for me: from a task to the layouts that are shown, or to why there is none."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from app.arranging.at_its_best import at_its_best
from app.arranging.best_layouts import BestLayouts, JudgedLayout
from app.arranging.candidates import Drawer
from app.arranging.choosing import (
    ENOUGH,
    SHOWN_AT_MOST,
    Moves,
    curve,
    different,
    few_words,
    fewest_moves,
)
from app.arranging.crew import Crew
from app.arranging.in_part import curve_in_part, in_part
from app.arranging.no_place import has_place, no_place
from app.arranging.on_bare_wall import nowhere_words
from app.arranging.problem import Problem, Task
from app.arranging.proposals import walls_of_the_largest
from app.arranging.shown import Shown, as_it_stands, name_of, picked_name, shown
from app.arranging.wishes import faults
from app.checks.snag import Snag
from app.errors import ElbowroomError
from app.published.register import overridden
from app.wording import lower, phrase

STATIONS_AT_MOST = 60
"""Free stations that are arranged at once: with more the first layout alone takes minutes."""
FULL = 100.0
"""Points of a score that nothing is taken from."""


class ArrangeError(ElbowroomError):
    """A task that cannot be begun; the sentence says why."""

    code = "arrange"


@dataclass(frozen=True, slots=True)
class Arranged:
    """What a search came to: the layouts to choose from, the plan as it is, and what stays open.

    The last `picked` of the layouts are there because somebody asked to see them. Where few may
    move and none without a stop was found, the best that leave stops are there.
    `unmended` are sentences of what no layout mends. `steps` were made by each search at least.
    `few` says why there are no more, where there are fewer than make a choice.
    `full` is what a layout would be worth that nothing could be said against: 100 points, and what
    there is that might be left out.
    """

    layouts: tuple[Shown, ...]
    now: Shown
    moves: tuple[Moves, ...]
    unmended: tuple[str, ...]
    missing: tuple[str, ...]
    steps: int
    picked: int = 0
    full: float = FULL
    few: str = ""

    def of_100(self, value: float) -> float:
        """Return what a layout is worth, of 100 points: neither less than nothing nor more."""
        return FULL * value / self.full

    @property
    def now_points(self) -> float | None:
        """Return what the plan as it is is worth, of 100; None where a stop is left in it."""
        if self.now.stops > self.now.unmendable:
            return None
        return self.of_100(self.now.total + self.full - FULL)

    @property
    def found(self) -> bool:
        """Whether there is a layout without a stop that moving things mends."""
        return any(one.stops == one.unmendable for one in self.layouts)


def begin(
    task: Task,
    seed: int = 1,
    steps: int | None = None,
    seconds: float | None = None,
    processes: int | None = None,
) -> Crew:
    """Start the searches and come back at once.

    Raises ArrangeError where there is nothing to do, no time to do it in or time without end, for
    a seed below nought, where wishes contradict one another, or where one piece alone that must be
    there has no place anywhere in the room.
    """
    if (seconds is not None and seconds <= 0) or (steps is not None and steps < 1):
        raise ArrangeError("There is no time to look in: give it a second at least, or a step.")
    if seconds is not None and not math.isfinite(seconds):
        raise ArrangeError(f"“{seconds}” is no number of seconds: write one, as in 10.")
    if seed < 0:
        raise ArrangeError(f"A seed is a whole number from 0 up; {seed} is none.")
    ready(task)
    crew = Crew(task, seed, steps, seconds, processes)
    crew.start()
    return crew


def ready(task: Task) -> Problem:
    """Return a problem that can be searched. Raises ArrangeError where none can."""
    problem = Problem(task)
    if not task.plan.pieces:
        raise ArrangeError("There is nothing on the plan yet: bring some kit in first.")
    if not problem.free:
        raise ArrangeError("Nothing on the plan may be moved: all of it stays or is pinned.")
    strange = [piece for piece, _ in task.worths if piece not in problem.scene.placed]
    if strange:
        raise ArrangeError(f"There is no piece “{strange[0]}” on the plan that could be left out.")
    wrong = next(faults(task.wishes, problem.scene, problem.free), None)
    if wrong is not None:
        raise ArrangeError(wrong)
    if len(problem.free) > STATIONS_AT_MOST:
        raise ArrangeError(
            f"There are {len(problem.free)} things to arrange; at most {STATIONS_AT_MOST} are "
            "arranged at once. Pin those that may stay where they are."
        )
    with overridden({one.id: one.value for one in task.plan.overrides}):
        homeless = {
            lower(problem.scene.placed[root].name): no_place(problem.core, root)
            for root in problem.free
            if root not in problem.worths and not has_place(problem.core, root)
        }
    if homeless:
        units, one = task.plan.units, len(homeless) == 1
        every = [f"No layout can hold the {k}: {why.worded(units)}." for k, why in homeless.items()]
        raise ArrangeError(
            f"{' '.join(every)} Take {'it' if one else 'them'} out, or "
            f"choose {'a smaller one' if one else 'smaller ones'}."
        )
    return problem


class Answers:
    """What searches for one problem came to, in the words of people; each layout worded once.

    `picked` are layouts that somebody asked to see, by their keys: they stay beside the others,
    whatever is found later.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.picked: dict[str, JudgedLayout] = {}
        self._shown: dict[str, Shown] = {}

    @cached_property
    def now(self) -> Shown:
        """The plan as it is."""
        return as_it_stands(self.problem)

    @cached_property
    def unmended(self) -> tuple[str, ...]:
        """The stops that no layout mends, in words."""
        return tuple(unmended(self.problem))

    @cached_property
    def _room(self) -> tuple[str, list[str]]:
        """The largest piece, and the few walls of the room at which it could stand."""
        problem = self.problem
        with overridden({one.id: one.value for one in problem.plan.overrides}):
            walls = walls_of_the_largest(problem, Drawer(problem))
        names = [problem.scene.fixed_names[number] for number in walls[:ENOUGH]]
        root = problem.largest
        if root is None or len(names) == ENOUGH:
            return "", []
        return lower(problem.scene.placed[root].name), names

    def so_far(self, crew: Crew, most: int = SHOWN_AT_MOST) -> Arranged:
        """Return what the searches have found so far."""
        with crew.lock:
            layouts = BestLayouts()
            layouts.join(crew.layouts.every)
            made = sum(crew.made.values())
            missing = crew.missing or ()
        chosen = different(layouts, most)
        worth = self.now.total + sum(self.problem.worths.values())
        moves = curve(layouts, worth)
        if self.problem.task.moves_at_most is not None:
            stops = len(self.problem.stops(self.problem.verdict))
            chosen = chosen or in_part(layouts, stops, worth)[:most]
            moves = curve_in_part(layouts, stops, worth)
        if self.now.stops == self.now.unmendable:
            # nobody moves things for what is no better than today's
            moves = tuple(one for one in moves if one.gain > 0)
        elif self.problem.task.moves_at_most is None:
            least = fewest_moves(layouts, chosen, worth)
            chosen = chosen if least is None else (*chosen[: most - 1], least)
        known = {one.key for one in chosen}
        picked = [one for one in self.picked.values() if one.key not in known]
        return Arranged(
            tuple(
                self._layout(one, chosen, picked=one.key not in known) for one in (*chosen, *picked)
            ),
            self.now,
            moves,
            self.unmended,
            missing if not chosen else (),
            made,
            len(picked),
            FULL + sum(self.problem.worths.values()),
            few_words(len(chosen), *self._room) if 0 < len(chosen) < ENOUGH else "",
        )

    def pick(self, crew: Crew, key: str) -> bool:
        """Let a layout that was found stay beside the others; return whether there is such a one.

        Any will do: one shown before, or the best with so many pieces moved.
        """
        with crew.lock:
            every = [*crew.layouts.every]
        found = next((one for one in every if one.key == key), None)
        if found is not None:
            self.picked[key] = found
        return key in self.picked

    def _layout(self, one: JudgedLayout, chosen: Sequence[JudgedLayout], *, picked: bool) -> Shown:
        key = one.key
        if key not in self._shown:
            self._shown[key] = shown(self.problem, one)
        name = picked_name(self.problem, one) if picked else name_of(self.problem, one, chosen)
        return replace(self._shown[key], name=name)


def unmended(problem: Problem) -> list[str]:
    """Return the stops that no layout mends, each as a short sentence."""
    counted = problem.stops(problem.verdict)
    left: list[Snag] = [
        snag for snag in problem.verdict if snag.severity == "stop" and snag not in counted
    ]
    units = problem.plan.units
    words = []
    if problem.task.moves_at_most is None:
        for root in sorted(problem.homeless):
            words.append(nowhere_words(problem.plan, problem.as_is, root).worded(units))
    for snag in left:
        best = at_its_best(problem, snag)
        if best is None:
            words.append(phrase("{}: {}", snag.who, snag.wording).worded(units))
        else:
            said = phrase("{}, at the best place found: {}", best.who, best.wording)
            words.append(said.worded(units))
    return words
