"""A station in its own frame: its solids, what it needs free, what rises at it.

A *zone* is floor between two heights that certain things must not meet. A *rule* is one or more
zones of a station: it is broken where each of its zones is met by something. Most rules have one
zone. A lane that is judged by its width has two (what is nearest, and that in its midst), spaces of
which one is enough have one each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from app.checks.between_posts import may_be_there
from app.checks.hangers import hangers, hangs
from app.checks.hung_over import hangs_over
from app.checks.layers import is_layer
from app.model.kit import Pose
from app.placing.convex import Floats, Ints, Ring, rings, turned
from app.scene.build import Placed, Scene
from app.scene.shapes import shape_of, turn
from app.scene.tolerance import SKY_MM

Flags = NDArray[np.bool_]
What = Literal[
    "solid", "hard", "standing", "tall", "glass", "strange", "hung", "over", "above", "juts",
    "deck", "bare", "step", "fall", "cut-off", "low",
]  # fmt: skip
"""What a zone minds: every solid, all but mats, all but layers, what cannot be stepped over, glass,
what does not belong between the posts of a rack, what hangs over all who are under it, what juts
out from a wall over who is upright, both of these, what does over decks alone, a platform that is
just as high as the zone, or every solid with plates all along a bar; of the room alone a step, an
edge from which one falls, floor without a way out or what hangs lower over a part of it than its
top."""
OF_THE_ROOM = frozenset({"step", "fall", "cut-off", "low"})
"""What no piece is."""

FRAME_MM = 6
"""Decimals of a mm to which places within a station are told: two of one make, dragged apart, are
alike to far less than the core rounds by."""


class Band(NamedTuple):
    """The midst of a lane: things count that reach across it between two lines.

    `out` is the way out of the piece, `low` and `high` lie to the left and right of it.
    """

    out: tuple[float, float]
    low: float
    high: float


@dataclass(frozen=True, slots=True, eq=False)
class Zone:
    """Floor that what it minds must not meet between two heights; see the module."""

    parts: tuple[Ring, ...]
    low_mm: float
    high_mm: float
    what: What = "solid"
    walls: bool = True
    band: Band | None = None
    tops: tuple[float, ...] = ()


Rule = tuple[Zone, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Solids:
    """Convex parts of solids, one entry each; `solid` tells which belong to one solid.

    `piece` is the number of its piece or wall, `top_mm` the highest of all of that. `layer` may be
    stood on, `soft` is a mat, `bar` belongs to a bar, `wall` is a wall, `guest` may stand between
    the posts of a rack, `hung` hangs over all who are under it, `over` over who is upright, `juts`
    out from a wall over decks alone. `asks_mm` is the height that each asks for, with what is
    needed to stand it up where that counts.
    """

    parts: tuple[Ring, ...]
    low_mm: Floats
    high_mm: Floats
    solid: Ints
    piece: Ints
    top_mm: Floats
    layer: Flags
    soft: Flags
    bar: Flags
    wall: Flags
    guest: Flags
    hung: Flags
    over: Flags
    juts: Flags
    asks_mm: Floats

    def across(self, out: tuple[float, float]) -> tuple[Floats, Floats]:
        """Return from where to where the piece of each part reaches across a way, in mm."""
        aside = np.array([-out[1], out[0]])
        first = np.array([float((ring @ aside).min()) for ring in self.parts])
        last = np.array([float((ring @ aside).max()) for ring in self.parts])
        for number in np.unique(self.piece):
            mine = self.piece == number
            first[mine], last[mine] = first[mine].min(), last[mine].max()
        return first, last


class Rising(NamedTuple):
    """One part of a movement: its floor, and the heights that must be clear over it, in mm."""

    area: Ring
    least_mm: float
    need_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Need:
    """A movement that one person wants: the places for it at this station, each with its parts.

    A place under the station's own rails that are too low is not among them.
    """

    person: str
    movement: str
    places: tuple[tuple[Rising, ...], ...]


@dataclass(frozen=True, eq=False)
class Form:
    """A station, its root in the middle of the frame and turned by `turn` from there."""

    solids: Solids
    floors: tuple[Ring, ...]
    rules: tuple[Rule, ...]
    glass: tuple[tuple[Ring, float], ...]
    needs: tuple[Need, ...]
    decks: tuple[tuple[Ring, float], ...] = ()

    @cached_property
    def key(self) -> bytes:
        """All that sums of outlines hang on, as bytes: two alike have one table."""
        s = self.solids
        rows: list[bytes] = [ring.tobytes() for ring in s.parts]
        flags = (
            s.low_mm,
            s.high_mm,
            s.solid,
            s.top_mm,
            s.layer,
            s.soft,
            s.bar,
            s.wall,
            s.guest,
            s.hung,
            s.over,
            s.juts,
        )
        rows += [array.tobytes() for array in flags]
        for rule in self.rules:
            rows.append(b"rule")
            for zone in rule:
                rows += [ring.tobytes() for ring in zone.parts]
                head = (zone.low_mm, zone.high_mm, zone.what, zone.walls, zone.band, zone.tops)
                rows.append(repr(head).encode())
        rows += [ring.tobytes() + repr(low).encode() for ring, low in self.glass]
        rows += [b"deck" + ring.tobytes() + repr(high).encode() for ring, high in self.decks]
        return b"|".join(rows)

    @cached_property
    def outlines(self) -> bytes:
        """All that walls and columns mind of it, as bytes."""
        s = self.solids
        rows = [ring.tobytes() for ring in (*s.parts, *self.floors)]
        rows += [array.tobytes() for array in (s.low_mm, s.high_mm, s.layer)]
        return b"|".join(rows)

    @cached_property
    def room_key(self) -> bytes:
        """All that what the room forbids to it hangs on besides the room, as bytes."""
        rows = [self.key, self.solids.asks_mm.tobytes(), *(ring.tobytes() for ring in self.floors)]
        for need in self.needs:
            rows.append(repr((need.person, need.movement)).encode())
            for place in need.places:
                rows.append(b"place")
                for part in place:
                    rows += [part.area.tobytes(), repr(part[1:]).encode()]
        return b"|".join(rows)

    def turned(self, angle_deg: float) -> Form:
        """Return the station turned about its root, clockwise as drawn."""
        if not angle_deg:
            return self
        return Form(
            replace(self.solids, parts=_turned(self.solids.parts, angle_deg)),
            _turned(self.floors, angle_deg),
            tuple(tuple(_zone_turned(zone, angle_deg) for zone in rule) for rule in self.rules),
            tuple((turned(ring, angle_deg), low) for ring, low in self.glass),
            tuple(_need_turned(need, angle_deg) for need in self.needs),
            tuple((turned(ring, angle_deg), high) for ring, high in self.decks),
        )


def _turned(parts: Sequence[Ring], angle_deg: float) -> tuple[Ring, ...]:
    return tuple(turned(ring, angle_deg) for ring in parts)


def _zone_turned(zone: Zone, angle_deg: float) -> Zone:
    band = zone.band
    if band is not None:
        band = Band(turn(*band.out, angle_deg), band.low, band.high)
    return replace(zone, parts=_turned(zone.parts, angle_deg), band=band)


def _need_turned(need: Need, angle_deg: float) -> Need:
    places = tuple(
        tuple(part._replace(area=turned(part.area, angle_deg)) for part in place)
        for place in need.places
    )
    return replace(need, places=places)


def in_frame(scene: Scene, root: str) -> tuple[Placed, ...]:
    """Return the pieces of a station as they stand in the frame of its root."""
    base = scene.placed[root]
    members = []
    for placed in scene.stations[root]:
        away = placed.at[0] - base.at[0], placed.at[1] - base.at[1]
        x, y = turn(*away, -base.pose.angle_deg)
        angle = round((placed.pose.angle_deg - base.pose.angle_deg) % 360, FRAME_MM)
        pose = Pose.within(round(x, FRAME_MM), round(y, FRAME_MM), angle)
        shape = shape_of(placed.piece, angle, placed.kit)
        members.append(replace(placed, pose=pose, shape=shape))
    return tuple(members)


def solids_of(members: Sequence[Placed], build_mm: float = 0.0) -> Solids:
    """Return the solids of some pieces as convex parts, where they stand.

    Racks that are built up here ask for so much above them.
    """
    parts: list[Ring] = []
    rows: list[tuple[float, float, int, int, float, bool, bool, bool, bool, float]] = []
    number = 0
    for i, placed in enumerate(members):
        shape, (rest_low, rest_high) = placed.shape, placed.rest_mm
        lows = shape.low_mm + (placed.lift_mm + rest_low)
        highs = shape.high_mm + (placed.lift_mm + rest_high)
        layer = is_layer(placed)
        built = placed.kit.group == "Racks" and placed.kit.fixing != "wall"
        soft, bar = set(shape.parts) == {"mat"}, placed.kit.bar is not None
        guest = may_be_there(placed.kit)
        for core, low, high in zip(shape.cores, lows.tolist(), highs.tolist(), strict=True):
            for ring in rings(core):
                parts.append(ring + placed.at)
                # a bar may hang as low as the lowest hooks that it may lie on here
                asks = high + build_mm * built - (rest_high - rest_low)
                rows.append(
                    (low, high, number, i, float(highs.max()), layer, soft, bar, guest, asks)
                )
            number += 1
        for core in hangers(placed)[0] if hangs(placed) else ():
            # up to the ceiling goes what it hangs by, through whatever hangs there
            for ring in rings(core):
                parts.append(ring + placed.at)
                high, none = float(highs.max()), 0.0
                rows.append((high, SKY_MM, number, i, high, False, soft, bar, guest, none))
            number += 1
    over = [hangs_over(placed) for placed in members]
    columns = list(zip(*rows, strict=True)) or [()] * 10
    low_mm, high_mm, solid, piece, top, layers, softs, bars, guests, asked = columns
    return Solids(
        tuple(parts),
        np.array(low_mm, dtype=np.float64),
        np.array(high_mm, dtype=np.float64),
        np.array(solid, dtype=np.intp),
        np.array(piece, dtype=np.intp),
        np.array(top, dtype=np.float64),
        np.array(layers, dtype=bool),
        np.array(softs, dtype=bool),
        np.array(bars, dtype=bool),
        np.zeros(len(rows), dtype=bool),
        np.array(guests, dtype=bool),
        np.array([over[i] == "all" for i in piece], dtype=bool),
        np.array([over[i] == "upright" for i in piece], dtype=bool),
        np.array([over[i] == "deck" for i in piece], dtype=bool),
        np.array(asked, dtype=np.float64),
    )


def standing(polygons: Sequence[shapely.Polygon], walls: int, high_mm: float) -> Solids:
    """Return what stands fixed in a room, walls first, as convex parts from floor to a height."""
    made = [(ring, i) for i, polygon in enumerate(polygons) for ring in rings(polygon)]
    count = len(made)
    solid = np.array([i for _, i in made], dtype=np.intp)
    tall, none = np.full(count, high_mm), np.zeros(count, dtype=bool)
    return Solids(
        tuple(ring for ring, _ in made),
        np.zeros(count),
        tall,
        solid,
        solid,
        tall,
        none,
        none,
        none,
        solid < walls,
        none,
        none,
        none,
        none,
        tall,
    )
