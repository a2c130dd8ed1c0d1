"""The setting-out sheet: the floor marked with two tapes a point, from the corners of the room."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from itertools import groupby

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString
from shapely.ops import nearest_points

from app.drawing.column_names import column_names, column_offsets
from app.drawing.composed import Subject, composed
from app.drawing.figure import room_bounds, room_figure
from app.drawing.figure_kit import drawing_order, reaches_into
from app.drawing.figures_placed import Figure
from app.drawing.flow import Block, Entry, Stacked, Unparted, Words
from app.drawing.frame import PAST_MARK_MM
from app.drawing.ink import SMALL_MM
from app.drawing.lettering import width_of
from app.drawing.medium import Medium, region
from app.drawing.paper import SLIM_MM, WORDS_MM
from app.drawing.placing import Crowd, around
from app.drawing.plan_sheet import station_order
from app.drawing.primitives import Circle, Group, Item, Line, Text
from app.drawing.sheet import Page, Sheet, TitleFields
from app.drawing.sheets.corner_marks import corner_marks, marks_along_walls
from app.drawing.sheets.front_marks import FRONT_WORDS, front_marks, has_front
from app.drawing.sheets.proving import proof_of
from app.drawing.sheets.taping import (
    SetOut,
    Taped,
    corners_of,
    marked_before,
    marks_of,
    taped,
    wall_mark_name,
)
from app.drawing.short_names import whole_names
from app.drawing.table_cells import Cells
from app.scene.build import Placed, Scene
from app.scene.naming import corner_name
from app.units import Units, format_short
from app.wording import length_words

MARK_WITHIN_MM = 3
"""How near a mark can be set with two tapes and chalk: common practice, no source."""
CHECK_WITHIN_MM = 5
"""By how much the third tape may be off before the two are taken again: likewise."""

_CROSS_EM = 0.6
"""How large the cross of a mark is, in sizes of the lettering."""
_TOGETHER = 6
"""So many marks of a piece are kept in one column; one with more is parted."""
_ONE_TOO_MANY = 2
"""So many sheets become one where words find room in another order; more hardly become fewer."""
_LEFT_AT_MOST = 26
"""Words, figures and signs that a further sheet has of its own where another order may find room
for them: with more no sample saves a sheet, and each try takes as long as the first."""
_GAP_MM = 2.5
"""What is free between two columns of the table."""
_LED_EM, _NEARER_EM = 0.6, 0.05
"""Letters farther than this from their mark, or nearer to another one, are led to it by a line."""
_WAYS = [(dx, dy) for dx in (1, -1, 0) for dy in (-1, 1, 0) if dx or dy]
_FARTHER = (1.0, 1.6, 2.3)
_BESIDE = np.array([(dx * far, dy * far) for far in _FARTHER for dx, dy in _WAYS])
"""Where letters may stand of their mark, (n, 2): so many times as near as they may be."""
_BESIDE_COSTS = np.array([(far - 1) * 0.8 for far in _FARTHER for _ in _WAYS])
_MOST_SOUGHT = 160
"""With more points than this, finding the best place for each letter would take minutes."""


def setting_out_sheet(
    scene: Scene,
    *,
    paper: str = "A3",
    scale: int | None = None,
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw the marks on the floor with the tapes that find them. Raises SheetError."""
    numbers = {placed.piece.id: i + 1 for i, placed in enumerate(station_order(scene))}
    points, metric = taped(scene, numbers), scene.plan.units == "metric"
    # feet and fractions of an inch stand on one line
    wide = sum(_shares(_table(points, scene.plan.units))) + 2 * PAST_MARK_MM
    blocks = _blocks(scene, points)

    def drawn(words: Sequence[Block]) -> Sheet:
        return composed(
            scene.plan,
            Subject("setting-out", "Setting out"),
            [partial(_figure, scene, points)],
            words,
            paper=paper,
            scale=scale,
            fields=fields,
            measured=[partial(_figure, scene, None)],
            column_mm=SLIM_MM if metric else max(WORDS_MM, wide),
        )

    # the table first: what of it stands beside the drawing need not be leafed for
    table_first = drawn(blocks)
    if len(table_first.pages) != _ONE_TOO_MANY or _lettered(table_first.pages[-1]) > _LEFT_AT_MOST:
        return table_first
    how_first = drawn([blocks[-1], *blocks[:-1]])
    return how_first if len(how_first.pages) < len(table_first.pages) else table_first


