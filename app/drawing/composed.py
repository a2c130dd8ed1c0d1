"""Sheets put together: figures at one scale, words beside them, both over as many pages as needed.

Every sheet of the set is made here, so that frame, title block, scale bar and the way words go on
are the same on all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from typing import TypeAlias

from app.drawing.figures_placed import (
    Figure,
    FigureAt,
    Rows,
    high_of,
    in_rows,
    largest,
    page_high,
    placed,
)
from app.drawing.flow import Block, Heights
from app.drawing.foot import foot_mm
from app.drawing.frame import (
    WORDS_ALONE_MM,
    TitleBlock,
    TitleWords,
    padded,
    page_and_frame,
    rules_between,
    strip_items,
    title_words,
    word_columns,
)
from app.drawing.ink import LETTER_MM
from app.drawing.match_lines import parted
from app.drawing.medium import Medium
from app.drawing.paper import (
    NARROW_MM,
    SCALES,
    Arrangement,
    Box,
    Paper,
    Size,
    alone,
    arrangements_for,
    frame_of,
    paper_of,
    rest_beside,
    round_about,
    scale_at,
    scale_words,
    under,
)
from app.drawing.pouring import poured
from app.drawing.primitives import Group, Item, Line, Text
from app.drawing.sheet import Page, Sheet, TitleFields
from app.model.plan import Plan

NOT_TO_SCALE = "not to scale"
NO_SCALE = "none: not for measuring"
"""The scale of a view on which no wall runs along the paper: a ruler on it tells too little."""
LITTLE_SMALLER = 1.34
"""How much smaller figures may be drawn to stand on fewer pages: the next scale but no more."""
_LARGE_ENOUGH, _NEXT_SMALLER = 25, 1.5
"""Down to 1:25 a figure is read as well, and its next scale may be further off: 1:16 and 1:24."""

FOR_HALLS = 100
"""At a smaller scale than this a rack is a speck: a drawing is rather cut into parts."""

Pourer: TypeAlias = Callable[[Sequence[Box], Sequence[Box]], tuple[tuple[Item, ...], ...]]
"""Sets words into the columns of the first page and of further ones; gives those of each page."""


@dataclass(frozen=True, slots=True)
class Subject:
    """What a sheet is: its key in the set, its name, what kind of document it is."""

    key: str
    name: str
    document: str = "drawing"


def composed(
    plan: Plan,
    subject: Subject,
    figures: Sequence[FigureAt],
    words: Sequence[Block] | Pourer,
    *,
    paper: str,
    scale: int | None,
    fields: TitleFields | None,
    measured: Sequence[FigureAt] | None = None,
    scales: Sequence[int] = (),
    worded_first: bool = False,
    smaller: float = LITTLE_SMALLER,
    column_mm: float = NARROW_MM,
    late: Callable[[int], Sequence[Block]] | None = None,
) -> Sheet:
    """Put a sheet together: all figures at one scale, in their order, on as few pages as hold them.

    Without a scale the largest is taken at which each fits; one too large gives way to the next.
    `measured` are quicker figures of the same bounds, to find the scale with; `scales` are those to
    choose from, where they are not the ones of drawings. With `worded_first` the first page has
    words where any scale leaves room for them. Figures may be drawn `smaller`, so many times at
    most, where that saves paper. `column_mm` is the narrowest column that its words
    read well in. `late` gives all words anew, if any, once the figures are drawn at a scale: what
    finds no room in them is told. Raises SheetError for a paper or scale that is none, and for what
    fits at no scale.
    """
    fields = fields or TitleFields()
    chosen, units = paper_of(paper), plan.units
    fill = partial(_filled, column_mm=column_mm, low=not callable(words))
    pour, count_pages = (words, words) if callable(words) else _pourers(tuple(words))
    # the picture keeps to scales of its own, and fits at one
    parts = None if scales else parted(measured or figures, figures, chosen, scale, units)
    if parts is not None:
        figures, measured, scale = parts.figures, None, parts.scale

    @cache
    def quick(at: int) -> tuple[Figure, ...]:
        medium = Medium(LETTER_MM * at, units, True, bounds_only=True)
        return tuple(draw(medium, at) for draw in measured or figures)

    @cache
    def sizes(at: int) -> tuple[float, float]:
        return largest(quick(at), at)

    several = scales or SCALES[units]
    first = several[0]

    def least(at: int) -> tuple[float, float]:
        # the smaller the scale the more of the room its lettering takes: what reaches so far at the
        # largest scale reaches at least as far at any other
        return sizes(at) if at <= first else largest(quick(first), at)

    asked = scale
    scale, note = scale_at(sizes, chosen, scale, units, least, several)
    note = parts.note if parts is not None else note
    with_words = []
    if worded_first:
        with_words = [s for s in several if s >= scale and _have_words(sizes, chosen, s)][:1]
        scale = with_words[0] if with_words and asked is None else scale
    tries = [scale]
    if asked is None:
        # a little smaller where that saves paper
        most = max(scale * smaller, min(scale * _NEXT_SMALLER, _LARGE_ENOUGH))
        tries += [s for s in several if scale < s <= most]
    ways = [
        (at, way)
        for at in tries
        for way in (*arrangements_for(sizes, chosen, at), *_rest(quick(at), chosen, at))
        if (bool(way.columns) or not with_words if words else not way.columns)
        and all(column.width >= column_mm for column in way.columns)
    ]
    scale, arrangement = _fewest_pages(ways, lambda at, way: fill(way, quick(at), at, count_pages))
    medium = Medium(LETTER_MM * scale, units, True)
    drawn = [draw(medium, scale) for draw in figures]
    if late is not None and (more := late(scale)):
        pour, count_more = _pourers(tuple(more))
        there = [one for one in ways if one[0] == scale]
        _, arrangement = _fewest_pages(there, lambda at, way: fill(way, quick(at), at, count_more))
    pages = fill(arrangement, drawn, scale, pour)
    count = len(pages)
    if asked is None and not scales and scale > FOR_HALLS and len(figures) == 1:
        # a long hall goes on in parts under one another, larger, where it takes one more sheet
        nearer = max(s for s in several if s < scale)
        halved = composed(
            plan, subject, figures, words, paper=paper, scale=nearer, fields=fields,
            measured=measured, worded_first=worded_first, column_mm=column_mm, late=late,
        )  # fmt: skip
        if halved.scale == nearer and len(halved.pages) <= count + 1:
            return replace(halved, note="")
    title = title_words(plan, subject.key, subject.name, subject.document, "", fields)
    made = []
    for i, (items, has_figure) in enumerate(pages):
        # scales of its own are a picture's: they only say how large it is drawn
        true = NO_SCALE if scales else f"{scale_words(scale)} on {chosen.key}"
        block = replace(title, scale=true if has_figure else NOT_TO_SCALE)
        ruled = has_figure and not scales
        strip = strip_items(arrangement.strip, scale, chosen.key, units) if ruled else ()
        name = f"{plan.name}: {subject.name.lower()}, {block.scale}"
        size = (arrangement.width_mm, arrangement.height_mm)
        alone_words = () if has_figure else items
        made.append(page_of([*items, *strip], size, name, block, (i, count), alone_words))
    return Sheet(tuple(made), chosen.key, scale, note, bool(scales))


def _rest(figures: Sequence[Figure], paper: Paper, scale: int) -> Iterator[Arrangement]:
    """Yield sheets with the first figures at one side, and words in all that is left.

    The figures stand under one another; those that find no room there, or are wider, stand on
    further sheets of the same size. Beside and under them words stand only where no figure is
    left over.
    """
    wide, tall = largest(figures, scale)
    upright, lying = (paper.short_mm, paper.long_mm), (paper.long_mm, paper.short_mm)
    for size in (upright, lying):
        further = alone(*size).figure
        if wide > further.width or tall > further.height:
            continue
        if size == lying:
            # beside the widest, else beside the first where the wider ones stand on further sheets
            for across in sorted({figures[0].size(scale)[0], wide}):
                yield from rest_beside(*size, across)
        high = 0.0
        for figure in figures:
            high += figure.size(scale)[1]
            way = under(*size, high)
            if way is not None:
                yield way
        if len(figures) > 1 and sum(one.size(scale)[0] for one in figures) <= further.width:
            # all of them side by side, on one level
            row = under(*size, high_of(figures, range(len(figures)), scale))
            if row is not None:
                yield row
        # what is free under them too, where all of them stand one over the other
        yield from round_about(*size, wide, high)


def _have_words(sizes: Size, paper: Paper, scale: int) -> bool:
    """Return whether figures at a scale leave room for words on their page."""
    return any(way.columns for way in arrangements_for(sizes, paper, scale))


def _fewest_pages(
    ways: Iterable[tuple[int, Arrangement]],
    filled: Callable[[int, Arrangement], Sequence[tuple[Sequence[Item], bool]]],
) -> tuple[int, Arrangement]:
    """Return the scale and arrangement that take the fewest pages, the first that takes one.

    Of several the figures are to stand on the fewest pages, and the first is to hold as many words
    as it can.
    """
    best: tuple[tuple[int, int, int, float], Arrangement] | None = None
    for at, way in ways:
        room = sum(column.width * column.height for column in way.columns)
        pages = filled(at, way)
        rank = len(pages), at, sum(1 for _, has_figure in pages if has_figure), -room
        if best is None or rank < best[0]:
            best = rank, way
        if rank[0] == 1:
            break
    assert best is not None, "a scale was found at which the figures fit"
    return best[0][1], best[1]


def in_pages(
    plan: Plan,
    subject: Subject,
    pages: Sequence[Sequence[Item]],
    paper: Paper,
    sizes: Sequence[tuple[float, float]],
    fields: TitleFields,
) -> Sheet:
    """Put pages without a scale into frames, numbered, each with its title block.

    `sizes` are width and height in mm of each page, or of all of them.
    """
    each = list(sizes) if len(sizes) == len(pages) else [sizes[0]] * len(pages)
    title = title_words(plan, subject.key, subject.name, subject.document, NOT_TO_SCALE, fields)
    count, made = len(pages), []
    for i, items in enumerate(pages):
        name = f"{plan.name}: {subject.name.lower()} on {paper.key}"
        made.append(page_of(items, each[i], name, title, (i, count)))
    return Sheet(tuple(made), paper.key, 1)


def page_of(
    items: Sequence[Item],
    size: tuple[float, float],
    title: str,
    block: TitleWords,
    number: tuple[int, int],
    words: Sequence[Item] = (),
) -> Page:
    """Put items on paper with its frame and title block; `number` is which of how many.

    `words` are the items where it has nothing else.
    """
    at, count = number
    name = f"{title}, sheet {at + 1} of {count}" if count > 1 else title
    return Page(
        (*page_and_frame(*size), *items),
        *size,
        name,
        TitleBlock(block, frame_of(*size)),
        f"{at + 1} of {count}",
        words=tuple(words),
    )


def _pourers(blocks: tuple[Block, ...]) -> tuple[Pourer, Pourer]:
    """Return what sets words, and what only tells over how many pages they go."""
    heights: Heights = {}

    # at several scales words are left the same columns
    @cache
    def counted(first: tuple[Box, ...], further: tuple[Box, ...]) -> tuple[tuple[Item, ...], ...]:
        return poured(blocks, first, further, trial=True, heights=heights)

    return (
        lambda first, further: poured(blocks, first, further, heights=heights),
        lambda first, further: counted(tuple(first), tuple(further)),
    )


def _filled(
    way: Arrangement,
    figures: Sequence[Figure],
    scale: int,
    pour: Pourer,
    column_mm: float,
    low: bool,
) -> list[tuple[list[Item], bool]]:
    """Fill pages with figures and words; each page tells whether it has a figure.

    Words that find no room on the first page stand under the last figures, or beside them, where
    all of them do and `low` columns serve them.
    """
    boxes = way.figure, alone(way.width_mm, way.height_mm).figure
    rows = in_rows(figures, boxes, scale)
    words = pour(
        padded(way.columns),
        word_columns(way.width_mm, way.height_mm, max(WORDS_ALONE_MM, column_mm)),
    )
    band = None
    several = _bands(way, figures, rows[-1], scale) if low and len(words) > 1 < len(rows) else ()
    for some in several:
        columns = padded(some.columns)
        inside = pour(padded(way.columns), columns)
        if len(inside) == 2 and foot_mm(inside[1]) <= columns[0].bottom:
            words, band = inside, some
            break
    pages: list[tuple[list[Item], bool]] = []
    for i, row in enumerate(rows or [[]]):
        last = band if i and i + 1 == len(rows) else None
        box = last.figure if last is not None else boxes[min(i, 1)]
        items: list[Item] = placed(figures, row, box, scale) if row else []
        if i == 0:
            items += [*_edges(_with_words(way, words[0])), Group(words[0], "words")]
        elif last is not None:
            items += [*_edges(_with_words(last, words[1])), Group(words[1], "words")]
        pages.append((items, bool(row)))
    for page in words[1:] if band is None else ():
        pages.append(([Group(page, "words")], False))
    return pages


def _bands(
    way: Arrangement, figures: Sequence[Figure], rows: Rows, scale: int
) -> Iterator[Arrangement]:
    """Yield the last sheet of figures with words in what is free under them, then beside them."""
    size = way.width_mm, way.height_mm
    low = under(*size, page_high(figures, rows, scale))
    if low is not None:
        yield low
    yield from rest_beside(*size, max(sum(figures[i].size(scale)[0] for i in row) for row in rows))


def _with_words(way: Arrangement, words: Sequence[Item]) -> Arrangement:
    """Return the sheet without the columns under its figures that nothing is set into."""
    top = way.columns[0].y if way.columns else 0.0
    places = list(_places(words))

    def used(column: Box) -> bool:
        if way.beside and column.y <= top:
            return True
        return any(
            column.x <= x <= column.right and column.y <= y <= column.bottom for x, y in places
        )

    return replace(way, columns=tuple(filter(used, way.columns)))


def _places(items: Sequence[Item]) -> Iterator[tuple[float, float]]:
    """Yield where lettering begins, and where what is moved stands."""
    for item in items:
        if isinstance(item, Text):
            yield item.at
        elif isinstance(item, Group):
            yield from _places(item.children) if item.move is None else [item.move]


def _edges(way: Arrangement) -> tuple[Item, ...]:
    if not way.columns:
        return ()
    first = way.columns[0]
    if way.beside:
        side = Line((first.x, first.y), (first.x, first.bottom), "rule")
        low = [column for column in way.columns if column.y > first.y]
        if not low:
            return (side,)
        edge = Line((low[0].x, low[0].y), (first.x, low[0].y), "rule")
        return (side, edge, *rules_between(low))
    edge = Line((first.x, first.y), (way.frame.right, first.y), "rule")
    return (edge, *rules_between(way.columns))
