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


def moved_back(of: Subjects, piece: str, by_mm: float) -> Subjects:
    """The same plan with one piece so much nearer to the back wall."""
    document = json_of(of.plan)
    pose = next(one["pose"] for one in document["pieces"] if one["id"] == piece)
    pose["y_mm"] -= by_mm
    return subjects(Plan.model_validate(document))


def sheet(of: Subjects, which: str, paper: str = "A3", scale: int | None = None) -> Sheet:
    return draw_named(of, which, paper, scale)