def _lettered(page: Page) -> int:
    return sum(_texts(one) for one in page.ground)


def _texts(item: Item) -> int:
    if isinstance(item, Group):
        return sum(map(_texts, item.children))
    return int(isinstance(item, Text) and item.ink != "zone")


def _blocks(scene: Scene, points: Taped) -> list[Block]:
    units = scene.plan.units
    within, check = (length_words(mm, units) for mm in (MARK_WITHIN_MM, CHECK_WITHIN_MM))
    how = Block(
        "How to mark",
        (
            Words(
                "From the finished faces of the walls, on the finished floor. Hold one tape in "
                "each of two corners; the mark is where both lengths meet. The third tape proves "
                "it and tells which side of the line between the corners it is on."
            ),
            Words(
                f"Marks are good within {within}. Where the check is off by more than {check}, "
                "take the two tapes again; where it still is, measure the walls."
            ),
        ),
    )
    if early := marked_before(scene):
        how = replace(how, entries=(*how.entries, Words(early)))
    if any(has_front(placed) for placed in scene.order):
        how = replace(how, entries=(*how.entries, Words(FRONT_WORDS)))
    held = [tape for one in points.points for tape in (one.first, one.second, one.check)]
    if points.along:
        walls = Words(
            "Where a tape is held to W1, W2 ..., set these marks along the walls before the others."
        )
        how = replace(how, entries=(*how.entries, walls))
    if any(tape is not None and points.is_mark(tape) for tape in held):
        other = Words("Where a tape is held to a mark instead of a corner, set that mark first.")
        how = replace(how, entries=(*how.entries, other))
    if any(one.check is None for one in points.points):
        only = Words(
            "– for a check: none is needed, the lengths meet a second time only outside the room."
        )
        how = replace(how, entries=(*how.entries, only))
    how = replace(how, entries=(*how.entries, *_fixings_words(scene, points)))
    table = _table(points, units)
    shares = _shares(table)
    head = Cells(table[0], shares, ink="size")
    rows: list[Entry] = []
    of_piece = groupby(
        zip(points.points, table[1:], strict=True), key=lambda pair: pair[0].what.rsplit(",", 1)[0]
    )
    for piece, some in of_piece:
        marks = [Cells(words, shares, after_mm=0.2) for _, words in some]
        first = () if rows else (head,)
        name = Words(piece, "small-bold", after_mm=0.3)
        # a name stays with the first of its marks, and the corners of a piece had better too
        least = Stacked((*first, name, marks[0]))
        next_marks = marks[1:_TOGETHER]
        rows.append(Unparted((least, *next_marks), loose=(least, *next_marks)))
        rows += marks[_TOGETHER:]
    proof = Block("The room, to prove it first", tuple(_proof(scene, units)))
    blocks = [proof, *_along_blocks(points, units)]
    blocks.append(Block("Marks on the floor", tuple(rows), again=head))
    if points.missing:
        blocks.append(
            Block(
                "Not to be taped",
                (
                    Words(
                        "No two clear tapes cross well at "
                        + ", ".join(points.missing)
                        + ": mark these by the size of the piece from its other corners."
                    ),
                ),
            )
        )
    return [*blocks, *whole_names(column.label for column, _ in scene.room.columns), how]


