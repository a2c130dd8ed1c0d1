"""Blocks of words poured into columns: how many sheets they take, and columns of one height."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from app.drawing.flow import LINE_MM, Block, Flow, Heights
from app.drawing.foot import foot_mm
from app.drawing.paper import Box
from app.drawing.primitives import Item

_BETWEEN_MM = 3.4
"""The air between one block and the heading of the next."""
_LOW_MM = 45.0
"""A block no higher than this, some ten lines, is kept whole where higher ones cannot be."""
_MUCH_MM = 20.0
"""A page that is lower by this may hold a few more lines of another sheet."""
_CLOSER_MM = 0.5
"""By so much nearer entries stand where that saves a sheet: less than the air that any asks for."""
_FEW_MM = 30.0
"""A sheet that has no more than this of its own, some six lines, is saved so where it can be."""
AIRS_MM = (3.0, 2.4, 1.8, 1.2, 0.6)
"""How much more air each entry of a list has where its paper would be empty: up to a line of its
letters, so that what belongs together is still seen to."""
_LEVEL_MM = 3.0
"""How nearly columns are made to end at one height: less than a line."""


def poured(
    blocks: Sequence[Block],
    first: Sequence[Box],
    further: Sequence[Box],
    trial: bool = False,
    heights: Heights | None = None,
    parted: bool = False,
    air_mm: float = 0.0,
) -> tuple[tuple[Item, ...], ...]:
    """Set blocks down the columns of a first sheet and of as many further ones as they take.

    Further sheets are filled evenly: their columns end at about one height. Without a column on
    the first sheet all stands on further ones. With `trial` only how many there are is true.
    `heights` keeps what was measured for the next time the same blocks are set. Blocks that are
    `parted` run on from column to column, so that one alone fills them evenly. `air_mm` is free
    under each entry besides what it asks for.
    """
    if not first and not blocks:
        return ((),)
    measured: Heights = {} if heights is None else heights
    # where things stand is found without lettering them; what is kept is lettered once
    tried = partial(_set, blocks, first, further, measured, trial=True)
    flow = tried(closer_mm=-air_mm)
    if not air_mm and len(flow.pages) > 1 and flow.column == 0 and flow.y <= _FEW_MM:
        closer = tried(closer_mm=_CLOSER_MM)
        flow = closer if len(closer.pages) < len(flow.pages) else flow
    if trial:
        return tuple(tuple(page) for page in flow.pages)
    close = flow.closer_mm
    whole_mm = 0.0
    if not parted:
        # blocks stay whole, at least the low ones, where that takes no further sheet
        for most in (max(box.height for box in (*first, *further)), _LOW_MM):
            unbroken = tried(most, closer_mm=close, at_most=len(flow.pages))
            if len(unbroken.pages) == len(flow.pages) and unbroken.fitted:
                flow, whole_mm = unbroken, most
                break
    if len(flow.pages) == 1 and len(first) > 1:
        return (tuple(_level(blocks, first, flow, whole_mm).pages[0]),)
    alone, even = first == further, None
    own = None if alone else first
    levels = len(flow.pages) == (1 if alone else 2)
    if levels:
        even = _evened(blocks, own, further, flow, whole_mm)
    kept = even or _set(blocks, first, further, measured, whole_mm, closer_mm=close)
    if levels and whole_mm > _LOW_MM and len(further) > 1 and not alone:
        # a long block is parted where the page is much lower for it: others may share that
        low = _evened(blocks, own, further, flow, _LOW_MM)
        if low is not None and low.fitted and _foot(kept) - _foot(low) > _MUCH_MM:
            kept = low
    return tuple(tuple(page) for page in kept.pages)


def aired(
    blocks: Sequence[Block], first: Sequence[Box], further: Sequence[Box]
) -> tuple[tuple[Item, ...], ...]:
    """Set blocks like `poured`, with as much air as takes no further sheet: none is half empty."""
    heights: Heights = {}
    pages = poured(blocks, first, further, heights=heights)
    for air_mm in AIRS_MM:
        more = poured(blocks, first, further, heights=heights, air_mm=air_mm)
        inside = all(
            foot_mm(page) <= max(box.bottom for box in boxes) + LINE_MM
            for page, boxes in zip(more, (first, *[further] * len(more)), strict=False)
        )
        if len(more) <= len(pages) and inside:
            return more
    return pages


def _foot(flow: Flow) -> float:
    """Return how far down its last page reaches, mm."""
    return foot_mm(flow.pages[-1])


def _set(
    blocks: Sequence[Block],
    first: Sequence[Box],
    further: Sequence[Box],
    heights: Heights,
    whole_mm: float = 0.0,
    trial: bool = False,
    closer_mm: float = 0.0,
    at_most: int | None = None,
) -> Flow:
    """Set blocks; one that is of no use over more than `at_most` pages is left where it goes on."""
    flow = Flow(
        first, further, trial=trial, heights=heights, whole=bool(whole_mm), closer_mm=closer_mm
    )
    for number, block in enumerate(blocks):
        if number and flow.y:
            flow.y += _BETWEEN_MM - 2 * closer_mm
        if whole_mm:
            flow.keep(block, whole_mm)
        flow.begin(block.title, block.again)
        flow.ink = block.ink
        for entry in block.entries:
            flow.put(entry)
            if at_most is not None and (len(flow.pages) > at_most or not flow.fitted):
                return flow
    return flow


def _level(blocks: Sequence[Block], first: Sequence[Box], full: Flow, whole_mm: float) -> Flow:
    """Return the same over columns of one sheet that end at about one height."""
    low, high = 0.0, max(box.height for box in first)
    best = full
    while high - low > _LEVEL_MM:
        middle = (low + high) / 2
        short = [Box(box.x, box.y, box.width, min(box.height, middle)) for box in first]
        flow = _set(
            blocks, short, short, full.heights, whole_mm, trial=True, closer_mm=full.closer_mm,
            at_most=1,
        )  # fmt: skip
        if len(flow.pages) == 1 and flow.fitted:
            best, high = flow, middle
        else:
            low = middle
    return _set(blocks, best.first, best.further, full.heights, whole_mm, closer_mm=full.closer_mm)


def _evened(
    blocks: Sequence[Block],
    first: Sequence[Box] | None,
    further: Sequence[Box],
    full: Flow,
    whole_mm: float,
) -> Flow | None:
    """Return the same over columns of further sheets, or of the only one, as short as may be."""
    best: Sequence[Box] | None = None
    low, high = 30.0, min(box.height for box in further)
    while high - low > 3:
        middle = (low + high) / 2
        short = [Box(box.x, box.y, box.width, middle) for box in further]
        flow = _set(
            blocks, short if first is None else first, short, full.heights, whole_mm, trial=True,
            closer_mm=full.closer_mm, at_most=len(full.pages),
        )  # fmt: skip
        if len(flow.pages) == len(full.pages) and flow.fitted:
            best, high = short, middle
        else:
            low = middle
    if best is None:
        return None
    return _set(
        blocks, best if first is None else first, best, full.heights, whole_mm,
        closer_mm=full.closer_mm,
    )  # fmt: skip
