"""Sheets: choosing paper and scale, the drawing itself, and a bare page that prints it true."""

from __future__ import annotations

import re
from typing import Any

from flask import Blueprint, Response, render_template, request, url_for
from markupsafe import Markup

from app.drawing.paper import PAPERS, SCALES, SheetError, scale_words
from app.drawing.plan_sheet import Sheet
from app.errors import ElbowroomError
from app.model.plan import Plan
from app.web.account_pages import accounts
from app.web.guard import style_elements_allowed
from app.web.house import house

sheets = Blueprint("sheets", __name__)

LARGEST = "fit"
PLAN_SHEET = "plan"


@sheets.get("/plan/<plan_id>/print")
def choose(plan_id: str) -> str:
    """Choose paper and scale, see the sheet, print it."""
    state = house().open(plan_id)
    which = request.args.get("sheet", PLAN_SHEET)
    paper, scale, flags = _asked(_usual_paper(state.plan.units, which))
    fault, largest = None, "the largest that fits"
    try:
        sheet = _drawn(plan_id, which, paper, scale, flags)
        if scale is None:
            largest = f"{scale_words(sheet.scale)}, {largest}"
    except ElbowroomError as error:
        fault = error.sentence
    asked: dict[str, Any] = {"paper": paper, "scale": scale or LARGEST, "flags": int(flags)}
    if which != PLAN_SHEET:
        asked["sheet"] = which
    return render_template(
        "print.html",
        plan_id=plan_id,
        plan=state.plan,
        sheets=_sheets(state.plan),
        papers=tuple(PAPERS),
        scales=[(LARGEST, largest)]
        + [(each, scale_words(each)) for each in SCALES[state.plan.units]],
        chosen={"paper": paper, "scale": scale or LARGEST, "flags": flags, "sheet": which},
        sheet_url=url_for("sheets.page", plan_id=plan_id, **asked),
        svg_url=url_for("sheets.svg", plan_id=plan_id, **asked),
        fault=fault,
    )


@sheets.get("/plan/<plan_id>/sheet.svg")
def svg(plan_id: str) -> Response:
    """Give the sheet as a file."""
    return Response(_as_asked(plan_id).svg, mimetype="image/svg+xml")


@sheets.get("/plan/<plan_id>/sheet")
def page(plan_id: str) -> str:
    """Give a page that holds the sheet and nothing else, with the paper's own size."""
    style_elements_allowed()
    sheet = _as_asked(plan_id)
    return render_template(
        "sheet.html",
        # what declares a file of its own has no place inside a page
        svg=Markup(sheet.svg[sheet.svg.index("<svg") :]),
        page_width_mm=f"{sheet.width_mm:g}",
        page_height_mm=f"{sheet.height_mm:g}",
    )


def _sheets(plan: Plan) -> list[tuple[str, str]]:
    """Give every sheet of a plan with its name."""
    floors = [(f"floor:{one.id}", f"Floor: {one.name}") for one in plan.fit_out.floors]
    return [(PLAN_SHEET, "Plan"), *floors, ("quantities", "Quantities")]


def _as_asked(plan_id: str) -> Sheet:
    which = request.args.get("sheet", PLAN_SHEET)
    paper, scale, flags = _asked(_usual_paper(house().open(plan_id).plan.units, which))
    return _drawn(plan_id, which, paper, scale, flags)


def _drawn(plan_id: str, which: str, paper: str, scale: int | None, flags: bool) -> Sheet:
    if which == PLAN_SHEET:
        return house().sheet(plan_id, paper, scale, flags)
    return accounts().sheet(plan_id, which, paper, scale)


def _usual_paper(units: str, sheet: str) -> str:
    if sheet == "quantities":
        return "Letter" if units == "feet" else "A4"
    return "Tabloid" if units == "feet" else "A3"


def _asked(paper: str) -> tuple[str, int | None, bool]:
    """Read paper, scale (25 for 1:25; none or "fit": the largest) and flags from the address."""
    asked = request.args.get("scale", LARGEST)
    if asked != LARGEST and not re.fullmatch(r"[0-9]{1,4}", asked):
        raise SheetError(f"there is no scale {asked[:20]!r}")
    scale = None if asked == LARGEST else int(asked)
    flags = request.args.get("flags", "1") not in ("0", "", "no")
    return request.args.get("paper", paper), scale, flags