def _fixings_words(scene: Scene, points: Taped) -> list[Entry]:
    """Tell the letters of marks: corners and middles of pieces, fixings, and where others are."""
    letters = {letter for one in points.points for letter in one.name if letter.isalpha()}
    rows: list[Entry] = []
    if "f" in letters:
        rows.append(
            Words(
                "f1, f2 ...: fixings in the floor, about: stand the piece on its corners, and "
                "drill where its own holes are. Find pipes, cables and membrane first."
            )
        )
    if "h" in letters:
        rows.append(
            Words(
                "h1, h2 ...: below fixings in the ceiling, about: plumb them up. The maker's own "
                "holes decide, and an engineer what the ceiling carries."
            )
        )
    if any(p.kit.fixing == "wall" and not p.piece.stays for p in scene.order):
        rows.append(Words("Fixings in walls: on the sheet Walls from inside."))
    return rows


def _row(point: SetOut, points: Taped, units: Units) -> tuple[str, ...]:
    tapes = [
        f"{points.origin(tape)}  {format_short(tape.mm, units)}" if tape else "–"
        for tape in (point.first, point.second, point.check)
    ]
    return point.name, *tapes


def _table(points: Taped, units: Units) -> list[tuple[str, ...]]:
    return [("mark", "tape", "tape", "check"), *(_row(one, points, units) for one in points.points)]


def _shares(table: Sequence[tuple[str, ...]]) -> tuple[float, ...]:
    """Return how wide each column of a table is in mm with the air beside it."""
    return tuple(
        max(width_of(words, SMALL_MM) for words in column) + _GAP_MM
        for column in zip(*table, strict=True)
    )


def _proof(scene: Scene, units: Units) -> list[Entry]:
    """List the distances between corners that prove the room, two in a row, then squares."""
    corners, proof = corners_of(scene), proof_of(scene)
    words = [
        (
            f"{corner_name(i)} to {corner_name(j)}",
            format_short(math.dist(corners[i], corners[j]), units),
        )
        for i, j in proof.pairs
    ]
    rows = _two_in_a_row(words, units)
    for square in proof.squares:
        along, back, between = (
            format_short(mm, units) for mm in (square.along_mm, square.back_mm, square.between_mm)
        )
        ahead = corner_name((square.corner + 1) % len(corners))
        behind = corner_name((square.corner - 1) % len(corners))
        rows.append(
            Words(
                f"At {corner_name(square.corner)}: {along} along to {ahead} and {back} along to "
                f"{behind} are {between} apart."
            )
        )
    return rows


def _along_blocks(points: Taped, units: Units) -> list[Block]:
    """List the marks along walls that are longer than a tape: how far each is from its corner."""
    if not points.along:
        return []
    rows = [
        Words(
            "At the foot of the wall, along its face. A shorter tape goes on from the mark before."
        )
    ]
    numbered = enumerate(points.along)
    for (corner, towards), some in groupby(
        numbered, key=lambda pair: (pair[1].corner, pair[1].towards)
    ):
        each = [f"{wall_mark_name(i)} {format_short(mark.mm, units)}" for i, mark in some]
        way = f"From {corner_name(corner)} towards {corner_name(towards)}"
        rows.append(Words(f"{way}: {', '.join(each)}."))
    return [Block("Marks along the walls, next", tuple(rows))]


def _two_in_a_row(words: Sequence[tuple[str, str]], units: Units) -> list[Entry]:
    """Return distances, from where to where and how long, two in a row."""
    every = [*words, ("", "")] if len(words) % 2 else words
    shares: tuple[float, ...] = (0.28, 0.22, 0.28, 0.22)
    if units == "feet" and every:
        shares = _shares(every) * 2
    return [
        Cells((*a, *b), shares, after_mm=0.2) for a, b in zip(every[::2], every[1::2], strict=True)
    ]


