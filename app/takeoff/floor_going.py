"""A floor that is being laid: what lies stays, the rest goes on from it.

The joints run on where they ran when the first piece was laid, and what was planned to be cut from
which stock piece stays planned, as long as the room is as it was. Where it is not (a wall turns
out longer) what is left to lay is nested anew, from the offcuts that are there and whole pieces.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely
import shapely.affinity
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.errors import Fault, PlanError
from app.model.flooring import Begun, Corners, FloorLaying, LaidPiece
from app.published.register import published
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.calling import floor_called
from app.takeoff.cutting_2d import Bounds, CutRect, Segment, Wanted
from app.takeoff.floor_begun import in_hand, opened_size, row_place
from app.takeoff.floor_layout import (
    Laid,
    Mat,
    StockSheet,
    is_whole,
    joint_edges,
    mat_of,
    rectangle_of,
)
from app.takeoff.floor_lines import Cell, Grid, lines
from app.takeoff.floor_region import Frame, Start, frame_of, walls_by_length
from app.takeoff.floor_rows import RowCutter, lay_at
from app.takeoff.floor_site import Site, lost_mm, site_in
from app.takeoff.guillotine import NO_EDGE
from app.takeoff.offcuts import cut_again
from app.takeoff.roll_lengths import cut_off, least_steps, off_the_roll
from app.takeoff.separating import knives
from app.takeoff.stock_words import fewer_words, stock_words
from app.units import MEGA, Units
from app.wording import in_figures

_FOLLOWS_MM = 500.0
"""A corner that was measured anew has moved by less; one that lies farther off is another one."""


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    """A piece of the floor in its frame, and where it is cut from."""

    number: int
    cell: Cell
    sheet: int
    rect: CutRect
    down: bool


def going_on(scene: Scene, laying: FloorLaying) -> Laid:
    """Return a floor of which some pieces lie: those, and the rest as it is to be laid now.

    Raises PlanError naming the floor for what cannot be laid or was begun with other pieces.
    """
    begun = laying.begun
    if begun is None:
        raise PlanError(Fault(floor_called(laying), "nobody has begun to lay it"))
    if math.dist(*begun.points) < TOLERANCE_MM:
        raise PlanError(Fault(floor_called(laying), "what is kept of its start tells no direction"))
    frame, start = frame_now(scene, begun)
    site = site_in(scene, laying, start, frame)
    cells = {int(piece.id): _cell(piece, begun, frame) for piece in laying.laid}
    _check(laying, site.grid, cells.values())
    lies = {int(piece.id) for piece in laying.laid if piece.down}
    rest = _rest(site, start, begun, cells, lies)
    known = _recognised(rest, {n: cell for n, cell in cells.items() if n not in lies})
    by_id = {int(piece.id): piece for piece in laying.laid}
    pieces = [_piece_of(by_id[n], cells[n]) for n in sorted(lies)]
    opened = {piece.sheet for piece in pieces} | {piece.sheet for piece in laying.spoiled}
    if known is not None:
        pieces += [_piece_of(by_id[n], cell) for n, cell in known]
        least = len({piece.sheet for piece in pieces} | opened)
    else:
        more, new = _nested(site, laying, rest, lies, opened)
        pieces += more
        least = len(opened) + new
    return _laid(site, laying, start, begun, sorted(pieces, key=lambda p: p.number), least)


def _check(laying: FloorLaying, grid: Grid, cells: Iterable[Cell]) -> None:
    """Raise PlanError where what lies was cut from pieces of another size, or is no shape."""
    wide, high = grid.length + TOLERANCE_MM, grid.depth + TOLERANCE_MM
    for piece in laying.laid:
        x0, y0, x1, y1 = piece.rect
        if not (x0 < x1 <= wide and y0 < y1 <= high):
            raise PlanError(
                Fault(
                    floor_called(laying),
                    f"it is being laid with a {laying.kind} of another size: take that size again, "
                    "or begin to lay it anew",
                )
            )
    if not all(cell.part.is_valid and cell.part.area > 0 for cell in cells):
        raise PlanError(
            Fault(floor_called(laying), "what is kept of its pieces is no shape: begin it anew")
        )


def frame_now(scene: Scene, begun: Begun) -> tuple[Frame, Start]:
    """Return the frame in which a floor goes on: with the corner it began at, and its start."""
    (ox, oy), (fx, fy) = begun.points
    far = math.hypot(fx - ox, fy - oy)
    ix, iy = (fx - ox) / far, (fy - oy) / far
    wall = next((one for one in scene.room.walls if one.id == begun.wall), None)
    if wall is not None:
        long = begun.long_mm if begun.from_right else 0.0
        was = (ox + iy * long, oy - ix * long)
        now_left = frame_of(wall)
        length = math.dist(wall.start, wall.end) if begun.from_right else 0.0
        jx, jy = now_left.inward
        now = (now_left.origin[0] + jy * length, now_left.origin[1] - jx * length)
        if math.dist(was, now) < _FOLLOWS_MM:
            ox, oy = ox + now[0] - was[0], oy + now[1] - was[1]
    name = walls_by_length(scene)[0].id if wall is None else begun.wall
    start = Start(
        name, begun.from_right, begun.along, begun.joints, begun.rows_at, begun.phases,
        begun.stagger, (begun.ends_wider_mm, begun.along_wider_mm),
    )  # fmt: skip
    return Frame((ox, oy), (ix, iy)), start


def begun_now(scene: Scene, begun: Begun) -> Begun:
    """Return the same joints, told from where the corner stands now that they began at."""
    frame, _ = frame_now(scene, begun)
    ox, oy = frame.origin
    (x0, y0), (x1, y1) = begun.points
    moved = ((ox, oy), (x1 + ox - x0, y1 + oy - y0))
    return Begun.model_validate({**dict(begun), "points": moved})


def _cell(piece: LaidPiece, begun: Begun, frame: Frame) -> Cell:
    """Return a piece in the frame; where its start corner went it went along."""
    (ox, oy), _ = begun.points
    moved = frame.origin[0] - ox, frame.origin[1] - oy
    polygon = Polygon(piece.outline, [hole.outline for hole in piece.holes])
    part = frame.into(shapely.affinity.translate(polygon, *moved))
    return Cell(part, 0, part.bounds, part.bounds)


def _rest(
    site: Site, start: Start, begun: Begun, cells: Mapping[int, Cell], lies: set[int]
) -> tuple[Cell, ...]:
    """Return what is left to lay, cut at the joints; nothing is laid where a wall that turned out
    longer leaves a slit.
    """
    lying = [cells[number].part for number in sorted(lies)]
    region = shapely.difference(site.region, shapely.union_all(lying)) if lying else site.region
    if region.is_empty:
        return ()
    grid = site.grid
    _, v0, _, v1 = region.bounds
    rows = lines(v0, v1, begun.rows_at, grid.depth)
    places = [row_place(high, begun.rows_at, grid.depth) for _, high in pairwise(rows)]
    phases = tuple(joint_of_row(begun, place) for place in places)
    cut = lay_at(RowCutter(region, grid), replace(start, rows_at=begun.rows_at, phases=phases))
    planned: BaseGeometry = shapely.union_all([cell.part for cell in cells.values()])
    parts: list[Cell] = []
    for cell in cut:
        placed = replace(cell, row=places[cell.row])
        if is_whole(cell, grid):
            parts.append(placed)
            continue
        slits = _slits(cell.part, planned)
        if not slits:
            parts.append(placed)
            continue
        left = shapely.get_parts(shapely.difference(cell.part, shapely.union_all(slits)))
        parts += [
            Cell(part, placed.row, part.bounds, cell.whole)
            for part in left
            if part.geom_type == "Polygon" and not part.buffer(-TOLERANCE_MM / 2).is_empty
        ]
    return tuple(parts)


def _slits(part: Polygon, planned: BaseGeometry) -> list[BaseGeometry]:
    """Return the slits of a part that no piece was planned in: too narrow to lay anything there."""
    half = published("flooring.left-bare-mm") / 2
    wide = part.buffer(-half, join_style="mitre").buffer(half, join_style="mitre")
    thin = shapely.get_parts(shapely.difference(part, wide))
    return [
        one
        for one in thin
        if one.geom_type == "Polygon"
        and one.area > TOLERANCE_MM * one.length / 2
        and shapely.intersection(one, planned).area < one.area / 2
    ]


def joint_of_row(begun: Begun, place: int) -> float:
    """Return where a joint of a row lies; a row that came with a longer wall goes on in turn."""
    at = place - begun.first_row
    turn = 2 if len(begun.phases) > 1 else 1
    while at < 0:
        at += turn
    while at >= len(begun.phases):
        at -= turn
    return begun.phases[at]


def _recognised(rest: Sequence[Cell], planned: Mapping[int, Cell]) -> list[tuple[int, Cell]] | None:
    """Return the rest by the numbers that were planned; None where it is not as it was planned."""
    if len(rest) != len(planned):
        return None
    numbers = list(planned)
    tree = shapely.STRtree([planned[n].part for n in numbers])
    matched: list[tuple[int, Cell]] = []
    for cell in rest:
        at = tree.nearest(cell.part.representative_point())
        number = numbers[at] if at is not None else None
        if number is None or not _like(cell.part, planned[number].part):
            return None
        matched.append((number, replace(cell, part=planned[number].part)))
    return matched if len({n for n, _ in matched}) == len(matched) else None


def _like(one: Polygon, other: Polygon) -> bool:
    apart = max(abs(a - b) for a, b in zip(one.bounds, other.bounds, strict=True))
    fine = TOLERANCE_MM / 2
    return apart < fine and one.symmetric_difference(other).area < fine * one.length


def _piece_of(piece: LaidPiece, cell: Cell) -> _Piece:
    x0, y0, x1, y1 = piece.rect
    number = int(piece.id)
    rect = CutRect(number, x0, y0, x1 - x0, y1 - y0, piece.quarters)
    return _Piece(number, cell, piece.sheet, rect, piece.down)


def _nested(
    site: Site,
    laying: FloorLaying,
    rest: Sequence[Cell],
    lies: set[int],
    opened: set[int],
) -> tuple[list[_Piece], int]:
    """Nest what is left to lay in offcuts and new stock pieces; return with it how few new ones
    no nesting beats.
    """
    grid = site.grid
    size = grid.length, grid.depth
    numbers = _fresh(lies)
    named = {next(numbers): cell for cell in rest}
    cut = [n for n, cell in named.items() if not is_whole(cell, grid)]
    held = laying.kind == "tile" or laying.factory_edges
    turns = laying.turns and laying.kind != "tile"
    to_cut = [named[n] for n in cut]
    edges = joint_edges(to_cut, site.region) if held else [NO_EDGE] * len(to_cut)
    wanted = [
        Wanted(*rectangle_of(cell, grid), at, turns) for cell, at in zip(to_cut, edges, strict=True)
    ]
    cuts: dict[int, list[Corners]] = {}
    for piece in (*laying.laid, *laying.spoiled):
        # what the first of its pieces was cut from is all of it
        cuts.setdefault(piece.sheet, []).append(piece.blank or piece.rect)
    sizes = {sheet: opened_size(laying, own, size) for sheet, own in cuts.items()}
    again = cut_again(wanted, in_hand(laying, sizes), *size, lost_mm(laying))
    pieces: list[_Piece] = []

    def put(rect: CutRect, sheet: int) -> None:
        number = cut[rect.number]
        own = replace(rect, number=number)
        pieces.append(_Piece(number, named[number], sheet, own, False))

    for offcut, rects in again.from_offcuts:
        for rect in rects:
            put(rect, offcut.sheet)
    # New stock pieces are numbered as they are opened: by the first of their pieces to be laid.
    opening = [one.rects for one in again.new]
    if laying.sold_by_metre:
        opening = _off_the_roll(wanted, [r.number for rects in opening for r in rects], laying)
    new = [(min(cut[r.number] for r in rects), rects) for rects in opening]
    whole = [n for n in named if n not in set(cut)]
    new += [(n, ()) for n in whole]
    sheets = _fresh(opened)
    for number, rects in sorted(new, key=lambda each: each[0]):
        sheet = next(sheets)
        for rect in rects:
            put(rect, sheet)
        if not rects:
            rect = CutRect(number, 0.0, 0.0, *size, 0)
            pieces.append(_Piece(number, named[number], sheet, rect, False))
    return pieces, len(whole) + again.least


def _off_the_roll(
    wanted: Sequence[Wanted], numbers: Sequence[int], laying: FloorLaying
) -> list[tuple[CutRect, ...]]:
    """Return the cuts of each new length off a roll."""
    upright = laying.begun is not None and not laying.begun.along
    step, wide = published("flooring.roll-step-mm"), laying.width_mm
    sizes = [(wanted[n].width_mm, wanted[n].height_mm) for n in numbers]
    pieces = [(v, u) if upright else (u, v) for u, v in sizes]
    plan = off_the_roll(pieces, wide, step, lost_mm(laying))
    made = cut_off(plan, pieces, wide, step, upright, lost_mm(laying))
    return [
        tuple(replace(rect, number=numbers[rect.number]) for rect in sheet.rects)
        for sheet, _ in made
    ]


def _fresh(taken: set[int]) -> Iterator[int]:
    number = 0
    while True:
        number += 1
        if number not in taken:
            yield number


def _laid(
    site: Site,
    laying: FloorLaying,
    start: Start,
    begun: Begun,
    pieces: Sequence[_Piece],
    least: int,
) -> Laid:
    grid = site.grid
    mats = []
    for piece in pieces:
        _, low, _, high = piece.cell.bounds
        row = row_place((low + high) / 2, begun.rows_at, grid.depth) - begun.first_row
        cell = replace(piece.cell, row=row)
        (edges,) = joint_edges([cell], site.region)
        mat = mat_of(cell, piece.number, piece.sheet, piece.rect, grid, edges, site.frame)
        mats.append(replace(mat, down=piece.down))
    numbers = {mat.sheet for mat in mats} | {piece.sheet for piece in laying.spoiled}
    sheets = tuple(_sheet(number, mats, grid, laying) for number in sorted(numbers))
    area = sum(mat.polygon.area for mat in mats) / MEGA
    bought = sum(sheet.width_mm * sheet.height_mm for sheet in sheets) / MEGA
    laid = Laid(laying, start, tuple(mats), sheets, least, site.covered, area, bought - area)
    if not laying.sold_by_metre:
        return laid
    step, rects = published("flooring.roll-step-mm"), [mat.rect for mat in mats]
    off = [
        (rect.width_mm, rect.height_mm) if start.along else (rect.height_mm, rect.width_mm)
        for rect in rects
    ]
    laid = replace(laid, step_mm=step)
    # what was opened for pieces that turned out otherwise is bought all the same
    bound = min(least_steps(off, laying.width_mm, step), laid.to_buy)
    return replace(laid, lower_bound=bound)


def _sheet(number: int, mats: Sequence[Mat], grid: Grid, laying: FloorLaying) -> StockSheet:
    own = [mat for mat in mats if mat.sheet == number]
    rects = tuple(mat.rect for mat in own)
    lost = [piece for piece in laying.spoiled if piece.sheet == number]
    boxes = [*(rect.bounds for rect in rects), *(piece.rect for piece in lost)]
    known = [piece for piece in (*laying.laid, *lost) if piece.sheet == number]
    opened = [piece.blank for piece in known if piece.blank is not None]
    size = opened_size(laying, [*boxes, *opened], (grid.length, grid.depth))
    knife: tuple[Segment, ...] = ()
    if any(mat.cut for mat in own) or len(boxes) > 1:
        whole: Bounds = (0.0, 0.0, *size)
        try:
            knife = tuple(knives(whole, boxes, lost_mm(laying)))
        except ValueError:
            # cut or planned before the saw was another one: what that takes now was not left
            knife = tuple(knives(whole, boxes, 0.0))
    upright = laying.sold_by_metre and laying.begun is not None and not laying.begun.along
    return StockSheet(number, *size, rects, knife, upright)


def going_words(laid: Laid, units: Units) -> str:
    """Say how far a floor is laid and what the rest takes."""
    lies = sum(mat.down for mat in laid.mats)
    spoiled = laid.laying.spoiled
    opened = {mat.sheet for mat in laid.mats if mat.down} | {piece.sheet for piece in spoiled}
    begun = [sheet for sheet in laid.sheets if sheet.number in opened]
    used = len(begun)
    if laid.step_mm:
        used = sum(round(sheet.long_mm / laid.step_mm) for sheet in begun)
    mats, more = (stock_words(laid, n, units) for n in (laid.to_buy, laid.to_buy - used))
    lost = f"; {in_figures(len(spoiled), 'piece')} spoiled" if spoiled else ""
    if lies == len(laid.mats):
        return f"{mats} in all, and all {in_figures(lies, 'piece')} lie{lost}."
    left = f"what is left of the {len(opened)} opened"
    rest = f"{more} and {left}" if laid.to_buy > used else f"{left}, nothing new"
    said = f"{mats} to buy in all: {lies} of {len(laid.mats)} pieces lie"
    count = f"{said}, for the rest {rest}{lost}"
    sure = f". {fewer_words(laid)}"
    least = f"; at least {stock_words(laid, laid.lower_bound, units)} by area"
    return f"{count}{sure if laid.proven else least}."
