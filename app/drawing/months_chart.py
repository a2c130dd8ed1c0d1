"""Money by month: a stair of what there is, under it the growing pile of what is bought.

Each thing is as tall as its price, so what comes too early stands as a block above the stair.
Months in which nothing is bought and nothing new can be done are slivers. In px of the page.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from app.drawing.framed import Framed
from app.drawing.lettering import shorten, width_of
from app.drawing.primitives import (
    Anchor,
    Group,
    Item,
    Line,
    Pattern,
    Point,
    Polygon,
    Polyline,
    Text,
)
from app.drawing.svg import fragment
from app.units import format_money

LEFT_PX, RIGHT_PX, TOP_PX = 66.0, 14.0, 30.0
PILE_PX, NARROWEST_PX, WIDEST_PX, SLIVER_PX = 40.0, 132.0, 204.0, 30.0
HIGH_PX, FOOT_PX, LINE_PX, LETTER_PX = 430.0, 60.0, 15.0, 12.0
"""Sizes on the page: the pile, a month with something in it, one without, the height of all."""

STEPS = (1, 2, 5)
"""What a scale counts in, times a power of ten."""
MARKS_AT_MOST = 7

_FOOT: tuple[str, Anchor] = ("by-then", "start")
_HATCH = Pattern("spent", 8, 45, (((0, 0), (0, 8)),), "spent-line")


@dataclass(frozen=True, slots=True)
class Block:
    """One thing that is bought; `kit` tells it from fit-out, `loud` that it is too early."""

    key: str
    name: str
    minor: int
    kit: bool


@dataclass(frozen=True, slots=True)
class Column:
    """One month: its name, what is bought, all there is by its end, what is kept back of it."""

    name: str
    blocks: tuple[Block, ...]
    there_is_minor: int
    kept_back_minor: int
    missing_minor: int = 0
    new: bool = False

    @property
    def spent_minor(self) -> int:
        """What is bought in it."""
        return sum(block.minor for block in self.blocks)

    @property
    def is_wide(self) -> bool:
        """Whether something happens in it."""
        return bool(self.blocks) or self.new

    def wide_px(self, currency: str) -> float:
        """Return how wide it is drawn: as its words ask for, within bounds."""
        if not self.is_wide:
            return SLIVER_PX
        words = [_label(block, currency) for block in self.blocks]
        longest = max((width_of(each, LETTER_PX) for each in words), default=0.0)
        return min(max(longest + PILE_PX + 40, NARROWEST_PX), WIDEST_PX)


@dataclass(frozen=True, slots=True)
class _Scale:
    top_minor: int

    def y(self, minor: int) -> float:
        return TOP_PX + HIGH_PX * (1 - minor / self.top_minor)


def months_chart(columns: Sequence[Column], currency: str, chosen: str = "") -> Framed:
    """Draw the months. `chosen` is the key of the thing in the hand; it gets chalk ticks."""
    spent, highest = 0, 1
    for column in columns:
        spent += column.spent_minor
        highest = max(highest, column.there_is_minor, spent + column.kept_back_minor)
    scale = _Scale(highest)
    widths = [column.wide_px(currency) for column in columns]
    right = LEFT_PX + sum(widths)
    items: list[Item] = [*_marks(scale, right, currency)]
    stair: list[Point] = []
    x, spent = LEFT_PX, 0
    for column, wide_px in zip(columns, widths, strict=True):
        items += _column(column, (x, x + wide_px), spent, scale, currency, chosen)
        y = scale.y(column.there_is_minor)
        stair += [(x, y), (x + wide_px, y)]
        if column.blocks:
            words = f"there is {_round(column.there_is_minor, currency)}"
            items.append(Text((x + 6, y - 6), words, "stair-words", "start"))
        spent += column.spent_minor
        x += wide_px
    if stair:
        items.append(Polyline(tuple(stair), "stair"))
    items.append(Line((LEFT_PX, scale.y(0)), (right, scale.y(0)), "ground"))
    wide, high = right + RIGHT_PX, TOP_PX + HIGH_PX + FOOT_PX
    box = f"0 0 {wide:g} {high:g}"
    attributes = {
        "viewBox": box, "width": f"{wide:g}", "height": f"{high:g}",
        "class": "months-chart", "role": "img", "aria-label": _in_words(columns, currency),
    }  # fmt: skip
    return Framed(fragment(items, attributes, [_HATCH], digits=1), box)


def _marks(scale: _Scale, right: float, currency: str) -> Iterator[Item]:
    step = _step(scale.top_minor)
    for minor in range(0, scale.top_minor + 1, step):
        y = scale.y(minor)
        yield Line((LEFT_PX, y), (right, y), "money-line")
        yield Text((LEFT_PX - 8, y + 4), _round(minor, currency), "money-mark", "end")


def _step(top_minor: int) -> int:
    """Return the round step that leaves at most so many marks up to the top."""
    ten = 1
    while True:
        for by in STEPS:
            if top_minor / (by * ten) <= MARKS_AT_MOST:
                return by * ten
        ten *= 10


def _round(minor: int, currency: str) -> str:
    return format_money(minor, currency).removesuffix(".00")


def _column(
    column: Column,
    sides: tuple[float, float],
    before: int,
    scale: _Scale,
    currency: str,
    chosen: str,
) -> Iterator[Item]:
    x, right = sides
    pile = (x + 10, x + 10 + PILE_PX)
    wide = column.is_wide
    if before and wide:
        yield _box(pile, scale.y(before), scale.y(0), "spent", fill="spent")
    y0, spots = scale.y(before), []
    by = before
    for block in column.blocks:
        by += block.minor
        y1 = scale.y(by)
        ink = "block-kit" if block.kit else "block-room"
        if by + column.kept_back_minor > column.there_is_minor and column.missing_minor:
            ink += " too-early"
        yield Group((_box(pile, y1, y0, ink),), "block", (("key", block.key),))
        if block.key == chosen:
            yield from _ticks(pile, y1, y0)
        spots.append(((y0 + y1) / 2, block))
        y0 = y1
    if column.blocks and column.kept_back_minor:
        yield _box(pile, scale.y(by + column.kept_back_minor), y0, "kept-back")
    yield from _labels(spots, pile[1], right, scale, currency)
    foot = scale.y(0) + 18
    if wide:
        yield Text((x + 10, foot), column.name, "month", "start")
        yield Text((x + 10, foot + 17), f"{_round(column.spent_minor, currency)} spent", *_FOOT)
        yield Text((x + 10, foot + 32), f"{_round(by, currency)} by then", *_FOOT)
    else:
        yield Text((x + SLIVER_PX / 2, foot), column.name[:3], "by-then", "middle")


def _box(pile: tuple[float, float], top: float, bottom: float, ink: str, fill: str = "") -> Polygon:
    left, right = pile
    return Polygon(((left, top), (right, top), (right, bottom), (left, bottom)), ink, fill)


def _ticks(pile: tuple[float, float], top: float, bottom: float) -> Iterator[Item]:
    for x, out in ((pile[0], -1), (pile[1], 1)):
        for y, up in ((top, -1), (bottom, 1)):
            yield Line((x - 4 * out, y), (x + 7 * out, y), "chalk-tick")
            yield Line((x, y - 4 * up), (x, y + 7 * up), "chalk-tick")


def _labels(
    spots: Sequence[tuple[float, Block]], x: float, right: float, scale: _Scale, currency: str
) -> Iterator[Item]:
    """Letter the things beside their pile, a line each, as near to their blocks as can be."""
    ys = _spread([y for y, _ in spots], TOP_PX + LINE_PX, scale.y(0) - LETTER_PX / 2)
    for (at, block), y in zip(spots, ys, strict=True):
        words = shorten(_label(block, currency), LETTER_PX, right - x - 18)
        yield Line((x, at), (x + 10, y - 4), "leader")
        yield Text((x + 13, y), words, "thing-words", "start")


def _label(block: Block, currency: str) -> str:
    """Return a thing's words: its sum first, so that a long name loses its end and no figure."""
    return f"{_round(block.minor, currency)} {block.name}"


def _spread(ys: Sequence[float], top: float, bottom: float) -> list[float]:
    """Move base lines apart to one line each, downwards first, then up from the bottom."""
    order = sorted(range(len(ys)), key=lambda i: ys[i])
    spread = [max(y, top) for y in ys]
    for above, below in pairwise(order):
        spread[below] = max(spread[below], spread[above] + LINE_PX)
    limit = bottom
    for i in reversed(order):
        spread[i] = min(spread[i], limit)
        limit = spread[i] - LINE_PX
    return spread


def _in_words(columns: Sequence[Column], currency: str) -> str:
    bought = [
        f"{column.name}: {', '.join(block.name for block in column.blocks)}, "
        f"{_round(column.spent_minor, currency)}"
        for column in columns
        if column.blocks
    ]
    return "What is bought month by month. " + ". ".join(bought)
