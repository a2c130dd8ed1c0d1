"""From nothing: what to do here and a sum make a list in this very room; or a ready-made set."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, redirect, render_template, request
from markupsafe import Markup
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response as AnyResponse

from app.arranging.best_set import WishListError
from app.errors import ConflictError, PlanError
from app.forms.typed_fields import Typed
from app.forms.typed_money import typed_sum
from app.library.finishes import GUIDE_CURRENCIES
from app.library.kit import kit_types
from app.library.starters import StarterSet, starter_sets
from app.model.plan import Plan
from app.units import format_money
from app.usecases import from_nothing, starters
from app.usecases.from_nothing import Ask
from app.web.errors import status_of
from app.web.guard.requester import author, left
from app.web.house import house
from app.wording import lower

start_pages = Blueprint("start_pages", __name__)

PURPOSES = {
    "strength": "Strength",
    "heart": "Heart and lungs",
    "boxing": "Boxing",
    "rehab": "Getting well again",
}


LISTED = "list"
"""What a form says that asks for a list."""
WORTHS = (
    ("", "as proposed"),
    ("12", "above all"),
    ("4", "I would like it"),
    ("2", "if there is room"),
    ("0", "leave it out"),
)
"""What somebody says of one thing of the list: what it is worth beside the others of the list."""


@start_pages.get("/plan/<plan_id>/start")
def show(plan_id: str) -> str:
    """The list or set that is asked for, as it would stand in the room, and what can be asked."""
    return _page(plan_id, request.args, "")


@start_pages.post("/plan/<plan_id>/start")
def take(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Put the list or a set on the plan and go to the desk."""
    form = request.form
    try:
        if form.get(LISTED):
            ask = _ask(form, house().open(plan_id).plan)
            from_nothing.take(house(), plan_id, ask, author())
        else:
            starters.take(house(), plan_id, form.get("set", ""), author())
    except (ConflictError, PlanError, WishListError) as error:
        status = 400 if isinstance(error, WishListError) else status_of(error)
        return _page(plan_id, form, error.sentence), status
    return redirect(f"{request.script_root}/plan/{plan_id}", 303)


def _ask(fields: MultiDict[str, str], plan: Plan) -> Ask:
    """Read what somebody wants to do and spend. Raises PlanError for a sum that is none."""
    typed = Typed(fields, plan.units)
    sum_minor = typed_sum(typed, "sum", "the sum", plan.currency)
    typed.done()
    known = {value for value, _ in WORTHS if value}
    worths = {
        key.removeprefix("w-"): float(fields[key])
        for key in fields
        if key.startswith("w-") and fields[key] in known
    }
    purposes = tuple(one for one in PURPOSES if one in fields.getlist("for"))
    return Ask(purposes, tuple(sorted(worths.items())), sum_minor)


def _page(plan_id: str, fields: MultiDict[str, str], fault: str) -> str:
    plan = house().open(plan_id).plan
    sets = _sets(plan_id)
    chosen = fields.get("set", "")
    chosen = chosen if chosen in starter_sets() else ""
    shown = starters.shown(house(), plan_id, chosen, left()) if chosen else None
    listed = None
    if fields.get(LISTED) and not fault:
        try:
            listed = _listed(plan_id, plan, _ask(fields, plan))
        except (PlanError, WishListError) as error:
            fault = error.sentence
    return render_template(
        "start.html",
        plan_id=plan_id,
        plan=plan,
        fault=fault,
        chosen=chosen,
        shown=shown,
        listed=listed,
        asked=fields,
        ticked=fields.getlist("for"),
        worths=WORTHS,
        left_out=[(one.name, one.why.worded(plan.units)) for one in shown.placed.left_out]
        if shown
        else [],
        drawing=Markup(shown.drawing) if shown else "",
        purposes=[
            (words, [one for one in sets if one["set"].purpose == purpose])
            for purpose, words in PURPOSES.items()
        ],
        what_for=PURPOSES,
        wanted=sum(wish.wish in ("want", "nice") for one in plan.people for wish in one.wishes),
        money=lambda minor: format_money(minor, plan.currency),
        there=sum(not piece.stays for piece in plan.pieces),
    )


def _listed(plan_id: str, plan: Plan, ask: Ask) -> dict[str, Any]:
    """Return what the page shows of a list: each thing with what came of it, and its phases."""
    answer = from_nothing.shown(house(), plan_id, ask, left())
    every = from_nothing.listed(house(), plan_id, ask.purposes)
    why = {one.wanted.station.type: one.why.worded(plan.units) for one in answer.best.left_out}
    put_in = {one.station.type for one in answer.best.chosen}
    worths = {kind: f"{worth:.0f}" for kind, worth in ask.worths}
    return {
        "answer": answer,
        "drawing": Markup(answer.drawing),
        "rows": [
            {
                "key": one.station.type,
                "name": one.name,
                "about": one.about_minor,
                "in": one.station.type in put_in,
                "why": why.get(one.station.type, "you left it out"),
                "worth": worths.get(one.station.type, ""),
            }
            for one in every
        ],
        "guide": plan.currency in GUIDE_CURRENCIES,
        "carried": from_nothing.carried_to(plan) if ask.sum_minor else (),
    }


def _sets(plan_id: str) -> list[dict[str, Any]]:
    return [
        {"set": one, "about": about, "holds": _holds(one)}
        for one, about in starters.sets(house(), plan_id)
    ]


def _holds(one: StarterSet) -> str:
    kits = kit_types()
    names = [kits[key].name for station in one.stations for key in station.types()]
    return ", ".join([names[0], *map(lower, names[1:])])
