"""Sheets: choosing paper and scale, the drawing itself, and a bare page that prints it true."""

from __future__ import annotations

import re
from datetime import date
from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, Response, render_template, request, url_for
from markupsafe import Markup

from app.drawing.paper import OFFERED, PAPERS, SheetError, scale_words
from app.drawing.sheet import Sheet
from app.errors import ElbowroomError, NotFoundError
from app.model.plan import Plan
from app.usecases import accounts
from app.usecases.judged_sheet import sheet_of
from app.usecases.lookers import for_lookers
from app.usecases.works import sheet_of_works
from app.web.api.shown import plans_along
from app.web.guard.guard import style_elements_allowed
from app.web.house import house

sheets = Blueprint("sheets", __name__)

LARGEST = "fit"
PLAN_SHEET = "plan"
WORKS = "works"


@sheets.get("/plan/<plan_id>/print")
def choose(plan_id: str) -> str:
    """Choose paper and scale, see the sheet, print it."""
    state = house().open(plan_id)
    which = request.args.get("sheet", PLAN_SHEET)
    paper, scale, flags = _asked(_usual_paper(state.plan.units, which))
    fault, largest, count, note = None, "the largest that fits", 1, ""
    try:
        sheet = _drawn(plan_id, which, paper, scale, flags)
        count, note = len(sheet.pages), sheet.note
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
        + [(each, scale_words(each)) for each in OFFERED[state.plan.units]],
        chosen={"paper": paper, "scale": scale or LARGEST, "flags": flags, "sheet": which},
        sheet_url=url_for("sheets.page", plan_id=plan_id, **asked),
        svg_urls=[
            url_for("sheets.svg", plan_id=plan_id, **asked | ({"page": i + 1} if i else {}))
            for i in range(count)
        ],
        fault=fault,
        note=note,
    )


@sheets.get("/plan/<plan_id>/sheet.svg")
def svg(plan_id: str) -> Response:
    """Return the sheet as a file; of several the one that is asked for, else the first."""
    pages = _as_asked(plan_id).pages
    asked = request.args.get("page", "1")
    if asked not in {str(i + 1) for i in range(len(pages))}:
        raise NotFoundError("There is no such sheet.")
    style_elements_allowed()
    return Response(pages[int(asked) - 1].as_svg(), mimetype="image/svg+xml")


@sheets.get("/plan/<plan_id>/sheet")
def page(plan_id: str) -> str:
    """Return a page that holds the sheet and nothing else, with the paper's own size."""
    return bare_page(_as_asked(plan_id))


def bare_page(sheet: Sheet) -> str:
    """Return a page of sheets and nothing else, each on a page of its own when it is printed.

    On a screen it fits the window unless its full size is asked for.
    """
    style_elements_allowed()
    full = request.args.get("size") == "full"
    others = {key: words for key, words in request.args.items() if key != "size"}
    return render_template(
        "sheet.html",
        # what declares a file of its own has no place inside a page
        svgs=[Markup(svg[svg.index("<svg") :]) for svg in sheet.inside],
        page_width_mm=f"{sheet.width_mm:g}",
        page_height_mm=f"{sheet.height_mm:g}",
        fits=not full,
        other_size=f"?{urlencode({**others, 'size': 'fit' if full else 'full'})}",
    )


def _sheets(plan: Plan) -> list[tuple[str, str]]:
    """Return every sheet of a plan with its name."""
    floors = [(f"floor:{one.id}", f"Floor: {one.name}") for one in plan.fit_out.floors]
    return [(PLAN_SHEET, "Plan"), *floors, ("quantities", "Quantities"), (WORKS, "Works")]


def _as_asked(plan_id: str) -> Sheet:
    which = request.args.get("sheet", PLAN_SHEET)
    paper, scale, flags = _asked(_usual_paper(house().open(plan_id).plan.units, which))
    return _drawn(plan_id, which, paper, scale, flags)


def _drawn(plan_id: str, which: str, paper: str, scale: int | None, flags: bool) -> Sheet:
    if which == PLAN_SHEET:
        if plans_along():
            return house().sheet(plan_id, paper, scale, flags)
        seen = for_lookers(house().judged(plan_id))
        return sheet_of(seen, paper, scale, flags, statures=False)
    if which == WORKS:
        return sheet_of_works(house(), plan_id, paper, date.today(), money=plans_along())
    return accounts.sheet(house(), plan_id, which, paper, scale)


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
