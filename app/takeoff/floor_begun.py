"""What is kept with the plan of a floor that is being laid: its joints, its pieces, its offcuts."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from app.model.base import Point
from app.model.flooring import Begun, Corners, FloorLaying, LaidPiece, Ring
from app.published.register import published
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.cutting_2d import Bounds
from app.takeoff.floor_layout import Laid, Mat
from app.takeoff.floor_lines import lines
from app.takeoff.floor_region import Start, frame_of
from app.takeoff.floor_site import Site, lost_mm, site_of
from app.takeoff.guillotine import NO_EDGE, Edge
from app.takeoff.offcuts import Offcut
from app.takeoff.separating import Cut, cuts_to

_FAR_MM = 10_000.0
"""How far off the second point of a frame lies: to 0.01 mm it tells the direction finely enough."""


_FARTHEST_MM = 100_000.0
"""What a plan holds as a place at the most."""


def begun_with(scene: Scene, laid: Laid) -> Begun:
    """Return where the joints of a floor run, to keep them."""
    start = laid.start
    wall = next(one for one in scene.room.walls if one.id == start.wall)
    frame = frame_of(wall)
    (ox, oy), (ix, iy) = frame.origin, frame.inward
    site = site_of(scene, laid.laying, start)
    rows_at, phases, first = _joints(site, start)
    return Begun(
        points=((ox, oy), (ox + ix * _FAR_MM, oy + iy * _FAR_MM)),
        wall=start.wall,
        long_mm=math.dist(wall.start, wall.end),
        from_right=start.from_right,
        along=start.along,
        joints=start.joints,
        stagger=start.stagger,
        rows_at=rows_at,
        phases=phases,
        first_row=first,
        ends_wider_mm=start.wider_mm[0],
        along_wider_mm=start.wider_mm[1],
    )


def _joints(site: Site, start: Start) -> tuple[float, tuple[float, ...], int]:
    """Return where a joint between rows lies, where one of each row does, the first row's place."""
    u0, v0, u1, v1 = site.region.bounds
    grid = site.grid
    if start.rows_at is not None:
        rows_at, phases = start.rows_at, start.phases
    else:
        rows_at = v0 + ((v1 - v0) % grid.depth + grid.depth) / 2 if v1 - v0 > grid.depth else v0
        at = u0 + ((u1 - u0) % grid.length + grid.length) / 2 if u1 - u0 > grid.length else u0
        phases = (at,) * (len(lines(v0, v1, rows_at, grid.depth)) - 1)
    # a first row or piece of a kilometre begins where the same joint lies in the room
    rows_at = v0 + (rows_at - v0) % grid.depth if abs(rows_at) > _FARTHEST_MM else rows_at
    phases = tuple(u0 + (at - u0) % grid.length if abs(at) > _FARTHEST_MM else at for at in phases)
    first = lines(v0, v1, rows_at, grid.depth)[1]
    return rows_at, phases, row_place(first, rows_at, grid.depth)


def row_place(ends: float, rows_at: float, depth: float) -> int:
    """Return the place of a row by where it ends, counted from the joint that is known."""
    return math.ceil((ends - rows_at) / depth - TOLERANCE_MM / depth)


def pieces_of(laid: Laid, lain: Mapping[int, LaidPiece] | None = None) -> tuple[LaidPiece, ...]:
    """Return the pieces of a floor to keep with the plan, where they lie now.

    Of those that lie (`lain`, by number) it stays known what they were cut from.
    """
    known = lain or {}
    return tuple(
        _as_lying(_laid_piece(mat), known[mat.number].blank, known[mat.number].left)
        if mat.number in known
        else _laid_piece(mat)
        for mat in laid.mats
    )


def _as_lying(piece: LaidPiece, blank: Corners | None, left: Sequence[Corners]) -> LaidPiece:
    fields = {**dict(piece), "down": True, "blank": blank, "left": tuple(left)}
    return LaidPiece.model_validate(fields)


def _laid_piece(mat: Mat) -> LaidPiece:
    rect = mat.rect
    return LaidPiece(
        id=str(mat.number),
        outline=_points(mat.polygon.exterior.coords),
        holes=tuple(Ring(outline=_points(ring.coords)) for ring in mat.polygon.interiors),
        sheet=mat.sheet,
        rect=rect.bounds,
        quarters=rect.quarters,
    )


def _points(coords: Iterable[Sequence[float]]) -> tuple[Point, ...]:
    return tuple((x, y) for x, y, *_ in coords)[:-1]


