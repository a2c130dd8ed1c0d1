"""What the page of the works asks for: the chart, the stage of a day, orders, forms."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from typing import Any

from markupsafe import Markup

from app.drawing.medium import Medium
from app.drawing.primitives import Group
from app.drawing.stage_figure import stage_items
from app.drawing.svg import fragment
from app.drawing.works_chart import Measure, legend, works_chart
from app.model.works import DAYS, MONTHS, Becomes, FreeTime, Stored, TaskNote
from app.model.works import day_words as dated
from app.published.register import published
from app.takeoff.line import Line
from app.units import format_length, format_money, written
from app.usecases.works import PlannedWorks
from app.wording import length_words, measure_words
from app.works.orders import Order
from app.works.programme import Dated, hours_words
from app.works.report import who_words
from app.works.stages import Stage

WIDE_PX = 1000.0
"""Width of the chart on the page, in the units of its drawing: it is scaled to the paper."""

ROW_PX, LETTER_PX = 17.0, 12.5
LATE_DAYS = 7
"""How late a delivery is that one asks about: a week is what carriers put off by."""

STAGE_LETTERS_ACROSS = 26.0
CHOICES = (
    ("day", "This day"),
    ("orders", "Orders"),
    ("times", "Your time"),
    ("contents", "What stands there"),
    ("tasks", "Tasks"),
)
DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
DAY_WORDS = list(zip(DAYS, DAY_NAMES, strict=True))
BECOMES: list[tuple[Becomes, str]] = [
    ("stays", "stays in the room"),
    ("house", "goes to the house"),
    ("sell", "is sold"),
    ("give", "is given away"),
    ("tip", "goes to the tip"),
]


def day_words(day: date) -> str:
    """Say a day as one reads it: "Sat 8 May"."""
    return f"{DAY_NAMES[day.weekday()][:3]} {day.day} {MONTHS[day.month - 1][:3]}"


def long_day(day: date) -> str:
    """Say a day in full: "Saturday 8 May"."""
    return f"{DAY_NAMES[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


@dataclass(frozen=True)
class WorksView:
    """The works of a plan for the page; `of` is what is chosen, `chosen` the day that is looked at.

    `money` tells whether whoever looks may see what things cost.
    """

    known: PlannedWorks
    of: str
    chosen: date | None = None
    shows_money: bool = True

    @property
    def kind(self) -> str:
        """What kind of thing is chosen: "task" of "task.wash"."""
        return self.of.partition(".")[0]

    @cached_property
    def day(self) -> date:
        """The day that is looked at: the one chosen, else the next with work."""
        if self.chosen is not None:
            return self.chosen
        answer = self.known.answer
        days = [] if answer is None else [d for d in answer.programme.days if d >= self.known.today]
        return days[0] if days else self.known.today

    @cached_property
    def chart(self) -> Markup:
        """The chart as SVG."""
        answer = self.known.answer
        if answer is None:
            return Markup("")
        measure = Measure(WIDE_PX, ROW_PX, LETTER_PX)
        (part,) = works_chart(answer, measure, float("inf"))
        key = legend(0, part.height + ROW_PX / 2, measure, WIDE_PX)
        height = part.height + 2 * ROW_PX
        items = [*part.items, Group(key, "legend")]
        box = {"viewBox": f"0 0 {WIDE_PX:g} {height:g}", "class": "works-chart", "role": "img"}
        box["aria-label"] = f"Bar chart of the works. {self.first_words}"
        return Markup(fragment(items, box))

    @property
    def first_words(self) -> str:
        """When the first training is, in words."""
        answer = self.known.answer
        if answer is None:
            return ""
        return f"First training: {dated(answer.programme.first_training)}"

    @property
    def hours(self) -> str:
        """How much work it is."""
        answer = self.known.answer
        if answer is None:
            return ""
        made = answer.programme
        return f"{made.own_hours:.0f} h of yours, {made.trade_hours:.1f} h of licensed trades"

    @property
    def bound(self) -> str:
        """What is known of how short it can be."""
        answer = self.known.answer
        if answer is None:
            return ""
        made = answer.programme
        if made.not_before >= made.first_training:
            return "However many hands help, it is no sooner: waits and days decide."
        return f"With more hands not before {long_day(made.not_before)}."

    @cached_property
    def of_day(self) -> list[Dated]:
        """The tasks with work on the day that is looked at, in the order of their hours."""
        answer = self.known.answer
        tasks = [] if answer is None else list(answer.programme.tasks)
        found = [one for one in tasks if not one.done and _hours_on(one, self.day)]
        return sorted(found, key=lambda one: _first_on(one, self.day))

    @cached_property
    def days(self) -> tuple[date | None, date | None]:
        """The days with work before and after the one that is looked at."""
        answer = self.known.answer
        every = [] if answer is None else list(answer.programme.days)
        before = [day for day in every if day < self.day]
        after = [day for day in every if day > self.day]
        return (before[-1] if before else None), (after[0] if after else None)

    @cached_property
    def stage(self) -> Stage | None:
        """The stage of the floor on the day that is looked at."""
        answer = self.known.answer
        for stage in () if answer is None else answer.stages:
            if stage.starts.date() <= self.day <= stage.ends.date():
                return stage
        return None

    @cached_property
    def stage_drawing(self) -> Markup:
        """The small plan of the stage as SVG."""
        if self.stage is None:
            return Markup("")
        return stage_svg(self.known, self.stage)

    @cached_property
    def orders(self) -> tuple[Order, ...]:
        """The orders that are still to be made or on their way."""
        return () if self.known.answer is None else self.known.answer.orders

    @property
    def next_orders(self) -> list[Order]:
        """The next orders, those that are settled left out."""
        return [one for one in self.orders if not one.settled][:3]

    @cached_property
    def missed(self) -> str:
        """What a day that is missed costs."""
        answer = self.known.answer
        if answer is None or not self.of_day:
            return ""
        first = answer.programme.first_training
        then = self.known.if_missed(self.day)
        if then is None:
            return "If this day is missed, the works find no end."
        if then <= first:
            return f"If this day is missed, the first training stays on {long_day(first)}."
        return (
            f"If this day is missed, the first training moves from {day_words(first)} to "
            f"{day_words(then)}."
        )

    def rows(self) -> list[tuple[str, list[Dated]]]:
        """The tasks by group, as a list beside the chart."""
        answer = self.known.answer
        groups: dict[str, list[Dated]] = {}
        for one in () if answer is None else answer.programme.tasks:
            groups.setdefault(one.task.group, []).append(one)
        return list(groups.items())

    @cached_property
    def task(self) -> Dated | None:
        """The task that is chosen."""
        answer = self.known.answer
        wanted = self.of.partition(".")[2]
        tasks = () if answer is None or self.kind != "task" else answer.programme.tasks
        return next((one for one in tasks if one.task.id == wanted), None)

    @property
    def note(self) -> TaskNote:
        """What the household says of the chosen task."""
        wanted = self.of.partition(".")[2] or "none"
        return self.known.plan.works.note(wanted) or TaskNote(id=wanted)

    @property
    def left_out(self) -> list[TaskNote]:
        """The tasks that are left out."""
        return [note for note in self.known.plan.works.tasks if note.left_out]

    @cached_property
    def order(self) -> Order | None:
        """The order that is chosen."""
        wanted = self.of.partition(".")[2]
        if self.kind != "order":
            return None
        return next((one for one in self.orders if one.line == wanted), None)

    @property
    def late(self) -> str:
        """What it costs if the chosen order comes a week late."""
        answer, order = self.known.answer, self.order
        if answer is None or order is None:
            return ""
        first, then = answer.programme.first_training, self.known.if_late(order.lines, LATE_DAYS)
        if then is None or then <= first:
            return "If it comes a week late, the first training stays where it is."
        return (
            f"If it comes a week late, the first training moves from {day_words(first)} to "
            f"{day_words(then)}."
        )

    @property
    def task_choices(self) -> list[tuple[str, str]]:
        """The tasks that one of the household's own may wait for."""
        answer = self.known.answer
        tasks = () if answer is None else answer.programme.tasks
        named = [(one.task.id, one.task.name) for one in tasks if one.task.kind != "first-training"]
        return [("", "nothing"), *named]

    @property
    def delivery(self) -> Any:
        """What the household says of the chosen order."""
        wanted = self.of.partition(".")[2]
        return next((one for one in self.known.plan.works.deliveries if one.id == wanted), None)

    def when(self, one: Dated) -> str:
        """Say when a task is: one day with its hours, or from day to day."""
        if not one.task.hours:
            return day_words(one.starts.date())
        if one.starts.date() == one.ends.date():
            return f"{day_words(one.starts.date())}, {one.starts:%H:%M} to {one.ends:%H:%M}"
        return f"{day_words(one.starts.date())} to {day_words(one.ends.date())}"

    def word(self, one: Dated) -> str:
        """Say what a task means for the date."""
        if one.done:
            return "done"
        if one.critical:
            return "decides the date"
        days = one.days_it_can_wait
        return f"can wait {days} {'day' if days == 1 else 'days'}"

    def who(self, one: Dated) -> str:
        """Say who does a task."""
        return who_words(one)

    def took(self, hours: float) -> str:
        """Write hours of work."""
        return hours_words(hours)

    def dry(self, one: Dated) -> str:
        """Say till when a task dries or lies."""
        if one.dry is None:
            return ""
        return f"{day_words(one.dry.date())}, {one.dry:%H:%M}"

    def spans(self, one: Dated) -> str:
        """Say at which hours of the day that is looked at a task is done."""
        some = [s for s in one.stretches if s.starts.date() == self.day]
        return ", ".join(f"{s.starts:%H:%M} to {s.ends:%H:%M}" for s in some)

    def todays(self, one: Dated) -> list[str]:
        """Return the walls that a task is for on the day that is looked at, if it is for some."""
        some = [s.where for s in one.stretches if s.starts.date() == self.day and s.where]
        return list(dict.fromkeys(some))

    def todays_work(self, one: Dated) -> str:
        """Say how much of a task falls on the day that is looked at, and how much it is in all."""
        hours = sum(s.hours for s in one.stretches if s.starts.date() == self.day)
        whole = hours_words(one.task.hours)
        return whole if hours >= one.task.hours else f"{hours_words(hours)} of {whole}"

    def long_day(self, day: date) -> str:
        """Say a day in full."""
        return long_day(day)

    def short_day(self, day: date) -> str:
        """Say a day shortly."""
        return day_words(day)

    def money(self, order: Order) -> str:
        """Write what an order costs, nothing where that is not for whoever looks."""
        if not self.shows_money or order.sum_minor is None:
            return ""
        return format_money(order.sum_minor, self.known.plan.currency)

    def needed(self, one: Dated) -> list[Line]:
        """Return what must be in the house for a task."""
        lines = {line.key: line for line in self.known.take_off.lines}
        found = [lines[key] for key in one.task.lines if key in lines]
        if one.task.paint:
            tools = ("paint.roller", "paint.sleeve", "paint.brush", "paint.masks", "paint.gloves")
            found += [line for key, line in lines.items() if key.startswith(tools)]
        return found

    def least_c(self) -> str:
        """Return the least temperature for paint."""
        return f"{published('paint.air-least-c'):g}"

    def length(self, length_mm: float) -> str:
        """Write a length in the units of the plan."""
        return length_words(length_mm, self.known.plan.units)

    def written(self, length_mm: float) -> str:
        """Write a length as it stands in a field."""
        return written(length_mm, self.known.plan.units)

    def measure(self, one: Dated) -> str:
        """Write how much of a task there is."""
        return measure_words(one.task.quantity, one.task.unit, self.known.plan.units)

    def size(self, thing: Stored) -> str:
        """Write the sides of a stored thing."""
        units = self.known.plan.units
        return " × ".join(format_length(mm, units) for mm in (thing.width_mm, thing.depth_mm))

    def free_words(self, time: FreeTime) -> str:
        """Say a free time of the week."""
        name = dict(DAY_WORDS)[time.day]
        people = "one" if time.people == 1 else str(time.people)
        return f"{name}, {time.starts} to {time.ends}, {people}"

    @property
    def day_choices(self) -> list[tuple[Any, str]]:
        """The days of the week for a list."""
        return [(key, name) for key, name in DAY_WORDS]

    @property
    def becomes(self) -> list[tuple[Becomes, str]]:
        """What may become of a thing, for a list."""
        return BECOMES

    def becomes_words(self, thing: Stored) -> str:
        """Say what becomes of a thing."""
        return dict(BECOMES)[thing.becomes]

    @property
    def tomorrow(self) -> date:
        """The day after the one that is looked at."""
        return self.day + timedelta(days=1)


def stage_svg(known: PlannedWorks, stage: Stage) -> Markup:
    """Draw a stage for a page."""
    scene = known.scene
    x0, y0, x1, y1 = scene.room.outline.bounds
    em = max(x1 - x0, y1 - y0) / STAGE_LETTERS_ACROSS
    items, bounds = stage_items(scene, stage, Medium(em, scene.plan.units, True))
    left, top, right, bottom = bounds
    box = f"{left - em:.0f} {top - em:.0f} {right - left + 2 * em:.0f} {bottom - top + 2 * em:.0f}"
    names = ", ".join(f"{i} {place.name}" for i, place in enumerate(stage.places, start=1))
    label = f"{stage.name} is worked on. On the rest stand: {names}"
    attributes = {
        "viewBox": box, "class": "stage-plan", "role": "img", "aria-label": label,
        "font-size": f"{em:.0f}",
    }  # fmt: skip
    return Markup(fragment(items, attributes))


def _hours_on(one: Dated, day: date) -> bool:
    return any(s.starts.date() == day for s in one.stretches)


def _first_on(one: Dated, day: date) -> Any:
    return min(s.starts for s in one.stretches if s.starts.date() == day)
