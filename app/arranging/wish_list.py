"""From nothing to a wish list: what serves what people want to do here, each with its worth."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely

from app.arranging.best_set import WANTED_AT_MOST, Wanted
from app.arranging.shares import spread
from app.library.kit import KitType, kit_types
from app.library.starters import Station, starter_sets
from app.model.plan import Plan
from app.scene.build import Scene, build_scene

WORTH_OF_THE_FIRST = 4.0
"""What a thing is worth that a set to begin with holds: as much as what one person wants to do."""
WORTH_OF_THE_REST = 2.0
"""What a thing is worth of a set for years: as much as what one would like to do."""
MAIN = 3.0
"""How many times that the thing is worth that a set is made round: its first one."""
WISH_WORTHS = {"want": 4.0, "nice": 2.0}
"""What it adds that a person wants or would like a movement that is done at a thing."""
FIRST = "-first"
"""What the key of a set to begin with ends on."""
PLACES = 100
"""Places at which the height of a room is asked for: the best of them is what a rack may have."""


def wish_list(plan: Plan, purposes: Sequence[str]) -> tuple[Wanted, ...]:
    """Return what may be bought for some purposes and for all that people say they want.

    Of what serves the same use the list holds one thing, and of lower ones that do as well the
    first that has height enough. What everybody refuses is not on it.
    """
    scene = build_scene(plan)
    tall_mm = _tallest(scene)
    listed: list[Wanted] = []
    for worth, station in _candidates(plan, purposes):
        lower_one = _low_enough(station, tall_mm)
        if any(_same_use(lower_one, one.station) for one in listed):
            continue
        added = worth + _asked_for(plan, lower_one)
        if added > 0:
            listed.append(Wanted(lower_one, added))
    best = sorted(listed, key=lambda one: -one.worth)[:WANTED_AT_MOST]
    return tuple(one for one in listed if one in best)


def weighed(listed: Sequence[Wanted], worths: dict[str, float]) -> tuple[Wanted, ...]:
    """Return a list with other worths by kit type; what is worth nothing is taken off."""
    every = [replace(one, worth=worths.get(one.station.type, one.worth)) for one in listed]
    return tuple(one for one in every if one.worth > 0)


def _candidates(plan: Plan, purposes: Sequence[str]) -> Iterator[tuple[float, Station]]:
    """Yield stations with what they are worth by purpose, those of sets to begin with first."""
    sets = [one for one in starter_sets().values() if one.purpose in purposes]
    alone = {one.purpose for one in sets} - {one.purpose for one in sets if one.key.endswith(FIRST)}
    for one in sorted(sets, key=lambda s: not s.key.endswith(FIRST)):
        first = one.key.endswith(FIRST) or one.purpose in alone
        for station in one.stations:
            main = MAIN if station is one.stations[0] else 1.0
            yield main * (WORTH_OF_THE_FIRST if first else WORTH_OF_THE_REST), station
    known = [station for one in starter_sets().values() for station in one.stations]
    for movement in _wanted(plan):
        serving = [one for one in known if movement in _movements(one)]
        if serving:
            yield 0.0, min(serving, key=_price)
            continue
        kits = [
            kit for kit in kit_types().values() if movement in _done_at(kit) and kit.price_minor
        ]
        if kits:
            yield 0.0, Station(type=min(kits, key=lambda kit: kit.price_minor or 0).key)


def _wanted(plan: Plan) -> Iterator[str]:
    for person in plan.people:
        yield from (wish.movement for wish in person.wishes if wish.wish in WISH_WORTHS)


def _asked_for(plan: Plan, station: Station) -> float:
    """Return what people add to the worth of a station; what all refuse takes away from it."""
    done = _movements(station)
    wishes = [[person.wish_for(movement) for movement in done] for person in plan.people]
    if done and wishes and all(word == "no" for words in wishes for word in words):
        return -MAIN * WORTH_OF_THE_FIRST
    return sum(WISH_WORTHS.get(word or "", 0.0) for words in wishes for word in words)


def _same_use(one: Station, other: Station) -> bool:
    mine, theirs = kit_types()[one.type], kit_types()[other.type]
    if one.type in (other.type, *other.instead) or other.type in one.instead:
        return True
    if mine.group != theirs.group:
        return False
    done = _done_at(mine)
    return (
        mine.group == "Racks" or (bool(done) and done == _done_at(theirs)) or _plates(mine, theirs)
    )


def _plates(*kits: KitType) -> bool:
    return all("plate" in kit.key for kit in kits)


def _movements(station: Station) -> frozenset[str]:
    return frozenset().union(*(_done_at(kit_types()[key]) for key in station.types()))


def _done_at(kit: KitType) -> frozenset[str]:
    return frozenset(use.movement for use in kit.uses)


def _price(station: Station) -> int:
    return sum(kit_types()[key].price_minor or 0 for key in station.types())


def _low_enough(station: Station, tall_mm: float) -> Station:
    """Return a station with the first of its types that has height enough; itself if none has."""
    kits = kit_types()
    fits = [key for key in (station.type, *station.instead) if kits[key].height_mm <= tall_mm]
    if not fits:
        return station
    return Station(type=fits[0], instead=station.instead, carries=station.carries)


def _tallest(scene: Scene) -> float:
    """Return how high a thing may be at the highest place of a room, over its floor covering."""
    spots = shapely.buffer(shapely.points(spread(scene, PLACES)), 1.0)
    heights, _ = scene.room.shut.clear(np.asarray(spots, dtype=object))
    return float(heights.max()) - scene.plan.room.floor.covering.thickness_mm
