"""What to buy in which month, of a plan file."""

from __future__ import annotations

import argparse
import json
from datetime import date

from app.checks.headroom import person_name
from app.costs.cost import costs
from app.errors import one_line
from app.file_commands.plan_file import read
from app.forms.typed_fields import Typed
from app.forms.typed_money import typed_sum
from app.model.base import json_of
from app.model.phasing import month_of
from app.model.plan import Plan
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.works.months import as_json, as_text, months_of
from app.works.room_ready import RoomReady
from app.works.task import WorksError
from app.works.works import works


def phases(asked: argparse.Namespace, today: date) -> int:
    """Print what is bought in which month and what one can train from when; return the exit code.

    Raises PlanError for a sum that is none, and where there is nothing to spend.
    """
    plan = read(asked.plan)
    fields = {"--start-sum": asked.start_sum or "", "--month": asked.month or ""}
    typed = Typed(fields, plan.units)
    sums = {
        "put_by_minor": typed_sum(typed, "--start-sum", "the starting sum", plan.currency),
        "a_month_minor": typed_sum(typed, "--month", "the sum of a month", plan.currency),
    }
    typed.done()
    phasing = {**json_of(plan.phasing), **{k: v for k, v in sums.items() if v is not None}}
    plan = Plan.model_validate({**json_of(plan), "phasing": phasing})
    scene = build_scene(plan)
    needs = take_off(scene)
    costed = costs(scene, needs)
    first = plan.phasing.first_month or asked.first or month_of(today)
    # the works begin with the first month, not before today
    begins = max(today, date.fromisoformat(f"{first}-01"))
    ready = None
    try:
        ready = RoomReady(works(scene, needs, costed, begins), costed.lines)
    except WorksError as error:
        if not asked.json:
            print(one_line(error.sentence))
    answer = months_of(scene, costed, first, ready)
    if asked.json:
        print(json.dumps(as_json(answer), indent=1, ensure_ascii=False, allow_nan=False))
        return 0
    names = {person.id: person_name(person, plan.units) for person in plan.people}
    for line in as_text(answer, names):
        print(one_line(line))
    return 0
