"""Rows of a floor cut at joints, quickly: thousands of ways to lay it are weighed with these.

Everything is in the frame of a start (u along its wall, v into the room). Where a row's outline
runs square to it, a piece is read off the outline's corners; elsewhere it is cut out of it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import cast

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


@dataclass(frozen=True, slots=True)
class Row:
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

    def row(self, strip: Strip, phase: float) -> Row:
        """Return a strip of this cutter cut into a row, with a joint at `phase` + k x length."""
        phase %= self.grid.length
        key = (strip.kind, round(phase * _FINE))
        known = self._rows.get(key)
        if known is None:
            known = self._rows[key] = _weighed(strip, phase, self.bounds, self.grid)
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
            met = self._within(a, b)
            if len(met) == 1:
                left, right, spans = met[0]
                for low, high in spans:
                    bounds = (left, low, right, high)
                    if min(right - left, high - low) > TOLERANCE_MM:
                        yield bounds, None, at
                continue
            for boxes in joined(met):
                us, vs = [u for box in boxes for u in box[::2]], [v for b in boxes for v in b[1::2]]
                if min(max(us) - min(us), max(vs) - min(vs)) > TOLERANCE_MM:
                    bounds = (min(us), min(vs), max(us), max(vs))
                    yield bounds, tuple(boxes) if len(boxes) > 1 else None, at

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

    def _within(self, a: float, b: float) -> list[Band]:
        """Return the bands between two joints, cut there."""
        bands = self.bands or []
        first = max(bisect_right(self.starts, a) - 1, 0)
        met = []
        for left, right, spans in bands[first:]:
            if left >= b - HAIR_MM:
                break
            if right > a + HAIR_MM:
                met.append((max(a, left), min(b, right), spans))
        return met


def _weighed(strip: Strip, phase: float, bounds: Bounds, grid: Grid) -> Row:
    columns = lines(bounds[0], bounds[2], phase, grid.length)
    cuts = []
    notched = narrow = whole = slits = 0
    knife, least = 0.0, min(grid.length, grid.depth)
    for box, part, _ in strip.pieces(columns):
        (a, under, b, over) = box
        wide, high = b - a, over - under
        notched += part is not None
        short = wide < grid.length - TOLERANCE_MM / 2
        low = high < grid.depth - TOLERANCE_MM / 2
        knife += (high if short else 0.0) + (wide if low else 0.0)
        if part is not None:
            # What the outline has within its box is cut out with the knife as well.
            inner, opened, slit_mm = _cut_out(part, box)
            knife += inner + slit_mm
            slits += opened
        if short or low:
            cuts.append((round(wide * 2) / 2, round(high * 2) / 2))
        else:
            whole += 1
        least = min(least, wide, high)
        needed = grid.least_at(box)
        narrow += min(wide, high) < needed - TOLERANCE_MM or _has_legs(part, needed)
    return Row(notched, narrow, whole, tuple(cuts), knife, least, slits)


def _has_legs(shape: Shape, least: float) -> bool:
    if shape is None:
        return False
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
