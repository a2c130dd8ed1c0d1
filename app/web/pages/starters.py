"""Starter sets: chosen by purpose and sum, shown in this very room, taken as one command."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, redirect, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from app.errors import ConflictError
from app.library.kit import kit_types
from app.library.starters import StarterSet, starter_sets
from app.units import format_money
from app.usecases import starters
from app.web.errors import status_of
from app.web.guard.requester import author, left
from app.web.house import house

start_pages = Blueprint("start_pages", __name__)

PURPOSES = {
    "strength": "Strength",
    "heart": "Heart and lungs",
    "boxing": "Boxing",
    "rehab": "Getting well again",
}


@start_pages.get("/plan/<plan_id>/start")
def show(plan_id: str) -> str:
    """The sets, and the one that is named by `set` as it would stand in the room."""
    return _page(plan_id, request.args.get("set", ""), "")


@start_pages.post("/plan/<plan_id>/start")
def take(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Put a set on the plan and go to the desk."""
    key = request.form.get("set", "")
    try:
        starters.take(house(), plan_id, key, author())
    except ConflictError as error:
        return _page(plan_id, key, error.sentence), status_of(error)
    return redirect(f"{request.script_root}/plan/{plan_id}", 303)


def _page(plan_id: str, key: str, fault: str) -> str:
    plan = house().open(plan_id).plan
    sets = _sets(plan_id)
    chosen = key if key in starter_sets() else ""
    shown = starters.shown(house(), plan_id, chosen, left()) if chosen else None
    return render_template(
        "start.html",
        plan_id=plan_id,
        plan=plan,
        fault=fault,
        chosen=chosen,
        shown=shown,
        left_out=[(one.name, one.why.worded(plan.units)) for one in shown.placed.left_out]
        if shown
        else [],
        drawing=Markup(shown.drawing) if shown else "",
        purposes=[
            (words, [one for one in sets if one["set"].purpose == purpose])
            for purpose, words in PURPOSES.items()
        ],
        money=lambda minor: format_money(minor, plan.currency),
        there=sum(not piece.stays for piece in plan.pieces),
    )


def _sets(plan_id: str) -> list[dict[str, Any]]:
    return [
        {"set": one, "about": about, "holds": _holds(one)}
        for one, about in starters.sets(house(), plan_id)
    ]


def _holds(one: StarterSet) -> str:
    kits = kit_types()
    names = [kits[key].name for station in one.stations for key in station.types()]
    return ", ".join([names[0], *(name[:1].lower() + name[1:] for name in names[1:])])
