"""The fast core: where one station may stand among others, for many places at once.

It answers for the stops that a place alone decides (they are listed in `tests/placing/by_place.py`)
and errs on the refusing side. Whatever comes of it still goes before the full judge: ways on foot,
sums and all else are no business of the core.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from contextlib import AbstractContextManager
from functools import cached_property

import numpy as np
import shapely
from shapely import box
from shapely.geometry.base import BaseGeometry

from app.model.kit import Pose
from app.model.situations import judged_situations
from app.placing.convex import GROWN_MM, Floats, grown
from app.placing.form import Flags
from app.placing.layout import Layout
from app.placing.shortfall import Shortfalls
from app.placing.standing import (
    HERE,
    THE_ROOM,
    Standing,
    plan_places,
    plan_turn,
    station_poses,
)
from app.placing.terms import Put, Term
from app.placing.view import View
from app.published.register import overridden
from app.scene.build import Placed, Scene
from app.scene.shapes import QUARTERS
from app.scene.tolerance import TOLERANCE_MM
from app.units import QUARTER_TURN_DEG

CLEAN_MM = TOLERANCE_MM - 4 * GROWN_MM
"""Places that are given out keep so much farther off than what is just admitted: outlines touch
there and do not overlap, and what fits to the millimetre still has a place."""


class Core:
    """The stations of a scene, and where each may stand. Belongs to one thread.

    With `wanted` it refuses what makes a care of the same checks too: a working space that is less
    than recommended, a door that does not open fully.
    """

    def __init__(self, scene: Scene, wanted: bool = False) -> None:
        self.scene = scene
        with self._values():
            situations = judged_situations(scene.plan)
            self.views = tuple(
                View(scene.in_situation(situation), situation.trains, wanted)
                for situation in situations
            ) or (View(scene, wanted=wanted),)
        self._shortfalls = tuple(Shortfalls(view) for view in self.views)
        self.stations: Mapping[str, tuple[Placed, ...]] = scene.stations
        still = {p.root for p in scene.order if p.piece.stays or p.piece.pinned}
        self.fixed = tuple(root for root in self.stations if root in still)
        self.free = tuple(root for root in self.stations if root not in still)
        self._bare: dict[frozenset[str], Layout] = {}

    @classmethod
    def of(cls, scene: Scene, wanted: bool = False) -> Core:
        """Return the core of a scene."""
        return cls(scene, wanted)

    def _values(self) -> AbstractContextManager[None]:
        overrides = self.scene.plan.overrides
        return overridden({override.id: override.value for override in overrides})

    def layout(self, roots: Iterable[str] = ()) -> Layout:
        """Return the fixed stations, and others that are named, as they stand in the scene."""
        named = {*self.fixed, *roots}
        at = {}
        for root in self.stations:
            if root in named:
                placed = self.scene.placed[root]
                at[root] = Standing(plan_turn(placed.pose.angle_deg), *placed.at)
        return Layout(self.scene, self.views, at)

    def poses(self, root: str, turn_deg: float, point: tuple[float, float]) -> dict[str, Pose]:
        """Return the poses of the pieces of a station at a place."""
        return station_poses(self.scene, root, Standing(turn_deg, *point))

    @cached_property
    def wall_turns(self) -> tuple[float, ...]:
        """For each wall the turn at which a back lies on it."""
        walls = self.scene.room.walls
        return tuple(
            plan_turn(math.degrees(math.atan2(-wall.inward[0], wall.inward[1]))) for wall in walls
        )

    def turns(self, root: str) -> tuple[float, ...]:
        """Return turns worth trying: square to each wall, each once, from 0 upwards."""
        assert root in self.stations
        quarters = range(QUARTERS)
        every = {plan_turn(t + QUARTER_TURN_DEG * q) for t in self.wall_turns for q in quarters}
        return tuple(sorted(every))

    def admits(self, root: str, turn_deg: float, points: Floats, layout: Layout) -> Flags:
        """Return at which places, (n, 2) in mm, a station may stand among those of a layout."""
        places = plan_places(points)
        turn_deg = plan_turn(turn_deg)
        free = np.ones(len(places), dtype=bool)
        with self._values():
            for number in range(len(self.views)):
                for term in layout.terms(number, root, turn_deg):
                    left = np.flatnonzero(free)
                    if not len(left):
                        return free
                    free[left] = ~term.refuses(places[left])
        return free

    def reasons(
        self, root: str, turn_deg: float, point: tuple[float, float], layout: Layout
    ) -> tuple[str, ...]:
        """Return what refuses a place: parts of the room, roots of stations, movements."""
        place = plan_places(np.array(point))
        named: list[str] = []
        with self._values():
            for number, view in enumerate(self.views):
                stand = view.stand(root, plan_turn(turn_deg))
                named += [name for name, one in stand.why.items() if one.hold(place)[0]]
                for term in layout.terms(number, root, plan_turn(turn_deg)):
                    if term.name != THE_ROOM and term.refuses(place)[0]:
                        named.append(term.name)
        return tuple(dict.fromkeys(named))

    def named_terms(self, root: str, turn_deg: float, layout: Layout) -> tuple[Term, ...]:
        """Return what may refuse a station its place, by name, the room in its parts."""
        turn_deg = plan_turn(turn_deg)
        named: list[Term] = []
        with self._values():
            for number, view in enumerate(self.views):
                why = view.stand(root, turn_deg).why
                named += [Term(name, ((Put(one, HERE),),)) for name, one in why.items()]
                every = layout.terms(number, root, turn_deg)
                named += [term for term in every if term.name != THE_ROOM]
        return tuple(named)

    def headroom(self, root: str, turn_deg: float, points: Floats) -> dict[tuple[str, str], Flags]:
        """Return for each person and movement wanted here at which places it has height enough."""
        places = plan_places(points)
        enough: dict[tuple[str, str], Flags] = {}
        with self._values():
            for view in self.views:
                for need, low in view.stand(root, plan_turn(turn_deg)).too_low.items():
                    key = need.person, need.movement
                    free = ~low.hold(places)
                    enough[key] = enough[key] & free if key in enough else free
        return enough

    def shortfall(self, root: str, turn_deg: float, points: Floats, layout: Layout) -> Floats:
        """Return by how much a station at some places, (n, 2), makes the cares there heavier.

        It is the sum of what is missing as shares of what is wanted: working spaces of its own and
        of others, and margins overhead. Of several situations the worst counts.
        """
        places = plan_places(points)
        with self._values():
            each = [
                one.added(root, plan_turn(turn_deg), places, layout) for one in self._shortfalls
            ]
        most: Floats = np.max(np.array(each), axis=0)
        return most

    def free_region(self, root: str, turn_deg: float, layout: Layout) -> BaseGeometry:
        """Return all places of a station's root at which it may stand and overlaps nothing.

        Where that is nothing at all, those that are just admitted.
        """
        key = root, plan_turn(turn_deg)
        if key not in layout.regions:
            with self._values():
                every = (layout.terms(number, *key) for number in range(len(self.views)))
                forbidden = shapely.union_all([t.shape for some in every for t in some])
            bounds = box(*self.scene.room.grown.bounds)
            region = bounds.difference(grown(forbidden, CLEAN_MM))
            if region.is_empty:
                region = bounds.difference(grown(forbidden, GROWN_MM))
            layout.regions[key] = region
        return layout.regions[key]

    def free_points(
        self, root: str, turn_deg: float, layout: Layout, every_mm: float = 0.0
    ) -> Floats:
        """Return corners of the free region, (m, 2), and points along its edges if asked for."""
        region = self.free_region(root, turn_deg, layout)
        edge = region.boundary
        if every_mm > 0 and not edge.is_empty:
            edge = shapely.segmentize(edge, every_mm)
        return _each_once(shapely.get_coordinates(edge))

    def alone(
        self, root: str, turn_deg: float, without: AbstractSet[str] = frozenset()
    ) -> BaseGeometry:
        """Return where a station may stand in the room with what is fixed alone, but for some."""
        fixed = frozenset(self.fixed) - without
        if fixed not in self._bare:
            self._bare[fixed] = self.layout().only(fixed)
        return self.free_region(root, turn_deg, self._bare[fixed])


def _each_once(points: Floats) -> Floats:
    if not len(points):
        return np.zeros((0, 2))
    places = plan_places(points)
    _, first = np.unique(places, axis=0, return_index=True)
    return places[np.sort(first)]
