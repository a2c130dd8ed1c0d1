"""The measuring sheet, blank or filled from a plan: a bare page that prints it, and a file."""

from __future__ import annotations

from urllib.parse import quote

from flask import Blueprint, Response, render_template, request
from markupsafe import Markup

from app.drawing.measuring_sheet import measuring_sheet
from app.drawing.plan_sheet import Sheet
from app.web.guard import style_elements_allowed
from app.web.house import house

measuring = Blueprint("measuring", __name__)


@measuring.get("/measuring")
def blank() -> str:
    """A page that holds the blank sheet and nothing else, with the paper's own size."""
    return _page(measuring_sheet(None, _paper("A4")))


@measuring.get("/plan/<plan_id>/measuring")
def filled(plan_id: str) -> str:
    """The sheet with what the plan knows, and empty lines for what it does not."""
    return _page(_filled(plan_id))


@measuring.get("/plan/<plan_id>/measuring.svg")
def svg(plan_id: str) -> Response:
    """Give the filled sheet as a file."""
    return Response(_filled(plan_id).svg, mimetype="image/svg+xml")


def _filled(plan_id: str) -> Sheet:
    plan = house().open(plan_id).plan
    return measuring_sheet(plan, _paper("Letter" if plan.units == "feet" else "A4"))


def _paper(usual: str) -> str:
    return request.args.get("paper", usual)


def _page(sheet: Sheet) -> str:
    style_elements_allowed()
    full, paper = request.args.get("size") == "full", request.args.get("paper", "")
    return render_template(
        "sheet.html",
        # what declares a file of its own has no place inside a page
        svg=Markup(sheet.svg[sheet.svg.index("<svg") :]),
        page_width_mm=f"{sheet.width_mm:g}",
        page_height_mm=f"{sheet.height_mm:g}",
        fits=not full,
        other_size=f"?size={'fit' if full else 'full'}"
        + (f"&paper={quote(paper)}" if paper else ""),
    )
