"""Words of several sheets on one page of the set, so that no page holds a few lines alone.

What finds no room beside its drawing goes on to a page of words. In a set such pages of sheets that
follow one another stand under one another on one paper, each with the name of its sheet over it,
and the drawing says in its title block on which sheet its words go on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.drawing.foot import foot_mm
from app.drawing.frame import PAD_MM, PAST_MARK_MM, TitleBlock, page_and_frame
from app.drawing.ink import size_of
from app.drawing.paper import BLOCK_MM, frame_of
from app.drawing.primitives import Group, Item, Line, Text
from app.drawing.sheet import Page, Sheet

_NAME_MM, _BETWEEN_MM = 8.0, 3.0
"""What the name over a part takes, and the air between one part and the rule over the next."""


@dataclass(frozen=True, slots=True)
class Bound:
    """A page of a set; `goes_on` is the number, from 0, of the page that its words go on to."""

    page: Page
    goes_on: int | None = None


@dataclass(frozen=True, slots=True)
class _Part:
    """The words of one sheet on a page: its number among the sheets, and their height in mm."""

    sheet: int
    page: Page
    high: float


def bound(sheets: Sequence[Sheet]) -> tuple[tuple[Bound, ...], tuple[int, ...]]:
    """Return the pages of sheets in their order, and at which of them each sheet begins."""
    groups: list[list[_Part]] = []
    order: list[tuple[int, Page, int | None]] = []
    for number, sheet in enumerate(sheets):
        for at, page in enumerate(sheet.pages):
            if not (at and page.words):
                order.append((number, page, None))
                continue
            part = _Part(number, page, foot_mm(page.words) - _top_mm(page))
            # the first with room for it: a page that is left over waits for what is short
            room = (i for i, group in enumerate(groups) if _fits(group, part))
            at_group = next(room, len(groups))
            if at_group == len(groups):
                groups.append([])
            groups[at_group].append(part)
            order.append((number, page, at_group))
    # behind the first drawing that they belong to: its key is looked for on the next sheet
    first: dict[int, int] = {}
    for i, (_, _, group) in enumerate(order):
        if group is not None:
            first.setdefault(group, i)
    pages: list[tuple[int, Page]] = []
    stands: dict[int, int] = {}
    for i, (number, page, group) in enumerate(order):
        if group is None:
            pages.append((number, page))
        elif first[group] == i:
            stands[group] = len(pages)
            pages.append((-1, _shared(groups[group])))
    goes_on: dict[int, int] = {}
    for number, _, group in order:
        if group is not None:
            goes_on.setdefault(number, stands[group])
    firsts = tuple(next(i for i, (n, _) in enumerate(pages) if n == k) for k in range(len(sheets)))
    return (
        tuple(
            Bound(page, goes_on.get(number) if i in firsts else None)
            for i, (number, page) in enumerate(pages)
        ),
        firsts,
    )


def _top_mm(page: Page) -> float:
    return frame_of(page.width_mm, page.height_mm).y + PAD_MM


def _fits(parts: Sequence[_Part], more: _Part) -> bool:
    """Return whether a part finds room under others of its size of paper, each under its name."""
    page = more.page
    if (parts[0].page.width_mm, parts[0].page.height_mm) != (page.width_mm, page.height_mm):
        return False
    high = sum(_NAME_MM + part.high for part in (*parts, more)) + len(parts) * _BETWEEN_MM
    bottom = frame_of(page.width_mm, page.height_mm).bottom - BLOCK_MM - PAD_MM
    return _top_mm(page) + high <= bottom


def _shared(parts: Sequence[_Part]) -> Page:
    """Return one page with the words of several sheets; of one its own page."""
    first = parts[0].page
    if len(parts) == 1:
        return first
    frame = frame_of(first.width_mm, first.height_mm)
    y = _top_mm(first)
    items: list[Item] = []
    blocks = [part.page.block for part in parts if isinstance(part.page.block, TitleBlock)]
    for number, (part, block) in enumerate(zip(parts, blocks, strict=True)):
        if number:
            y += _BETWEEN_MM
            # between the zones of the centring marks, which run in at both sides
            items.append(Line((frame.x, y), (frame.right, y), "rule"))
        foot = y + (PAD_MM if number else size_of("title"))
        at = frame.x + PAST_MARK_MM
        items.append(Text((at, foot), f"{block.words.name}, more", "title", "start"))
        items.append(Group(part.page.words, "", move=(0.0, y + _NAME_MM - _top_mm(first))))
        y += _NAME_MM + part.high
    names = [block.words.name for block in blocks]
    title = f"{blocks[0].words.plan}: words of {', '.join(names).lower()}"
    size = first.width_mm, first.height_mm
    return Page(
        (*page_and_frame(*size), *items), *size, title, blocks[0].of_several(blocks[1:]), "1 of 1"
    )
