"""The works: the programme with its chart, today's page for the phone, ticking off, a calendar."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime
from functools import partial
from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, Response, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from app.errors import NotFoundError
from app.forms.works_done_edits import edit_ticks
from app.forms.works_edits import edit_works
from app.usecases.accounts import account_of
from app.usecases.buying import months_meanwhile
from app.usecases.carrying_out import STEPS, Outcome
from app.usecases.works import PlannedWorks, as_calendar, works_of
from app.web.api.shown import plans_along
from app.web.guard.guard import RefusedError
from app.web.guard.requester import link
from app.web.house import house
from app.web.pages.photos import with_photo
from app.web.pages.typed_forms import Refused, take_form
from app.web.pages.works_view import CHOICES, WorksView
from app.works.goal import has_purse
from app.works.paid_when import PaidWhen, paid_when
from app.works.task import next_half_hour_min

work_pages = Blueprint("work_pages", __name__)
OF_THE_DAY = frozenset({"day", "orders"})
"""What of the works those are shown who may not change them."""


@work_pages.get("/plan/<plan_id>/works")
def show(plan_id: str) -> str:
    """The programme: chart, the stage of a day, orders, and what is typed of the works."""
    return _works(plan_id, request.args.get("of", ""), Refused())


@work_pages.post("/plan/<plan_id>/works")
def change(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Carry out the edit of a form, or show it again with what is wrong beside each field."""
    return take_form(
        plan_id,
        partial(with_photo, edit_works),
        lambda refused: _works(plan_id, request.form.get("of", ""), refused),
        _lead,
    )


@work_pages.get("/plan/<plan_id>/today")
def today_page(plan_id: str) -> str:
    """One day for the phone: what to do, what must be in the house, what to mind, done."""
    return _today(plan_id, Refused())


@work_pages.post("/plan/<plan_id>/today")
def tick(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Tick a task off with its day and true hours; the rest is planned again."""
    if request.form.get("edit") in STEPS and not plans_along():
        # undo takes back whatever came last, which need not be a tick
        raise RefusedError("Here tasks are ticked off, and nothing else.")
    editor = edit_works if plans_along() else edit_ticks
    return take_form(
        plan_id,
        partial(with_photo, editor),
        lambda refused: _today(plan_id, refused),
        _lead_today,
    )


@work_pages.get("/plan/<plan_id>/photo/<photo_id>")
def photo(plan_id: str, photo_id: str) -> Response:
    """Return a photo of a task or wall of a plan; no other picture."""
    if photo_id not in house().open(plan_id).plan.photos:
        raise NotFoundError("There is no such photo in this plan.")
    return Response(house().store.pictures.read(photo_id), mimetype="image/jpeg")


@work_pages.get("/plan/<plan_id>/works.ics")
def calendar(plan_id: str) -> Response:
    """Return the works as a calendar file."""
    name = house().export(plan_id)[0].removesuffix(".json")
    at = datetime.now()
    file = as_calendar(house(), plan_id, at.date(), next_half_hour_min(at))
    response = Response(file, mimetype="text/calendar")
    response.headers["Content-Disposition"] = f'attachment; filename="{name}-works.ics"'
    return response


def _lead(form: Mapping[str, str], outcome: Outcome) -> str:
    of = form.get("of", "")
    if form.get("edit") in ("tick", "untick", "forget", "task") and of.startswith("task."):
        of = "day" if form.get("left_out") else of
    return f"works?of={of}"


def _lead_today(form: Mapping[str, str], outcome: Outcome) -> str:
    asked = {"on": form.get("on", "")}
    if form.get("edit") == "tick":
        asked["did"] = form.get("task", "")
    asked = {name: text for name, text in asked.items() if text}
    return f"today?{urlencode(asked)}" if asked else "today"


def _asked_day() -> date | None:
    asked = request.values.get("on", "")
    try:
        return date.fromisoformat(asked)
    except ValueError:
        return None


def _common(plan_id: str, of: str, refused: Refused) -> dict[str, Any]:
    at = datetime.now()
    state, known = works_of(house(), plan_id, at.date(), next_half_hour_min(at))
    along, guest = plans_along(), link()
    return {
        "plan_id": plan_id,
        "plan": state.plan,
        "state": state,
        "refused": refused,
        "view": WorksView(state.plan, of, known, _asked_day(), along),
        "kept_here": house().store.pictures.holds,
        "may_edit": along,
        "may_tick": along or bool(guest and guest.ticks),
    }


def _works(plan_id: str, of: str, refused: Refused) -> str:
    along = plans_along()
    kinds = {key for key, _ in CHOICES} | {"task", "order"} if along else OF_THE_DAY
    of = of if of.partition(".")[0] in kinds else "day"
    shown = _common(plan_id, of, refused)
    paid, looking = _paid(plan_id, shown["view"].known) if along else (None, False)
    shown["view"] = replace(shown["view"], paid=paid)
    return render_template("works.html", **shown, choices=CHOICES, looking=looking)


def _paid(plan_id: str, known: PlannedWorks) -> tuple[PaidWhen | None, bool]:
    """Return what the money does to the works, and whether that is still looked for.

    Nobody waits for it: the page is there at once, and its script asks again.
    """
    ready = known.ready
    if ready is None or not has_purse(known.plan):
        return None, False
    _, account = account_of(house(), plan_id)
    so_far = months_meanwhile(house(), plan_id, account, known.today, known.now_min)
    if so_far is None:
        return None, True
    return paid_when(ready, so_far.months), so_far.looking


def _today(plan_id: str, refused: Refused) -> str:
    return render_template(
        "today.html", **_common(plan_id, "day", refused), did_task=request.args.get("did", "")
    )
