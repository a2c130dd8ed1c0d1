"""A floor laid piece by piece: numbered, cut from as few stock pieces as the layout allows.

Cuts are their bounding rectangles, parted by knife cuts from edge to edge. For the chosen start,
direction and joints the number of stock pieces is proven the least, or the gap to the bound by
area is stated. A whole piece, also one with a notch round a column, takes a stock piece.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.model.flooring import FloorLaying
from app.published.register import published
from app.recent import Recent
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM, Geometries
from app.takeoff.cutting_2d import CutRect, CutSheet, Segment, Wanted, cut_sheets
from app.takeoff.floor_lines import Cell, Grid, lay, narrow
from app.takeoff.floor_region import Frame, Start, gap_of
from app.takeoff.floor_rows import RowCutter, lay_at
from app.takeoff.floor_site import Site, check, ground_of, lost_mm, site_of
from app.takeoff.guillotine import NO_EDGE, QUARTERS, Edge, turned_edges
from app.takeoff.roll_lengths import cut_off, off_the_roll
from app.units import MEGA


@dataclass(frozen=True, slots=True, eq=False)
class Mat:
    """One piece as it lies. `number` is its place in the laying order, from 1.

    `polygon` is on the plan, `outline` in its stock piece seen from above (mm from top left, as
    cut). `sheet` is the number of its stock piece, `rect` where it lies there. `cut` tells that a
    knife is needed, `notched` that more than a rectangle is, `knife_joints` counts edges cut by
    knife that lie at a joint; `down` tells that it lies already.
    """

    number: int
    polygon: Polygon
    outline: Polygon
    row: int
    sheet: int
    rect: CutRect
    cut: bool
    notched: bool
    narrow: bool
    knife_joints: int
    down: bool = False

    @property
    def size_mm(self) -> tuple[float, float]:
        """Its rectangle: along the rows, across them."""
        turned = self.rect.quarters % 2 == 1
        size = (self.rect.width_mm, self.rect.height_mm)
        return (size[1], size[0]) if turned else size


@dataclass(frozen=True, slots=True)
class StockSheet:
    """One stock piece, numbered from 1, with what comes out of it and the knife cuts in order.

    The numbers of its `cuts` are those of the mats. No knife: it is laid as it is.
    """

    number: int
    width_mm: float
    height_mm: float
    cuts: tuple[CutRect, ...]
    knife: tuple[Segment, ...]
    upright: bool = False

    @property
    def long_mm(self) -> float:
        """How long it is off the roll; `upright` ones lie across the rows."""
        return self.height_mm if self.upright else self.width_mm


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """The floor laid from one start. Areas in m2; `gap` in stock pieces.

    Of a roll sold by the metre the stock pieces are the lengths that are cut off it: they are
    counted in steps of `step_mm`, as `lower_bound` is.
    """

    laying: FloorLaying
    start: Start
    mats: tuple[Mat, ...]
    sheets: tuple[StockSheet, ...]
    lower_bound: int
    region: BaseGeometry
    area_m2: float
    waste_m2: float
    step_mm: float = 0.0

    @property
    def to_buy(self) -> int:
        """How many stock pieces are needed, or how many steps of a roll that is measured off."""
        if self.step_mm:
            return sum(round(sheet.long_mm / self.step_mm) for sheet in self.sheets)
        return len(self.sheets)

    @property
    def proven(self) -> bool:
        """Return whether fewer are impossible for this start, direction and joints."""
        return self.to_buy == self.lower_bound

    @property
    def gap(self) -> int:
        """How many fewer might be possible; 0 where the number is proven."""
        return self.to_buy - self.lower_bound

    @property
    def cut_mats(self) -> int:
        """How many pieces are touched by the knife."""
        return sum(mat.cut for mat in self.mats)

    @property
    def narrow_mats(self) -> int:
        """How many pieces are narrower than a strip should be."""
        return sum(mat.narrow for mat in self.mats)

    @property
    def knife_joints(self) -> int:
        """How many edges at joints are cut by knife and not by the maker."""
        return sum(mat.knife_joints for mat in self.mats)


def lay_floor(scene: Scene, laying: FloorLaying, start: Start) -> Laid:
    """Lay a floor from one start. Raises PlanError naming the floor for what cannot be laid."""
    check(laying)
    key = (*ground_of(scene, laying), start)
    laid = _LAID_LATELY.made(key, lambda: _laid(scene, laying, start))
    return replace(laid, laying=laying)


_BYTES_A_MAT = 3_000
"""What a piece holds, its two outlines with it: 1,600 in a floor of 4,000 pieces, measured."""

LAID_AT_MOST = 64
"""Floors that are remembered: a few for each plan that is open."""

LAID_BYTES = 32_000_000
"""What they hold together."""

_LAID_LATELY: Recent[tuple[object, ...], Laid] = Recent(
    LAID_AT_MOST, LAID_BYTES, lambda laid: _BYTES_A_MAT * len(laid.mats)
)
"""Floors by the ground they lie on: nesting the cuts with a proof is what takes long."""


def _laid(scene: Scene, laying: FloorLaying, start: Start) -> Laid:
    site = site_of(scene, laying, start)
    frame, region, grid = site.frame, site.region, site.grid
    if start.rows_at is None:
        cells = lay(region, grid, start, None if laying.zone else gap_of(laying))
    else:
        cells = lay_at(RowCutter(region, grid), start)
    # Whole pieces need no knife and no search: only what is cut is planned on stock pieces.
    plan = [i for i, cell in enumerate(cells) if not is_whole(cell, grid)]
    edges = joint_edges(cells, region)
    # A joint between two factory edges closes; a knife's edge there shows, so such edges may be
    # asked for.
    if laying.sold_by_metre:
        return _off_the_roll(site, laying, start, cells, edges)
    held = laying.kind == "tile" or laying.factory_edges
    # Tiles lock into one another: a turned one does not fit its neighbours.
    turns = laying.turns and laying.kind != "tile"
    wanted = [
        Wanted(*rectangle_of(cells[i], grid), edges[i] if held else NO_EDGE, turns) for i in plan
    ]
    cuts = cut_sheets(wanted, grid.length, grid.depth, lost_mm(laying))
    size = grid.length, grid.depth
    made: Sequence[CutSheet] = cuts.sheets
    if turns and not held:
        made = [_to_joints(sheet, [edges[i] for i in plan], grid) for sheet in made]
    mats, sheets = _numbered(cells, plan, [(one, size) for one in made], grid, edges, frame)
    whole = len(cells) - len(plan)
    return _laid_of(site, laying, start, mats, sheets, whole + cuts.lower_bound)


def _to_joints(sheet: CutSheet, joints: Sequence[Edge], grid: Grid) -> CutSheet:
    """Turn each cut so that the maker's edges that it has lie at its joints and not at a wall."""

    def turned(rect: CutRect) -> CutRect:
        square = abs(rect.width_mm - rect.height_mm) < TOLERANCE_MM / 2
        turns = range(0, QUARTERS, 2 - square)
        ways = [replace(rect, quarters=(rect.quarters + q) % QUARTERS) for q in turns]
        return min(ways, key=lambda way: _cut_joints(joints[rect.number], way, grid))

    return replace(sheet, rects=tuple(map(turned, sheet.rects)))


