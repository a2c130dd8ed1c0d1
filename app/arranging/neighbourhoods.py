"""Which part of a layout a step takes apart, chosen by what each kind of step has gained so far.

As in adaptive large neighbourhood search (Ropke and Pisinger 2006): every kind has a weight that
follows what its steps led to. Narrow rooms want several stations taken out at once or two to change
places, wide ones a single station that is slid along a wall; no room says so beforehand.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, field
from random import Random
from typing import Literal

import numpy as np

from app.placing.core import Core
from app.placing.layout import Layout

Kind = Literal["one", "two", "three", "five", "swap", "wall"]
TAKEN_OUT: dict[Kind, int] = {"one": 1, "two": 2, "three": 3, "five": 5, "swap": 2, "wall": 1}
"""How many stations each kind takes out. At a wall one is set down first, then what stood there."""
AT_FIRST: dict[Kind, float] = {
    "one": 0.35,
    "two": 0.2,
    "three": 0.15,
    "five": 0.1,
    "swap": 0.2,
    "wall": 0.05,
}
"""Weights before anything is known: mostly few at once, for those find places most often."""
BEST, BETTER, MOVED = 1.0, 0.4, 0.1
"""What a step is worth that led to the best so far, to something better, only elsewhere."""
FOLLOWS = 0.1
"""How fast a weight follows what its steps led to, as in the paper."""
SUSPECT_SHARE = 0.7
"""How often what stands poorly is moved where one station alone is; else any."""
FEWER_MOVES = 3
"""Every so many searches one keeps to few moves from the present layout."""
MOVES_FEW = 4
"""How many stations such a search moves at most."""
SHUFFLE = 0.5
"""How far the order by size strays: by half of a size up or down."""
LEAST = 0.03
"""The least weight: no kind is given up, for later it may be the one that helps."""


@dataclass(slots=True)
class Neighbourhoods:
    """The weights of one search: they hang on its own steps and nothing else."""

    weights: dict[Kind, float] = field(default_factory=lambda: dict(AT_FIRST))

    def draw(self, rng: Random) -> Kind:
        """Return what the next step does."""
        kinds = list(self.weights)
        return rng.choices(kinds, [self.weights[kind] for kind in kinds])[0]

    def learn(self, kind: Kind, worth: float) -> None:
        """Let the weight of a kind follow what a step of it was worth."""
        self.weights[kind] += FOLLOWS * (worth - self.weights[kind])
        self.weights[kind] = max(self.weights[kind], LEAST)


def worth_of(now: float, before: float, best: float, moved: bool) -> float:
    """Return what a step is worth that led from one value to another, beside the best so far."""
    if now > best:
        return BEST
    if now > before:
        return BETTER
    return MOVED if moved else 0.0


def taken_out(
    kind: Kind,
    rng: Random,
    layout: Layout,
    standing: Sequence[str],
    worst: Sequence[str],
    crowded: bool,
) -> list[str]:
    """Return stations to take out: at random, neighbours, or those that stand poorly first.

    In a room so `crowded` that something found no place they are drawn from all over.
    """
    count = min(TAKEN_OUT[kind], len(standing))
    first = rng.choice(worst if worst and rng.random() < 0.5 else standing)
    others = [root for root in standing if root != first]
    if crowded or rng.random() < 0.5:
        return [first, *rng.sample(others, count - 1)]
    here = layout.at[first]

    def away(root: str) -> float:
        there = layout.at[root]
        return math.dist((here.x_mm, here.y_mm), (there.x_mm, there.y_mm))

    return [first, *sorted(others, key=away)[: count - 1]]


def one_of(rng: Random, suspect: Sequence[str], standing: Sequence[str]) -> str:
    """Return one station to move alone: mostly one that is suspected of standing poorly."""
    return rng.choice(suspect if suspect and rng.random() < SUSPECT_SHARE else standing)


def swapped(layout: Layout, one: str, other: str) -> Layout:
    """Return a layout in which two stations have changed places, whether or not they fit there."""
    here, there = layout.at[one], layout.at[other]
    changed = layout.put(one, there.turn_deg, (there.x_mm, there.y_mm))
    return changed.put(other, here.turn_deg, (here.x_mm, here.y_mm))


def few_are_enough(core: Core, present: Layout) -> bool:
    """Return whether all but few stations may stand beside one another as they do at present.

    In a heap no few moves are enough.
    """
    layout = core.layout()
    for root, at in present.at.items():
        place = at.x_mm, at.y_mm
        if core.admits(root, at.turn_deg, np.array([place]), layout)[0]:
            layout = layout.put(root, at.turn_deg, place)
    return len(present.at) - len(layout.at) <= MOVES_FEW


def few_moved(
    rng: Random,
    present: Layout,
    layout: Layout,
    out: Sequence[str],
    limit: int,
    always: Set[str] = frozenset(),
) -> Layout:
    """Return a layout in which no more than a limit stand elsewhere than at present.

    Those in `out` have no place in it; of the others that were moved some go back by chance. Those
    of `always` count as moved wherever they stand.
    """
    moved = [root for root, at in present.at.items() if layout.at.get(root) != at]
    while len({*moved, *out} | always) > limit:
        back = rng.choice([root for root in moved if root not in out and root not in always])
        moved.remove(back)
    few = present
    for root in dict.fromkeys([*out, *moved]):
        few = few.without(root)
    for root in moved:
        at = layout.at.get(root)
        if at is not None and root not in out:
            few = few.put(root, at.turn_deg, (at.x_mm, at.y_mm))
    return few


def in_order(
    rng: Random, roots: Sequence[str], sizes: Mapping[str, float], squeaks: Mapping[str, float]
) -> list[str]:
    """Return stations, large ones first, those that found no place lately before them."""

    def key(root: str) -> float:
        return -(sizes[root] * rng.uniform(1 - SHUFFLE, 1 + SHUFFLE) + squeaks[root])

    return sorted(roots, key=key)
