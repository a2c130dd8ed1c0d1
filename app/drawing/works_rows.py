"""The rows of the chart of the works, and how they are divided over pages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from app.works.programme import Dated
from app.works.works import WorksAnswer

NEAR = 0.25
"""How much of its rows a part of the chart gives or takes to end where a group does."""


@dataclass(frozen=True, slots=True)
class Row:
    """A row: the heading of a group, or a task."""

    name: str
    group: str
    dated: Dated | None = None
    aside: str = ""


def rows_of(answer: WorksAnswer) -> list[Row]:
    """Return the rows of the chart, group by group, in the order in which groups begin."""
    rows: list[Row] = []
    shown = [one for one in answer.programme.tasks if one.task.kind != "first-training"]
    order = list(dict.fromkeys(one.task.group for one in shown))
    shown.sort(key=lambda one: order.index(one.task.group))
    for group, some in groupby(shown, key=lambda one: one.task.group):
        tasks = list(some)
        own = sum(one.task.hours for one in tasks if one.task.who == "own")
        other = sum(one.task.hours for one in tasks if one.task.who != "own")
        hours_in_words = [f"{hours:.1f} h" for hours in (other, own) if hours]
        rows.append(Row(group, group, None, " + ".join(hours_in_words)))
        rows += [Row(one.task.name, group, one) for one in tasks]
    return rows


def parted(rows: Sequence[Row], size: int, most: int, near: float = NEAR) -> list[list[Row]]:
    """Divide rows into parts of about a size, none with more than `most`.

    A part ends where a group does if that is no farther than a share `near` of the size; a group
    that goes on is headed anew.
    """
    parts: list[list[Row]] = []
    left = list(rows)
    while left:
        again = [Row(f"{one.group}, more", one.group) for one in left[:1] if one.dated and parts]
        room = max(1, most - len(again))
        count = min(size, room)
        borders = [i for i, row in enumerate(left[: room + 1]) if i and row.dated is None]
        borders += [len(left)] if len(left) <= room else []
        nearest = min(borders, key=lambda i: abs(i - count), default=count)
        count = nearest if abs(nearest - count) <= size * near else count
        # no heading at the foot of a page, its tasks on the next
        count -= 1 < count < len(left) and left[count - 1].dated is None
        parts.append([*again, *left[:count]])
        left = left[count:]
    return parts