def _off_the_roll(
    site: Site, laying: FloorLaying, start: Start, cells: Sequence[Cell], edges: Sequence[Edge]
) -> Laid:
    """Lay lengths that are measured off a roll."""
    grid, upright, step = site.grid, not start.along, published("flooring.roll-step-mm")
    sizes = [rectangle_of(cell, grid) for cell in cells]
    pieces = [(v, u) if upright else (u, v) for u, v in sizes]
    plan = off_the_roll(pieces, laying.width_mm, step, lost_mm(laying))
    cuts = cut_off(plan, pieces, laying.width_mm, step, upright, lost_mm(laying))
    mats, plain = _numbered(cells, range(len(cells)), cuts, grid, edges, site.frame)
    sheets = tuple(replace(sheet, upright=upright) for sheet in plain)
    return replace(_laid_of(site, laying, start, mats, sheets, plan.least), step_mm=step)


def _laid_of(
    site: Site,
    laying: FloorLaying,
    start: Start,
    mats: tuple[Mat, ...],
    sheets: tuple[StockSheet, ...],
    least: int,
) -> Laid:
    area = float(shapely.area(site.region)) / MEGA
    bought = sum(sheet.width_mm * sheet.height_mm for sheet in sheets) / MEGA
    return Laid(laying, start, mats, sheets, least, site.covered, area, bought - area)


