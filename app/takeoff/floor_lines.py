"""Where the joints run: rows from the start wall, pieces along each row, no strip too narrow.

Everything is in the frame of the start (u along the wall, v into the room). The joints of one
direction are start + shift + k x step: a fitter begins with a whole piece (shift 0), and shifts
the start when a strip somewhere would come out too narrow.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.scene.tolerance import TOLERANCE_MM, Geometries
from app.takeoff.floor_joints import apart_mm
from app.takeoff.floor_region import Start
from app.takeoff.floor_shapes import narrow_part


@dataclass(frozen=True, slots=True, eq=False)
class Cell:
    """One piece as laid: its part of the floor, and the whole piece that it is cut from.

    `row` counts from the start wall. `bounds` are u0, v0, u1, v1 of the part, `whole` of the
    whole piece.
    """

    part: Polygon
    row: int
    bounds: tuple[float, float, float, float]
    whole: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Grid:
    """What is to be laid: piece length along the rows, row depth, the narrowest strip allowed.

    Where a piece touches one of `doors` (bounds of doorways) it is `door_least` wide or more.
    """

    length: float
    depth: float
    least: float
    doors: tuple[tuple[float, float, float, float], ...] = ()
    door_least: float = 0.0

    def least_at(self, bounds: tuple[float, float, float, float]) -> float:
        """Return the narrowest strip allowed for a piece of these bounds."""
        if self.door_least > self.least:
            u0, v0, u1, v1 = bounds
            for a, low, b, high in self.doors:
                if u0 < b and a < u1 and v0 < high and low < v1:
                    return self.door_least
        return self.least


def lay(region: BaseGeometry, grid: Grid, start: Start, gap: float | None) -> tuple[Cell, ...]:
    """Lay a region (in the frame of the start) and give its cells in laying order.

    `gap` is where the first row begins; None: at the least v of the region.
    """
    u0, v0, u1, v1 = region.bounds
    first = v0 if gap is None else gap
    if start.joints == "balanced":
        rows = _balanced(v0, v1, grid.depth)
        columns = _balanced(u0, u1, grid.length)
        return in_order(_cells(region, rows, columns), start)
    edges_v = _edges(region, 1)
    best: tuple[tuple[float, ...], tuple[Cell, ...]] | None = None
    for number, shift in enumerate(shifts(first, grid.depth, edges_v, grid.least)):
        rows = lines(v0, v1, first + shift, grid.depth)
        cells, clashes = _rows(region, rows, grid, start)
        # Narrow strips come loose, so they count first; of equal ones the shift that comes earlier,
        # which is the smaller.
        score = (_narrow(cells, grid), clashes, float(number))
        if best is None or score < best[0]:
            best = score, cells
        # Nothing narrow, no clash, no shift: no other can be better.
        if not any(score):
            return in_order(cells, start)
    return () if best is None else in_order(best[1], start)


def lines(low: float, high: float, start: float, step: float) -> list[float]:
    """Return the ends of the region and every joint between them: start + k x step."""
    # Joints reach below the start too: the room may begin before its longest wall does.
    k = math.floor((low - start) / step)
    places = [low]
    while (at := start + k * step) < high - TOLERANCE_MM:
        if at > low + TOLERANCE_MM:
            places.append(at)
        k += 1
    return [*places, high]


def shifts(start: float, step: float, edges: Sequence[float], least: float) -> list[float]:
    """Return shifts of the start worth trying: none first, then those that widen a narrow strip."""
    offsets = {0.0: None}
    for edge in edges:
        rest = (edge - start) % step
        # A strip too narrow beyond the last joint is made wide enough by just what it lacks, ...
        if TOLERANCE_MM < rest < least:
            offsets[rest - least] = None
        # ... or swallowed by its neighbour when the joint moves onto the edge.
        if TOLERANCE_MM < step - rest < least:
            offsets[rest - step] = None
    # The plain start first; then small shifts, which waste least of the first piece (all are below
    # nought).
    return sorted(offsets, key=lambda shift: (shift != 0, -shift))


def narrow(cell: Cell, least: float) -> bool:
    """Return whether a piece, or a leg of it, is a strip narrower than it should be."""
    u0, v0, u1, v1 = cell.bounds
    return min(u1 - u0, v1 - v0) < least - TOLERANCE_MM or narrow_part(cell.part, least)


def _balanced(low: float, high: float, step: float) -> list[float]:
    """Return joints with equal cuts of half a piece or more at both ends.

    Worked: 7 tiles of 12 and a rest of 1.5: 6 tiles and two cuts of 6.75.
    """
    whole, rest = divmod(high - low, step)
    if rest < TOLERANCE_MM or whole < 1:
        return lines(low, high, low, step)
    return lines(low, high, low + (rest + step) / 2, step)


def _rows(
    region: BaseGeometry, rows: Sequence[float], grid: Grid, start: Start
) -> tuple[tuple[Cell, ...], float]:
    """Lay the pieces along each row; give them and how often a joint meets one of the row before.

    In straight joints all rows have one shift; else each row has the first shift that leaves
    no narrow strip and does not run into the joints of the row before.
    """
    low, _, high, _ = region.bounds
    sign = -1 if start.from_right else 1
    strips = [region.intersection(shapely.box(low, a, high, b)) for a, b in pairwise(rows)]
    first = _first_u(strips, start.from_right)
    edges = [sign * edge for edge in _edges(region, 0)]
    if start.joints == "straight":
        choices = []
        for number, shift in enumerate(shifts(sign * first, grid.length, edges, grid.least)):
            columns = lines(low, high, first + sign * shift, grid.length)
            cells = _cells(region, rows, columns)
            choices.append((_narrow(cells, grid), number, cells))
            if choices[-1][0] == 0:
                break
        # each has a number of its own: nothing after it is compared
        return min(choices)[2], 0.0
    laid: list[Cell] = []
    clashes, before = 0.0, None
    for row, strip in enumerate(strips):
        # Every other row half a piece back, so that it begins before the region and covers its
        # corner.
        nominal = 0.0 if row % 2 == 0 else grid.length / 2 - grid.length
        own_edges = [sign * edge for edge in _edges(strip, 0)]
        options = []
        tries = shifts(sign * first + nominal, grid.length, own_edges, grid.least)
        for number, shift in enumerate(tries):
            at = first + sign * (nominal + shift)
            columns = lines(low, high, at, grid.length)
            cells = _row_cells(strip, row, rows, columns)
            # Joints in line over two rows open together.
            clash = before is not None and apart_mm(at, before, grid.length) < grid.least
            options.append((_narrow(cells, grid), float(clash), number, at, cells))
            if not (options[-1][0] or clash):
                break
        _, clash_cost, _, before, cells = min(options)
        clashes += clash_cost
        laid.extend(cells)
    return tuple(laid), clashes


def _first_u(strips: Sequence[BaseGeometry], from_right: bool) -> float:
    for strip in strips:
        if not strip.is_empty:
            return float(strip.bounds[2] if from_right else strip.bounds[0])
    return 0.0


def _edges(shape: BaseGeometry, axis: int) -> list[float]:
    """Return the coordinates at which the outline may end a strip, each once."""
    values = np.round(shapely.get_coordinates(shape)[:, axis] / TOLERANCE_MM) * TOLERANCE_MM
    return [float(value) for value in np.unique(values)]


def _narrow(cells: Sequence[Cell], grid: Grid) -> float:
    return float(sum(narrow(cell, grid.least_at(cell.bounds)) for cell in cells))


def _cells(
    region: BaseGeometry, rows: Sequence[float], columns: Sequence[float]
) -> tuple[Cell, ...]:
    return tuple(
        cell for row in range(len(rows) - 1) for cell in _row_cells(region, row, rows, columns)
    )


def _row_cells(
    region: BaseGeometry, row: int, rows: Sequence[float], columns: Sequence[float]
) -> tuple[Cell, ...]:
    """Cut one row out of the region; what is thinner than the tolerance is left to the gap."""
    v0, v1 = rows[row], rows[row + 1]
    boxes = np.array([shapely.box(a, v0, b, v1) for a, b in pairwise(columns)], dtype=object)
    parts: Geometries = shapely.intersection(boxes, region)
    cells = []
    for number, shape in enumerate(parts):
        whole = (columns[number], v0, columns[number + 1], v1)
        for part in shapely.get_parts(shape):
            if part.geom_type != "Polygon":
                continue
            u0, low, u1, high = part.bounds
            # Nobody cuts a strip of a millimetre; the gap at the wall takes it.
            if min(u1 - u0, high - low) > TOLERANCE_MM:
                cells.append(Cell(part, row, part.bounds, whole))
    return tuple(cells)


def in_order(cells: Sequence[Cell], start: Start) -> tuple[Cell, ...]:
    """Return them row by row from the wall, each row from the end at which it starts."""
    return tuple(
        sorted(
            cells,
            key=lambda cell: (
                cell.row,
                -cell.bounds[2] if start.from_right else cell.bounds[0],
                cell.bounds[1],
            ),
        )
    )
