"""The measuring sheet, blank or filled from a plan: a bare page that prints it, and a file."""

from __future__ import annotations

from flask import Blueprint, Response, request

from app.drawing.measuring_sheet import measuring_sheet
from app.drawing.sheet import Sheet
from app.web.house import house
from app.web.pages.sheets import bare_page

measuring = Blueprint("measuring", __name__)


@measuring.get("/measuring")
def blank() -> str:
    """A page that holds the blank sheet and nothing else, with the paper's own size."""
    return bare_page(measuring_sheet(None, _paper("A4")))


@measuring.get("/plan/<plan_id>/measuring")
def filled(plan_id: str) -> str:
    """The sheet with what the plan knows, and empty lines for what it does not."""
    return bare_page(_filled(plan_id))


@measuring.get("/plan/<plan_id>/measuring.svg")
def svg(plan_id: str) -> Response:
    """Return the filled sheet as a file."""
    return Response(_filled(plan_id).svg, mimetype="image/svg+xml")


def _filled(plan_id: str) -> Sheet:
    plan = house().open(plan_id).plan
    return measuring_sheet(plan, _paper("Letter" if plan.units == "feet" else "A4"))


def _paper(usual: str) -> str:
    return request.args.get("paper", usual)
