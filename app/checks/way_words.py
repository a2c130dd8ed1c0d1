"""Narrow places of ways on foot, gathered and put into words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from app.library.kit import kit_types
from app.published.register import published
from app.scene.build import Scene
from app.scene.naming import opening_name
from app.scene.routes import Routes, Way
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.wording import counted, lower

WAYS_NAMED_AT_MOST = 3
"""Ways that are named in one line: with more nobody reads to the end of the sentence."""


LEAST, WANTED, EASY = "route.least-mm", "route.recommended-mm", "route.easy-mm"


@dataclass(frozen=True, slots=True)
class Neck:
    """One narrow place with the stations that can only be reached through it."""

    way: Way
    to: tuple[int, ...]


def misses(way: Way, key: str) -> bool:
    """Return whether a way is narrower than a published width."""
    return falls_short(way.width_mm, published(key))


def necks_of(ways: dict[int, Way], from_mm: float, key: str) -> list[Neck]:
    """Gather the ways narrower than a figure by their narrowest place, the narrowest first."""
    by_place: dict[tuple[int, ...], list[int]] = {}
    for stand, way in ways.items():
        wide_enough = from_mm <= 0 or not falls_short(way.width_mm, from_mm)
        if wide_enough and misses(way, key):
            by_place.setdefault(way.between, []).append(stand)
    necks = [
        Neck(min((ways[i] for i in stands), key=lambda way: way.width_mm), tuple(stands))
        for stands in by_place.values()
    ]
    return sorted(necks, key=lambda neck: neck.way.width_mm)


def owner_name(scene: Scene, owner: int) -> str:
    """Say what an outline belongs to, with its article."""
    count = len(scene.order)
    if owner >= count:
        return scene.fixed_names[owner - count]
    return f"the {lower(scene.order[owner].name)}"


def end_name(scene: Scene, owner: int, way: Way) -> str:
    """Say what a way is narrowest at, on one side of it: of a wall the door whose jamb it is."""
    wall = owner - len(scene.order)
    if way.where is None or not 0 <= wall < len(scene.room.walls):
        return owner_name(scene, owner)
    for shape in scene.room.openings:
        if shape.wall is not scene.room.walls[wall] or shape.opening.kind == "window":
            continue
        away = min(math.dist(way.where, jamb) for jamb in (shape.left, shape.right))
        if away <= way.width_mm / 2 + TOLERANCE_MM:
            return f"the jamb of the {lower(opening_name(scene, shape))}"
    return owner_name(scene, owner)


def between(scene: Scene, way: Way) -> str:
    """Say where a way is narrowest."""
    if len(way.between) == 2:
        one, other = (end_name(scene, owner, way) for owner in way.between)
        return f"between {one} and {other}"
    return f"at {end_name(scene, way.between[0], way)}" if way.between else "nowhere"


@cache
def kinds() -> frozenset[str]:
    """Return what the kinds of kit are called within a sentence: these have a plural."""
    return frozenset(lower(kit.name) for kit in kit_types().values())


def names_of(scene: Scene, paths: Routes, stands: Sequence[int]) -> str:
    """Name stations in a sentence: the first few and how many more."""
    every = (scene.order[paths.stands[i].number].name for i in stands)
    return named_together(every, WAYS_NAMED_AT_MOST)


def named_together(every: Iterable[str], most: int | None = None) -> str:
    """Name things in a sentence, alike ones as one: so many at most, and how many more."""
    names = counted((f"the {lower(name)}" for name in every), kinds())
    if most is not None and len(names) > most:
        names = (*names[:most], f"{len(names) - most} more")
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def pieces_of(scene: Scene, paths: Routes, neck: Neck) -> tuple[str, ...]:
    """Name the pieces that make a narrow place, and behind them, if need be, what they bar."""
    makes = [scene.order[owner].piece.id for owner in neck.way.between if owner < len(scene.order)]
    return tuple(makes) or tuple(scene.order[paths.stands[i].number].piece.id for i in neck.to)
