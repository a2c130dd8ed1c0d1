"""Rows of a floor cut at joints, quickly: thousands of ways to lay it are weighed with these.

Everything is in the frame of a start (u along its wall, v into the room). Where a row's outline
runs square to it, a piece is read off the outline's corners; elsewhere it is cut out of it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple, cast

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.scene.tolerance import TOLERANCE_MM, Geometries
from app.takeoff.floor_lines import Cell, Grid, in_order, lines
from app.takeoff.floor_region import Start
from app.takeoff.floor_shapes import (
    HAIR_MM,
    Band,
    Bounds,
    bands_between,
    bands_of,
    inner_mm,
    inner_of,
    joined,
    narrow_boxes,
    narrow_part,
    seams,
    slit_of_frame,
    slits_mm,
    slits_of,
)

Shape = tuple[Bounds, ...] | Polygon | None
"""A piece's outline: as rectangles or as it is; None where it is the rectangle of its bounds."""

ASKEW = 6
"""What a piece of a row with a skewed edge costs, in pieces of a square one."""

_FINE = 10.0
"""Joints are told apart to a tenth of a millimetre."""


class Row(NamedTuple):
    """One row at one phase of its joints, and what decides about it. Lengths in mm.

    `cuts` are the sizes of what is not whole, to half a millimetre, `notched` counts those that
    are more than a rectangle; `knife_mm` is the length of edges cut.
    """

    notched: int
    narrow: int
    whole: int
    cuts: tuple[tuple[float, float], ...]
    knife_mm: float
    least_mm: float
    slits: int


class RowCutter:
    """Cuts rows out of one region for one size of piece, and remembers them."""

    def __init__(self, region: BaseGeometry, grid: Grid) -> None:
        self.region = region
        self.grid = grid
        self.bounds: Bounds = region.bounds
        self.looks = 0
        self._bands = bands_of(region)
        self._strips: dict[tuple[int, int], Strip] = {}
        self._kinds: dict[tuple[object, ...], int] = {}
        self._rows: dict[tuple[int, int], Row] = {}
        self._weighed: dict[tuple[float, ...], Row] = {}

    def row(self, strip: Strip, phase: float) -> Row:
        """Return a strip of this cutter cut into a row, with a joint at `phase` + k x length."""
        phase %= self.grid.length
        key = (strip.kind, round(phase * _FINE))
        known = self._rows.get(key)
        if known is None:
            columns = lines(self.bounds[0], self.bounds[2], phase, self.grid.length)
            # of a piece longer than the room no joint shows, wherever its phase is
            alike = (strip.kind, *columns)
            if alike not in self._weighed:
                self._weighed[alike] = _weighed(strip, columns, self.grid)
            known = self._rows[key] = self._weighed[alike]
            effort = ASKEW if strip.bands is None else 1
            self.looks += effort * (1 + known.whole + len(known.cuts))
        return known

    def strip(self, low: float, high: float) -> Strip:
        """Return what a row is cut from."""
        ends = (round(low * _FINE), round(high * _FINE))
        if ends not in self._strips:
            by_place = self.grid.door_least > self.grid.least
            bands = None if self._bands is None else bands_between(self._bands, low, high)
            strip = self._strips[ends] = Strip(self.region, low, high, by_place, bands)
            # Rows alike are cut alike: a plain room has few that differ.
            strip.kind = self._kinds.setdefault(strip.alike, len(self._kinds))
        return self._strips[ends]


def lay_at(cutter: RowCutter, start: Start) -> tuple[Cell, ...]:
    """Return the pieces of a whole floor in laying order, from a start that was sought."""
    u0, v0, u1, v1 = cutter.bounds
    rows = lines(v0, v1, start.rows_at or 0.0, cutter.grid.depth)
    cells = []
    for number, (low, high) in enumerate(pairwise(rows)):
        columns = lines(u0, u1, start.phases[number], cutter.grid.length)
        for bounds, part, at in cutter.strip(low, high).pieces(columns):
            a, b = columns[at], columns[at + 1]
            shape = part if isinstance(part, Polygon) else outline_of(part or (bounds,))
            cells.append(Cell(shape, number, bounds, (a, low, b, high)))
    return in_order(cells, start)


