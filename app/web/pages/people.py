"""Who trains: a card per person, and the fields by which people come, change and go."""

from __future__ import annotations

from functools import partial
from urllib.parse import quote

from flask import Blueprint, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from app.errors import CommandError, PlanError
from app.forms.people_edits import ALONE, SOMEBODY, edit_people
from app.library.movements import movements
from app.model.people import Person, still_true
from app.model.plan import Plan
from app.units import format_short, written
from app.usecases.history import names_of
from app.web.errors import status_of
from app.web.guard.requester import author
from app.web.house import house
from app.web.pages.room import STEPS, Refused

people_pages = Blueprint("people_pages", __name__)

NOTHING = Refused()


@people_pages.post("/plan/<plan_id>/people")
def change(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Add, change or remove a person, or show the form again with what is wrong in it.

    What is kept leads on to the card of the person. `undo` and `redo` are edits as well.
    """
    form = request.form.to_dict()
    name, card = form.get("edit", ""), form.get("person", "")
    if name in STEPS:
        (house().undo if name == "undo" else house().redo)(plan_id, author())
        return redirect(f"{request.script_root}/plan/{plan_id}/people", 303)
    try:
        before = house().open(plan_id).plan
        command = edit_people(before, name, form)
        if command is not None:
            house().do(plan_id, command, author())
            card = command.changes[0].path[1] if name == "add" else card
    except PlanError as error:
        faults = {fault.field: fault.sentence for fault in error.faults}
        return people_page(plan_id, Refused(name, form, faults)), 400
    except CommandError as error:
        return people_page(plan_id, Refused(name, form, {"": error.sentence})), status_of(error)
    at = "" if name == "remove" else f"#person-{quote(card)}"
    return redirect(f"{request.script_root}/plan/{plan_id}/people{at}", 303)


def people_page(plan_id: str, kept: Refused = NOTHING) -> str:
    """Render the cards of all people; `kept` is a form that could not be carried out."""
    state = house().open(plan_id)
    plan = state.plan
    names = names_of(plan)
    return render_template(
        "people.html",
        plan_id=plan_id,
        plan=plan,
        state=state,
        cards=house().cards(plan_id),
        movements=movements(),
        short=partial(format_short, units=plan.units),
        names=names,
        written={person.id: _written(plan, person) for person in plan.people},
        others={
            person.id: [(other.id, names[other.id]) for other in plan.people if other != person]
            for person in plan.people
        },
        everybody=[(person.id, names[person.id]) for person in plan.people],
        kept=kept,
    )


def _written(plan: Plan, person: Person) -> dict[str, str]:
    """Return the fields of a person as they are shown in the form."""
    named = person.trains_with in {other.id for other in plan.people}
    company = ALONE if person.trains_alone else SOMEBODY
    return {
        "label": person.label,
        "stature": _length(person.stature_typed, person.stature_mm, plan),
        "reach": _length(person.reach_typed, person.reach_mm, plan),
        "with": person.trains_with if named and person.trains_with else company,
    }


def _length(typed: str, length_mm: float | None, plan: Plan) -> str:
    """Return a length as it was typed while that is still true, else as the program writes it."""
    if length_mm is None:
        return ""
    return still_true(typed, length_mm, plan.units) or written(length_mm, plan.units)
