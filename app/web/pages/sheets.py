"""Sheets: choosing paper and scale, the drawing itself, and a bare page that prints it true."""

from __future__ import annotations

import re
from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, Response, render_template, request, url_for
from markupsafe import Markup

from app.drawing.paper import OFFERED, PAPERS, SheetError, scale_words
from app.drawing.sheet import Page, Sheet
from app.errors import ElbowroomError, NotFoundError
from app.model.plan import Plan
from app.usecases.drawing_set import (
    SET,
    UPRIGHT,
    Asked,
    names_of,
    sheet_of_plan,
    usual_paper,
)
from app.web.api.shown import plans_along, sees_money
from app.web.guard.guard import style_elements_allowed
from app.web.guard.requester import link
from app.web.house import house

sheets = Blueprint("sheets", __name__)

LARGEST = "fit"
PLAN_SHEET = "plan"


@sheets.get("/plan/<plan_id>/print")
def choose(plan_id: str) -> str:
    """Choose paper and scale, see the sheet, print it."""
    state = house().open(plan_id)
    which = request.args.get("sheet", PLAN_SHEET)
    paper, scale, flags = _asked(usual_paper(state.plan.units, which))
    fault, largest, note = None, "the largest that fits", ""
    drawn: Sheet | None = None
    try:
        drawn = sheet = _drawn(plan_id, which, paper, scale, flags)
        note = sheet.note
        if scale is None:
            largest = f"{scale_words(sheet.scale)}, {largest}"
    except ElbowroomError as error:
        fault = error.sentence
    asked: dict[str, Any] = {"paper": paper, "scale": scale or LARGEST, "flags": int(flags)}
    if which != PLAN_SHEET:
        asked["sheet"] = which
    of = request.args.getlist("of")
    if which == SET and of:
        asked["of"] = of
    style_elements_allowed()
    return render_template(
        "print.html",
        plan_id=plan_id,
        plan=state.plan,
        sheets=shown_sheets(state.plan),
        to_scale=which.partition(":")[0] not in (*UPRIGHT, SET, "picture"),
        pdf_url=url_for("sheets.pdf", plan_id=plan_id, **asked),
        papers=tuple(PAPERS),
        scales=[(LARGEST, largest)]
        + [(each, scale_words(each)) for each in OFFERED[state.plan.units]],
        chosen={
            "paper": paper,
            "scale": scale or LARGEST,
            "flags": flags,
            "sheet": which,
            "of": of,
        },
        sheet_url=url_for("sheets.page", plan_id=plan_id, **asked),
        svg_urls=[
            url_for("sheets.svg", plan_id=plan_id, **asked | ({"page": i + 1} if i else {}))
            for i in range(len(drawn.pages) if drawn else 0)
        ],
        fault=fault,
        note=note,
        revision=state.revision,
        page_sizes=_page_sizes(drawn) if drawn else [],
        svg_pages=[_page_name(page) for page in drawn.pages] if drawn else [],
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


@sheets.get("/plan/<plan_id>/sheet.pdf")
def pdf(plan_id: str) -> Response:
    """Return the sheet with all its pages as one PDF file."""
    return Response(_as_asked(plan_id).pdf(), mimetype="application/pdf")


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
        page_sizes=_page_sizes(sheet),
        svg_pages=[_page_name(page) for page in sheet.pages],
        fits=not full,
        other_size=f"?{urlencode({**others, 'size': 'fit' if full else 'full'})}",
    )


def _page_name(page: Page) -> str:
    """Return the name that the paper of a page has in a style sheet."""
    return "upright-page" if page.height_mm > page.width_mm else "lying-page"


def _page_sizes(sheet: Sheet) -> list[tuple[str, str, str]]:
    """Return every paper of a sheet once: its name, width and height in mm."""
    sizes = {_page_name(page): (page.width_mm, page.height_mm) for page in sheet.pages}
    return [(name, f"{wide:g}", f"{high:g}") for name, (wide, high) in sizes.items()]


def shown_sheets(plan: Plan) -> list[tuple[str, str]]:
    """Return every sheet of a plan with its name, the set of them all last."""
    return [*names_of(plan, _sees_purse()), (SET, "The whole set")]


def _sees_purse() -> bool:
    """Return whether whoever looks is shown the purse: the household, not a guest."""
    return link() is None


def _as_asked(plan_id: str) -> Sheet:
    which = request.args.get("sheet", PLAN_SHEET)
    paper, scale, flags = _asked(usual_paper(house().open(plan_id).plan.units, which))
    return _drawn(plan_id, which, paper, scale, flags)


def _drawn(plan_id: str, which: str, paper: str, scale: int | None, flags: bool) -> Sheet:
    of = tuple(request.args.getlist("of"))
    asked = Asked(which, paper, scale, flags, of, plans_along(), _sees_purse(), sees_money())
    return sheet_of_plan(house(), plan_id, asked)


def _asked(paper: str) -> tuple[str, int | None, bool]:
    """Read paper, scale (25 for 1:25; none or "fit": the largest) and flags from the address."""
    asked = request.args.get("scale", LARGEST)
    if asked != LARGEST and not re.fullmatch(r"[0-9]{1,4}", asked):
        raise SheetError(f"there is no scale {asked[:20]!r}")
    scale = None if asked == LARGEST else int(asked)
    flags = request.args.get("flags", "0") not in ("0", "", "no")
    return request.args.get("paper", paper), scale, flags
