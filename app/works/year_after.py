"""The year after the first training: bolts, cables, anchors, what is never used."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from app.published.register import published
from app.scene.build import Scene

YEAR_DAYS = 365
"""How far the calendar goes beyond the first training: a year, whatever year it is."""

WITH_CABLES = frozenset(
    {"cable-column", "wall-pulley", "double-cable", "pull-down", "multi-station"}
)
WITH_BELT = frozenset({"running-machine", "curved-runner", "walking-pad"})
HUNG = frozenset({"hung-bag", "rings", "pull-up-bar-wall", "pull-up-bar-ceiling", "wall-pulley"})


@dataclass(frozen=True, slots=True)
class Upkeep:
    """One dated look at something."""

    id: str
    on: date
    name: str
    caution: str = ""


def year_after(scene: Scene, first_training: date) -> tuple[Upkeep, ...]:
    """Return what is to be looked at in the year after the first training, by date."""
    keys = {placed.kit.key for placed in scene.order}
    found = [*_of(keys, first_training)]
    return tuple(sorted(found, key=lambda one: (one.on, one.id)))


def _of(keys: set[str], first: date) -> Iterator[Upkeep]:
    bolts = "All bolts, wall fixings, levelling feet"
    yield _on(first, "bolts-first", "works.after.bolts-first-days", bolts)
    yield _on(first, "bolts-next", "works.after.bolts-next-days", bolts)
    quarter = f"{bolts}; lift a mat at a corner; sweep the door line; trip switch and alarms"
    yield from _each(
        first, "quarter", "works.after.quarter-days", quarter,
        "Damp, smell or mice under a mat: find out why before it lies again.",
    )  # fmt: skip
    if keys & WITH_CABLES:
        yield from _each(
            first, "cables", "works.after.cables-days", "Cables, straps, carabiners, bands",
            "One broken wire, a kink, a nick: out of use, replace.",
        )  # fmt: skip
    if keys & WITH_BELT:
        yield from _each(
            first, "belt", "works.after.belt-days", "Belt: centred, tension, lubricant",
            "Unplugged; by its manual.",
        )  # fmt: skip
    yield from _each(
        first, "half-year", "works.after.half-year-days",
        "Brush and oil the bar; look at door springs and cables",
        "Springs and cables of a door are looked at, never touched: a door fitter's work.",
    )  # fmt: skip
    hung = "Anchors, hooks, shackles, chains; " if keys & HUNG else ""
    yield _on(
        first, "year", "works.after.year-days",
        f"{hung}balance of the garage door by a fitter; insurer's value; what was never used: sell",
    )  # fmt: skip


def _on(first: date, key: str, row: str, name: str, caution: str = "") -> Upkeep:
    return Upkeep(key, first + timedelta(days=round(published(row))), name, caution)


def _each(first: date, key: str, row: str, name: str, caution: str) -> Iterator[Upkeep]:
    step = max(round(published(row)), 1)
    for number, days in enumerate(range(step, YEAR_DAYS, step)):
        yield Upkeep(f"{key}-{number + 1}", first + timedelta(days=days), name, caution)
