"""Many small cuts in rows: a quick way that is never far off, where not all sets can be weighed.

First fit by falling height: Coffman, Garey, Johnson, Tarjan, Performance bounds for level-oriented
two-dimensional packing algorithms, SIAM Journal on Computing 9, 1980; here over several pieces of
stock, each row as high as its first cut.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from app.takeoff.guillotine import NO_EDGE, Box, Form


@dataclass(slots=True)
class _Row:
    box: Box
    room: int


@dataclass(slots=True)
class _Stack:
    rows: list[_Row]
    room: int


def in_rows(
    kinds: Sequence[tuple[Form, ...]], wanted: Sequence[int], width: int, height: int, kerf: int
) -> list[Box] | None:
    """Return a box for each stock piece; None where a cut needs factory edges or does not fit.

    Lying flat and standing tall are tried, and the one with fewer stock pieces is given.
    """
    if any(form.edges != NO_EDGE for ways in kinds for form in ways):
        return None
    best: list[Box] | None = None
    ways_to_lie: tuple[Callable[[Form], int], ...] = (lambda f: f.height, lambda f: -f.height)
    for lies in ways_to_lie:
        fit = [
            sorted((f for f in ways if f.width <= width and f.height <= height), key=lies)
            for ways in kinds
        ]
        if not all(fit):
            return None
        boxes = _stacked([ways[0] for ways in fit], wanted, width, height, kerf)
        if best is None or len(boxes) < len(best):
            best = boxes
    return best


def _stacked(
    chosen: Sequence[Form], wanted: Sequence[int], width: int, height: int, kerf: int
) -> list[Box]:
    stacks: list[_Stack] = []
    for kind in sorted(range(len(chosen)), key=lambda k: (-chosen[k].height, -chosen[k].width)):
        form = chosen[kind]
        for _ in range(wanted[kind]):
            leaf = Box(form.width, form.height, form.edges, kind, form)
            rows = (row for stack in stacks for row in stack.rows)
            row = next((r for r in rows if r.room >= kerf + form.width), None)
            if row is not None:
                row.room -= kerf + form.width
                wide = row.box.width + kerf + form.width
                row.box = Box(
                    wide, row.box.height, NO_EDGE, beside=True, first=row.box, second=leaf
                )
                continue
            stack = next((s for s in stacks if s.room >= kerf + form.height), None)
            if stack is None:
                stack = _Stack([], height + kerf)
                stacks.append(stack)
            stack.room -= kerf + form.height
            stack.rows.append(_Row(leaf, width - form.width))
    return [_above([row.box for row in stack.rows], kerf) for stack in stacks]


def _above(boxes: Sequence[Box], kerf: int) -> Box:
    whole = boxes[0]
    for box in boxes[1:]:
        wide, high = max(whole.width, box.width), whole.height + kerf + box.height
        whole = Box(wide, high, NO_EDGE, first=whole, second=box)
    return whole
