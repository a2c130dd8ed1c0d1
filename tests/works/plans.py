"""Works of the samples, and works of a few typed tasks alone."""

from collections.abc import Sequence
from datetime import date
from functools import cache
from typing import Any

from app.costs.cost import costs
from app.model.base import json_of
from app.model.plan import Plan
from app.model.works import DAYS, FreeTime, Works
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.usecases.files import samples
from app.works.programme import Programme, programme
from app.works.task import After, Need, Task
from app.works.works import WorksAnswer, works

SPRING = date(2027, 4, 3)  # a Saturday


def sample(key: str) -> Plan:
    return next(one.plan for one in samples() if one.key == key)


def with_works(plan: Plan, **fields: Any) -> Plan:
    data = json_of(plan)
    return Plan.model_validate({**data, "works": {**data["works"], **fields}})


def planned(plan: Plan, today: date = SPRING) -> WorksAnswer:
    scene = build_scene(plan)
    found = take_off(scene)
    return works(scene, found, costs(scene, found), today)


@cache
def of_sample(key: str, today: date = SPRING) -> WorksAnswer:
    return planned(sample(key), today)


def task(task_id: str, hours: float, after: Sequence[str] = (), **fields: Any) -> Task:
    """A task of so many person-hours that waits for some others."""
    links = tuple(After(one) for one in after)
    return Task(
        id=task_id, kind="own", name=task_id, group="", why="", quantity=0, unit="",
        hours=hours, after=links, **fields,
    )  # fmt: skip


def around_the_clock(people: int) -> Works:
    """Works of people without sleep: then a programme is a machine schedule of the textbooks."""
    free = tuple(
        FreeTime(id=day, day=day, starts="00:00", ends="23:59", people=people) for day in DAYS
    )
    return Works(free=free)


def of_tasks(tasks: Sequence[Task], works: Works, today: date = SPRING) -> Programme:
    return programme(Need(tuple(tasks)), works, today)
