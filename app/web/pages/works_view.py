"""What the page of the works asks for: the chart, one day, orders, forms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from markupsafe import Markup

from app.drawing.svg import fragment
from app.drawing.works_chart import works_chart
from app.drawing.works_halves import halves
from app.drawing.works_marks import LEGEND, Measure, legend
from app.forms.field_table import Words
from app.forms.works_edits import BECOMES, DAY_WORDS, TABLES
from app.model.works import FreeTime, LoudTime, Stored, TaskNote
from app.model.works import day_words as dated
from app.units import format_length, format_money
from app.web.pages.works_day_view import DayView, day_words, long_day, stage_svg
from app.web.pages.works_diary import DiaryDay, Pace, diary, pace
from app.works.moves import comes_late, move_sentences
from app.works.orders import Order
from app.works.paid_when import PaidWhen
from app.works.programme import Dated, hours_words, own_words, trade_words
from app.works.stages import Stage

WIDE_PX = 1000.0
"""Width of the chart on the page, in the units of its drawing: it is scaled to the paper."""

ROW_PX, LETTER_PX = 17.0, 12.5
KEY_PX, KEY_ROWS = 340.0, 3.4
"""Width of the key to the chart, which stands on a phone too, and its height in rows."""
KEY_WORDS = "Key of the chart: " + ", ".join(words for _, words in LEGEND)
MINUTES_AN_HOUR = 60
CHOICES = (
    ("day", "This day"),
    ("orders", "Orders"),
    ("times", "Your time"),
    ("contents", "What stands there"),
    ("tasks", "Tasks"),
    ("diary", "Diary"),
)


@dataclass(frozen=True)
class WorksView(DayView):
    """The works of a plan for the page; `of` is what is chosen.

    `shows_money` tells whether whoever looks may see what things cost. `paid` is what the money of
    the months does to the works; None where nothing is said of money, or nobody knows yet.
    """

    shows_money: bool = True
    paid: PaidWhen | None = None
    tables = TABLES

    @property
    def kind(self) -> str:
        """What kind of thing is chosen: "task" of "task.wash"."""
        return self.of.partition(".")[0]

    @cached_property
    def chart(self) -> Markup:
        """The chart as SVG: its names, its bars, and the key to both below."""
        answer = self.known.answer
        if answer is None:
            return Markup("")
        measure = Measure(WIDE_PX, ROW_PX, LETTER_PX)
        (part,) = works_chart(answer, measure, float("inf"))
        names, bars = halves(part, measure, f"Bar chart of the works. {self.first_words}")
        return Markup(f'<div class="chart-names">{names}</div>{bars}')

    @property
    def key(self) -> Markup:
        """The key of the chart as SVG."""
        measure = Measure(KEY_PX, ROW_PX, LETTER_PX)
        items = legend(0, 0, measure, KEY_PX)
        box = {"viewBox": f"0 0 {KEY_PX:g} {KEY_ROWS * ROW_PX:g}", "class": "works-chart works-key"}
        return Markup(fragment(items, {**box, "role": "img", "aria-label": KEY_WORDS}))

    @property
    def first_words(self) -> str:
        """When the first training is, in words."""
        answer = self.known.answer
        if answer is None:
            return ""
        return f"First training: {dated(answer.programme.first_training)}"

    @property
    def stages(self) -> tuple[Stage, ...]:
        """The parts of the floor, in the order in which they are worked on."""
        return () if self.known.answer is None else self.known.answer.stages

    def drawing_of(self, stage: Stage) -> Markup:
        """Draw where everything stands while a part of the floor is worked on."""
        return stage_svg(self.known, stage)

    def paid_later(self, order: Order) -> str:
        """Say when the money reaches an order; empty where that is in time or not known."""
        return "" if self.paid is None else self.paid.of_order(order)

    @property
    def hours(self) -> str:
        """How much work it is."""
        answer = self.known.answer
        if answer is None:
            return ""
        made = answer.programme
        return f"{own_words(made)}{trade_words(made)}"

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
    def orders(self) -> tuple[Order, ...]:
        """The orders that are still to be made or on their way."""
        return () if self.known.answer is None else self.known.answer.orders

    @property
    def next_orders(self) -> list[Order]:
        """The next orders, those that are settled left out."""
        return [one for one in self.orders if not one.settled][:3]

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
        if answer is None or order is None or order.settled:
            return ""
        named = comes_late(order)
        move = next((one for one in self.known.moves if one.what == named), None)
        if move is None or not move.days:
            return "If it comes a week late, the first training stays where it is."
        if move.first_training is None:
            return "If it comes a week late, the works find no end."
        return (
            "If it comes a week late, the first training moves from "
            f"{day_words(answer.programme.first_training)} to {day_words(move.first_training)}."
        )

    @property
    def moved(self) -> list[str]:
        """What moves the first training."""
        answer = self.known.answer
        return [] if answer is None else move_sentences(self.known.moves, answer)

    def room_for(self, one: Dated) -> str:
        """Say when a task may begin at the earliest and has to at the latest."""
        if one.done or one.earliest is None or not one.task.hours or one.loose:
            return ""
        early, at, late = one.earliest.date(), one.starts.date(), one.latest.date()
        sentences = [f"With more hands from {day_words(early)} on."] if early < at else []
        sentences += [f"Latest {day_words(late)}."] if late > at else []
        return " ".join(sentences)

    @property
    def lists(self) -> Mapping[str, Words]:
        """The tasks that one of the household's own may wait for."""
        answer = self.known.answer
        tasks = () if answer is None else answer.programme.tasks
        named = [(one.task.id, one.task.name) for one in tasks if one.task.kind != "first-training"]
        return {"tasks": [("", "nothing"), *named]}

    @property
    def ticking(self) -> TaskNote:
        """What the form shows that ticks the chosen task off: today, and what is said of it."""
        note = self.note
        today = max(self.known.today, note.began_on or self.known.today)
        return note.model_validate({**note.model_dump(), "done_on": today})

    def hints_of(self, one: Dated) -> dict[str, str]:
        """Return what the plan makes of a task, for fields in which nothing is said otherwise."""
        task = one.task
        return {
            "label": task.name,
            "hours": f"{task.hours:g}",
            "people": str(task.best),
            "wait_h": f"{task.wait_min / MINUTES_AN_HOUR:g}",
            "done_hours": f"{task.hours:g}",
        }

    @cached_property
    def diary(self) -> list[DiaryDay]:
        """What was done and what has come, the latest day first."""
        return diary(self.known)

    @cached_property
    def pace(self) -> Pace | None:
        """How fast the household is, None while that cannot be told."""
        return pace(self.known)

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

    def took(self, hours: float) -> str:
        """Write hours of work."""
        return hours_words(hours)

    def order_sum(self, order: Order) -> str:
        """Write what an order costs, nothing where that is not for whoever looks."""
        if not self.shows_money or order.sum_minor is None:
            return ""
        return format_money(order.sum_minor, self.known.plan.currency)

    def size(self, thing: Stored) -> str:
        """Write the sides of a stored thing."""
        units = self.known.plan.units
        return " × ".join(format_length(mm, units) for mm in (thing.width_mm, thing.depth_mm))

    def free_words(self, time: FreeTime) -> str:
        """Say a free time of the week."""
        people = "one" if time.people == 1 else str(time.people)
        return f"{self.loud_words(time)}, {people}"

    def loud_words(self, time: FreeTime | LoudTime) -> str:
        """Say which hours of the week a time is."""
        return f"{dict(DAY_WORDS)[time.day]}, {time.starts} to {time.ends}"

    def becomes_words(self, thing: Stored) -> str:
        """Say what becomes of a thing."""
        return dict(BECOMES)[thing.becomes]
