"""Two figures of one plan laid over one another: what differs is inked, all else is pale."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass

from markupsafe import Markup

from app.drawing.framed import Framed, through
from app.usecases.history import Comparison

_PIECE = re.compile(r'class="(piece[^"]*)" data-piece="([^"]*)"')


@dataclass(frozen=True, slots=True)
class LaidOver:
    """Two drawings that show the same part of the plane; `then` lies over `now`."""

    then: Markup
    now: Markup


def laid_over(comparison: Comparison) -> LaidOver:
    """Return both figures of two revisions on one sheet.

    Both show what either shows. A piece that differs has the class `differs`. The hatches of
    `now` get names of their own within the page.
    """
    boxes = [
        [float(part) for part in side.view.split()] for side in (comparison.old, comparison.new)
    ]
    left, top = (min(box[i] for box in boxes) for i in (0, 1))
    right, bottom = (max(box[i] + box[i + 2] for box in boxes) for i in (0, 1))
    view = f"{left:.1f} {top:.1f} {right - left:.1f} {bottom - top:.1f}"
    then, now = (
        _inked(through(Framed(side.drawing, side.view), view).svg, comparison.pieces)
        for side in (comparison.old, comparison.new)
    )
    now = now.replace('id="hatch-', 'id="now-hatch-').replace("url(#hatch-", "url(#now-hatch-")
    return LaidOver(Markup(then), Markup(now))


def _inked(drawing: str, differs: Collection[str]) -> str:
    def mark(match: re.Match[str]) -> str:
        more = " differs" if match[2] in differs else ""
        return f'class="{match[1]}{more}" data-piece="{match[2]}"'

    return _PIECE.sub(mark, drawing)