class Strip:
    """A row of the region; `bands` are None where its outline runs askew.

    Strips of one cutter that are cut alike are of one `kind`.
    """

    def __init__(
        self,
        region: BaseGeometry,
        low: float,
        high: float,
        by_place: bool,
        bands: list[Band] | None = None,
    ) -> None:
        """Take the row from `bands` where they are known, else cut it out of the region."""
        u0, _, u1, _ = region.bounds
        self.low, self.high = low, high
        self.shape: BaseGeometry | None = None
        if bands is None:
            self.shape = shapely.intersection(region, shapely.box(u0, low, u1, high))
            at = shapely.get_coordinates(self.shape)[:, 0]
            bands = bands_of(self.shape)
        else:
            at = np.array([u for left, right, _ in bands for u in (left, right)])
        self.corners = np.unique(np.round(at * _FINE)) / _FINE
        self.bands = bands
        self.kind = 0
        self.alike: tuple[object, ...] = (low, high)
        if self.bands is not None and not by_place:
            self.alike = (
                round((high - low) * _FINE),
                *(
                    (left, right, tuple(round((v - low) * _FINE) for s in spans for v in s))
                    for left, right, spans in self.bands
                ),
            )
        self.starts = [] if self.bands is None else [band[0] for band in self.bands]

    def pieces(self, columns: Sequence[float]) -> Iterator[tuple[Bounds, Shape, int]]:
        """Return each piece between two joints: bounds, outline where it is no rectangle."""
        if self.bands is None:
            yield from self._askew(columns)
            return
        for at, (a, b) in enumerate(pairwise(columns)):
            first = max(bisect_right(self.starts, a) - 1, 0)
            met = _within(self.bands, first, a, b)
            if len(met) == 1:
                left, right, spans = met[0]
                for low, high in spans:
                    bounds = (left, low, right, high)
                    if min(right - left, high - low) > TOLERANCE_MM:
                        yield bounds, None, at
                continue
            for box, part in _over_bands(met):
                yield box, part, at

    def _askew(self, columns: Sequence[float]) -> Iterator[tuple[Bounds, Shape, int]]:
        ends = np.array(list(pairwise(columns)))
        low, high = np.full(len(ends), self.low), np.full(len(ends), self.high)
        boxes: Geometries = shapely.box(ends[:, 0], low, ends[:, 1], high)
        parts: Geometries = shapely.intersection(boxes, self.shape)
        for at, shape in enumerate(parts):
            for part in shapely.get_parts(shape):
                if part.geom_type != "Polygon":
                    continue
                u0, v0, u1, v1 = part.bounds
                if min(u1 - u0, v1 - v0) > TOLERANCE_MM:
                    square = (u1 - u0) * (v1 - v0) - part.area < TOLERANCE_MM
                    yield (u0, v0, u1, v1), None if square else part, at


def _within(bands: Sequence[Band], first: int, a: float, b: float) -> list[Band]:
    """Return the bands between two joints, cut there, looking from the `first` one on."""
    met = []
    for at in range(first, len(bands)):
        left, right, spans = bands[at]
        if left >= b - HAIR_MM:
            break
        if right > a + HAIR_MM:
            met.append((max(a, left), min(b, right), spans))
    return met


def _over_bands(met: Sequence[Band]) -> Iterator[tuple[Bounds, Shape]]:
    """Return each piece that lies in several bands: bounds, outline where it is no rectangle."""
    for boxes in joined(met):
        us, vs = [u for box in boxes for u in box[::2]], [v for b in boxes for v in b[1::2]]
        if min(max(us) - min(us), max(vs) - min(vs)) > TOLERANCE_MM:
            bounds = (min(us), min(vs), max(us), max(vs))
            # what lies in several bands and is as deep in each is a rectangle all the same
            yield bounds, tuple(boxes) if len({box[1::2] for box in boxes}) > 1 else None


def _weighed(strip: Strip, columns: Sequence[float], grid: Grid) -> Row:
    weighing = _Weighing(grid)
    if strip.bands is None or grid.door_least > grid.least:
        for box, part, _ in strip.pieces(columns):
            weighing.add(box, part, grid.least_at(box))
    else:
        weighing.add_square(strip.bands, columns)
    return weighing.row()