def _figure(scene: Scene, points: Taped | None, medium: Medium, scale: int) -> Figure:
    room = scene.room
    if points is None:
        return Figure((), room_bounds(room, medium))
    figure = room_figure(room, medium)
    faint = tuple(
        region(placed.footprint, "faint")
        for placed in drawing_order(scene)
        if reaches_into(placed, room) and _is_outlined(placed, scene)
    )
    em = medium.em_mm
    # a door's leaf and swing and the axis of a pipe cross a letter as an edge of kit does
    hung = [*(one for o in room.openings for one in o.leaves), *(p for _, p in room.low)]
    hung += [sweep.polygon for opening in room.openings for sweep in opening.sweeps]
    edges = [one.boundary if one.area else one for one in (*_outlines(scene), *hung)]
    crowd = Crowd(edges, room.free)
    for point in points.points:
        # letters keep off the crosses that they name
        crowd.take(around(point.at, em * _CROSS_EM, em * _CROSS_EM))
    for _, polygon in room.columns:
        crowd.take(polygon)
    fronts = tuple(front_marks(scene, em, crowd))
    # the letters of a mark have few places: names of corners keep off them and their lines
    letters = _point_marks(points, em, crowd)
    named = [
        *corner_marks(scene, figure, em, crowd),
        *marks_along_walls(points.along, scene, em, crowd),
        *letters,
    ]
    fixed = (*column_offsets(scene, crowd, medium), *column_names(room, crowd, medium))
    return Figure(
        (
            figure.floor,
            # under the walls: along the inner edge of one an outline would part it in two
            Group((*faint, *fronts), "layer-kit"),
            figure.walls,
            figure.doors,
            # over the kit: a distance runs on behind it to the wall
            Group(fixed, "layer-columns"),
            figure.dims,
            Group(tuple(named), "layer-marks"),
        ),
        figure.bounds,
    )


def _is_outlined(placed: Placed, scene: Scene) -> bool:
    """Return whether a piece is outlined: what has no mark on the floor would have no name."""
    return bool(marks_of(placed, scene))


def _outlines(scene: Scene) -> list[shapely.Polygon]:
    return [placed.footprint for placed in scene.order if _is_outlined(placed, scene)]


def _point_marks(points: Taped, em: float, crowd: Crowd) -> list[Item]:
    items: list[Item] = []
    arm = em * 0.35
    sought = len(points.points) <= _MOST_SOUGHT
    for point in points.points:
        x, y = point.at
        items.append(
            Group(
                (
                    Line((x - arm, y), (x + arm, y), "chalk"),
                    Line((x, y - arm), (x, y + arm), "chalk"),
                    Circle((x, y), arm * 0.5, "chalk"),
                ),
                "",
                (("mark", point.name),),
            )
        )
    every = np.array([point.at for point in points.points], dtype=np.float64).reshape(-1, 2)
    for point in points.points:
        x, y = point.at
        wide = width_of(point.name, em, bold=True)
        spots = _BESIDE * (wide / 2 + em * 0.3, em * 0.85) + point.at
        chosen = crowd.choose(wide, em * 1.05, spots, _BESIDE_COSTS) if sought else 0
        at = float(spots[chosen, 0]), float(spots[chosen, 1])
        box = around(at, wide, em * 0.8)
        own = shapely.Point(point.at)
        far = box.distance(own)
        if far > em * _LED_EM or far > _nearest_mm(box.bounds, every) + em * _NEARER_EM:
            end, tip = (shapely.get_coordinates(one)[0] for one in nearest_points(box, own))
            # it ends at the ring of the mark
            tip = tip + (end - tip) / np.hypot(*(end - tip)) * arm * 0.5
            lead = LineString([end, tip])
            crowd.take(lead.buffer(em * 0.1))
            items.append(Line((end[0], end[1]), (tip[0], tip[1]), "mark-lead"))
        items.append(Text((at[0], at[1] + em * 0.36), point.name, "chalk-mark"))
    return items


def _nearest_mm(box: tuple[float, float, float, float], points: NDArray[np.float64]) -> float:
    """Return how near the nearest of points (n, 2) is to a box."""
    x0, y0, x1, y1 = box
    (x, y) = points.T
    aside = np.maximum(np.maximum(x0 - x, x - x1), 0.0)
    off = np.maximum(np.maximum(y0 - y, y - y1), 0.0)
    return float(np.hypot(aside, off).min())
