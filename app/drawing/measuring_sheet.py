"""A sheet to take along with the tape: where to write what is not known, and what is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.drawing.ink import size_of
from app.drawing.lettering import shorten, wrap
from app.drawing.paper import Box, Paper, paper_of
from app.drawing.primitives import Circle, Group, Item, Line, Point, Polygon, Text
from app.drawing.sheet import Page, Sheet
from app.model.plan import Plan
from app.model.room_check import opening_name
from app.model.room_missing import missing
from app.model.room_walls import letter_at
from app.model.walk import HeightAt, Walk
from app.model.walk_room import walk_of
from app.scene.part_cover import bare_share
from app.units import Units, format_short

_MARGIN = 12.0
_ROW = 6.6
_SQUARES = 5.0
_SKETCH_HIGH = 100.0
_WALL_ROWS, _WALL_ROWS_MOST = 12, 18
_SIDE_ROWS = 5
_SPREADS = ((1.35, 1.2), (1.15, 0.6), (1.0, 0.2))
"""From line to line by the size of lettering, and mm between two rows of a list, the loosest first:
what is asked is all said before it stands loosely."""
_OPENING_ROWS = 5
_HEAD = 5.0
_TURN_WORDS = {"in": "in", "straight": "straight", "out": "out"}


@dataclass(frozen=True, slots=True)
class _Column:
    """One column of a table: its heading and its share of the width."""

    head: str
    share: float


@dataclass(frozen=True, slots=True)
class _Known:
    """What a plan tells: rows of words, empty where there is something left to measure."""

    name: str = ""
    units: Units = "metric"
    outline: tuple[Point, ...] = ()
    walls: tuple[tuple[str, ...], ...] = ()
    diagonals: tuple[tuple[str, ...], ...] = ()
    heights: tuple[tuple[str, ...], ...] = ()
    openings: tuple[tuple[str, ...], ...] = ()
    asks: tuple[str, ...] = ()


_BLANK_ASKS = (
    "Ceiling: what it is made of, which way the joists run and how far apart",
    "What hangs low: beams, pipes, lights, the garage door's tracks and opener, open and shut",
    "Walls: what they are made of; any lining, skirting or pipe that takes room",
    "Floor: what it is made of, how much it falls and towards which wall",
    "Sockets, lights, boiler, meter, tap: at which wall and how far along",
    "Way in: the narrowest door and the lowest height on the way to the room",
)


def measuring_sheet(plan: Plan | None = None, paper: str = "A4") -> Sheet:
    """Draw the measuring sheet: blank without a plan, else with what the plan knows filled in.

    The sketch is not to scale. Raises SheetError for a paper that is none.
    """
    size = paper_of(paper)
    known = _known(plan) if plan is not None else _Known(asks=_BLANK_ASKS)
    items = _page(size, known)
    title = f"{known.name}: measuring sheet" if known.name else "Measuring sheet"
    more = len(known.walls) - _WALL_ROWS_MOST
    note = f"{more} more walls are on the plan sheet" if more > 0 else ""
    return Sheet((Page(tuple(items), size.short_mm, size.long_mm, title),), size.key, 1, note)


def _known(plan: Plan) -> _Known:
    room, walk, units = plan.room, walk_of(plan), plan.units
    letters = {wall.id: letter_at(i) for i, wall in enumerate(room.walls)}
    return _Known(
        plan.name,
        units,
        room.corners,
        tuple(
            (letter_at(i), format_short(room.wall_length_mm(wall.id), units), step.turn)
            for i, (wall, step) in enumerate(zip(room.walls, walk.steps, strict=True))
        ),
        tuple((f"{d.start} to {d.end}", format_short(d.length_mm, units)) for d in walk.diagonals),
        tuple(
            (_height_place(each, units), format_short(each.height_mm, units))
            for each in walk.heights
        ),
        tuple(
            (
                opening_name(o),
                letters[o.wall],
                *(
                    format_short(size, units)
                    for size in (o.offset_mm, o.width_mm, o.height_mm, o.sill_mm)
                ),
            )
            for o in room.openings
        ),
        (
            *_unheld(walk),
            *(f"{line.what}: {line.sentence}" for line in missing(plan, bare_share(plan.room))),
        ),
    )


def _height_place(height: HeightAt, units: Units) -> str:
    at = f"{letter_at(height.wall - 1)}, {format_short(height.along_mm, units)} along"
    return f"{at}, {format_short(height.out_mm, units)} out" if height.out_mm else at


def _unheld(walk: Walk) -> tuple[str, ...]:
    asks = []
    if not walk.diagonals:
        asks.append("Diagonals: none is taped; one across the room shows whether it is square")
    if not walk.heights:
        asks.append("Heights: none is taped on a walk; four of them tell a slope")
    return tuple(asks)


def _page(paper: Paper, known: _Known) -> list[Item]:
    wide, high = paper.short_mm, paper.long_mm
    frame = Box(_MARGIN, _MARGIN, wide - 2 * _MARGIN, high - 2 * _MARGIN)
    items: list[Item] = [
        Polygon(((0, 0), (wide, 0), (wide, high), (0, high)), "page"),
        Text((frame.x, frame.y + 5), known.name or "Measuring sheet", "title", "start"),
        Text((frame.right, frame.y + 5), _how(known), "label", "end"),
    ]
    sketch = Box(frame.x, frame.y + 9, frame.width, _sketch_high(paper, known))
    items += _sketch(sketch, known)
    top = sketch.bottom + 4
    left = Box(frame.x, top, frame.width * 0.46, 0)
    right = Box(frame.x + frame.width * 0.5, top, frame.width * 0.5, 0)
    turn = _Column("then turn", 1.7)
    walls = [(row[0], row[1], "") for row in known.walls[:_WALL_ROWS_MOST]]
    walls = walls or [(letter_at(i), "", "") for i in range(_WALL_ROWS)]
    rows = len(walls)
    items += _table(left, "Walls", (_Column("wall", 0.6), _Column("length", 1.3), turn), walls)
    turns = [row[2] for row in known.walls] or [""] * rows
    items += _turns(left, rows, turns)
    pair = (_Column("from corner to corner", 1.2), _Column("length", 1))
    bottom = _table_rows(items, right, "Diagonals", pair, known.diagonals, _SIDE_ROWS)
    place = (_Column("at wall, along it, out from it", 1.6), _Column("floor to ceiling", 1))
    right = Box(right.x, bottom + 3, right.width, 0)
    bottom = _table_rows(items, right, "Heights", place, known.heights, _SIDE_ROWS)
    bottom = max(bottom, left.y + _HEAD + _ROW * (rows + 1)) + 3
    doors = (
        _Column("door, window, gap", 1.8),
        _Column("wall", 0.6),
        _Column("along it", 1),
        _Column("width", 1),
        _Column("height", 1),
        _Column("sill", 0.8),
    )
    whole = Box(frame.x, bottom, frame.width, 0)
    bottom = _table_rows(items, whole, "Openings", doors, known.openings, _OPENING_ROWS)
    items += _asks(Box(frame.x, bottom + 3, frame.width, frame.bottom - bottom - 3), known)
    return items


def _sketch_high(paper: Paper, known: _Known) -> float:
    """Leave what the tables need and give the sketch the rest, at most its usual height."""
    rows = min(len(known.walls), _WALL_ROWS_MOST) or _WALL_ROWS
    side = (
        2 * (_HEAD + _ROW)
        + 3
        + _ROW * (max(_SIDE_ROWS, len(known.diagonals)) + max(_SIDE_ROWS, len(known.heights)))
    )
    tables = max(side, _HEAD + _ROW * (rows + 1))
    openings = _HEAD + _ROW * (1 + max(_OPENING_ROWS, len(known.openings)))
    asks = 52.0
    free = paper.long_mm - 2 * _MARGIN - 9 - 10 - tables - openings - asks
    return max(40.0, min(_SKETCH_HIGH, free))


def _how(known: _Known) -> str:
    unit = "feet and inches" if known.units == "feet" else "mm"
    if not known.name:
        return "walls at your left hand, from the corner beside the door"
    return f"lengths in {unit}; empty lines are still to be taped"


def _sketch(box: Box, known: _Known) -> list[Item]:
    items: list[Item] = []
    if not known.outline:
        across, down = round(box.width / _SQUARES), round(box.height / _SQUARES)
        for i in range(1, across):
            x = box.x + box.width * i / across
            items.append(Line((x, box.y), (x, box.bottom), "hair"))
        for i in range(1, down):
            y = box.y + box.height * i / down
            items.append(Line((box.x, y), (box.right, y), "hair"))
    ring = ((box.x, box.y), (box.right, box.y), (box.right, box.bottom), (box.x, box.bottom))
    items.append(Polygon(ring, "key-ring" if known.outline else "frame"))
    if not known.outline:
        return [Group(tuple(items), "sketch")]
    xs, ys = [x for x, _ in known.outline], [y for _, y in known.outline]
    scale = min(
        (box.width - 24) / (max(xs) - min(xs) or 1), (box.height - 24) / (max(ys) - min(ys) or 1)
    )
    left = box.x + (box.width - (max(xs) - min(xs)) * scale) / 2
    top = box.y + (box.height - (max(ys) - min(ys)) * scale) / 2
    corners = tuple(
        (left + (x - min(xs)) * scale, top + (y - min(ys)) * scale) for x, y in known.outline
    )
    items.append(Polygon(corners, "frame"))
    clockwise = _clockwise(corners)
    for i, (x, y) in enumerate(corners):
        end = corners[(i + 1) % len(corners)]
        dx, dy = end[0] - x, end[1] - y
        long = (dx * dx + dy * dy) ** 0.5 or 1.0
        out = (dy / long, -dx / long) if clockwise else (-dy / long, dx / long)
        at = ((x + end[0]) / 2 + out[0] * 4, (y + end[1]) / 2 + out[1] * 4 + 1)
        items.append(Text(at, letter_at(i), "small-bold"))
        items.append(Circle((x, y), 2.2, "key-ring"))
        items.append(Text((x, y + 0.95), str(i + 1), "key-numeral"))
    items.append(Text((box.x + 3, box.bottom - 3), "not to scale", "label", "start"))
    return [Group(tuple(items), "sketch")]


def _clockwise(corners: Sequence[Point]) -> bool:
    after = [*corners[1:], corners[0]]
    pairs = zip(corners, after, strict=True)
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs) > 0


def _table_rows(
    items: list[Item],
    box: Box,
    title: str,
    columns: Sequence[_Column],
    rows: Sequence[tuple[str, ...]],
    least: int,
) -> float:
    """Draw a table with at least so many rows; give its lower edge."""
    filled = [*rows, *([("",) * len(columns)] * (least - len(rows)))]
    items += _table(box, title, columns, filled)
    return box.y + _HEAD + _ROW * (len(filled) + 1)


def _table(
    box: Box, title: str, columns: Sequence[_Column], rows: Sequence[tuple[str, ...]]
) -> list[Item]:
    items: list[Item] = [_heading(box.x, box.y, title)]
    total = sum(column.share for column in columns)
    lefts, x = [], box.x
    for column in columns:
        lefts.append(x)
        items.append(Text((x + 1, box.y + _HEAD + _ROW - 2), column.head, "label", "start"))
        x += box.width * column.share / total
    for i in range(len(rows) + 1):
        y = box.y + _HEAD + _ROW * (i + 1)
        items.append(Line((box.x, y), (box.right, y), "rule" if i == 0 else "hair"))
    for i, row in enumerate(rows):
        y = box.y + _HEAD + _ROW * (i + 2) - 2
        for left, column, words in zip(lefts, columns, row, strict=True):
            free = box.width * column.share / total - 2
            short = shorten(words, size_of("row"), free)
            items.append(Text((left + 1, y), short, "row", "start"))
    return items


def _turns(box: Box, rows: int, turns: Sequence[str]) -> list[Item]:
    """Draw the three boxes to tick at the end of each wall, the known one ticked."""
    items: list[Item] = []
    left = box.x + box.width * 1.9 / 3.6
    for i in range(rows):
        y = box.y + _HEAD + _ROW * (i + 2) - 4.6
        for k, (turn, words) in enumerate(_TURN_WORDS.items()):
            x = left + 1 + (0, 9, 25)[k]
            ring = ((x, y), (x + 2.8, y), (x + 2.8, y + 2.8), (x, y + 2.8))
            items.append(Polygon(ring, "key-ring"))
            if i < len(turns) and turns[i] == turn:
                items.append(Line((x + 0.5, y + 0.5), (x + 2.3, y + 2.3), "measure"))
                items.append(Line((x + 2.3, y + 0.5), (x + 0.5, y + 2.3), "measure"))
            items.append(Text((x + 3.8, y + 2.4), words, "small", "start"))
    return items


def _heading(x: float, y: float, words: str) -> Text:
    return Text((x, y + 3.4), words, "head", "start")


def _asks(box: Box, known: _Known) -> list[Item]:
    """List what is asked in two columns, closer where it would not all stand there."""
    heading = _heading(box.x, box.y, "Also look at" if not known.name else "Still open")
    for spread, gap in _SPREADS:
        items, left_out = _asks_set(box, known.asks, spread, gap)
        if not left_out:
            break
    return [heading, *items]


def _asks_set(box: Box, asks: Sequence[str], spread: float, gap: float) -> tuple[list[Item], int]:
    """Return the rows of a list, and how many of them find no place in its box."""
    items: list[Item] = []
    size = size_of("small")
    line = size * spread
    half = box.width / 2 - 3
    y, x = box.y + _HEAD + size, box.x
    for number, ask in enumerate(asks):
        lines = wrap(ask, size, half - 5, 2)
        if y + line * (len(lines) - 1) > box.bottom:
            if x > box.x:
                return items, len(asks) - number
            x, y = box.x + half + 6, box.y + _HEAD + size
        ring = ((x, y - 2.2), (x + 2.4, y - 2.2), (x + 2.4, y + 0.2), (x, y + 0.2))
        items.append(Polygon(ring, "key-ring"))
        for words in lines:
            items.append(Text((x + 4, y), words, "small", "start"))
            y += line
        y += gap
    return items, 0
