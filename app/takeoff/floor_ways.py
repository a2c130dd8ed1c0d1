"""Ways to lay a floor: what decides between them, what they take, and what each is best at."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from app.errors import PlanError
from app.model.flooring import FloorLaying
from app.published.register import published
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.effort import (
    CUTS_NESTED_AT_MOST,
    EDGED_AT_MOST,
    NESTED_AT_MOST,
    NESTED_FOR_EACH,
    STEPS_PER_MM,
)
from app.takeoff.floor_layout import lay_floor
from app.takeoff.floor_region import Start
from app.takeoff.floor_site import lost_mm, piece_lies
from app.takeoff.guillotine import NO_EDGE, forms
from app.takeoff.quick_cuts import quick_boxes
from app.takeoff.roll_lengths import least_steps, off_the_roll
from app.units import KILO

Sizes = tuple[tuple[float, float], ...]
"""Along and across of each cut, in mm."""

Size = tuple[float, float]

_DECIMETRE = 100.0
"""Knife is told apart by the tenth of a metre."""


class Way(NamedTuple):
    """One way to lay a floor, weighed. `mats` is what it takes, `bound` what no nesting beats.

    `cuts` is how often a piece is taken to the knife: one that is cut to size and notched twice.
    `other_joints` tells that its joints are not those asked for and are only offered,
    `unstaggered` that they run in one line where they would be staggered: that may save a piece,
    and whole pieces that fit without a cut lie so anyway. `head_joints` tells of a roll that its
    lengths are joined within the room.
    `first_mm` and `first_row_mm` are what to type for the same floor again. Lengths in mm.

    A tuple, for a search makes thousands: a frozen dataclass takes several times as long.
    """

    start: Start
    narrow: int
    other_joints: bool
    bound: int
    mats: int
    slits: int
    cuts: int
    knife_mm: float
    trimmed: int
    least_mm: float
    first_mm: float
    first_row_mm: float
    unstaggered: bool = False
    head_joints: bool = False

    @property
    def merit(self) -> tuple[float, ...]:
        """What decides, the weightiest first; less is better. Knife by the decimetre."""
        return (self.narrow, self.other_joints, self.mats, *self._rest)

    @property
    def rough(self) -> tuple[float, ...]:
        """The same with the bound, before anything is nested."""
        return (self.narrow, self.other_joints, self.bound, *self._rest)

    @property
    def _rest(self) -> tuple[float, ...]:
        knife = round(self.knife_mm / KILO, 1)
        rest = self.unstaggered and self.cuts > 0, self.slits, self.cuts
        return (
            *rest,
            knife,
            self.trimmed,
            -round(self.least_mm),
            sum(map(abs, self.start.wider_mm)),
        )


@dataclass(frozen=True, slots=True)
class Searched:
    """The best way, others worth a look (by what they are best at), and what was looked at.

    `bound` is the least that any way as good in strips and joints could take; `aimed` are the best
    ways at each thing by which one may choose, the best of all among them or not. Gaps at the walls
    differed from what was asked for by `wider_mm`, the least and the most; the floor inside the
    widest of them is as large as so many `pieces`.
    """

    best: Way
    others: tuple[tuple[str, Way], ...]
    looked_at: int
    bound: int
    whole: bool
    aimed: tuple[tuple[str, Way], ...] = ()
    wider_mm: tuple[float, float] = (0.0, 0.0)
    pieces: float = 0.0


def by_area(sizes: Sequence[tuple[float, float]], size: Size) -> int:
    """Return what the cuts take at the least: by area, and those of which no two share one."""
    area, alone, half = 0.0, 0, max(size) / 2
    for wide, high in sizes:
        area += wide * high
        alone += wide > half < high
    return max(-int(-(area - TOLERANCE_MM) // (size[0] * size[1])), alone)


def least_taken(
    laying: FloorLaying, along: bool, whole: int, sizes: Sequence[Size], size: Size
) -> int:
    """Return what whole pieces and cuts take at the least: stock pieces, or steps of a roll."""
    if not laying.sold_by_metre:
        return whole + by_area(sizes, size)
    step = published("flooring.roll-step-mm")
    each = least_steps([(laying.length_mm, laying.width_mm)], laying.width_mm, step)
    return whole * each + least_steps(_off(sizes, along), laying.width_mm, step)


def _off(sizes: Sequence[Size], along: bool) -> list[Size]:
    """Return cuts as they lie on the roll: along it and across it."""
    return [(u, v) if along else (v, u) for u, v in sizes]


class Nesting:
    """How many stock pieces a way takes, quickly; each list of cuts once."""

    def __init__(self, scene: Scene, laying: FloorLaying) -> None:
        self._scene, self._laying = scene, laying
        self._known: dict[tuple[object, ...], int] = {}
        # Where joints ask for the maker's edges a plain list of sizes tells too little.
        edged = laying.kind == "tile" or laying.factory_edges
        self.edged = edged and not laying.sold_by_metre
        self.tries = self.cuts = 0

    @property
    def spent(self) -> bool:
        """Whether no more are to be nested."""
        if self.cuts > CUTS_NESTED_AT_MOST:
            return True
        return self.tries >= (EDGED_AT_MOST if self.edged else NESTED_AT_MOST)

    def of(self, way: Way, sizes: Sizes) -> Way:
        """Return the way with what it takes."""
        size = piece_lies(self._laying, way.start.along)
        key: tuple[object, ...] = (way.start,) if self.edged else (sizes, size)
        if key not in self._known:
            self.tries += 1
            self.cuts += len(sizes)
            self._known[key] = (
                self._laid(way, sizes)
                if self.edged
                else _nested(self._laying, sizes, size, way.start.along)
            )
        least = least_taken(self._laying, way.start.along, 0, sizes, size)
        whole = 0 if self.edged else way.bound - least
        return way._replace(mats=whole + self._known[key])

    def _laid(self, way: Way, sizes: Sizes) -> int:
        try:
            return lay_floor(self._scene, self._laying, way.start).to_buy
        except PlanError:
            # A cut between two joints has no maker's edges: worse than any way that can be laid.
            return way.bound + 2 * len(sizes)


def _nested(laying: FloorLaying, sizes: Sizes, size: tuple[float, float], along: bool) -> int:
    if not sizes:
        return 0
    if laying.sold_by_metre:
        step = published("flooring.roll-step-mm")
        pieces = _off(sizes, along)
        return off_the_roll(pieces, laying.width_mm, step, lost_mm(laying)).steps
    steps = STEPS_PER_MM
    kinds: dict[tuple[float, float], int] = {}
    for one in sizes:
        kinds[one] = kinds.get(one, 0) + 1
    whole = (round(size[0] * steps), round(size[1] * steps))
    ways = [
        forms(
            min(round(wide * steps), whole[0]),
            min(round(high * steps), whole[1]),
            NO_EDGE,
            laying.turns,
        )
        for wide, high in kinds
    ]
    least = by_area(sizes, size)
    kerf = round(lost_mm(laying) * steps)
    boxes = quick_boxes(ways, list(kinds.values()), whole, kerf, least)
    return len(sizes) if boxes is None else len(boxes)


Ranked = Sequence[tuple[Way, Sizes]]


def best_of(ranked: Ranked, nested: Nesting) -> tuple[Way, bool]:
    """Return the best way by quick nesting, and whether no other was left out that might win."""
    best = nested.of(*ranked[0])
    for way, sizes in ranked[1:]:
        if not nested.edged and way.rough >= best.merit:
            return best, True
        if nested.spent:
            return best, False
        tried = nested.of(way, sizes)
        if tried.merit < best.merit:
            best = tried
    return best, True


def aimed_of(ranked: Ranked, nested: Nesting) -> Iterator[tuple[str, Way]]:
    """Return for each thing that one may choose by the way that is best at it."""
    for name, aim, _ in _AIMS:
        some = 1 if nested.cuts > CUTS_NESTED_AT_MOST else NESTED_FOR_EACH
        first = sorted(ranked, key=lambda each: aim(each[0]))[:some]
        yield name, _best_at(aim, [nested.of(*each) for each in first])


def joined_of(parts: Sequence[Searched]) -> Searched:
    """Return several searches as one: the best of all, and what each of the others is best at."""
    best = min((part.best for part in parts), key=lambda way: way.merit)
    as_good = [p for p in parts if p.best.merit[:2] == best.merit[:2]]
    return Searched(
        best,
        tuple(_others(best, parts)),
        sum(part.looked_at for part in parts),
        min(part.bound for part in as_good),
        all(part.whole for part in parts),
        wider_mm=(min(p.wider_mm[0] for p in parts), max(p.wider_mm[1] for p in parts)),
        pieces=min(part.pieces for part in parts),
    )


Aim = Callable[[Way], tuple[float, ...]]


def _best_at(aim: Aim, ways: Sequence[Way]) -> Way:
    return min(ways, key=lambda w: (aim(w)[:1], w.narrow, w.mats, w.knife_mm))


def _others(best: Way, parts: Sequence[Searched]) -> Iterator[tuple[str, Way]]:
    """Return ways that are better at one thing, each with what it is best at."""
    seen = {best.start}
    for name, aim, better in _AIMS:
        ways = [way for part in parts for called, way in part.aimed if called == name]
        # Joints across the lengths show: nobody gets them who asks for something else.
        ways = [w for w in ways if better(w, best) and w.head_joints <= best.head_joints]
        if ways and (way := _best_at(aim, ways)).start not in seen:
            seen.add(way.start)
            yield name, way
    # Of other joints the best that there are: what one gets who asks for them.
    for way in (part.best for part in parts):
        if way.start in seen or way.start.joints == best.start.joints:
            continue
        seen.add(way.start)
        if not way.head_joints:
            yield f"{way.start.joints} joints", way
        elif way.mats < best.mats:
            # they show, so that they must save something
            yield "joints across the lengths", way


_AIMS: tuple[tuple[str, Aim, Callable[[Way, Way], bool]], ...] = (
    (
        "fewest pieces",
        lambda w: (w.mats, w.narrow, w.cuts, w.knife_mm),
        lambda w, best: w.mats < best.mats,
    ),
    (
        "widest strips",
        lambda w: (-round(w.least_mm), w.narrow, w.mats, w.cuts),
        lambda w, best: w.least_mm > best.least_mm + TOLERANCE_MM and w.narrow <= best.narrow,
    ),
    (
        "least knife",
        lambda w: (w.narrow, w.knife_mm, w.mats),
        lambda w, best: w.narrow <= best.narrow and w.knife_mm < best.knife_mm - _DECIMETRE,
    ),
)
