"""Sheets of words alone: set in columns, a short list lettered as large as the title of its sheet.

A list to pin to the wall is read from where one stands, so a short one does not leave its paper
empty: its capitals are the next of the series where that keeps it on one page.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from app.drawing.composed import Subject, in_pages
from app.drawing.flow import Block
from app.drawing.frame import word_columns
from app.drawing.ink import LARGER, SMALL_MM, size_of
from app.drawing.paper import Box, paper_of
from app.drawing.pouring import aired, poured
from app.drawing.primitives import Group, Item, Text
from app.drawing.sheet import Sheet, TitleFields
from app.model.plan import Plan

_COLUMN_MM = 90.0
"""How wide columns of a list are at the least, with their pad."""
_NARROWEST_MM = 60.0
"""How wide, at the smallest lettering, a column must be for a row of a name and a price."""


def worded(
    plan: Plan,
    subject: Subject,
    blocks: Sequence[Block],
    *,
    paper: str,
    fields: TitleFields | None,
) -> Sheet:
    """Put an upright sheet of words together, in columns. Raises SheetError for a paper."""
    chosen = paper_of(paper)
    size = (chosen.short_mm, chosen.long_mm)
    return in_pages(
        plan, subject, _lettered(blocks, size),
        chosen, [size], fields or TitleFields(),
    )  # fmt: skip


def _lettered(blocks: Sequence[Block], size: tuple[float, float]) -> Sequence[Sequence[Item]]:
    """Set the words on one page as large as may be, down one column sooner than down several."""
    boxes = word_columns(*size, _COLUMN_MM)
    for ink in (*LARGER, ""):
        larger = size_of(ink) / SMALL_MM if ink else 1.0
        for some in ((_across(boxes),), boxes):
            small = [_shrunk(box, larger) for box in some]
            if small[0].width < _NARROWEST_MM or not _inside(blocks, small):
                continue
            if len(poured(blocks, small, small, trial=True)) == 1:
                pages = aired(blocks, small, small)
                return [(Group(_in_ink(pages[0], ink), "words", (), None, scale=larger),)]
    return [(Group(page, "words"),) for page in aired(blocks, boxes, boxes)]


def _inside(blocks: Sequence[Block], boxes: Sequence[Box]) -> bool:
    """Return whether every entry is lower than a column: what is not stands out at its foot."""
    high = min(box.height for box in boxes)
    return all(e.high_mm(boxes[0].width) < high for block in blocks for e in block.entries)


def _across(boxes: Sequence[Box]) -> Box:
    """Return one column as wide as all of them."""
    first, last = boxes[0], boxes[-1]
    return Box(first.x, first.y, last.right - first.x, first.height)


def _shrunk(box: Box, by: float) -> Box:
    return Box(box.x / by, box.y / by, box.width / by, box.height / by)


def _in_ink(items: Sequence[Item], ink: str) -> tuple[Item, ...]:
    """Return the same with all lettering in a further ink, which says its size."""
    made: list[Item] = []
    for item in items:
        if isinstance(item, Group):
            made.append(replace(item, children=_in_ink(item.children, ink)))
        elif isinstance(item, Text):
            made.append(replace(item, ink=f"{item.ink} {ink}".strip()))
        else:
            made.append(item)
    return tuple(made)
