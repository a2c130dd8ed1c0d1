"""The room under a station: where it may not stand whatever else is there.

Everything that does not move is a zone: what lies outside the room, columns, what hangs too low,
the way of leaves. A station at a turn meets a zone where its root lies in their sum.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from app.checks.doors import leaf_from_mm
from app.checks.levels import cut_off, edges, is_fallen_from
from app.checks.mirror_areas import sheets
from app.placing.convex import (
    GROWN_MM,
    Ring,
    below,
    grown,
    meeting,
    mirrored,
    moved_shape,
    rings,
    united,
)
from app.placing.form import Form, Need, Rule, Solids, Zone, standing
from app.placing.of_room import table_of_room
from app.placing.pairs import Atom, Meetings, Places, clashing, minded
from app.placing.zones import STRETCHES
from app.published.register import published
from app.recent import Recent
from app.scene.build import Scene
from app.scene.doors import OpeningShape, Sweep
from app.scene.overhead import Overhead
from app.scene.routes import ways_out
from app.scene.shapes import turn
from app.scene.tolerance import HALF_MM, SKY_MM, Geometries, enough_mm

SHUT, OPEN = "shut", "open"
BEYOND_MM = 20_000.0
"""How far beyond the walls is drawn as being outside: farther than any station is large."""


BARE_AT_MOST = 160
"""Outlines at a turn of which is kept what walls and columns forbid them: as many as stations at a
turn are kept for."""


class Over(NamedTuple):
    """A convex part of something overhead, its height a + b x + c y, and the least of that."""

    part: Ring
    coefficients: tuple[float, float, float]
    lowest_mm: float
    under: tuple[int, ...] = ()
    """The numbers of others beside it that cover all of it."""


class NeedKey(NamedTuple):
    """A movement that a person wants, with the garage doors shut or open."""

    person: str
    movement: str
    doors: str


@dataclass(frozen=True, slots=True, eq=False)
class Stand:
    """What the room forbids to a station at a turn, as places of its root.

    `hard` is the union of `why`. `own` are the places at which something fixed meets a zone of one
    of its rules of several, `rooms` those at which it meets a zone of the room's own rules.
    `too_low` are the places at which a movement has too little height.
    """

    hard: Places
    why: dict[str, Places]
    own: dict[Atom, Places]
    rooms: dict[Atom, Places]
    too_low: dict[NeedKey, Places]


class Ground:
    """One room in one situation of its plan: what makes a stop, with `wanted` what makes a care."""

    def __init__(self, scene: Scene, wanted: bool = False) -> None:
        room = scene.room
        x0, y0, x1, y1 = room.grown.bounds
        far = BEYOND_MM
        self.bounds: Polygon = box(x0, y0, x1, y1)
        about = box(x0 - far, y0 - far, x1 + far, y1 + far)
        self.beyond: BaseGeometry = about.difference(room.grown)
        self.outside = tuple(rings(self.beyond))
        self._well_beyond = grown(self.beyond, GROWN_MM)
        self._everywhere = grown(self.bounds, far)
        # what makes a stop and what makes a care are asked for the same outlines in turn
        self._bare: Recent[bytes, tuple[BaseGeometry, BaseGeometry]] = table_of_room(
            scene, ("bare stands",), lambda: Recent(BARE_AT_MOST)
        )
        fixed = scene.solids.cores[scene.piece_solids :]
        self.fixed: Solids = standing(list(fixed), len(room.walls), SKY_MM)
        self.doors = tuple((_door_cares if wanted else _door_zones)(scene))
        self.rules: tuple[Rule, ...] = tuple(_windows(scene, wanted))
        self.over = {SHUT: _over(scene.overhead)}
        when = ("yes", "unknown") if wanted else ("yes",)
        may_be_open = room.open_while_training in when and room.opens and not scene.door_open
        judged = any(s.door_open and s.trains for s in scene.plan.situations)
        if may_be_open and not judged:
            self.over[OPEN] = _over(room.open if wanted else room.training)
        self.panes = tuple(
            (np.array([shape.left, shape.right]), shape.opening.sill_mm)
            for shape in room.openings
            if shape.opening.has_glass
        ) + tuple((np.array(one.line.coords), one.low_mm) for one in sheets(scene))
        self.floor = _steps(scene)
        # what of the room's rules columns break by themselves
        self.broken = frozenset(
            (i, j)
            for i, rule in enumerate(self.rules)
            for j, zone in enumerate(rule)
            if _meets(zone, self.fixed)
        )

    def stand(self, form: Form) -> Stand:
        """Return what the room forbids to a station, turned as it stands."""
        solids = form.solids
        mine, fixed = Meetings(), Meetings()
        room, columns = self._bare.made(form.outlines, lambda: self._of_the_room(form))
        for zone in self.doors:
            mine.add_zone(0, zone, solids)
        rooms = [(i, j) for i, rule in enumerate(self.rules) for j in range(len(rule))]
        for number, (i, j) in enumerate(rooms):
            mine.add_zone(1 + number, self.rules[i][j], solids)
        made = mine.made(1 + len(rooms))
        atoms: list[Atom] = []
        for i, rule in enumerate(form.rules):
            for j, zone in enumerate(rule):
                if len(rule) > 1:
                    atoms.append((i, j))
                if zone.what != "strange":
                    self._zone(fixed, len(atoms) if len(rule) > 1 else 0, zone)
        # a column between the posts of a rack is met as one in a post is
        within = [zone for rule in form.rules for zone in rule if zone.what == "strange"]
        for zone in within:
            self._zone(fixed, len(atoms) + 1, zone)
        spaces = [mirrored(shape) for shape in fixed.made(len(atoms) + 2)]
        between = spaces.pop()
        column = columns if between.is_empty else shapely.union(columns, between)
        tall = self._too_tall(solids)
        named = {"room": room, "column": column, "door": made[0], "space": spaces[0]}
        named["overhead"] = tall
        why = {name: Places(shape) for name, shape in named.items() if not shape.is_empty}
        hard: BaseGeometry = shapely.union_all([one.shape for one in why.values()])
        return Stand(
            Places(hard),
            why,
            _not_empty(atoms, spaces[1:]),
            _not_empty(rooms, made[1:]),
            {
                NeedKey(need.person, need.movement, doors): Places(self.too_low(need, over))
                for need in form.needs
                for doors, over in self.over.items()
            },
        )

    def _of_the_room(self, form: Form) -> tuple[BaseGeometry, BaseGeometry]:
        """Return the places beyond the walls and those in a column: no wish makes them others."""
        solids, mine = form.solids, Meetings()
        every = np.ones((len(self.outside), len(solids.parts) + len(form.floors)), dtype=bool)
        mine.add(0, self.outside, (*solids.parts, *form.floors), every)
        columns = clashing(self.fixed, solids) & ~self.fixed.wall[:, None]
        mine.add(1, self.fixed.parts, solids.parts, columns)
        room, column = mine.made(2)
        return room, column

    def _zone(self, meetings: Meetings, group: int, zone: Zone) -> None:
        """Add the places of what is fixed as seen from a zone that moves."""
        if zone.what == "low":
            for top in dict.fromkeys(zone.tops):
                parts = tuple(
                    p for p, high in zip(zone.parts, zone.tops, strict=True) if high == top
                )
                _every(meetings, group, parts, _lower(self.over[SHUT], enough_mm(top)))
        elif zone.what == "glass":
            panes = [pane for pane, sill in self.panes if sill < zone.high_mm]
            _every(meetings, group, zone.parts, panes)
        elif zone.what in self.floor:
            _every(meetings, group, zone.parts, self.floor[zone.what])
        else:
            meetings.add_zone(group, zone, self.fixed)

    def _too_tall(self, solids: Solids) -> BaseGeometry:
        """Return the places at which a station is higher than what hangs over it."""
        made: list[BaseGeometry] = []
        for high in np.unique(solids.asks_mm).tolist():
            parts = np.flatnonzero(solids.asks_mm == high)
            made.append(self._under([solids.parts[i] for i in parts], self.over[SHUT], high))
        return shapely.union_all(made) if made else Polygon()

    def too_low(self, need: Need, over: Sequence[Over]) -> BaseGeometry:
        """Return the places at which no place for a movement at a station is high enough.

        Whose middle lies beyond the walls is no place.
        """
        everywhere = self._everywhere
        for place in need.places:
            parts = [self._under([part.area], over, part.least_mm) for part in place]
            x, y = place[0].area.mean(axis=0).tolist()
            parts.append(moved_shape(self._well_beyond, -x, -y))
            everywhere = everywhere.intersection(shapely.union_all(parts))
        return everywhere

    def _under(self, parts: list[Ring], over: Sequence[Over], high_mm: float) -> BaseGeometry:
        """Return where any of some parts is under something lower than a height."""
        low = _lower(over, enough_mm(high_mm))
        if not low:
            return Polygon()
        of, by = np.nonzero(np.ones((len(low), len(parts)), dtype=bool))
        return united(meeting(low, parts, of, by))


def _every(meetings: Meetings, group: int, parts: tuple[Ring, ...], fixed: list[Ring]) -> None:
    """Add the places of what is fixed as seen from each part that moves."""
    meetings.add(group, parts, tuple(fixed), np.ones((len(parts), len(fixed)), dtype=bool))


def _steps(scene: Scene) -> dict[str, list[Ring]]:
    """Return the steps in the floor, those from which one falls, and the floor these cut off."""
    there = edges(scene)
    lines = [(np.array(edge.line.coords), is_fallen_from(edge)) for edge in there]
    segments = [(line[i : i + 2], falls) for line, falls in lines for i in range(len(line) - 1)]
    return {
        "step": [segment for segment, _ in segments],
        "fall": [segment for segment, falls in segments if falls],
        "cut-off": [ring for floor in cut_off(scene) for ring in rings(floor)],
    }


def _lower(over: Sequence[Over], limit_mm: float) -> list[Ring]:
    """Return the parts of things overhead that are lower than a height, but those under others."""
    low = {
        number: ring
        for number, thing in enumerate(over)
        if thing.lowest_mm < limit_mm
        if (ring := below(thing.part, thing.coefficients, limit_mm)) is not None
    }
    whole = {number for number, ring in low.items() if ring is over[number].part}
    return [ring for number, ring in low.items() if whole.isdisjoint(over[number].under)]


def _not_empty(atoms: Sequence[Atom], shapes: Sequence[BaseGeometry]) -> dict[Atom, Places]:
    pairs = zip(atoms, shapes, strict=True)
    return {atom: Places(shape) for atom, shape in pairs if not shape.is_empty}


def _meets(zone: Zone, solids: Solids) -> bool:
    counts = minded(zone, solids)
    things = [Polygon(solids.parts[i]) for i in np.flatnonzero(counts)]
    return any(Polygon(part).intersects(thing) for part in zone.parts for thing in things)


def _over(overhead: Overhead) -> tuple[Over, ...]:
    made = []
    for item in overhead.items:
        for part in rings(item.polygon):
            lowest = float(item.heights_at(part).min())
            made.append(Over(part, item.coefficients, lowest))
    areas: Geometries = np.array([Polygon(one.part) for one in made], dtype=object)
    inner, outer = shapely.STRtree(areas).query(areas, predicate="within").tolist()
    covered = set(zip(inner, outer, strict=True))
    # of two alike the first one stays
    under = [(i, j) for i, j in covered if i != j and ((j, i) not in covered or j < i)]
    return tuple(
        one._replace(under=tuple(j for i, j in under if i == number))
        for number, one in enumerate(made)
    )


def _door_zones(scene: Scene) -> Iterator[Zone]:
    """Yield what a door must have free to be opened at all, or far enough to leave by."""
    for shape in scene.room.openings:
        for sweep in shape.sweeps:
            if sweep.hinge is not None and shape.opening.way_out:
                parts = tuple(rings(_to_leave(shape, sweep)))
                yield Zone(parts, leaf_from_mm(scene, sweep), sweep.high_mm, what="hard")
            elif sweep.hinge is None and shape.opening.kind == "side-sliding":
                yield _cored(sweep.polygon, sweep.low_mm, sweep.high_mm)
        for hanging in shape.when_open:
            yield _cored(hanging.polygon, hanging.bottom_mm, hanging.top_mm)


def _cored(polygon: Polygon, low_mm: float, high_mm: float) -> Zone:
    core = polygon.buffer(-HALF_MM, join_style="mitre")
    return Zone(tuple(rings(core)), low_mm, high_mm, what="hard")


def _to_leave(shape: OpeningShape, sweep: Sweep) -> BaseGeometry:
    """Return the part of what a leaf sweeps through which it must pass for somebody to leave."""
    assert sweep.hinge is not None
    assert sweep.shut is not None
    angle = published("door.leave-angle-deg")
    (hx, hy), (sx, sy), (ix, iy) = sweep.hinge, sweep.shut, shape.inward
    sense = 1 if sx * iy - sy * ix > 0 else -1
    # a triangle so long that the arc lies within it
    far = 2 * sweep.leaf_mm / math.cos(math.radians(angle / 2))
    ox, oy = turn(sx, sy, sense * angle)
    wedge = Polygon([(hx, hy), (hx + sx * far, hy + sy * far), (hx + ox * far, hy + oy * far)])
    return grown(sweep.polygon.intersection(wedge), GROWN_MM)


def _door_cares(scene: Scene) -> Iterator[Zone]:
    """Yield all that a door wants free: to open fully, over mats too, and what its leaf passes."""
    for shape in scene.room.openings:
        for sweep in shape.sweeps:
            low = sweep.low_mm if sweep.hinge is None else leaf_from_mm(scene, sweep)
            zone = _cored(sweep.polygon, low, sweep.high_mm)
            yield zone if sweep.hinge is None else replace(zone, what="solid")
        for hanging in shape.when_open:
            yield _cored(hanging.polygon, hanging.bottom_mm, hanging.top_mm)


def _windows(scene: Scene, wanted: bool) -> Iterator[Rule]:
    """Yield the stretches before a window of which one must be free: before the only way out.

    With `wanted` before each that must open.
    """
    must = [
        shape
        for shape in scene.room.openings
        if shape.opening.kind == "window" and shape.opening.must_open
    ]
    only = [shape for shape in must if shape.opening.way_out and not ways_out(scene)]
    for shape in must if wanted else only[:1] if len(only) == 1 else ():
        yield _stretches(shape)


def _stretches(shape: OpeningShape) -> Rule:
    opening, deep = shape.opening, published("route.least-mm")
    wide = enough_mm(min(published("window.escape.side-mm"), opening.width_mm))
    left, inward = np.array(shape.left), np.array(shape.inward)
    along = (np.array(shape.right) - left) / opening.width_mm
    low, high = opening.sill_mm, opening.sill_mm + opening.height_mm
    zones = []
    for start in np.linspace(0.0, opening.width_mm - wide, STRETCHES):
        ends = start - HALF_MM, start + wide + HALF_MM
        corners = [(ends[0], HALF_MM), (ends[1], HALF_MM)]
        corners += [(ends[1], deep - HALF_MM), (ends[0], deep - HALF_MM)]
        polygon = Polygon([left + a * along + d * inward for a, d in corners])
        zones.append(Zone(tuple(rings(polygon)), low, high, walls=False))
    return tuple(zones)
