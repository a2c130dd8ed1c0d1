"""A layout in the search, what it is worth there and what stands poorly in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from random import Random

from app.arranging.best_layouts import BestLayouts, JudgedLayout, Looks
from app.arranging.choosing import ENOUGH, WORTH_SHOWING, different
from app.arranging.measures import lacking
from app.arranging.score import Score
from app.checks.snag import Snag
from app.placing.layout import Layout
from app.scene.build import Scene

A_STOP = 40.0
"""What a stop takes from a score: more than all cares together could."""
CARE = 1.0
"""What the search takes from a score for all that cares lack, besides what the score does: where
there are many, one less would hardly be felt."""
MENDED_FROM = 10
"""Steps before that: what is met in the first is soon left behind."""
MENDED_EVERY = 2
"""Every so many steps one of the layouts that would be shown is mended: it was met in passing."""
MENDED_WITHIN = 2 * WORTH_SHOWING
"""How far below the best a layout may score to be mended where there is no choice as yet."""
DRAWN_TO_MEND = 2
"""Of so many of the layouts that would be shown that one is mended in which most is adrift."""


@dataclass(frozen=True, slots=True)
class State:
    """A layout in the search: what stands where, what does not, and what it is worth.

    `missing` is what found no place and what was left out; `worst` are the stations that stand
    poorly, those among them that belong at a wall and stand at none are `adrift`; `guess` is what
    it was thought to be worth before it was judged.
    """

    layout: Layout
    missing: tuple[str, ...]
    value: float
    worst: tuple[str, ...] = ()
    guess: float | None = None
    adrift: tuple[str, ...] = ()


def value_of(whole: Score, verdict: Sequence[Snag], stops: Sequence[Snag]) -> float:
    """Return what a layout is worth to the search, in points of the score."""
    return whole.total - A_STOP * len(stops) - CARE * lacking(verdict)


def found_fault_with(scene: Scene, verdict: Sequence[Snag]) -> tuple[str, ...]:
    """Return the carriers of the stations that a verdict finds fault with, each once."""
    poor = [snag for snag in verdict if snag.severity != "note" and snag.hangs_on_place]
    pieces = [piece for snag in poor for piece in snag.pieces if piece in scene.placed]
    return tuple(dict.fromkeys(scene.placed[piece].root for piece in pieces))


def time_to_mend(steps: int) -> bool:
    """Return whether a search mends one of its layouts in a step, instead of going on."""
    return steps > MENDED_FROM and steps % MENDED_EVERY == 0


def would_be_shown(
    chosen: Sequence[JudgedLayout], kept: Mapping[Looks, State], layouts: BestLayouts
) -> list[State]:
    """Return those of the layouts chosen to be shown, none where there are none as yet.

    Where these are fewer than make a choice, those as well that might be shown if they were better.
    """
    if len(chosen) < ENOUGH:
        chosen = different(layouts, ENOUGH, MENDED_WITHIN, with_marks=True)
    return [kept[one.looks] for one in chosen if one.looks in kept]


def to_mend(shown: Sequence[State], rng: Random) -> State | None:
    """Return one of the layouts that would be shown, None where there is none as yet."""
    drawn = rng.sample(shown, min(DRAWN_TO_MEND, len(shown)))
    return max(drawn, key=lambda state: len(state.adrift), default=None)
