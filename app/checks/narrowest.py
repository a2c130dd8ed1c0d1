"""The one figure for the ways on foot of a plan: the narrowest of the best ways to its stations."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.checks.routes import at_its_own_place, in_the_room
from app.checks.way_words import LEAST, between, misses, names_of
from app.scene.build import Scene
from app.scene.naming import opening_name
from app.scene.routes import NO_WAY, Routes, Way, routes
from app.wording import Phrase, lower, phrase


@dataclass(frozen=True, slots=True)
class Narrowest:
    """The narrowest of the best ways: to each station by the way out from which it is widest.

    `width_mm` is None where there is no way out or no station, 0 where a station is not reached
    at all, without end where nothing narrows any way. `shut` tells that a station is not reached:
    its best way is less than the least, or no place to use it lies in the room. `wording` names the
    place and what it leads to, and the ways out that are of no use.
    """

    width_mm: float | None
    shut: bool
    wording: Phrase


def narrowest(scene: Scene) -> Narrowest:
    """Find the narrowest of the best ways to the stations in use, as the judge sees them.

    Where a station itself narrows the floor it is used on, that is no matter of ways.
    """
    paths = routes(scene)
    if not paths.ways_out or not paths.stands:
        return Narrowest(None, False, phrase("no way to judge"))
    outside = stands_outside(scene, paths)
    inside = [i for i in range(len(paths.stands)) if i not in outside]
    ways = {
        i: paths.best(i) for i in inside if not at_its_own_place(scene, paths, i, paths.best(i))
    }
    if outside:
        cut = [*outside, *(i for i in ways if misses(ways[i], LEAST))]
        other = _other_doors(scene, inside)
        sentence = phrase("shut: no way to {}{}", names_of(scene, paths, cut), other)
        return Narrowest(0.0, True, sentence)
    worst = min(ways, key=lambda i: ways[i].width_mm, default=inside[0])
    way = ways.get(worst, Way(math.inf, (), None, -1))
    other = _other_doors(scene, inside)
    if misses(way, LEAST):
        cut = [i for i in ways if misses(ways[i], LEAST)]
        to = names_of(scene, paths, cut)
        at = phrase(": {:mm} at most, {}", way.width_mm, between(scene, way)) if way.between else ""
        return Narrowest(way.width_mm, True, phrase("shut: no way to {}{}{}", to, at, other))
    if math.isinf(way.width_mm):
        return Narrowest(way.width_mm, False, phrase("nothing narrows it{}", other))
    to, place = names_of(scene, paths, [worst]), between(scene, way)
    sentence = phrase("{:mm} to {}, {}{}", way.width_mm, to, place, other)
    return Narrowest(way.width_mm, False, sentence)


def stands_outside(scene: Scene, paths: Routes) -> list[int]:
    """Return the stations of whose places of use none lies in the room: nobody gets there."""
    return [i for i in range(len(paths.stands)) if not in_the_room(scene, paths, i)]


def _other_doors(scene: Scene, inside: list[int]) -> Phrase:
    """Say by which ways out some station is not reached that is reached by another."""
    paths = routes(scene)
    clauses = []
    for door, shape in enumerate(paths.ways_out):
        worse = [
            paths.ways[i][door]
            for i in inside
            if misses(paths.ways[i][door], LEAST) and not misses(paths.best(i), LEAST)
        ]
        if worse:
            clauses.append((opening_name(scene, shape), min(worse, key=lambda way: way.width_mm)))
    if not clauses:
        return phrase("")
    name, way = min(clauses, key=lambda one: one[1].width_mm)
    which = f"the {lower(name)}" if len(clauses) == 1 else "one way out"
    if way == NO_WAY or not way.between:
        return phrase(". By {} alone not all is reached", which)
    return phrase(". By {} alone it would be {:mm}", which, way.width_mm)
