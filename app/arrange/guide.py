"""Where a station may go for one finding: nearest places first, by the fast core.

The core knows what makes a stop and what makes a care of the checks that a place decides. What is
at fault now need not be mended all at once: of the rules that are broken as things stand only
those of the finding itself are asked for.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from app.arrange.effort import work_of_way
from app.arrange.shifts import axes_of, taped
from app.budget import Budget
from app.checks.snag import Snag
from app.placing.convex import grown
from app.placing.core import CLEAN_MM, Core
from app.placing.layout import Layout
from app.placing.nearby import box_of
from app.placing.terms import HEADROOM, Term
from app.scene.build import Scene
from app.scene.shapes import QUARTERS
from app.scene.tolerance import CHORDS_A_QUARTER, ROUNDING, TOLERANCE_MM

Floats = NDArray[np.float64]
Level = Literal["clean", "clears", "milder"]
"""How much a place does: `clean` leaves nothing of the finding and makes nothing else a stop or a
care, `clears` may make a care elsewhere, `milder` takes a stop away."""

STRICTER_THAN: dict[Level, Level] = {"clean": "clears", "clears": "milder"}
"""For each level the laxer one: it requires all that does, first, and some more."""

STEPS_ON = 4
"""Whole steps beyond the edge of what is free that are tried: rounded, it may lead along it."""
IN_THE_ROOM = ("space", "column")
"""What takes a working space without being a piece."""
FARTHEST_MM = 8000.0
"""Moves are looked for no farther off than this: the length of a garage."""
REACH_MM = 14_000.0
"""What stands farther off than this is not met by such a move, nor by the room that it needs."""
ALIKE_MM = 1e-3
"""What is no farther off than so much more is as near: rounding decides, and must not."""
PLACE_DECIMALS = 2
"""Decimals of a mm to which places are told apart: those of a plan."""
_NEAREST_MM = 1.0
"""A shift of less is none."""


def knows(snag: Snag) -> bool:
    """Return whether the core answers for a finding."""
    # a window is kept clear by several things at once: the core has no part of it by itself
    return snag.space is not None or snag.meets not in (None, "window")


Chain = tuple[int, ...]
"""Terms taken off one after another, each by its identity."""


@dataclass(slots=True)
class Known:
    """What the ways of one guide found, by the terms that it hangs on: findings ask for the same.

    Terms are told apart by what they are in memory, so they must live as long as this. The shifts
    of `allowed` stand beside what is said of them for the same reason.
    """

    shapes: dict[int, BaseGeometry] = field(default_factory=dict)
    left: dict[Chain, BaseGeometry] = field(default_factory=dict)
    regions: dict[Chain, BaseGeometry] = field(default_factory=dict)
    allowed: dict[tuple[int, Chain], tuple[Floats, NDArray[np.bool_]]] = field(default_factory=dict)

    def shape(self, term: Term) -> BaseGeometry:
        """Return all that a term refuses, as an area of the room."""
        if id(term) not in self.shapes:
            self.shapes[id(term)] = term.shape
        return self.shapes[id(term)]


@dataclass(slots=True)
class Way:
    """One turn of a station for one finding: what a place must keep to at each level."""

    here: tuple[float, float]
    turn_deg: float
    required: dict[Level, tuple[Term, ...]]
    _known: Known = field(default_factory=Known)
    _in_turn: dict[Level, tuple[Term, ...]] = field(default_factory=dict)
    _chains: dict[Level, Chain] = field(default_factory=dict)

    def allows(self, shifts: Floats, level: Level) -> NDArray[np.bool_]:
        """Return which shifts, (n, 2), lead to a place of a level."""
        laxer = STRICTER_THAN.get(level)
        free = self.allows(shifts, laxer) if laxer else np.ones(len(shifts), dtype=bool)
        return self._still_free(shifts, self._besides(level), free)

    def allows_of(self, every: Floats, level: Level) -> NDArray[np.bool_]:
        """Return the same of shifts that are asked about at one level after another."""
        key = id(every), self._chain(level)
        if key not in self._known.allowed:
            laxer = STRICTER_THAN.get(level)
            before = self.allows_of(every, laxer) if laxer else np.ones(len(every), dtype=bool)
            free = self._still_free(every, self._besides(level), before)
            self._known.allowed[key] = every, free
        return self._known.allowed[key][1]

    def _still_free(
        self, shifts: Floats, terms: tuple[Term, ...], free: NDArray[np.bool_]
    ) -> NDArray[np.bool_]:
        """Return which of the shifts that are free still keep to some terms as well."""
        left, points = np.flatnonzero(free), (shifts + self.here).round(2)
        points = points[left]
        box = box_of(points) if len(left) else None
        for term in terms:
            if box is None:
                break
            # most refuse nothing near what is left
            if not term.may_meet(box):
                continue
            refused = term.refuses(points)
            if refused.any():
                left, points = left[~refused], points[~refused]
                box = box_of(points) if len(left) else None
        still = np.zeros(len(shifts), dtype=bool)
        still[left] = True
        return still

    def _besides(self, level: Level) -> tuple[Term, ...]:
        """Return what a level requires besides what the laxer one does, the largest first.

        Soon little or nothing is left, and most of the rest lies nowhere near that.
        """
        if level not in self._in_turn:
            laxer = STRICTER_THAN.get(level)
            terms = self.required[level][len(self.required[laxer]) if laxer else 0 :]
            self._in_turn[level] = tuple(sorted(terms, key=_size, reverse=True))
        return self._in_turn[level]

    def _chain(self, level: Level) -> Chain:
        """Return the terms of a level in the order in which they are taken off."""
        if level not in self._chains:
            laxer = STRICTER_THAN.get(level)
            before = self._chain(laxer) if laxer else ()
            self._chains[level] = (*before, *map(id, self._besides(level)))
        return self._chains[level]

    def region(self, level: Level, bounds: BaseGeometry) -> BaseGeometry:
        """Return all places of a level within the bounds of the room, the same for all ways."""
        key, regions = self._chain(level), self._known.regions
        if key not in regions:
            regions[key] = grown(self._left_by(level, bounds), -CLEAN_MM)
        return regions[key]

    def _left_by(self, level: Level, bounds: BaseGeometry) -> BaseGeometry:
        """Return what a level leaves of the bounds, up to the very edge of what it forbids.

        What it forbids is taken off one by one.
        """
        key, known = self._chain(level), self._known.left
        if key not in known:
            laxer = STRICTER_THAN.get(level)
            left = self._left_by(laxer, bounds) if laxer else grown(bounds, CLEAN_MM)
            for term in self._besides(level):
                if left.is_empty:
                    break
                if term.may_meet(left.bounds):
                    left = left.difference(self._known.shape(term))
            known[key] = left
        return known[key]


class _NoWay(Way):
    """A way that was not looked for: no place of it is known."""

    def allows(self, shifts: Floats, level: Level) -> NDArray[np.bool_]:
        """Return that none does."""
        return np.zeros(len(shifts), dtype=bool)

    def allows_of(self, every: Floats, level: Level) -> NDArray[np.bool_]:
        """Return that none does."""
        return np.zeros(len(every), dtype=bool)

    def region(self, level: Level, bounds: BaseGeometry) -> BaseGeometry:
        """Return an empty area."""
        return Polygon()


class Guide:
    """The core of a scene at both levels, with everything standing as it stands."""

    def __init__(self, scene: Scene, step_mm: float, budget: Budget) -> None:
        self.scene = scene
        self._budget = budget
        self._step_mm = step_mm
        self._broken: dict[tuple[str, bool], frozenset[str]] = {}
        self._layouts: dict[tuple[str, bool], Layout] = {}
        self._ways: dict[tuple[str, float, frozenset[str], str | None], Way] = {}
        self._named: dict[tuple[str, float, bool, str | None], tuple[Term, ...]] = {}
        self._known = Known()

    @cached_property
    def _least(self) -> Core:
        return Core.of(self.scene)

    @cached_property
    def _wanted(self) -> Core:
        return Core.of(self.scene, wanted=True)

    def _core(self, root: str, wanted: bool) -> tuple[Core, Layout]:
        """Return the core of stops, or of cares too, and what stands within reach of a station."""
        core = self._wanted if wanted else self._least
        key = root, wanted
        if key not in self._layouts:
            here = self.scene.placed[root].at
            near = [
                other
                for other in core.stations
                if math.dist(self.scene.placed[other].at, here) <= REACH_MM
            ]
            layout = core.layout(core.stations)
            self._layouts[key] = layout.only(near)
        return core, self._layouts[key]

    def way(self, root: str, turn_deg: float, snag: Snag | None, but: str | None = None) -> Way:
        """Return what a place at a turn must keep to for a finding; for none, whatever it is.

        A station `but` for which it is asked stands nowhere. Where the budget ends no place does.
        """
        about = self._about(root, snag)
        key = root, turn_deg, about, but
        if key not in self._ways:
            if not self._budget.allows(work_of_way(self.scene)):
                return _NoWay(self.scene.placed[root].at, turn_deg, {})
            levels = {}
            for wanted in (False, True):
                broken = self._broken_by(root, wanted)
                named = self._terms(root, turn_deg, wanted, but)
                levels[wanted, True] = tuple(t for t in named if t.name in about)
                levels[wanted, False] = tuple(
                    t for t in named if t.name not in broken and t.name not in about
                )
            milder = (*levels[False, True], *levels[False, False])
            clears = (*milder, *levels[True, True])
            self._ways[key] = Way(
                self.scene.placed[root].at,
                turn_deg,
                {"clean": (*clears, *levels[True, False]), "clears": clears, "milder": milder},
                self._known,
            )
        return self._ways[key]

    def _terms(
        self, root: str, turn_deg: float, wanted: bool, but: str | None = None
    ) -> tuple[Term, ...]:
        """Return what may refuse a station its place at a turn: the same terms each time."""
        key = root, turn_deg, wanted, but
        if key not in self._named:
            core, layout = self._core(root, wanted)
            if but is not None:
                layout = layout.without(but)
            self._named[key] = core.named_terms(root, turn_deg, layout)
        return self._named[key]

    def _broken_by(self, root: str, wanted: bool) -> frozenset[str]:
        key = root, wanted
        if key not in self._broken:
            at = self._core(root, wanted)[1].at[root]
            here = np.array([(at.x_mm, at.y_mm)])
            named = self._terms(root, at.turn_deg, wanted)
            self._broken[key] = frozenset(t.name for t in named if t.refuses(here)[0])
        return self._broken[key]

    def _about(self, root: str, snag: Snag | None) -> frozenset[str]:
        """Return the names of the terms that a finding is about."""
        if snag is None:
            return frozenset()
        if snag.meets == "height":
            return frozenset({f"{HEADROOM}:{snag.person}:{snag.movement}"})
        roots = {self.scene.placed[piece].root for piece in snag.pieces} | {root}
        # out of a wall it is still too near to that while its own spaces are short of room
        # what a piece takes may go while its own spaces lack to a wall what they lacked
        by_kit = snag.against in self.scene.placed
        in_the_room = (snag.space is not None and not by_kit) or snag.meets == "room"
        parts = set(IN_THE_ROOM if in_the_room else ())
        # other kit is named by its station
        met = {snag.meets} if snag.meets and snag.meets != "kit" else set()
        return frozenset(roots | parts | met)

    def shifts(self, way: Way, level: Level, directions: Floats, every: Floats) -> Floats:
        """Return shifts to places of a level in mm, (n, 2), those first that take least to measure.

        A shift straight along a wall is one length, any other two. They are the nearest place, the
        nearest along each of some directions, both in whole steps, and of `every` shift those that
        lead to such a place.
        """
        region = way.region(level, self._least.views[0].ground.bounds)
        exact = [] if region.is_empty else self._exact(way, level, region, directions)
        fit = every[way.allows_of(every, level)] if len(every) else every
        both = np.vstack([np.array(exact).reshape(-1, 2), fit])
        far = np.hypot(both[:, 0], both[:, 1])
        both = both[(far >= _NEAREST_MM) & (far <= FARTHEST_MM)]
        _, first = np.unique(both.round(1), axis=0, return_index=True)
        both = both[np.sort(first)]
        ordered: Floats = both[np.argsort(taped(both, directions), kind="stable")]
        return ordered

    def _exact(
        self, way: Way, level: Level, region: BaseGeometry, directions: Floats
    ) -> list[tuple[float, float]]:
        here = np.array(way.here)
        tries = self._on_rays(here, region, directions)
        # whole steps along the walls, whichever way these lie
        axes = axes_of(directions) if len(directions) else np.eye(2)
        x, y = (axes @ (_nearest(region, here) - here)).tolist()
        step = self._step_mm
        wide = [math.copysign(math.ceil(abs(d) / step - ROUNDING) * step, d) for d in (x, y)]
        along = np.array([(0.0, wide[1]), (wide[0], 0.0), (wide[0], wide[1]), (x, y)])
        tries_near = along @ axes
        # asked about all at once: what is dear is the question, not the number of places
        fit = way.allows(np.concatenate([tries_near, tries.reshape(-1, 2)]), level)
        allowed = fit[len(tries_near) :].reshape(len(tries), STEPS_ON)
        some = np.flatnonzero(allowed.any(axis=1))
        shifts = [tuple(shift) for shift in tries[some, allowed[some].argmax(axis=1)].tolist()]
        near = fit[: len(tries_near)].tolist()
        first = [
            tuple(shift) for shift, free in zip(tries_near.tolist(), near, strict=True) if free
        ]
        return shifts + first[:1]

    def _on_rays(self, here: Floats, region: BaseGeometry, directions: Floats) -> Floats:
        """Return the first whole steps along rays from each place where one enters what is free.

        They are (n, STEPS_ON, 2), in the order of the rays.
        """
        if not len(directions):
            return np.zeros((0, STEPS_ON, 2))
        ends = np.array([_NEAREST_MM, FARTHEST_MM])
        rays = shapely.linestrings(here + directions[:, None] * ends[:, None])
        parts, ray = shapely.get_parts(shapely.intersection(region, rays), return_index=True)
        entered = ~shapely.is_empty(parts)
        ways = directions[ray[entered]]
        xy, part = shapely.get_coordinates(parts[entered], return_index=True)
        far = np.full(len(ways), np.inf)
        np.minimum.at(far, part, ((xy - here) * ways[part]).sum(axis=1))
        # whole steps along and across: a slanting one is as much longer
        step = self._step_mm / np.abs(ways @ axes_of(directions).T).max(axis=1)
        first = np.ceil((far - TOLERANCE_MM / 2) / step - ROUNDING)
        steps = first[:, None] + np.arange(STEPS_ON)
        tries: Floats = (steps * step[:, None])[..., None] * ways[:, None]
        return tries

    def short(self, root: str, way: Way, shifts: Floats) -> Floats:
        """Return how much each shift leaves short there, for ranking what mends in part."""
        core, layout = self._core(root, False)
        return core.shortfall(root, way.turn_deg, shifts + way.here, layout)


def _nearest(region: BaseGeometry, here: Floats) -> Floats:
    """Return the nearest place of a region; of several as near the one farthest to the left."""
    middle = Point(here)
    # a polygon that holds the whole circle in which the nearest places lie
    far = (middle.distance(region) + ALIKE_MM) / math.cos(math.pi / (QUARTERS * CHORDS_A_QUARTER))
    about = region.intersection(middle.buffer(far, quad_segs=CHORDS_A_QUARTER))
    parts = shapely.get_parts(region if about.is_empty else about)
    ends = shapely.get_coordinates(shapely.get_point(shapely.shortest_line(parts, middle), 0))
    away = np.hypot(*(ends - here).T)
    near = ends[away <= away.min() + ALIKE_MM]
    first: Floats = near[np.lexsort(near.round(PLACE_DECIMALS).T[::-1])[0]]
    return first


def _size(term: Term) -> float:
    """Return about how large the places are that a term may refuse: by boxes, mm2."""
    return min(sum(put.places.box_mm2 for put in zone) for zone in term.zones)