def is_whole(cell: Cell, grid: Grid) -> bool:
    """Return whether a piece is as large as it comes."""
    u0, v0, u1, v1 = cell.bounds
    return u1 - u0 > grid.length - TOLERANCE_MM / 2 and v1 - v0 > grid.depth - TOLERANCE_MM / 2


def rectangle_of(cell: Cell, grid: Grid) -> tuple[float, float]:
    """Return what is marked on the stock piece: to half the tolerance, as a fitter could cut it."""
    u0, v0, u1, v1 = cell.bounds
    fine = TOLERANCE_MM / 2
    along, across = (round(size / fine) * fine for size in (u1 - u0, v1 - v0))
    return min(along, grid.length), min(across, grid.depth)


def joint_edges(cells: Sequence[Cell], region: BaseGeometry) -> list[Edge]:
    """Return at which edges of each a neighbour lies: floor goes on there beyond the tolerance."""
    if not cells:
        return []
    # A sliver of rounding beside an edge is no neighbour, so more than the tolerance must go on
    # there.
    far = 2 * TOLERANCE_MM
    u0, v0, u1, v1 = np.array([cell.bounds for cell in cells]).T
    beside = (
        (Edge.LEFT, shapely.box(u0 - far, v0, u0, v1)),
        (Edge.RIGHT, shapely.box(u1, v0, u1 + far, v1)),
        (Edge.TOP, shapely.box(u0, v0 - far, u1, v0)),
        (Edge.BOTTOM, shapely.box(u0, v1, u1, v1 + far)),
    )
    result = [NO_EDGE] * len(cells)
    for edge, strips in beside:
        goes_on = shapely.area(shapely.intersection(strips, region)) > far * far
        result = [known | edge if on else known for known, on in zip(result, goes_on, strict=True)]
    return result


def _numbered(
    cells: Sequence[Cell],
    plan: Sequence[int],
    cuts: Sequence[tuple[CutSheet, tuple[float, float]]],
    grid: Grid,
    edges: Sequence[Edge],
    frame: Frame,
) -> tuple[tuple[Mat, ...], tuple[StockSheet, ...]]:
    """Number pieces in laying order and stock pieces in the order in which they are opened.

    `cuts` are the stock pieces that are cut, each with its size.
    """
    where = {plan[r.number]: (i, r) for i, (s, _) in enumerate(cuts) for r in s.rects}
    opened: dict[int, int] = {}
    sheets: list[StockSheet] = []
    places: list[tuple[int, CutRect]] = []
    for i in range(len(cells)):
        if i in where:
            index, mat = where[i]
            if index not in opened:
                opened[index] = len(sheets) + 1
                made, size = cuts[index]
                rects = tuple(_renumbered(r, plan[r.number] + 1) for r in made.rects)
                sheets.append(StockSheet(len(sheets) + 1, *size, rects, made.knife))
            sheet, rect = opened[index], _renumbered(mat, i + 1)
        else:
            rect = CutRect(i + 1, 0.0, 0.0, grid.length, grid.depth, 0)
            sheets.append(StockSheet(len(sheets) + 1, grid.length, grid.depth, (rect,), ()))
            sheet = len(sheets)
        places.append((sheet, rect))
    return mats_of(cells, range(1, len(cells) + 1), places, grid, edges, frame), tuple(sheets)


