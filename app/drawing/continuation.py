"""The sheets a plan goes on to: what found no room beside the figure, in columns, whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from app.drawing.ink import FONT, sheet_look
from app.drawing.paper import MARGIN_MM, Box
from app.drawing.pouring import HEAD_MM, Paragraph, pour
from app.drawing.primitives import Group, Item, Polygon, Text
from app.drawing.sheet_words import (
    TITLE_MM,
    KeyRow,
    TitleWords,
    heading,
    key_heights,
    key_holds,
    key_rows,
    rule_between,
    title_block,
)
from app.drawing.svg import Look, document

_PAD_MM = 4.0
_ROW_MM = 4.8
_COLUMN_MM = 95.0


def frame_of(width_mm: float, height_mm: float) -> Box:
    """Return the frame inside the margins of a sheet."""
    return Box(MARGIN_MM, MARGIN_MM, width_mm - 2 * MARGIN_MM, height_mm - 2 * MARGIN_MM)


def page_and_frame(width_mm: float, height_mm: float) -> tuple[Item, ...]:
    """Draw the paper and the frame on it."""
    frame = frame_of(width_mm, height_mm)
    ring = (
        (frame.x, frame.y), (frame.right, frame.y),
        (frame.right, frame.bottom), (frame.x, frame.bottom),
    )  # fmt: skip
    page = ((0.0, 0.0), (width_mm, 0.0), (width_mm, height_mm), (0.0, height_mm))
    return Polygon(page, "page"), Polygon(ring, "frame")


def sheet_document(
    items: Sequence[Item], size: tuple[float, float], title: str, look: Look | None = None
) -> str:
    """Write a sheet without a figure as an SVG file, usually words alone; sizes in mm of paper."""
    width, height = size
    return document(
        [*page_and_frame(width, height), *items],
        {
            "width": f"{width:g}mm",
            "height": f"{height:g}mm",
            "viewBox": f"0 0 {width:g} {height:g}",
            "font-family": FONT,
            "role": "img",
        },
        look or sheet_look(1),
        title=title,
    )


def column_mm(width_mm: float, height_mm: float) -> float:
    """Return the height that the lowest column of a further sheet has for words."""
    return min(box.height for box in columns_of(width_mm, height_mm)[1]) - HEAD_MM


def further_sheets(
    rows: Sequence[KeyRow],
    snags: Sequence[Paragraph],
    words: TitleWords,
    size: tuple[float, float],
    title: str,
) -> tuple[str, ...]:
    """Set the rest of the key, then the rest of the snags; no sheet where there is neither.

    `words` are those of the first sheet's title block, `size` its paper in mm.
    """
    columns, boxes = columns_of(*size)
    left_rows, left_snags = tuple(rows), tuple(snags)
    pages: list[list[Item]] = []
    while left_rows or left_snags:
        key, free, left_rows = _key(boxes, left_rows)
        poured = pour(
            left_snags, free, "Open snags", whole_mm=column_mm(*size), goes_on=True
        )  # fmt: skip
        left_snags = poured.rest
        pages.append([*rule_between(columns), Group(key, "key"), Group(poured.items, "snags")])
    corner = columns[-1]
    block = Box(corner.x, corner.bottom - TITLE_MM, corner.width, TITLE_MM)
    count = 1 + len(pages)
    made = []
    for i, items in enumerate(pages):
        fields = replace(words, scale="not to scale", sheet=f"{i + 2} of {count}")
        group = Group(title_block(fields, block), "title-block")
        made.append(sheet_document([*items, group], size, f"{title}, sheet {fields.sheet}"))
    return tuple(made)


def columns_of(width_mm: float, height_mm: float) -> tuple[tuple[Box, ...], tuple[Box, ...]]:
    """Divide a sheet into columns; give them whole, and the room for words in each."""
    frame = frame_of(width_mm, height_mm)
    count = max(2, int(frame.width // _COLUMN_MM))
    each = frame.width / count
    columns = tuple(
        Box(frame.x + i * each, frame.y, each, frame.height) for i in range(count)
    )  # fmt: skip
    boxes = [
        Box(c.x + _PAD_MM, c.y + _PAD_MM, c.width - 2 * _PAD_MM, c.height - 2 * _PAD_MM)
        for c in columns
    ]
    last = boxes[-1]
    boxes[-1] = Box(last.x, last.y, last.width, last.height - TITLE_MM)
    return columns, tuple(boxes)


def _key(
    boxes: Sequence[Box], rows: tuple[KeyRow, ...]
) -> tuple[tuple[Item, ...], tuple[Box, ...], tuple[KeyRow, ...]]:
    """Set rows of the key down the columns; give the room that is left, and the rows left over."""
    items: list[Item] = []
    free: list[Box] = []
    among = rows
    for box in boxes:
        if not rows:
            free.append(box)
            continue
        holds = key_holds(rows, among, box.width, box.height - HEAD_MM, _ROW_MM)
        these, rows = rows[:holds], rows[holds:]
        items.append(heading(box.x, box.y, "Kit, more"))
        items.append(Text((box.right, box.y + 3.4), "width × depth, height", "size", "end"))
        items += key_rows(these, among, Box(box.x, box.y + HEAD_MM, box.width, 0), _ROW_MM)
        used = HEAD_MM + sum(key_heights(these, among, box.width, _ROW_MM)) + _PAD_MM
        if box.height - used >= HEAD_MM + _PAD_MM:
            free.append(Box(box.x, box.y + used, box.width, box.height - used))
    return tuple(items), tuple(free), rows
