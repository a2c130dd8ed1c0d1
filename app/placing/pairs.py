"""Forbidden offsets of two stations: where one may not stand as seen from the other.

Tables hang on the two stations and the turn between them alone, so they are kept by value for
every plan that is open, and turned with the stations.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.placing.convex import (
    Floats,
    Ints,
    Ring,
    meeting,
    mirrored,
    turned_shape,
    united,
)
from app.placing.form import OF_THE_ROOM, Band, Flags, Form, Solids, Zone
from app.recent import Recent
from app.scene.tolerance import TOLERANCE_MM, heights_meet

TABLES_AT_MOST = 4096
"""Tables that are kept: those of some dozen stations at all their turns."""
TABLES_BYTES = 64_000_000
"""What they hold together, by the corners of their polygons."""
TURNED_AT_MOST = 2048
"""Tables as stations are turned in a room that are kept: a drop asks for most of them again."""
TURNED_BYTES = 32_000_000
"""What these hold together."""
TURN_DECIMALS = 3
"""Decimals of a degree to which turns are told apart: those of a plan."""
_BYTES_A_CORNER = 40
_BYTES_A_TABLE = 2000
_FAR_MM = 1e5
"""Longer than any house: as far as a band of a lane is drawn."""
_PREPARING = threading.Lock()
Atom = tuple[int, int]
"""A zone of a station: the number of its rule, and of the zone in that."""


class Places:
    """A set of places, asked for many points at once; its edge belongs to it."""

    __slots__ = ("_bounds", "shape")

    def __init__(self, shape: BaseGeometry) -> None:
        self.shape = shape
        self._bounds: tuple[float, float, float, float] = shape.bounds
        if not shape.is_empty:
            # the index is made by the first question: never by two threads at once
            with _PREPARING:
                shapely.prepare(shape)
                shapely.intersects_xy(shape, 0.0, 0.0)

    def __bool__(self) -> bool:
        return not self.shape.is_empty

    @property
    def box_mm2(self) -> float:
        """How large the box about them is."""
        if self.shape.is_empty:
            return 0.0
        x0, y0, x1, y1 = self._bounds
        return (x1 - x0) * (y1 - y0)

    def box_meets(self, other: tuple[float, float, float, float]) -> bool:
        """Return whether the box about them meets another one, least x and y and the most."""
        if self.shape.is_empty:
            return False
        x0, y0, x1, y1 = self._bounds
        return x0 <= other[2] and other[0] <= x1 and y0 <= other[3] and other[1] <= y1

    def hold(self, points: Floats) -> Flags:
        """Return which points, (n, 2), lie in the set or on its edge."""
        if self.shape.is_empty:
            return np.zeros(len(points), dtype=bool)
        x0, y0, x1, y1 = self._bounds
        x, y = points[:, 0], points[:, 1]
        near = (x >= x0) & (x <= x1) & (y >= y0) & (y <= y1)
        if near.any():
            near[near] = shapely.intersects_xy(self.shape, x[near], y[near])
        return near

    def holds(self, x: float, y: float) -> bool:
        """Return whether one point lies in the set or on its edge."""
        if self.shape.is_empty:
            return False
        x0, y0, x1, y1 = self._bounds
        return x0 <= x <= x1 and y0 <= y <= y1 and bool(shapely.intersects_xy(self.shape, x, y))


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """Of two stations the places of the second one's root as seen from that of the first.

    `hard` breaks a rule of one zone or has them in one another. `of_first` are the places at which
    the second meets a zone of a rule of several of the first, `of_second` the reverse.
    """

    hard: Places
    of_first: dict[Atom, Places]
    of_second: dict[Atom, Places]

    def turned(self, angle_deg: float) -> Table:
        """Return the table with both stations turned, clockwise as drawn."""
        return self._mapped(lambda shape: turned_shape(shape, angle_deg)) if angle_deg else self

    def swapped(self) -> Table:
        """Return the table as seen from the second."""
        there = self._mapped(mirrored)
        return Table(there.hard, there.of_second, there.of_first)

    def _mapped(self, change: Callable[[BaseGeometry], BaseGeometry]) -> Table:
        def all_of(places: dict[Atom, Places]) -> dict[Atom, Places]:
            return {atom: Places(change(one.shape)) for atom, one in places.items()}

        return Table(Places(change(self.hard.shape)), all_of(self.of_first), all_of(self.of_second))


@dataclass(slots=True)
class Meetings:
    """Gathers pairs of convex parts of which the sums are wanted, and makes all in one go."""

    standing: list[Ring] = field(default_factory=list)
    moving: list[Ring] = field(default_factory=list)
    of: list[Ints] = field(default_factory=list)
    by: list[Ints] = field(default_factory=list)
    group: list[Ints] = field(default_factory=list)
    bands: dict[int, tuple[Band, Floats, Floats, int]] = field(default_factory=dict)

    def add(
        self, group: int, standing: tuple[Ring, ...], moving: tuple[Ring, ...], keep: Flags
    ) -> None:
        """Add to a group all pairs of parts of which `keep`, (standing, moving), tells so."""
        of, by = np.nonzero(keep)
        self.of.append(of + len(self.standing))
        self.by.append(by + len(self.moving))
        self.group.append(np.full(len(of), group, dtype=np.intp))
        self.standing += standing
        self.moving += moving

    def add_zone(self, group: int, zone: Zone, solids: Solids) -> None:
        """Add the places at which solids meet a zone."""
        keep = np.broadcast_to(minded(zone, solids), (len(zone.parts), len(solids.parts)))
        if zone.band is not None and keep.any():
            first, last = solids.across(zone.band.out)
            self.bands[group] = zone.band, first, last, len(self.moving)
        self.add(group, zone.parts, solids.parts, keep)

    def made(self, count: int) -> list[BaseGeometry]:
        """Return the union of each of the groups."""
        if not self.of:
            return [Polygon()] * count
        of, by, group = map(np.concatenate, (self.of, self.by, self.group))
        sums = meeting(self.standing, self.moving, of, by)
        for number, (band, first, last, start) in self.bands.items():
            for i in np.flatnonzero(group == number):
                reach = first[by[i] - start], last[by[i] - start]
                sums[i] = sums[i].intersection(_across(band, *reach))
        return [united(sums[group == number]) for number in range(count)]


def _across(band: Band, first: float, last: float) -> Polygon:
    """Return the offsets at which what reaches from `first` to `last` reaches over a band."""
    out, low, high = np.array(band.out), band.low - last, band.high - first
    aside = np.array([-out[1], out[0]])
    corners = [(-_FAR_MM, low), (_FAR_MM, low), (_FAR_MM, high), (-_FAR_MM, high)]
    return Polygon([d * out + a * aside for d, a in corners])


def minded(zone: Zone, solids: Solids) -> Flags:
    """Return which parts of solids a zone minds."""
    low, high = np.array(zone.low_mm), np.array(zone.high_mm)
    counts: Flags
    if zone.what in OF_THE_ROOM or zone.what == "deck":
        return np.zeros(len(solids.parts), dtype=bool)
    if zone.what == "tall":
        counts = (solids.low_mm < high - TOLERANCE_MM) & (solids.top_mm > low + TOLERANCE_MM)
        return counts
    lows = _with_plates(solids) if zone.what == "bare" else solids.low_mm
    counts = heights_meet(lows, solids.high_mm, low, high)
    if zone.what == "hard":
        counts &= ~solids.soft
    if zone.what in ("standing", "strange"):
        counts &= ~solids.layer
    if zone.what == "strange":
        counts &= ~solids.guest
    if zone.what == "hung":
        counts &= solids.hung
    if zone.what == "over":
        counts &= solids.over
    if zone.what == "above":
        counts &= solids.hung | solids.over | solids.wall
    if zone.what == "juts":
        counts &= solids.juts
    if not zone.walls:
        counts &= ~solids.wall
    return counts


def _with_plates(solids: Solids) -> Floats:
    """Return from which height on each part counts with plates all along a bar."""
    lows = solids.low_mm.copy()
    for number in np.unique(solids.piece[solids.bar]):
        mine = solids.piece == number
        lows[mine] = lows[mine].min()
    return lows


def clashing(one: Solids, other: Solids) -> Flags:
    """Return which parts of two things cannot be in one place: layers may be stood on."""
    met: Flags = heights_meet(
        one.low_mm[:, None], one.high_mm[:, None], other.low_mm[None, :], other.high_mm[None, :]
    )
    return met & ~one.layer[:, None] & ~other.layer[None, :]


def table_of(first: Form, second: Form, between_deg: float) -> Table:
    """Return the table of two stations, the second turned by so much to the first; remembered."""
    key = first.key, second.key, between_deg
    return TABLES.made(key, lambda: _table(first, second.turned(between_deg)))


def seen_from(first: Form, first_deg: float, second: Form, second_deg: float) -> Table:
    """Return the forbidden offsets of a second station as seen from a first, as both are turned."""
    key = first.key, second.key, first_deg, second_deg
    return TURNED.made(key, lambda: _seen_from(first, first_deg, second, second_deg))


def _seen_from(first: Form, first_deg: float, second: Form, second_deg: float) -> Table:
    # one table serves both, whichever of the two is asked for
    if first.key <= second.key:
        between = round((second_deg - first_deg) % 360, TURN_DECIMALS)
        return table_of(first, second, between).turned(first_deg)
    between = round((first_deg - second_deg) % 360, TURN_DECIMALS)
    return table_of(second, first, between).turned(second_deg).swapped()


def _table(first: Form, second: Form) -> Table:
    """Make the table. What is seen from the second is asked from there and turned round."""
    ours, theirs = Meetings(), Meetings()
    ours.add(0, first.solids.parts, second.solids.parts, clashing(first.solids, second.solids))
    of_first = _zones(ours, first, second)
    of_second = _zones(theirs, second, first)
    mine, others = ours.made(len(of_first) + 1), theirs.made(len(of_second) + 1)
    hard = mine[0] if others[0].is_empty else shapely.union(mine[0], mirrored(others[0]))
    return Table(
        Places(hard),
        {
            atom: Places(shape)
            for atom, shape in zip(of_first, mine[1:], strict=True)
            if not shape.is_empty
        },
        {
            atom: Places(mirrored(shape))
            for atom, shape in zip(of_second, others[1:], strict=True)
            if not shape.is_empty
        },
    )


def _zones(meetings: Meetings, owner: Form, other: Form) -> list[Atom]:
    """Add the rules of a station: those of one zone to group 0, each other zone by itself."""
    atoms: list[Atom] = []
    for number, rule in enumerate(owner.rules):
        for i, zone in enumerate(rule):
            group = 0
            if len(rule) > 1:
                atoms.append((number, i))
                group = len(atoms)
            if zone.what in ("glass", "deck"):
                parts = tuple(ring for ring, low in other.glass if low < zone.high_mm)
                if zone.what == "deck":
                    parts = tuple(ring for ring, high in other.decks if high == zone.high_mm)
                keep = np.ones((len(zone.parts), len(parts)), dtype=bool)
                meetings.add(group, zone.parts, parts, keep)
            else:
                meetings.add_zone(group, zone, other.solids)
    return atoms


def _bytes(table: Table) -> int:
    places = [table.hard, *table.of_first.values(), *table.of_second.values()]
    corners = sum(int(shapely.get_num_coordinates(one.shape)) for one in places)
    return corners * _BYTES_A_CORNER + _BYTES_A_TABLE


TABLES = Recent[tuple[bytes, bytes, float], Table](TABLES_AT_MOST, TABLES_BYTES, _bytes)
TURNED = Recent[tuple[bytes, bytes, float, float], Table](TURNED_AT_MOST, TURNED_BYTES, _bytes)