def _renumbered(rect: CutRect, number: int) -> CutRect:
    return CutRect(number, rect.x_mm, rect.y_mm, rect.width_mm, rect.height_mm, rect.quarters)


def mat_of(
    cell: Cell, number: int, sheet: int, rect: CutRect, grid: Grid, joints: Edge, frame: Frame
) -> Mat:
    """Return a piece as it lies and as it is cut; `joints` are its edges at a neighbour."""
    (mat,) = mats_of([cell], [number], [(sheet, rect)], grid, [joints], frame)
    return mat


def mats_of(
    cells: Sequence[Cell],
    numbers: Sequence[int],
    places: Sequence[tuple[int, CutRect]],
    grid: Grid,
    joints: Sequence[Edge],
    frame: Frame,
) -> tuple[Mat, ...]:
    """Return several pieces; `places` are their stock pieces and where they lie there."""
    if not cells:
        return ()
    # All outlines together: one by one they take ten times as long.
    parts: Geometries = np.array([cell.part for cell in cells], dtype=object)
    lie = frame.all_back(parts)
    drawn = _in_sheets(parts, cells, [rect for _, rect in places])
    areas = shapely.area(parts)
    mats = []
    for i, cell in enumerate(cells):
        u0, v0, u1, v1 = cell.bounds
        # A band one tolerance wide along two sides is what turning into the frame can take; more
        # is a notch.
        notched = (u1 - u0) * (v1 - v0) - areas[i] > (u1 - u0 + v1 - v0) * TOLERANCE_MM
        sheet, rect = places[i]
        mats.append(
            Mat(
                numbers[i],
                lie[i],
                drawn[i],
                cell.row,
                sheet,
                rect,
                bool(notched) or not is_whole(cell, grid),
                bool(notched),
                narrow(cell, grid.least_at(cell.bounds)),
                _cut_joints(joints[i], rect, grid),
            )
        )
    return tuple(mats)


def _cut_joints(joints: Edge, rect: CutRect, grid: Grid) -> int:
    """Count the edges at a neighbour that are cut by knife."""
    if joints == NO_EDGE:
        return 0
    for _ in range(rect.quarters):
        joints = turned_edges(joints)
    factory = NO_EDGE
    left, top, right, bottom = rect.bounds
    if left <= 0:
        factory |= Edge.LEFT
    if top <= 0:
        factory |= Edge.TOP
    if right >= grid.length - TOLERANCE_MM / 2:
        factory |= Edge.RIGHT
    if bottom >= grid.depth - TOLERANCE_MM / 2:
        factory |= Edge.BOTTOM
    return (joints & ~factory).bit_count()


def _in_sheets(parts: Geometries, cells: Sequence[Cell], rects: Sequence[CutRect]) -> Geometries:
    """Return the parts as they are drawn on their stock pieces, turned as the cuts are turned."""
    xy, of = shapely.get_coordinates(parts, return_index=True)
    u0, v0, u1, v1 = np.array([cell.bounds for cell in cells]).T
    x, y = xy[:, 0] - u0[of], xy[:, 1] - v0[of]
    wide, high = u1 - u0, v1 - v0
    left = np.array([rect.quarters for rect in rects])
    while np.any(left > 0):
        # a quarter turn clockwise as drawn, back into the corner
        turns = left > 0
        x, y = np.where(turns[of], high[of] - y, x), np.where(turns[of], x, y)
        wide, high = np.where(turns, high, wide), np.where(turns, wide, high)
        left = left - turns
    x += np.array([rect.x_mm for rect in rects])[of]
    y += np.array([rect.y_mm for rect in rects])[of]
    # what is set anew is changed where it stands, so it is a copy
    copies: Geometries = shapely.transform(parts, lambda points: points)
    return shapely.set_coordinates(copies, np.column_stack((x, y)))
