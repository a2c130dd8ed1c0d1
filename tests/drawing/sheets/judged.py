"""Sheets of plans as the tests ask for them, judged once."""

from functools import cache

from app.drawing.sheet import Sheet
from app.model.base import json_of
from app.model.plan import Plan
from app.scene.build import build_scene
from app.store.entries import State
from app.store.flags import numbered
from app.units import Units
from app.usecases.accounts import Account
from app.usecases.drawing_set import draw_named, fields_of
from app.usecases.files import samples
from app.usecases.judged import Judged, find
from app.usecases.sheet_subjects import Subjects


def subjects(plan: Plan, flags: bool = True) -> Subjects:
    """A plan ready to be drawn, from which many sheets can be asked."""
    findings = find(build_scene(plan))
    state = State("", plan, 0, None, None)
    numbers = numbered((snag.key for snag in findings.snags), {})
    judged = Judged(state, findings, numbers)
    return Subjects(judged, Account(plan, findings.scene), fields_of(state), flags)


@cache
def sample(key: str, units: Units = "metric") -> Subjects:
    """A plan that comes with the program, in the units asked for."""
    plan = next(one.plan for one in samples() if one.key == key)
    return subjects(Plan.model_validate({**json_of(plan), "units": units}))


def sheet(of: Subjects, which: str, paper: str = "A3", scale: int | None = None) -> Sheet:
    return draw_named(of, which, paper, scale)
