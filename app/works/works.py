"""All that is answered on the works of a plan: programme, orders, stages, the year after."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from app.costs.cost import Costs
from app.published.register import overridden
from app.scene.build import Scene
from app.takeoff.line import TakeOff
from app.works.fumes import fumes
from app.works.lives import is_cold
from app.works.needs import needs
from app.works.orders import Order, arrivals, beyond_returns, orders, overdue
from app.works.programme import Moved, Programme, if_missed, moved, programme
from app.works.splitting import split
from app.works.stages import Split, Stage, dated_stages
from app.works.task import Need, WorksError
from app.works.year_after import Upkeep, year_after

MATS_LIE = "mat-wait"
"""The kind of the task in which mats take on the warmth of the room."""


@dataclass(frozen=True, slots=True, eq=False)
class WorksAnswer:
    """The works of one plan as seen on a day."""

    scene: Scene
    programme: Programme
    orders: tuple[Order, ...]
    stages: tuple[Stage, ...]
    year_after: tuple[Upkeep, ...]
    says: tuple[str, ...]
    problems: tuple[str, ...]
    arrivals: dict[str, date]

    def if_missed(self, day: date) -> date:
        """Return the day of the first training if nothing is done on one day. Raises WorksError."""
        made, plan = self.programme, self.scene.plan
        with overridden({one.id: one.value for one in plan.overrides}):
            return if_missed(made, self.arrivals, day)

    def if_late(self, order: Order, days: int) -> Moved:
        """Return what becomes of it if an order comes so many days later. Raises WorksError."""
        later = order.arrives + timedelta(days=days)
        return self._moved({**self.arrivals, **dict.fromkeys(order.lines, later)})

    def if_there(self, arrivals: dict[str, date]) -> Moved:
        """Return what becomes of it if things are there on other days. Raises WorksError."""
        return self._moved(arrivals)

    def if_frost(self, first: date, days: int) -> Moved:
        """Return what becomes of it if nobody can paint for so many days. Raises WorksError."""
        return self._moved(self.arrivals, (first, first + timedelta(days=days - 1)))

    def _moved(self, arrivals: dict[str, date], frost: tuple[date, date] | None = None) -> Moved:
        with overridden({one.id: one.value for one in self.scene.plan.overrides}):
            return moved(self.programme, arrivals, frost)


def works(
    scene: Scene,
    take_off: TakeOff,
    costs: Costs,
    today: date,
    starts: date | None = None,
    now_min: int = 0,
) -> WorksAnswer:
    """Plan the works of a plan as seen at a minute of a day; `starts` is for the plan's own.

    Raises WorksError where they cannot be planned.
    """
    try:
        return _works(scene, take_off, costs, today, starts, now_min)
    except OverflowError:
        raise WorksError(
            "A day of the works lies beyond the year 9999, where calendars end: look at the days "
            "that were typed."
        ) from None


def _works(
    scene: Scene, take_off: TakeOff, costs: Costs, today: date, starts: date | None, now_min: int
) -> WorksAnswer:
    plan = scene.plan
    begins = max(today, starts or plan.works.starts_on or today)
    now_min = now_min if begins == today else 0
    with overridden({one.id: one.value for one in plan.overrides}):
        parts = split(scene)
        need, made, there = _planned(scene, take_off, costs, begins, parts, now_min, cold=False)
        coated = any(task.paint for task in need.tasks)
        if _runs_into_the_cold(made, coated):
            heated = _planned(scene, take_off, costs, begins, parts, now_min, cold=True)
            # heat first is more work: for paint it is taken where training begins sooner with it
            if not coated or heated[1].first_training < made.first_training:
                need, made, there = heated
        every_order = orders(scene, made, costs.lines, take_off.lines)
        return WorksAnswer(
            scene,
            made,
            every_order,
            dated_stages(parts, made),
            year_after(scene, made.first_training),
            (*need.says, *parts.says, *fumes(scene, made), *beyond_returns(made, every_order)),
            (*need.problems, *overdue(plan.works, costs.lines, today)),
            there,
        )


def _planned(
    scene: Scene,
    take_off: TakeOff,
    costs: Costs,
    begins: date,
    parts: Split,
    now_min: int,
    cold: bool,
) -> tuple[Need, Programme, dict[str, date]]:
    need = needs(
        scene, take_off, parts.areas, cold, parts.names, parts.outside_m2
    )  # fmt: skip
    there = arrivals(scene, need.tasks, begins, costs.lines)
    return need, programme(need, scene.plan.works, begins, there, now_min), there


def _runs_into_the_cold(made: Programme, coated: bool) -> bool:
    """Return whether the cold half of the year comes before the last coat is on.

    Where nothing is painted, before the mats lie: they want a warm room too.
    """
    wants_it_warm = [
        one.ends.date()
        for one in made.tasks
        if not one.done and (one.task.paint if coated else one.task.kind == MATS_LIE)
    ]
    if not wants_it_warm:
        return False
    last = max(wants_it_warm)
    days = (made.today + timedelta(days=n) for n in range((last - made.today).days + 1))
    return any(is_cold(day) for day in days)