class _Weighing:
    """Adds up what decides about a row, piece by piece."""

    def __init__(self, grid: Grid) -> None:
        self._short, self._low = grid.length - TOLERANCE_MM / 2, grid.depth - TOLERANCE_MM / 2
        self._needed = grid.least
        self._notched = self._narrow = self._whole = self._slits = 0
        self._knife_mm, self._least_mm = 0.0, min(grid.length, grid.depth)
        self._cuts: list[tuple[float, float]] = []

    def row(self) -> Row:
        """Return the row of the pieces so far."""
        return Row(
            self._notched,
            self._narrow,
            self._whole,
            tuple(self._cuts),
            self._knife_mm,
            self._least_mm,
            self._slits,
        )

    def add(self, box: Bounds, part: Shape, needed: float) -> None:
        """Add one piece, of which no strip should be narrower than `needed`."""
        (a, under, b, over) = box
        wide, high = b - a, over - under
        narrow = self._add_box(wide, high, needed)
        if part is not None:
            self._notched += 1
            # What the outline has within its box is cut out with the knife as well.
            inner, opened, slit_mm = _cut_out(part, box)
            self._knife_mm += inner + slit_mm
            self._slits += opened
            narrow = narrow or _has_legs(part, needed)
        self._narrow += narrow

    def add_square(self, bands: Sequence[Band], columns: Sequence[float]) -> None:
        """Add all pieces of a row in bands, where the narrowest strip is the same everywhere.

        Most pieces lie within one band, and there they are rectangles.
        """
        at, last = 0, len(bands) - 1
        short, flat, need = self._short, self._low, self._needed - TOLERANCE_MM
        whole = narrow = 0
        for a, b in pairwise(columns if bands else ()):
            while at < last and bands[at][1] <= a + HAIR_MM:
                at += 1
            left, right, spans = bands[at]
            if left >= b - HAIR_MM or right <= a + HAIR_MM:
                continue
            if at < last and bands[at + 1][0] < b - HAIR_MM:
                for box, part in _over_bands(_within(bands, at, a, b)):
                    self.add(box, part, self._needed)
                continue
            wide = (b if b < right else right) - (a if a > left else left)
            for low, high in spans:
                tall = high - low
                if wide >= short and tall >= flat:
                    # most are whole, and nothing else is to be known of them
                    whole += 1
                    less = wide if wide < tall else tall
                    narrow += less < need
                    if less < self._least_mm:
                        self._least_mm = less
                elif wide > TOLERANCE_MM < tall:
                    narrow += self._add_box(wide, tall, self._needed)
        self._whole += whole
        self._narrow += narrow

    def _add_box(self, wide: float, high: float, needed: float) -> bool:
        """Add a rectangle; tell whether it is narrow itself."""
        short, low = wide < self._short, high < self._low
        if short or low:
            self._knife_mm += (high if short else 0.0) + (wide if low else 0.0)
            self._cuts.append((round(wide * 2) / 2, round(high * 2) / 2))
        else:
            self._whole += 1
        least = min(wide, high)
        self._least_mm = min(self._least_mm, least)
        return least < needed - TOLERANCE_MM


def _has_legs(shape: tuple[Bounds, ...] | Polygon, least: float) -> bool:
    return narrow_boxes(shape, least) if isinstance(shape, tuple) else narrow_part(shape, least)


def _cut_out(shape: tuple[Bounds, ...] | Polygon, box: Bounds) -> tuple[float, int, float]:
    """Return what is cut within the bounds, how many slits open it, and their length."""
    if isinstance(shape, tuple):
        inner = inner_mm(shape, box)
        holes = seams(shape)[1] - len(shape) + 1
        if not holes:
            return inner, 0, 0.0
        if holes == 1 and (short := slit_of_frame(shape, box)) is not None:
            return inner, 1, short
        short_ones = slits_mm(shape)
        return inner, len(short_ones), sum(short_ones)
    opened = slits_of(shape)
    return inner_of(shape, box), len(opened), sum(slit.length for slit in opened)


def outline_of(shape: tuple[Bounds, ...]) -> Polygon:
    """Return rectangles that hang together as one outline."""
    whole: BaseGeometry = shapely.union_all([shapely.box(*box) for box in shape]).simplify(0)
    return cast(Polygon, whole)
