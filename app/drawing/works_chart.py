"""The bar chart of the works: one row a task, time folded so that a bar is as long as its work.

Days with work are wide columns, idle ones slivers, so that months fit on one sheet. Grey is done,
ink decides the date, an outline can wait, pale blue dries. Lengths are in the unit of the page that
the chart is made for: mm on paper, px on a screen.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from app.drawing.lettering import least_of_list, shorten_list, width_of
from app.drawing.primitives import Group, Item, Line, Polyline, Text
from app.drawing.works_marks import Measure, box, diamond, shield
from app.drawing.works_rows import Row, parted, rows_of
from app.model.works import MONTHS
from app.works.goal import FIRST_TRAINING, has_purse
from app.works.orders import Order
from app.works.programme import Dated, Programme
from app.works.works import WorksAnswer

IDLE = 0.13
"""How wide an idle day is beside one with work: a sliver that still says that time passes."""

NAMES, NAMES_AT_MOST = 0.29, 0.45
"""Share of the width that the names take: as much as the longest needs, but no more than leaves the
bars as much again."""

INDENT = 1.3
"""How far a name stands in under its heading, in sizes of its letters."""

SATURDAY = 5
SHORT_LETTERS = 3


@dataclass(frozen=True, slots=True)
class Chart:
    """A part of the chart that stands on one page."""

    items: tuple[Item, ...]
    width: float
    height: float


class _Axis:
    """Where moments stand on the folded axis."""

    def __init__(self, answer: WorksAnswer, left: float, right: float) -> None:
        made = answer.programme
        days = {s.starts.date() for one in made.tasks for s in one.stretches}
        days |= {one.task.done_on for one in made.tasks if one.task.done_on is not None}
        starts = [one.starts.date() for one in made.tasks if one.task.hours]
        self.first = min([made.today, *starts])
        ends = [one.ends.date() for one in made.tasks if one.task.hours]
        last = max([made.first_training, *ends]) + timedelta(days=2)
        self.days = [self.first + timedelta(n) for n in range((last - self.first).days + 1)]
        self.worked = {day for day in self.days if day in days}
        weights = [1.0 if day in self.worked else IDLE for day in self.days]
        unit = (right - left) / sum(weights)
        self._left: dict[date, float] = {}
        x = left
        for day, weight in zip(self.days, weights, strict=True):
            self._left[day] = x
            x += weight * unit
        self._unit, self.right = unit, right
        self._hours: dict[date, tuple[float, float]] = {}
        for stretch in (s for one in made.tasks for s in one.stretches):
            day = stretch.starts.date()
            low, high = self._hours.get(day, (24.0, 0.0))
            self._hours[day] = min(low, _hour(stretch.starts)), max(high, _hour(stretch.ends))

    def x(self, moment: datetime) -> float:
        """Return where a moment stands; beyond the last day at the edge."""
        day = moment.date()
        if day not in self._left:
            return self._left[self.days[0]] if day < self.days[0] else self.right
        # a column shows the hours that are worked on its day, so a bar fills its share of them
        low, high = self._hours.get(day, (0.0, 24.0))
        share = min(max((_hour(moment) - low) / (high - low), 0.0), 1.0)
        return self._left[day] + share * self.wide(day)

    def left(self, day: date) -> float:
        """Return where a day begins."""
        return self.x(datetime.combine(day, time.min))

    def wide(self, day: date) -> float:
        """Return how wide a day is."""
        return self._unit * (1.0 if day in self.worked else IDLE)


def _hour(moment: datetime) -> float:
    return moment.hour + moment.minute / 60


def works_chart(answer: WorksAnswer, measure: Measure, most: float) -> tuple[Chart, ...]:
    """Draw the chart in as many parts as it takes, each at most `most` high.

    Groups stand together where they can; each part has its own heading.
    """
    rows = rows_of(answer)
    names = _names_wide(rows, measure)
    axis = _Axis(answer, names, measure.width - measure.letter)
    room = (most - measure.head - measure.row) / measure.row
    fit = max(2, math.floor(min(room, len(rows))))
    fewest = parted(rows, fit, fit, near=0)
    # as few parts as hold them, and the rows spread over these: no last page with a few rows
    size = math.ceil(len(rows) / len(fewest))
    tries = (parted(rows, size, fit), parted(rows, size, fit, near=0), fewest)
    parts = next(some for some in tries if len(some) <= len(fewest))
    return tuple(_part(answer, axis, measure, some, names) for some in parts)


def shortened(answer: WorksAnswer, measure: Measure) -> int:
    """Return how many names of tasks find no room in a chart of this width."""
    rows = rows_of(answer)
    room = _name_room(measure, _names_wide(rows, measure))
    names = [row.name for row in rows if row.dated is not None]
    return sum(1 for name in names if width_of(name, measure.letter) > room)


def _names_wide(rows: Sequence[Row], measure: Measure) -> float:
    """Return how wide the column of names is, so that none of them is cut."""
    letter = measure.letter
    needs = [measure.width * NAMES]
    for row in rows:
        if row.dated is None:
            heading = width_of(row.name, letter, bold=True) + width_of(row.aside, letter)
            needs.append(heading + 2 * letter)
        else:
            needs.append(width_of(least_of_list(row.name), letter) + letter * (INDENT + 0.5))
    return min(max(needs), measure.width * NAMES_AT_MOST)


def _name_room(measure: Measure, names: float) -> float:
    return names - measure.letter * (INDENT + 0.5)


def _part(
    answer: WorksAnswer, axis: _Axis, measure: Measure, rows: Sequence[Row], names: float
) -> Chart:
    height = measure.head + len(rows) * measure.row + measure.row / 2
    items: list[Item] = [*_bands(axis, measure, height), *_heading(answer, axis, measure)]
    deliveries: dict[str, list[Order]] = {}
    for order in answer.orders:
        # a visit has its shield, nothing is delivered
        for line in () if order.is_visit else order.lines:
            # at the row that waits for it first
            waits = [t for t in answer.programme.tasks if line in t.task.lines and not t.done]
            if waits:
                first = min(waits, key=lambda one: one.starts)
                deliveries.setdefault(first.task.id, []).append(order)
    goal = _goal(answer.programme, axis)
    for i, row in enumerate(rows):
        y = measure.head + i * measure.row
        base = y + measure.row * 0.74
        if row.dated is None:
            items.append(Line((0, y), (measure.width, y), "works-rule"))
            items.append(Text((0, base), row.name, "head", "start"))
            if row.aside:
                edge = names - measure.letter
                items.append(Text((edge, base), row.aside, "label", "end"))
            continue
        data = (("task", row.dated.task.id),)
        drawn = tuple(_task(row, axis, measure, y, base, deliveries, goal, names))
        items.append(Group(drawn, "task", data))
    items += _lines(answer, axis, measure, height)
    return Chart(tuple(items), measure.width, height)


def _bands(axis: _Axis, measure: Measure, height: float) -> Iterator[Item]:
    for day in axis.days:
        if day in axis.worked:
            x, wide = axis.left(day), axis.wide(day)
            yield box(x, measure.head, wide, height - measure.head, "works-band")


def _heading(answer: WorksAnswer, axis: _Axis, measure: Measure) -> Iterator[Item]:
    base = measure.head - measure.row * 0.35
    poles = _poles(answer.programme, axis)
    free, year = 0.0, 0
    firsts = [day for day in axis.days if day.day == 1 or day == axis.days[0]]
    for n, day in enumerate(firsts):
        x = axis.left(day)
        end = axis.left(firsts[n + 1]) if firsts[n + 1 :] else measure.width
        yield Line((x, base - 1.5 * measure.row), (x, measure.head), "works-rule")
        name = MONTHS[day.month - 1]
        # the year is told once where there is room for it
        dated = (f"{name} {day.year}",) if day.year != year else ()
        # a month of which only days are shown has its first letters, or none; a line that runs
        # down from its flag goes before the name or after it, never through
        gap = measure.letter / 4
        several = (*dated, name, name[:SHORT_LETTERS])
        tries = [(words, at) for words in several for at in (x, *poles)]
        for words, at in tries:
            left, right = at + gap, at + 2 * gap + width_of(words, measure.letter, bold=True)
            if x <= at and right < end and not any(left - gap < pole < right for pole in poles):
                yield Text((left, base - measure.row), words, "head", "start")
                year = day.year if words in dated else year
                break
    edge = axis.left(axis.days[0]) - measure.letter
    yield Text((edge, base), "Saturday", "label", "end")
    months = [axis.left(day) for day in firsts]
    for day in axis.days:
        x = axis.left(day)
        number = str(day.day)
        wide = width_of(number, measure.letter)
        # a number through which the line of a month runs would stand in the wrong one
        through = any(x < month < x + wide + measure.letter / 4 for month in months)
        if day.weekday() == SATURDAY and x >= free and x + wide < measure.width and not through:
            yield Line((x, measure.head - measure.row * 0.25), (x, measure.head), "works-rule")
            yield Text((x, base), number, "label", "start")
            free = x + wide + measure.letter / 2


def _task(
    row: Row,
    axis: _Axis,
    measure: Measure,
    y: float,
    base: float,
    deliveries: dict[str, list[Order]],
    goal: float,
    names: float,
) -> Iterator[Item]:
    one = row.dated
    assert one is not None
    indent, room = measure.letter * INDENT, _name_room(measure, names)
    ink = "row" if one.critical and not one.done else "label"
    if one.done:
        step = measure.row * 0.2
        at = measure.letter * 0.2, base - step
        yield Polyline(
            (at, (at[0] + step, base), (at[0] + 3 * step, base - 2.4 * step)), "works-tick"
        )
    yield Text((indent, base), shorten_list(row.name, measure.letter, room), ink, "start")
    top, high = y + measure.row * 0.16, measure.row * 0.68
    if one.dry is not None and one.dry > one.ends:
        x0, x1 = axis.x(one.ends), axis.x(one.dry)
        yield box(x0, top, max(x1 - x0, 0), high, "works-dry")
    bar = "works-done" if one.done else "works-decides" if one.critical else "works-waits"
    least = measure.letter / 4
    if not one.task.hours:
        # a day that counts and takes no work: the plan frozen, walls hard enough
        yield diamond(axis.x(one.ends), top, high, "works-done" if one.done else "works-decides")
    elif one.task.who != "own":
        for day in dict.fromkeys(s.starts.date() for s in one.stretches):
            x = axis.left(day) + axis.wide(day) / 2
            yield shield(x, top, high, "works-trade" if not one.done else "works-done")
    elif one.done:
        x0, x1 = axis.x(one.starts), axis.x(one.ends)
        yield box(x0, top, max(x1 - x0, least), high, bar)
    else:
        for stretch in one.stretches:
            x0, x1 = axis.x(stretch.starts), axis.x(stretch.ends)
            yield box(x0, top, max(x1 - x0, least), high, bar)
    yield from _tail(one, axis, measure, top + high / 2, base, goal)
    yield from _parcel(one, axis, measure, top, high, deliveries)


def _tail(
    one: Dated, axis: _Axis, measure: Measure, middle: float, base: float, goal: float
) -> Iterator[Item]:
    """Draw how long a task can wait: a dotted line to where it begins to matter, with the days.

    The days keep off the line of the first training.
    """
    days = one.days_it_can_wait
    if one.done or one.critical or not days or not one.task.hours:
        return
    after = max(one.dry or one.ends, one.ends)
    x0, x1 = axis.x(after), axis.x(one.ends + one.can_wait)
    words = f"{days} {'day' if days == 1 else 'days'}"
    gap = measure.letter / 3
    if x1 > x0 + 1:
        yield Line((x0, middle), (x1, middle), "works-tail")
        yield Line((x1, middle - measure.row / 5), (x1, middle + measure.row / 5), "works-rule")
    wide = width_of(words, measure.letter)
    x = max(x0, x1) + gap
    if x + wide > measure.width or x - gap < goal < x + wide + gap:
        x = min(axis.x(one.starts), goal) - gap - wide
    yield Text((x, base), words, "label halo", "start")


def _parcel(
    one: Dated,
    axis: _Axis,
    measure: Measure,
    top: float,
    high: float,
    deliveries: dict[str, list[Order]],
) -> Iterator[Item]:
    days = {order.arrives for order in deliveries.get(one.task.id, ())}
    for day in sorted(days):
        x = min(axis.left(day), axis.x(one.starts) - high) - high * 0.2
        yield box(x, top, high, high, "works-parcel")
        middle = x + high / 2
        yield Line((middle, top), (middle, top + high), "works-rule")


def _goal(made: Programme, axis: _Axis) -> float:
    """Return where the line of the first training runs down the chart."""
    return axis.left(made.first_training) + axis.wide(made.first_training)


def _poles(made: Programme, axis: _Axis) -> tuple[float, ...]:
    """Return where lines run down from a flag: the first training, and today if it is shown."""
    today = (axis.left(made.today),) if made.today > axis.first else ()
    return (_goal(made, axis), *today)


def _lines(answer: WorksAnswer, axis: _Axis, measure: Measure, height: float) -> Iterator[Item]:
    made = answer.programme
    goal = _goal(made, axis)
    plan = answer.scene.plan
    name = "paid in time" if has_purse(plan) else FIRST_TRAINING
    first = f"{name}, {made.first_training.day} {MONTHS[made.first_training.month - 1]}"
    yield from _flag(goal, first, "goal", measure, height, left=True)
    if made.today > axis.first:
        today = f"today, {made.today.day} {MONTHS[made.today.month - 1]}"
        yield from _flag(axis.left(made.today), today, "today", measure, height, left=False)


def _flag(
    x: float, words: str, ink: str, measure: Measure, height: float, left: bool
) -> Iterator[Item]:
    pad = measure.letter * 0.5
    wide = width_of(words, measure.letter, bold=True) + 2 * pad
    high = measure.row * 1.1
    if not left and x + wide > measure.width:
        left = True
    x0 = x - wide if left else x
    yield Line((x, high), (x, height), f"works-{ink}")
    yield box(x0, 0, wide, high, f"works-{ink}-flag")
    yield Text((x0 + pad, high * 0.74), words, "works-on-flag", "start")
