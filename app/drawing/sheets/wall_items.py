"""What is on one wall, laid flat: s from its left end as one faces it, z above the bare floor."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from app.checks.behind import wall_behind
from app.drawing.sheets.section_room import HUNG_MM, UP_TO_CEILING
from app.drawing.sheets.wall_hidden import NEARER_MM, Stroke, unhidden
from app.drawing.too_high import Over, too_high
from app.library.anchors import place
from app.model.room_check import opening_name
from app.scene.build import Placed, Scene
from app.takeoff.calling import mirror_called, projection_called, strip_called
from app.takeoff.fixings import ON_STUDS, fixings_of
from app.takeoff.mirrors import clips_of_piece, is_hung
from app.takeoff.projection import image_width_mm
from app.takeoff.small_points import (
    PointOnWall,
    clip_points,
    edge_points,
    ledge_high_mm,
    ledge_points,
    pair_points,
    piece_points,
    profile_points,
    stud_points,
)
from app.takeoff.surfaces import Face, along_face

BEFORE_MM = 900.0
"""Kit that stands nearer to a wall than this is shown before it, pale."""
_EDGE_SHARE = 0.1
_SLIVER_MM2 = 100.0

Floats: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class OnWall:
    """One thing on a wall: a box from `left` to `right` and `low` to `high`, and what it is."""

    kind: str
    name: str
    left: float
    right: float
    low: float
    high: float
    fixings: tuple[tuple[float, float], ...] = ()
    placed: Placed | None = None
    clips: tuple[tuple[float, float], ...] = ()
    screws: tuple[tuple[float, float], ...] = ()
    parts: tuple[Before, ...] = ()
    """The boxes that kit on the wall is made of, the nearest to the eye last."""
    off: float = 0.0
    deep: float = 0.0
    """How far its back and its front are from the wall: of columns and what hangs low."""

    @property
    def ledge(self) -> tuple[float, float] | None:
        """The lower and upper edge of the ledge that its screws are in, if it stands on one."""
        under = self.screws and max(z for _, z in self.screws) <= self.low
        return (self.low - ledge_high_mm(self.low), self.low) if under else None

    foot: str = "ledge"
    """What carries glass that stands on one, "ledge" or "batten"."""

    @property
    def bars(self) -> tuple[float, ...]:
        """Where upright lines run through it: the bar of a window, the joints between panes."""
        if self.kind == "window":
            return ((self.left + self.right) / 2,)
        # panes of a mirror have their clips at their joint
        return tuple(sorted({round(x, 1) for x, _ in self.clips} - {round(self.left, 1)})[:-1])


@dataclass(frozen=True, slots=True)
class Before:
    """A box of kit before a wall or on it; `off` is how far from it its front is.

    From `over` on it is higher than the room.
    """

    placed: Placed
    left: float
    right: float
    low: float
    high: float
    off: float
    over: float = math.inf


@dataclass(frozen=True)
class FlatWall:
    """One wall laid flat, its left end at the left hand of whoever faces it."""

    face: Face
    scene: Scene

    @property
    def length(self) -> float:
        """The length of the finished face, mm."""
        return math.dist(self.face.wall.start, self.face.wall.end)

    @property
    def on_studs(self) -> bool:
        """Return whether its light things are screwed to timber studs."""
        return self.face.wall.wall.construction == ON_STUDS

    @property
    def mirrored(self) -> bool:
        """Return whether the wall starts at the right hand of whoever faces it."""
        return not self.scene.plan.room.clockwise

    @cached_property
    def ring(self) -> list[PointOnWall]:
        """The outline of the wall as one faces it."""
        part = max(shapely.get_parts(self.face.upright), key=lambda one: one.area)
        return [(self.s(x), z) for x, z in part.exterior.coords[:-1]]

    def s(self, along: float) -> float:
        """Return a distance along the wall as one from the left end."""
        return self.length - along if self.mirrored else along

    def span(self, first: float, last: float) -> tuple[float, float]:
        """Return two distances along the wall from the left, the nearer first."""
        a, b = sorted((self.s(first), self.s(last)))
        return a, b

    @cached_property
    def over(self) -> Over:
        """What is higher than the room where it stands."""
        return too_high(self.scene)

    @cached_property
    def items(self) -> tuple[OnWall, ...]:
        """Everything on the wall: openings, sockets, what is chosen for it, wall kit."""
        return tuple(self._items())

    def top_over(self, left: float, right: float) -> float:
        """Return how high the wall is between two places from its left end, where it is lowest."""
        # the top is lowest at a corner of it or where the stretch ends
        ends = [self.s(left), self.s(right)]
        low, high = min(ends), max(ends)
        top, heights = self._top
        inner = heights[(top > low) & (top < high)].tolist()
        return float(min([*np.interp(ends, top, heights).tolist(), *inner]))

    @cached_property
    def _top(self) -> tuple[Floats, Floats]:
        """How far along the wall each corner of its upper edge is, and how high."""
        xy = shapely.get_coordinates(self.face.upright)
        along = np.unique(xy[:, 0])
        return along, np.array([xy[xy[:, 0] == x, 1].max() for x in along.tolist()])

    @cached_property
    def fronts(self) -> tuple[OnWall, ...]:
        """Columns and chimney breasts at the wall or near before it, the farthest from it last."""
        found = [
            one
            for column, polygon in self.scene.room.columns
            if (one := self._standing("column", column.label or "Column", polygon, 0.0)) is not None
        ]
        return tuple(sorted(found, key=lambda one: one.deep))

    def _standing(
        self, kind: str, name: str, polygon: shapely.Polygon, low: float
    ) -> OnWall | None:
        """Return what reaches up to the ceiling at the wall, or hangs there, where it is near."""
        wall = self.face.wall
        line = shapely.LineString([wall.start, wall.end])
        near = polygon.intersection(line.buffer(BEFORE_MM, cap_style="flat"))
        near = near.intersection(self.scene.room.free)
        if near.area <= _SLIVER_MM2:
            return None
        corners = shapely.get_coordinates(near) - np.array(wall.start)
        at, off = corners @ np.array(wall.along), corners @ np.array(wall.inward)
        left, right = self.span(float(at.min()), float(at.max()))
        left, right = max(left, 0.0), min(right, self.length)
        if right - left <= NEARER_MM:
            return None
        top = self.top_over(left, right)
        return OnWall(
            kind, _upper(name), left, right, low, top,
            off=max(0.0, float(off.min())), deep=float(off.max()),
        )  # fmt: skip

    def _low(self) -> Iterator[OnWall]:
        """Yield beams, ducts and pipes that end on the wall or run along it."""
        for thing, polygon in self.scene.room.low:
            found = self._standing("low", thing.label or thing.kind, polygon, thing.bottom_mm)
            if found is None or found.high <= found.low:
                continue
            reaches = thing.kind in UP_TO_CEILING
            high = found.high if reaches else min(found.high, found.low + HUNG_MM)
            yield replace(found, high=high)

    @cached_property
    def before(self) -> tuple[Before, ...]:
        """The boxes of the kit that stands before the wall, in the order of the plan."""
        return tuple(self._before())

    @cached_property
    def before_edges(self) -> tuple[Stroke, ...]:
        """The edges of that kit which one sees, none through what stands nearer."""
        return unhidden(self.before, self.fronts)

    def _items(self) -> Iterator[OnWall]:
        wall, plan = self.face.wall, self.scene.plan
        for opening, hole in self.face.openings:
            if hole.is_empty:
                continue
            x0, z0, x1, z1 = hole.bounds
            kind = "window" if opening.kind == "window" else "opening"
            left, right = self.span(x0, x1)
            yield OnWall(kind, _upper(opening_name(opening)), left, right, z0, z1)
        for socket in plan.room.sockets:
            if socket.wall == wall.id:
                s = self.s(along_face(wall, socket.offset_mm))
                yield OnWall("socket", "Socket", s, s, socket.height_mm, socket.height_mm)
        for area in plan.fit_out.mirrors:
            if area.wall == wall.id:
                at = along_face(wall, area.offset_mm)
                left, right = self.span(at, at + area.width_mm)
                low = area.bottom_mm
                name = mirror_called(self.scene, area)
                screwed = stud_points if self.on_studs else ledge_points
                ledge = screwed(area.offset_mm, area.width_mm, low)
                yield OnWall(
                    "mirror", _upper(name), left, right, low, low + area.height_mm,
                    clips=self._flat(clip_points(self.scene, area)), screws=self._flat(ledge),
                    foot=area.foot,
                )  # fmt: skip
        for wanted in plan.fit_out.projections:
            if wanted.wall == wall.id and wanted.throw_ratio > 0:
                wide = image_width_mm(wanted.distance_mm, wanted.throw_ratio)
                at = along_face(wall, wanted.middle_mm)
                left, right = self.span(at - wide / 2, at + wide / 2)
                # a projector throws upwards from its lens: the foot of the picture is level with it
                low = wanted.lens_mm
                name = projection_called(self.scene, wanted)
                yield OnWall("picture", _upper(name), left, right, low, low + wide / wanted.aspect)
        for run in plan.fit_out.strips:
            if run.wall == wall.id:
                clips = self._flat(profile_points(run))
                for (a, za), (b, zb) in pairwise(run.points):
                    left, right = self.span(along_face(wall, a), along_face(wall, b))
                    name, low, high = strip_called(self.scene, run), min(za, zb), max(za, zb)
                    yield OnWall("strip", _upper(name), left, right, low, high, clips=clips)
                    # the first leg has those of the whole run
                    clips = ()
        yield from self._kit()
        yield from self._low()

    def _kit(self) -> Iterator[OnWall]:
        for placed in self.scene.order:
            if placed.kit.fixing not in ("wall", "wall-and-floor"):
                continue
            behind, gap = wall_behind(self.scene, placed)
            if behind.id != self.face.wall.id or gap > BEFORE_MM:
                continue
            boxes = list(self.boxes(placed))
            if not boxes:
                continue
            left, right = min(b.left for b in boxes), max(b.right for b in boxes)
            low, high = min(b.low for b in boxes), max(b.high for b in boxes)
            fixings = self._fixings(placed, left, right)
            clips: tuple[PointOnWall, ...] = ()
            screws: tuple[PointOnWall, ...] = ()
            if is_hung(placed):
                clips = edge_points(left, right, low, high, clips_of_piece(placed) // 2)
                screws = ledge_points(left, right - left, low)
            elif not fixings and not placed.piece.stays:
                top = min(high, self.top_over(left, right))
                hangs = low if low > placed.lift_mm else 0.0
                of = pair_points if self.on_studs else piece_points
                screws = of(left, right, hangs, top, fixings_of(placed))
            parts = tuple(sorted(boxes, key=lambda box: box.off))
            yield OnWall(
                "kit", placed.name, left, right, low, high, fixings, placed, clips, screws, parts
            )

    def _flat(self, points: Iterable[PointOnWall]) -> tuple[PointOnWall, ...]:
        """Return points of the wall, as plans say them, laid flat."""
        return tuple((self.s(along_face(self.face.wall, x)), z) for x, z in points)

    def _fixings(
        self, placed: Placed, left: float, right: float
    ) -> tuple[tuple[float, float], ...]:
        """Return where the fixings of a piece are: in its rows, spread over its width."""
        fixed = placed.kit.fixed
        if fixed is None or fixed.rows is None or placed.piece.stays:
            return ()
        low, high = (place(row, placed.extent) + placed.lift_mm for row in fixed.rows)
        return (
            *((s, high) for s in _spread(left, right, fixed.top)),
            *((s, low) for s in _spread(left, right, fixed.count - fixed.top)),
        )

    def _before(self) -> Iterator[Before]:
        line = shapely.LineString([self.face.wall.start, self.face.wall.end])
        standing = [
            placed
            for placed in self.scene.order
            if placed.kit.fixing not in ("wall", "wall-and-floor") and placed.kit.bar is None
        ]
        footprints = np.array([placed.footprint for placed in standing], dtype=object)
        for i in np.flatnonzero(shapely.distance(footprints, line) < BEFORE_MM).tolist():
            yield from self.boxes(standing[i])

    def boxes(self, placed: Placed) -> Iterator[Before]:
        """Yield the solids of a piece as one sees them who faces the wall."""
        wall = self.face.wall
        along, start, out = np.array(wall.along), np.array(wall.start), np.array(wall.inward)
        limits = self.over.get(placed.piece.id, {})
        for number, (polygon, low, high) in enumerate(
            zip(placed.polygons(), placed.shape.low_mm, placed.shape.high_mm, strict=True)
        ):
            corners = shapely.get_coordinates(polygon) - start
            at, off = corners @ along, float((corners @ out).max())
            left, right = self.span(float(at.min()), float(at.max()))
            # what stands past an end of the wall stands before another one
            left, right = max(left, 0.0), min(right, self.length)
            if right <= left:
                continue
            base = placed.lift_mm + placed.rest_mm[1]
            ends = base + float(low), base + float(high)
            yield Before(placed, left, right, *ends, off, limits.get(number, math.inf))


def _spread(left: float, right: float, count: int) -> list[float]:
    """Return places for so many fixings over a width, the outer ones a little inside it."""
    inset = (right - left) * _EDGE_SHARE
    if count < 2:
        return [(left + right) / 2] * count
    step = (right - left - 2 * inset) / (count - 1)
    return [left + inset + i * step for i in range(count)]


def _upper(name: str) -> str:
    return name[:1].upper() + name[1:]
