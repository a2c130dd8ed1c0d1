"""What tasks only have at hand: the day it must be in the house, and what it is ordered with."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import TypeAlias

from app.works.programme import Dated, Programme

HIRED = "hire"
"""The kind of shop that is paid by the day."""

Group: TypeAlias = tuple[date, str, str, str]
"""What is ordered together: its day, its kind, its kind of shop, and what comes alone."""


def days_at_hand(made: Programme, lines: Sequence[str]) -> dict[str, date]:
    """Return the first day on which each line is used; of what no task names, that of the first.

    What only tasks have used that are done has no day.
    """
    uses: dict[str, list[Dated]] = {line: [] for line in lines}
    for one in made.tasks:
        for line in {*one.task.lines, *one.task.uses} & uses.keys():
            uses[line].append(one)
    to_do = [one.starts.date() for one in made.tasks if not one.done and one.task.hours]
    days: dict[str, date] = {}
    for line, some in uses.items():
        starts = [one.starts.date() for one in some if not one.done] if some else to_do
        if starts:
            days[line] = min(starts)
    return days


def pool(
    groups: dict[Group, list[str]],
    days: Mapping[str, date],
    group_of: Callable[[str, date], Group],
) -> None:
    """Put each line with the last order of its kind and shop that comes by its day.

    Where none does it is an order of its own, which what is needed later from there joins. A hire
    joins only what is needed on the same day.
    """
    for line, day in sorted(days.items(), key=lambda each: each[1]):
        own = group_of(line, day)
        _, _, shop, _ = own
        in_time = [
            group
            for group in groups
            if group[1:] == own[1:] and (group[0] == day if shop == HIRED else group[0] <= day)
        ]
        groups.setdefault(max(in_time, default=own), []).append(line)
