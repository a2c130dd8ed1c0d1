"""The shopping list for the phone: by kind of shop, ticked off in the aisle."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, render_template
from werkzeug.wrappers import Response as AnyResponse

from app.costs.cost import CostLine
from app.forms.money_edits import edit_shopping
from app.store.entries import State
from app.takeoff.line import READY_NAME
from app.takeoff.shopping import Errand, Stop, as_csv, shopping
from app.units import format_money
from app.usecases import accounts
from app.usecases.accounts import Account
from app.web.api.shown import plans_along
from app.web.guard.requester import link
from app.web.house import house
from app.web.pages.accounts import table_response
from app.web.pages.typed_forms import Refused, take_form

shopping_pages = Blueprint("shopping_pages", __name__)


@shopping_pages.get("/plan/<plan_id>/shopping")
def show(plan_id: str) -> str:
    """What is to be brought home, shop by shop; guests see it without prices."""
    return _page(plan_id, Refused())


@shopping_pages.post("/plan/<plan_id>/shopping")
def tick(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Say of one line that it is bought, owned or still to come."""
    return take_form(
        plan_id, edit_shopping, lambda refused: _page(plan_id, refused), lambda form, _: "shopping"
    )


@shopping_pages.get("/plan/<plan_id>/shopping.csv")
def table(plan_id: str) -> Response:
    """Return the shopping list as a table, with units and prices."""
    state, account = accounts.account_of(house(), plan_id)
    currency = state.plan.currency
    stops, ready = stops_of(state, account), account.take_off.ready
    text = as_csv(stops, currency, state.plan.units, ready)
    return table_response(text, plan_id, "shopping")


def stops_of(state: State, account: Account) -> tuple[Stop, ...]:
    """Return the shops to go to for a plan."""
    stands = {line.key: line.standing for line in account.costs.lines}
    sums = {line.key: line.asked_minor for line in account.costs.lines}
    kit = [_of_kit(account, line) for line in account.costs.lines if line.group == "kit"]
    return shopping(account.take_off.lines, stands, sums, kit, state.plan.units)


def _of_kit(account: Account, line: CostLine) -> Errand:
    placed = account.scene.placed[line.key.removeprefix("piece.")]
    mass = placed.piece.mass_kg or placed.kit.mass_kg
    return Errand(line.key, line.item, line.part, "1 piece", line.asked_minor, line.standing, mass)


def _page(plan_id: str, refused: Refused) -> str:
    state, account = accounts.account_of(house(), plan_id)
    stops = stops_of(state, account)
    guest = link()

    def money(minor: int | None) -> str:
        return "no price" if minor is None else format_money(minor, state.plan.currency)

    words: dict[str, Any] = {
        "plan_id": plan_id,
        "plan": state.plan,
        "state": state,
        "refused": refused,
        "stops": stops,
        "left": sum(stop.left for stop in stops),
        "whole": sum(len(stop.errands) for stop in stops),
        "owned": [line for line in account.costs.lines if line.standing == "owned"],
        "ready": account.take_off.ready,
        "ready_name": READY_NAME,
        "money": money,
        "may_tick": plans_along() or bool(guest and guest.ticks),
    }
    return render_template("shopping.html", **words)
