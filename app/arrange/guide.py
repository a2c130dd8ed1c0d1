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
from app.budget import Budget
from app.checks.snag import Snag
from app.placing.convex import grown
from app.placing.core import CLEAN_MM, Core
from app.placing.layout import Layout
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


@dataclass(slots=True)
class Way:
    """One turn of a station for one finding: what a place must keep to at each level."""

    here: tuple[float, float]
    turn_deg: float
    required: dict[Level, tuple[Term, ...]]
    _regions: dict[Level, BaseGeometry] = field(default_factory=dict)
    _left: dict[Level, BaseGeometry] = field(default_factory=dict)
    _every: Floats = field(default_factory=lambda: np.zeros((0, 2)))
    _allowed: dict[Level, NDArray[np.bool_]] = field(default_factory=dict)
    _in_turn: dict[Level, tuple[Term, ...]] = field(default_factory=dict)

    def allows(self, shifts: Floats, level: Level) -> NDArray[np.bool_]:
        """Return which shifts, (n, 2), lead to a place of a level."""
        laxer = STRICTER_THAN.get(level)
        free = self.allows(shifts, laxer) if laxer else np.ones(len(shifts), dtype=bool)
        return self._still_free(shifts, self._besides(level), free)

    def allows_of(self, every: Floats, level: Level) -> NDArray[np.bool_]:
        """Return the same of shifts that are asked about at one level after another."""
        if self._every is not every:
            self._every, self._allowed = every, {}
        if level not in self._allowed:
            laxer = STRICTER_THAN.get(level)
            before = self.allows_of(every, laxer) if laxer else np.ones(len(every), dtype=bool)
            self._allowed[level] = self._still_free(every, self._besides(level), before)
        return self._allowed[level]

    def _still_free(
        self, shifts: Floats, terms: tuple[Term, ...], free: NDArray[np.bool_]
    ) -> NDArray[np.bool_]:
        """Return which of the shifts that are free still keep to some terms as well."""
        left, points = np.flatnonzero(free), (shifts + self.here).round(2)
        points = points[left]
        for term in terms:
            if not len(left):
                break
            refused = term.refuses(points)
            if refused.any():
                left, points = left[~refused], points[~refused]
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

    def region(self, level: Level, bounds: BaseGeometry) -> BaseGeometry:
        """Return all places of a level."""
        if level not in self._regions:
            self._regions[level] = grown(self._left_by(level, bounds), -CLEAN_MM)
        return self._regions[level]

    def _left_by(self, level: Level, bounds: BaseGeometry) -> BaseGeometry:
        """Return what a level leaves of the bounds, up to the very edge of what it forbids.

        What it forbids is taken off one by one.
        """
        if level not in self._left:
            laxer = STRICTER_THAN.get(level)
            left = self._left_by(laxer, bounds) if laxer else grown(bounds, CLEAN_MM)
            for term in self._besides(level):
                if left.is_empty:
                    break
                if term.may_meet(left.bounds):
                    left = left.difference(term.shape)
            self._left[level] = left
        return self._left[level]


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
                core, layout = self._core(root, wanted)
                if but is not None:
                    layout = layout.without(but)
                broken = self._broken_by(root, wanted)
                named = core.named_terms(root, turn_deg, layout)
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
            )
        return self._ways[key]

    def _broken_by(self, root: str, wanted: bool) -> frozenset[str]:
        key = root, wanted
        if key not in self._broken:
            core, layout = self._core(root, wanted)
            at = layout.at[root]
            here = np.array([(at.x_mm, at.y_mm)])
            named = core.named_terms(root, at.turn_deg, layout)
            self._broken[key] = frozenset(t.name for t in named if t.refuses(here)[0])
        return self._broken[key]

    def _about(self, root: str, snag: Snag | None) -> frozenset[str]:
        """Return the names of the terms that a finding is about."""
        if snag is None:
            return frozenset()
        if snag.meets == "height":
            return frozenset({f"{HEADROOM}:{snag.person}:{snag.movement}"})
        roots = {self.scene.placed[piece].root for piece in snag.pieces} | {root}
        parts = set(IN_THE_ROOM if snag.space is not None else ())
        # other kit is named by its station
        met = {snag.meets} if snag.meets and snag.meets != "kit" else set()
        return frozenset(roots | parts | met)

    def shifts(self, way: Way, level: Level, directions: Floats, every: Floats) -> Floats:
        """Return shifts to places of a level in mm, (n, 2), the smallest first.

        They are the nearest place, the nearest along each of some directions, both in whole steps,
        and of `every` shift those that lead to such a place.
        """
        region = way.region(level, self._least.views[0].ground.bounds)
        exact = [] if region.is_empty else self._exact(way, level, region, directions)
        fit = every[way.allows_of(every, level)] if len(every) else every
        both = np.vstack([np.array(exact).reshape(-1, 2), fit])
        far = np.hypot(both[:, 0], both[:, 1])
        both = both[(far >= _NEAREST_MM) & (far <= FARTHEST_MM)]
        _, first = np.unique(both.round(1), axis=0, return_index=True)
        both = both[np.sort(first)]
        ordered: Floats = both[np.argsort(np.hypot(both[:, 0], both[:, 1]), kind="stable")]
        return ordered

    def _exact(
        self, way: Way, level: Level, region: BaseGeometry, directions: Floats
    ) -> list[tuple[float, float]]:
        here = np.array(way.here)
        # asked about all at once: what is dear is the question, not the number of places
        tries = self._on_rays(here, region, directions)
        allowed = way.allows(tries.reshape(-1, 2), level).reshape(len(tries), STEPS_ON)
        some = np.flatnonzero(allowed.any(axis=1))
        shifts = [tuple(shift) for shift in tries[some, allowed[some].argmax(axis=1)].tolist()]
        x, y = (_nearest(region, here) - here).tolist()
        step = self._step_mm
        wide = [math.copysign(math.ceil(abs(d) / step - ROUNDING) * step, d) for d in (x, y)]
        tries_near = [(0.0, wide[1]), (wide[0], 0.0), (wide[0], wide[1]), (x, y)]
        fit = way.allows(np.array(tries_near), level)
        first = [shift for shift, free in zip(tries_near, fit.tolist(), strict=True) if free]
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
        step = self._step_mm
        first = np.ceil((far - TOLERANCE_MM / 2) / step - ROUNDING)
        steps = first[:, None] + np.arange(STEPS_ON)
        tries: Floats = steps[..., None] * step * ways[:, None]
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


def best_first(shifts: Floats, short: Floats) -> Floats:
    """Sort shifts by what they leave short, in steps too small to matter, then the smallest."""
    far = np.hypot(shifts[:, 0], shifts[:, 1])
    ordered: Floats = shifts[np.lexsort((far, short.round(1)))]
    return ordered
