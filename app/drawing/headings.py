"""Headings over words: on as many lines as the column wants."""

from __future__ import annotations

from app.drawing.ink import is_bold, size_of
from app.drawing.lettering import wrap

HEAD_MM = 6.4
"""What a heading on one line takes, with the air under it."""
HEAD_LINE_MM = 4.6
"""From one line of a long heading to the next."""


def heading_lines(words: str, width_mm: float) -> tuple[str, ...]:
    """Return a heading in lines that fit a column."""
    return wrap(words, size_of("head"), width_mm, bold=is_bold("head"))


def heading_mm(words: str, width_mm: float) -> float:
    """Return how high a heading is with the air under it: 6.4 mm on one line."""
    return HEAD_MM + (len(heading_lines(words, width_mm)) - 1) * HEAD_LINE_MM
