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
DRYERS, HEATERS = frozenset({"dehumidifier"}), frozenset({"heater", "radiant-panel"})
HUNG = frozenset({"hung-bag", "rings", "pull-up-bar-wall", "pull-up-bar-ceiling", "wall-pulley"})


@dataclass(frozen=True, slots=True)
class Upkeep:
    """One dated look at something."""

    id: str
    on: date
    name: str
    caution: str = ""


def year_after(scene: Scene, first_training: date) -> tuple[Upkeep, ...]:
    """Return what is to be looked at in the year after the first training, by date.

    Only what the plan has is named: a room without a garage door has no springs to look at.
    """
    upkeep = [*_often(scene, first_training), *_seldom(scene, first_training)]
    return tuple(sorted(upkeep, key=lambda one: (one.on, one.id)))


def _keys(scene: Scene) -> set[str]:
    return {placed.kit.key for placed in scene.order}


def _garage_door(scene: Scene) -> bool:
    return any(opening.is_garage_door for opening in scene.plan.room.openings)


def _often(scene: Scene, first: date) -> Iterator[Upkeep]:
    keys = _keys(scene)
    bolts = "All bolts, wall fixings, levelling feet"
    yield _on(first, "bolts-first", "works.after.bolts-first-days", bolts)
    yield _on(first, "bolts-next", "works.after.bolts-next-days", bolts)
    door = "sweep the door line; " if _garage_door(scene) else ""
    quarter = f"{bolts}; lift a mat at a corner; {door}trip switch and alarms"
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


def _seldom(scene: Scene, first: date) -> Iterator[Upkeep]:
    keys, garage = _keys(scene), _garage_door(scene)
    looks = []
    if any(placed.kit.bar is not None for placed in scene.order):
        looks.append("brush and oil the bar")
    if keys & DRYERS:
        looks.append("clean filter and tank of the dryer")
    if garage:
        looks.append("look at door springs and cables")
    if looks:
        caution = (
            "Springs and cables of a door are looked at, never touched: a door fitter's work."
            if garage
            else ""
        )
        name = "; ".join(looks)
        yield from _each(
            first, "half-year", "works.after.half-year-days", name[:1].upper() + name[1:], caution
        )
    yearly = [
        *(["anchors, hooks, shackles, chains"] if keys & HUNG else []),
        *(["balance of the garage door by a fitter"] if garage else []),
        *(["dust out of the heater, unplugged"] if keys & HEATERS else []),
        "insurer's value",
        "what was never used: sell",
    ]
    name = "; ".join(yearly)
    yield _on(first, "year", "works.after.year-days", name[:1].upper() + name[1:])


def _on(first: date, key: str, row: str, name: str, caution: str = "") -> Upkeep:
    return Upkeep(key, first + timedelta(days=round(published(row))), name, caution)


def _each(first: date, key: str, row: str, name: str, caution: str) -> Iterator[Upkeep]:
    step = max(round(published(row)), 1)
    for number, days in enumerate(range(step, YEAR_DAYS, step)):
        yield Upkeep(f"{key}-{number + 1}", first + timedelta(days=days), name, caution)
