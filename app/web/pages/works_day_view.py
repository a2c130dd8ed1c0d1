"""One day of the works: what is done on it, by whom, on which stage of the floor."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property

from markupsafe import Markup

from app.costs.cost import CostLine
from app.drawing.medium import Medium
from app.drawing.stage_figure import stage_items
from app.drawing.svg import fragment
from app.forms.works_edits import DAY_NAMES
from app.library.household import household
from app.library.tasks import task_kinds
from app.model.works import MONTHS
from app.published.register import published
from app.scales import TEMPERATURE
from app.takeoff.line import Line
from app.usecases.works import PlannedWorks
from app.web.pages.plan_view import PlanView
from app.wording import length_words, measure_words
from app.works.goal import FIRST_TRAINING, IN_TIME, has_purse
from app.works.orders import Order, lead_words
from app.works.programme import Dated, hours_words
from app.works.report import who_words
from app.works.stages import Stage
from app.works.year_after import Upkeep

STAGE_LETTERS_ACROSS = 26.0
"""How many letters of its lettering are as wide as the small plan of a stage."""


def day_words(day: date) -> str:
    """Say a day as one reads it: "Sat 8 May"."""
    return f"{DAY_NAMES[day.weekday()][:3]} {day.day} {MONTHS[day.month - 1][:3]}"


def long_day(day: date) -> str:
    """Say a day in full: "Saturday 8 May"."""
    return f"{DAY_NAMES[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


@dataclass(frozen=True)
class DayView(PlanView):
    """The works of a plan on one day: `chosen`, or without it the next day with work."""

    known: PlannedWorks
    chosen: date | None = None

    @cached_property
    def day(self) -> date:
        """The day that is looked at: the one chosen, else the next with work."""
        if self.chosen is not None:
            return self.chosen
        answer = self.known.answer
        days = [] if answer is None else [d for d in answer.programme.days if d >= self.known.today]
        return days[0] if days else self.known.today

    @property
    def ahead(self) -> str:
        """Say that today holds no work, where the next day is shown without being asked."""
        today = self.known.today
        if self.chosen is not None or self.day <= today:
            return ""
        tomorrow = "tomorrow, " if (self.day - today).days == 1 else ""
        return f"No work today, {long_day(today)}. Next: {tomorrow}{long_day(self.day)}."

    def done(self, task_id: str) -> Dated | None:
        """Return a task that is done, by its id."""
        answer = self.known.answer
        tasks = () if answer is None else answer.programme.tasks
        return next((one for one in tasks if one.task.id == task_id and one.task.done_on), None)

    @cached_property
    def of_day(self) -> list[Dated]:
        """The tasks with work on the day that is looked at, in the order of their hours."""
        answer = self.known.answer
        tasks = [] if answer is None else list(answer.programme.tasks)
        tasks_there = [one for one in tasks if not one.done and _hours_on(one, self.day)]
        return sorted(tasks_there, key=lambda one: _first_on(one, self.day))

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
    def missed(self) -> str:
        """What a day that is missed costs."""
        answer = self.known.answer
        if answer is None or not self.of_day:
            return ""
        first = answer.programme.first_training
        goal = f"{IN_TIME}," if has_purse(self.known.plan) else FIRST_TRAINING
        then = self.known.if_missed(self.day)
        if then is None:
            return "If this day is missed, the works find no end."
        if then <= first:
            return f"If this day is missed, the {goal} stays on {long_day(first)}."
        return (
            f"If this day is missed, the {goal} moves from {day_words(first)} to {day_words(then)}."
        )

    def who(self, one: Dated) -> str:
        """Say who does a task."""
        return who_words(one)

    def word(self, one: Dated) -> str:
        """Say what a task means for the date."""
        return one.word

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

    def needed(self, one: Dated) -> list[Line]:
        """Return what must be in the house for a task."""
        lines = {line.key: line for line in self.known.take_off.lines}
        return [lines[key] for key in (*one.task.lines, *one.task.uses) if key in lines]

    def least_c(self) -> str:
        """Return the least temperature for paint."""
        return TEMPERATURE.words(published("paint.air-least-c"), self.known.plan.units)

    def measure(self, one: Dated) -> str:
        """Write how much of a task there is."""
        return measure_words(one.task.quantity, one.task.unit, self.known.plan.units)

    def length(self, length_mm: float) -> str:
        """Write a length in the units of the plan."""
        return length_words(length_mm, self.known.plan.units)

    def long_day(self, day: date) -> str:
        """Say a day in full."""
        return long_day(day)

    def short_day(self, day: date) -> str:
        """Say a day shortly."""
        return day_words(day)

    def steps(self, one: Dated) -> tuple[str, ...]:
        """Return what to do for a task, step by step."""
        return task_kinds()[one.task.kind].steps

    def tools(self, one: Dated) -> tuple[str, ...]:
        """Return what must be at hand for a task and is not bought: of the household, on paper."""
        kind = task_kinds()[one.task.kind]
        return (*(household()[tool].name for tool in kind.tools), *kind.papers)

    @cached_property
    def done_that_day(self) -> list[Dated]:
        """The tasks that were done on the day that is looked at."""
        answer = self.known.answer
        tasks = () if answer is None else answer.programme.tasks
        return [one for one in tasks if one.task.done_on == self.day]

    @cached_property
    def to_order(self) -> list[Order]:
        """What is to be ordered on the day that is looked at; today also what should have been.

        Who opens the page on a day without work sees the next one, and what to order before it.
        """
        answer, today = self.known.answer, self.known.today
        orders = () if answer is None else answer.orders
        from_day = date.min if self.chosen is None or self.day == today else self.day
        return [one for one in orders if from_day <= one.order_by <= self.day and not one.settled]

    @property
    def by_when(self) -> str:
        """Say by when that is to be ordered."""
        today = self.known.today
        if self.day == today or all(one.order_by <= today for one in self.to_order):
            return "today"
        return f"by {long_day(self.day)}" if self.chosen is None else "on this day"

    @cached_property
    def arriving(self) -> list[Order]:
        """What arrives on the day that is looked at."""
        answer = self.known.answer
        orders = () if answer is None else answer.orders
        return [
            one
            for one in orders
            if one.arrives == self.day and one.standing != "bought" and not one.is_visit
        ]

    @cached_property
    def upkeep(self) -> list[Upkeep]:
        """What of the year after falls on the day that is looked at."""
        answer = self.known.answer
        looks = () if answer is None else answer.year_after
        return [one for one in looks if one.on == self.day]

    @cached_property
    def next_upkeep(self) -> Upkeep | None:
        """What comes next of the year after."""
        answer = self.known.answer
        looks = () if answer is None else answer.year_after
        return next((one for one in looks if one.on > self.day), None)

    def lead(self, order: Order) -> str:
        """Say how long before its day something is asked for."""
        return lead_words(order)

    def comes(self, order: Order) -> str:
        """Say when it is there."""
        return f"{'comes' if order.is_visit else 'here'} {day_words(order.arrives)}"

    def line_name(self, key: str) -> str:
        """Call a line of an order."""
        return self.lines[key].item if key in self.lines else key

    @cached_property
    def lines(self) -> dict[str, CostLine]:
        """The lines of the list of costs by their keys."""
        return {line.key: line for line in self.known.costs.lines}


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


def _first_on(one: Dated, day: date) -> datetime:
    return min(s.starts for s in one.stretches if s.starts.date() == day)
