"""How much a place leaves short of what is recommended: the cares that it decides, as shares.

For a search to rank places by, not for a verdict. What stands in a working space is taken as the
hull of its piece; of a wanted movement it is told by steps how much of its margin is missing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np
from shapely import MultiPoint
from shapely.geometry.base import BaseGeometry

from app.checks.lanes import EASY, LANE_SIDES, end_to_spare_mm
from app.placing.convex import Floats, Ints, rings, turned
from app.placing.form import Band, Form, Need, Solids, in_frame
from app.placing.ground import NeedKey
from app.placing.layout import Layout
from app.placing.nearby import Box, Hull, Strip, Wanted, box_of, may_take, nearby, share
from app.placing.of_room import table_of_room
from app.placing.pairs import Places
from app.placing.standing import Standing
from app.placing.view import MARGINS, STANDS_AT_MOST, View
from app.published.register import published
from app.recent import Recent
from app.scene.build import Placed
from app.scene.shapes import SpaceShape
from app.scene.shapes import turn as turned_point
from app.scene.tolerance import TOLERANCE_MM, heights_meet

STEPS = 2
"""Steps between the least and the need of a movement: its margin is some 10 cm."""
ANSWERS_AT_MOST = 5000
"""Answers after which a new search begins with none: ways out of a garage full of kit make some
three hundred, of about as many bytes each."""
NONE = -1
"""The number of a choice that is none."""
Margins = dict[NeedKey, list[tuple[float, Places]]]
"""Of each movement wanted at a station the share of its margin that is missing at some places."""


@dataclass(slots=True)
class Known:
    """What was measured between stations in their frames: kept over a drop, while these last."""

    frames: tuple[tuple[object, ...], ...] = ()
    wanted: dict[tuple[str, float], tuple[Wanted, ...]] = field(default_factory=dict)
    hulls: dict[tuple[object, ...], tuple[Hull, ...]] = field(default_factory=dict)
    between: dict[tuple[object, ...], Floats] = field(default_factory=dict)
    nearby: dict[tuple[Wanted, Hull], Strip | BaseGeometry] = field(default_factory=dict)

    @property
    def answers(self) -> int:
        """How many answers are kept."""
        return len(self.hulls) + len(self.between) + len(self.nearby)


@dataclass(slots=True)
class Shortfalls:
    """Measures what is short in one situation, and remembers it by how things stand."""

    view: View
    _wanted: dict[tuple[str, float], tuple[Wanted, ...]] = field(init=False)
    _hulls: dict[tuple[object, ...], tuple[Hull, ...]] = field(init=False)
    _between: dict[tuple[object, ...], Floats] = field(init=False)
    _margins: dict[tuple[str, float], Margins] = field(default_factory=dict)
    _nearby: dict[tuple[Wanted, Hull], Strip | BaseGeometry] = field(init=False)

    def __post_init__(self) -> None:
        kept = self.view.kept("shortfalls", lambda: [Known()])
        known, frames = kept[0], self.view.frames()
        if known.frames != frames or known.answers > ANSWERS_AT_MOST:
            # put in its place whole: another thread may go on with what was before
            known = kept[0] = Known(frames)
        self._wanted, self._hulls = known.wanted, known.hulls
        self._between, self._nearby = known.between, known.nearby

    def added(self, root: str, turn_deg: float, points: Floats, layout: Layout) -> Floats:
        """Return by how much a station at some places, (n, 2), makes cares heavier, (n,)."""
        if not len(points):
            return np.zeros(0)
        others = {one: at for one, at in layout.at.items() if one != root}
        own = self._own(root, turn_deg, points, others)
        total: Floats = _chosen(self.wanted(root, turn_deg), own).sum(axis=0)
        x0, y0, x1, y1 = box_of(points)
        for other, at in others.items():
            spaces = self.wanted(other, at.turn_deg)
            x, y = at.x_mm, at.y_mm
            away, box = points - (x, y), (x0 - x, y0 - y, x1 - x, y1 - y)
            met = np.zeros((len(spaces), len(points)))
            for i, space in enumerate(spaces):
                self._take(met[i], space, self._hulls_of(root, turn_deg, space), away, box)
            if not met.any():
                continue
            still = self._standing(other, at, others)
            before = _chosen(spaces, still[:, None]).sum(axis=0)
            after = _chosen(spaces, np.maximum(met, still[:, None])).sum(axis=0)
            total += after - before
        return total + self._headroom(root, turn_deg, points)

    def _own(
        self, root: str, turn_deg: float, points: Floats, others: Mapping[str, Standing]
    ) -> Floats:
        """Return the share that each space of a station lacks at each place."""
        spaces = self.wanted(root, turn_deg)
        shares = np.zeros((len(spaces), len(points)))
        x0, y0, x1, y1 = box_of(points)
        for i, space in enumerate(spaces):
            self._take(shares[i], space, self._fixed(space), -points, (-x1, -y1, -x0, -y0))
        for other, at in others.items():
            x, y = at.x_mm, at.y_mm
            away, box = np.array((x, y)) - points, (x - x1, y - y1, x - x0, y - y0)
            for i, space in enumerate(spaces):
                self._take(shares[i], space, self._hulls_of(other, at.turn_deg, space), away, box)
        return shares

    def _standing(self, owner: str, at: Standing, others: Mapping[str, Standing]) -> Floats:
        """Return the share that each space of a station lacks as things stand, one after another.

        What two of them are to one another is remembered by where both stand.
        """
        spaces = self.wanted(owner, at.turn_deg)
        here = np.array([(at.x_mm, at.y_mm)])
        key: tuple[object, ...] = owner, at
        if key not in self._between:
            self._between[key] = self._taken(spaces, [self._fixed(s) for s in spaces], -here)
        lacks = self._between[key]
        for other, there in others.items():
            if other == owner:
                continue
            key = owner, at, other, there
            if key not in self._between:
                away = np.array([(there.x_mm - at.x_mm, there.y_mm - at.y_mm)])
                theirs = [self._hulls_of(other, there.turn_deg, space) for space in spaces]
                self._between[key] = self._taken(spaces, theirs, away)
            lacks = np.maximum(lacks, self._between[key])
        return lacks

    def _taken(
        self, spaces: tuple[Wanted, ...], hulls: list[tuple[Hull, ...]], away: Floats
    ) -> Floats:
        """Return the share of each space that the hulls beside it take from one place, (n,)."""
        taken, box = np.zeros((len(spaces), 1)), box_of(away)
        for i, (space, theirs) in enumerate(zip(spaces, hulls, strict=True)):
            self._take(taken[i], space, theirs, away, box)
        column: Floats = taken[:, 0]
        return column

    def _take(
        self, taken: Floats, space: Wanted, hulls: tuple[Hull, ...], away: Floats, box: Box
    ) -> None:
        """Raise shares to those of a space that convex things take, as seen from its owner.

        `box` is that about all of their places: most things are nowhere near the space.
        """
        for hull in hulls:
            if may_take(space, hull, box):
                if (space, hull) not in self._nearby:
                    self._nearby[space, hull] = nearby(space, hull.ring)
                np.maximum(taken, share(space, self._nearby[space, hull], away), out=taken)

    def _fixed(self, space: Wanted) -> tuple[Hull, ...]:
        key = "fixed", space.heights_mm, space.walls
        if key not in self._hulls:
            fixed = self.view.ground.fixed
            keep = np.ones(len(fixed.parts), dtype=bool) if space.walls else ~fixed.wall
            self._hulls[key] = tuple(_hulls(fixed, np.flatnonzero(keep)))
        return self._hulls[key]

    def _hulls_of(self, root: str, turn_deg: float, space: Wanted) -> tuple[Hull, ...]:
        key = root, turn_deg, space.heights_mm
        if key not in self._hulls:
            solids = self.view.turned(root, turn_deg).solids
            low, high = map(np.array, space.heights_mm)
            keep = heights_meet(solids.low_mm, solids.high_mm, low, high) & ~solids.layer
            self._hulls[key] = tuple(_hulls(solids, np.flatnonzero(keep)))
        return self._hulls[key]

    def wanted(self, root: str, turn_deg: float) -> tuple[Wanted, ...]:
        """Return the working spaces of a station at a turn."""
        key = root, turn_deg
        if key not in self._wanted:
            members = in_frame(self.view.scene, root)
            judged = self.view.judged(members)
            self._wanted[key] = tuple(
                made
                for i, (placed, flags) in enumerate(zip(members, judged, strict=True))
                for space, counts in zip(placed.shape.spaces, flags, strict=True)
                if counts
                for made in _wanted(placed, space, i, turn_deg)
            )
        return self._wanted[key]

    def _headroom(self, root: str, turn_deg: float, points: Floats) -> Floats:
        """Return what is missing of the margins of the movements wanted at a station."""
        key = root, turn_deg
        if key not in self._margins:
            scene = self.view.scene
            recent: Recent[tuple[object, ...], Margins] = table_of_room(
                scene, MARGINS, lambda: Recent(STANDS_AT_MOST)
            )
            self._margins[key] = recent.made(
                self.view.turned_key(root, turn_deg), lambda: self._made_margins(root, turn_deg)
            )
        missing = np.zeros(len(points))
        for levels in self._margins[key].values():
            for part, places in levels:
                missing += part * places.hold(points)
        return missing

    def _made_margins(self, root: str, turn_deg: float) -> Margins:
        form: Form = self.view.turned(root, turn_deg)
        ground = self.view.ground
        steps = np.arange(1, STEPS + 1) / STEPS
        return {
            NeedKey(need.person, need.movement, doors): [
                (_step(need), Places(ground.too_low(_at_step(need, step), over)))
                for step in steps.tolist()
            ]
            for need in form.needs
            for doors, over in ground.over.items()
        }


def _hulls(solids: Solids, numbers: Ints) -> Iterator[Hull]:
    """Yield the hull of each piece's or wall's parts among some."""
    for piece in np.unique(solids.piece[numbers]):
        mine = [solids.parts[i] for i in numbers if solids.piece[i] == piece]
        hull = MultiPoint(np.concatenate(mine)).convex_hull
        yield from (Hull(ring, box_of(ring)) for ring in rings(hull))


def _wanted(placed: Placed, space: SpaceShape, piece: int, turn_deg: float) -> Iterator[Wanted]:
    row = space.space
    choice = piece if row.either else NONE
    if space.outward is None:
        outline = [turned(ring, turn_deg) for ring in rings(placed.footprint)]
        depth = 0.0 if row.side == "area" else row.recommended_mm
        walls = row.side != "area"
        for ring in outline:
            box = box_of(ring)
            yield Wanted(
                depth, space.heights_mm, choice, None, 0.0, 0.0, 0.0, ring, None, walls, box
            )
        return
    at = turned_point(*placed.at, turn_deg)
    out = turned_point(*space.outward, turn_deg)
    across = -at[0] * out[1] + at[1] * out[0]
    end = end_to_spare_mm(space)
    low, high = space.aside_mm[0] + across + end, space.aside_mm[1] + across - end
    band = None
    if row.side in LANE_SIDES and row.kind != "access" and not row.either:
        wide = placed.extent.width_mm if row.kind == "fall-off" else published(EASY)
        half = wide / 2 - TOLERANCE_MM
        band = Band(out, (low + high) / 2 - half, (low + high) / 2 + half)
    edge = at[0] * out[0] + at[1] * out[1] + space.edge_mm
    yield Wanted(
        row.recommended_mm, space.heights_mm, choice, out, edge, low, high, None, band, True
    )


def _chosen(spaces: tuple[Wanted, ...], shares: Floats) -> Floats:
    """Return shares with those of one choice put together: its best counts."""
    choices = np.array([space.choice for space in spaces], dtype=np.intp)
    rows = [shares[choices == NONE]]
    for choice in np.unique(choices[choices != NONE]):
        rows.append(shares[choices == choice].min(axis=0, keepdims=True))
    return np.concatenate(rows) if len(spaces) else np.zeros((1, shares.shape[1]))


def _step(need: Need) -> float:
    """Return the share of its need that one step of a movement's margin is."""
    parts = [part for place in need.places for part in place]
    most = max(((p.need_mm - p.least_mm) / p.need_mm for p in parts), default=0.0)
    return most / STEPS


def _at_step(need: Need, step: float) -> Need:
    """Return a movement that asks for so much of its margin."""
    places = tuple(
        tuple(p._replace(least_mm=p.least_mm + step * (p.need_mm - p.least_mm)) for p in place)
        for place in need.places
    )
    return Need(need.person, need.movement, places)