def laid_down(laid: Laid, number: int) -> LaidPiece:
    """Return a piece as it is kept once it lies: with what it was cut from and what was left.

    Raises KeyError for a number that there is not, ValueError where it cannot be cut out.
    """
    mat = next((one for one in laid.mats if one.number == number), None)
    if mat is None:
        raise KeyError(number)
    left = tuple(cut.fell for cut in cuts_of(laid, mat) if cut.fell is not None)
    return _as_lying(_laid_piece(mat), blank_of(laid, mat), left)


def cuts_of(laid: Laid, mat: Mat) -> tuple[Cut, ...]:
    """Return the cuts from edge to edge that free the rectangle of a piece from what it is cut
    from, in their order. Raises ValueError where none do.
    """
    if not mat.cut:
        return ()
    beside = [
        one.rect.bounds
        for one in laid.mats
        if one.sheet == mat.sheet and one is not mat and not one.down
    ]
    return cuts_to(blank_of(laid, mat), mat.rect.bounds, beside, lost_mm(laid.laying))


def blank_of(laid: Laid, mat: Mat) -> Bounds:
    """Return what a piece is cut from: the offcut that it lies in, or the whole stock piece."""
    target = mat.rect.bounds
    sizes = sizes_of(laid)
    for one in in_hand(laid.laying, sizes):
        if one.sheet == mat.sheet and _holds(one.box, target):
            return one.box
    return (0.0, 0.0, *sizes[mat.sheet])


def sizes_of(laid: Laid) -> dict[int, tuple[float, float]]:
    """Return the size of each stock piece by its number."""
    return {sheet.number: (sheet.width_mm, sheet.height_mm) for sheet in laid.sheets}


def opened_size(
    laying: FloorLaying, rects: Iterable[Corners], size_mm: tuple[float, float]
) -> tuple[float, float]:
    """Return the size of a stock piece of which it is known what is cut from it.

    `size_mm` is that of one as it is sold; a length off a roll reaches as far as its cuts do, to
    the step that a shop measures it off by.
    """
    if not laying.sold_by_metre or laying.begun is None:
        return size_mm
    step, upright = published("flooring.roll-step-mm"), not laying.begun.along
    far = max(y if upright else x for _, _, x, y in rects)
    long = math.ceil(far / step - TOLERANCE_MM / step) * step
    return (size_mm[0], long) if upright else (long, size_mm[1])


def in_hand(laying: FloorLaying, sizes_mm: Mapping[int, tuple[float, float]]) -> tuple[Offcut, ...]:
    """Return the offcuts that are there: of each stock piece that was cut what nothing took yet.

    `sizes_mm` are those of the stock pieces by their numbers.
    """
    sheets: dict[int, list[LaidPiece]] = {}
    for piece in (*laying.laid, *laying.spoiled):
        if piece.down:
            sheets.setdefault(piece.sheet, []).append(piece)
    offcuts: list[Offcut] = []
    for sheet, pieces in sorted(sheets.items()):
        whole: Bounds = (0.0, 0.0, *sizes_mm[sheet])
        parts, waiting = [whole], list(pieces)
        while waiting:
            held = next(
                ((p, b) for p in waiting for b in parts if p.blank and _same(p.blank, b)), None
            )
            if held is None:
                # Two who ticked at once took it from one offcut: what is left of it nobody knows.
                parts = []
                break
            piece, blank = held
            parts = [part for part in parts if part is not blank] + list(piece.left)
            waiting.remove(piece)
        offcuts += [Offcut(sheet, part, factory_edges(part, sizes_mm[sheet])) for part in parts]
    return tuple(offcuts)


def factory_edges(box: Bounds, size_mm: tuple[float, float]) -> Edge:
    """Return which edges of a part of a stock piece are as they came."""
    wide, high = size_mm
    x0, y0, x1, y1 = box
    edges = NO_EDGE
    for edge, off in (
        (Edge.LEFT, x0),
        (Edge.TOP, y0),
        (Edge.RIGHT, wide - x1),
        (Edge.BOTTOM, high - y1),
    ):
        if off < TOLERANCE_MM / 2:
            edges |= edge
    return edges


def _same(one: Corners, other: Bounds) -> bool:
    return all(abs(a - b) < TOLERANCE_MM / 2 for a, b in zip(one, other, strict=True))


def _holds(one: Bounds, other: Bounds) -> bool:
    fine = TOLERANCE_MM / 2
    (a, b, c, d), (x0, y0, x1, y1) = one, other
    return a <= x0 + fine and b <= y0 + fine and c >= x1 - fine and d >= y1 - fine
