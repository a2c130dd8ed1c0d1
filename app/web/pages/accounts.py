"""Quantities and cost: the lists with every choice beside them, tables out and in, comparing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from flask import Blueprint, Response, redirect, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from app.costs import ledger
from app.drawing.desk import desk_figure
from app.drawing.framed import Framed
from app.errors import ElbowroomError
from app.forms.fit_edits import edit_fit
from app.forms.money_edits import edit_money
from app.model.base import HasId, json_of
from app.model.plan import Plan
from app.scene.build import build_scene
from app.store.entries import State
from app.takeoff import quantities
from app.usecases import accounts
from app.usecases.accounts import Account
from app.usecases.carrying_out import Editor, Outcome
from app.web.guard.requester import author
from app.web.house import house
from app.web.pages.accounts_view import CHOICES, FitView, known_choice
from app.web.pages.cost_view import COST_CHOICES, CostView
from app.web.pages.typed_forms import Refused, take_form

account_pages = Blueprint("account_pages", __name__)

TABLE_LIMIT = 4_000_000
KINDS: Mapping[str, Callable[[Plan], tuple[HasId, ...]]] = {
    "floor": lambda plan: plan.fit_out.floors,
    "paint": lambda plan: plan.fit_out.paint,
    "strip": lambda plan: plan.fit_out.strips,
    "mirror": lambda plan: plan.fit_out.mirrors,
    "projection": lambda plan: plan.fit_out.projections,
}
"""What can be chosen of the fit-out, by the word for it in the address."""


@account_pages.get("/plan/<plan_id>/quantities")
def show_quantities(plan_id: str) -> str:
    """The list of quantities; `of` says what is chosen beside it."""
    return _quantities(plan_id, request.args.get("of", ""), Refused())


@account_pages.post("/plan/<plan_id>/quantities")
def change_fit_out(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Carry out the edit of a form, or show it again with what is wrong beside each field."""
    return _take(plan_id, "quantities", edit_fit, _quantities)


@account_pages.get("/plan/<plan_id>/quantities.csv")
def quantities_table(plan_id: str) -> Response:
    """Return the list as a table."""
    state, account = accounts.account_of(house(), plan_id)
    return table_response(
        quantities.as_csv(account.take_off, state.plan.currency, state.plan.units),
        plan_id,
        "quantities",
    )


@account_pages.get("/plan/<plan_id>/cost")
def show_cost(plan_id: str) -> str:
    """What it costs; `with` names a plan to compare it with."""
    return _cost(plan_id, request.args.get("of", ""), Refused())


@account_pages.post("/plan/<plan_id>/cost")
def change_money(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Carry out the edit of a form, or show it again with what is wrong beside each field."""
    return _take(plan_id, "cost", edit_money, _cost)


@account_pages.get("/plan/<plan_id>/cost.csv")
def cost_table(plan_id: str) -> Response:
    """Return every price and standing as a table that can be filled in and read back."""
    _, account = accounts.account_of(house(), plan_id)
    return table_response(ledger.as_csv(account.costs, account.take_off), plan_id, "cost")


@account_pages.post("/plan/<plan_id>/cost.csv")
def read_table(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Take prices out of a table; what is wrong in it is told row by row, the rest is kept."""
    upload = request.files.get("file")
    data = upload.read(TABLE_LIMIT + 1) if upload else b""
    faults: tuple[str, ...]
    if not data:
        faults = ("Choose a table first: the one that is kept here as CSV, filled in.",)
    elif len(data) > TABLE_LIMIT:
        faults = (f"The table has more than {TABLE_LIMIT / 1e6:.0f} MB.",)
    else:
        try:
            faults = accounts.read_prices(house(), plan_id, data.decode("utf-8-sig"), author())
        except UnicodeDecodeError:
            faults = ("The table cannot be read: keep it as CSV in UTF-8.",)
        except ElbowroomError as error:
            faults = (error.sentence,)
    if not faults:
        return redirect(f"{request.script_root}/plan/{plan_id}/cost?of=table", 303)
    faults_by_row = {str(number): fault for number, fault in enumerate(faults)}
    return _cost(plan_id, "table", Refused("table", {}, faults_by_row)), 400


def _take(
    plan_id: str, page: str, editor: Editor, show: Callable[[str, str, Refused], str]
) -> AnyResponse | tuple[str, int]:
    """Carry out a form; then its page shows what has come into the fit-out, else what it did."""
    of = request.form.get("of", "")

    def lead(form: Mapping[str, str], outcome: Outcome) -> str:
        for part, things in KINDS.items():
            come = outcome.newcomer(things)
            if come:
                return f"{page}?of={part}:{come}"
        return f"{page}?of={of}"

    return take_form(plan_id, editor, lambda refused: show(plan_id, of, refused), lead)


def _quantities(plan_id: str, of: str, refused: Refused) -> str:
    state, account = accounts.account_of(house(), plan_id)
    view = FitView(account.plan, known_choice(state.plan, of), account)
    drawing = room_drawing(account) if view.laid is not None else None
    return render_template(
        "quantities.html",
        **_common(state, account, refused),
        view=view,
        choices=CHOICES,
        drawing=Markup(drawing.svg) if drawing else "",
        film=Markup(view.film(drawing.view_box)) if drawing else "",
    )


def _cost(plan_id: str, of: str, refused: Refused) -> str:
    state, account = accounts.account_of(house(), plan_id)
    other, fault = request.args.get("with", ""), ""
    compared = None
    if other:
        try:
            compared = accounts.compare_costs(house(), plan_id, other)
        except ElbowroomError as error:
            fault = error.sentence
    others = [entry for entry in house().list_plans() if entry.id != plan_id]
    return render_template(
        "cost.html",
        **_common(state, account, refused),
        view=CostView(account.plan, of if of in dict(COST_CHOICES) else "sums", account),
        choices=COST_CHOICES,
        others=others,
        other=other,
        compared=compared,
        compare_fault=fault,
    )


def _common(state: State, account: Account, refused: Refused) -> dict[str, Any]:
    return {
        "plan_id": state.plan_id,
        "plan": state.plan,
        "state": state,
        "account": account,
        "refused": refused,
    }


def room_drawing(account: Account) -> Framed:
    """Draw the room of a plan to scale with what stays in it or is let into its floor, as SVG."""
    plan = account.plan
    flush = {one for laying in plan.fit_out.floors for one in laying.flush}
    staying = [json_of(piece) for piece in plan.pieces if piece.stays or piece.id in flush]
    ids = {piece["id"] for piece in staying}
    alone = [
        {**p, "carried_by": p["carried_by"] if p["carried_by"] in ids else None} for p in staying
    ]
    bare = {**json_of(plan), "pieces": alone, "situations": [], "settled": []}
    return desk_figure(build_scene(Plan.model_validate(bare)))


def table_response(text: str, plan_id: str, what: str) -> Response:
    """Return a table as a file to keep, named after its plan."""
    name = house().export(plan_id)[0].removesuffix(".json")
    # the mark at the front tells table programs that it is UTF-8
    response = Response("\ufeff" + text, mimetype="text/csv")
    response.headers["Content-Disposition"] = f'attachment; filename="{name}-{what}.csv"'
    return response
