"""Money by month: the chart, the purse, and what is said of each thing."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from urllib.parse import quote

from flask import Blueprint, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from app.errors import PlanError
from app.forms.phasing_edits import edit_phasing
from app.library.second_hand import ANYTHING, look_over_of, look_overs
from app.model.money import PIECE
from app.store.entries import State
from app.usecases import accounts
from app.usecases.buying import months_so_far
from app.usecases.carrying_out import Outcome
from app.usecases.works import is_planned
from app.web.house import house
from app.web.pages.months_view import MonthsView, known_choice, poses_of
from app.web.pages.typed_forms import Refused, take_form
from app.works.task import next_half_hour_min

months_pages = Blueprint("months_pages", __name__)

WHOLE = "whole"
"""Named in an address that waits for the whole page: for those without a script."""

CHOICES = (("purse", "What there is"), ("things", "Things"), ("sums", "What it comes to"))


@months_pages.get("/plan/<plan_id>/months")
def show_months(plan_id: str) -> str:
    """The months; `of` says what is chosen beside them.

    Who comes here by a link sees the page at once, also where all is still to be counted: its
    script then asks for the whole.
    """
    if request.headers.get("Sec-Fetch-Mode") == "navigate" and WHOLE not in request.args:
        state = house().open(plan_id)
        purse = state.plan.phasing
        spends = purse.put_by_minor or purse.a_month_minor
        at = datetime.now()
        if spends and not is_planned(house(), plan_id, at.date(), next_half_hour_min(at)):
            return _counting(state)
    return _months(plan_id, request.args.get("of", ""), Refused())


@months_pages.post("/plan/<plan_id>/months")
def change_months(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Carry out the edit of a form, or show it again with what is wrong beside each field."""
    return take_form(
        plan_id,
        edit_phasing,
        lambda refused: _months(plan_id, request.form.get("of", ""), refused),
        _lead,
    )


@months_pages.get("/plan/<plan_id>/second-hand")
def second_hand(plan_id: str) -> str:
    """What to look at on second-hand kit that the plan is still to get, to tick on the phone."""
    state, account = accounts.account_of(house(), plan_id)
    to_come = [line for line in account.costs.lines if line.standing == "to-come"]
    pieces = {
        line.key: account.scene.placed[line.key.removeprefix(PIECE)]
        for line in to_come
        if line.key.startswith(PIECE)
    }
    looked = [(key, placed, look_over_of(placed.kit)) for key, placed in pieces.items()]
    return render_template(
        "second_hand.html",
        plan_id=plan_id,
        plan=state.plan,
        looked=[one for one in looked if one[2] is not None],
        anything=look_overs()[ANYTHING],
    )


def _lead(form: Mapping[str, str], _outcome: Outcome) -> str:
    return f"months?of={form.get('of', '')}"


def _counting(state: State) -> str:
    """Return the page while all is still to be counted: what it does, and the purse."""
    return render_template(
        "months.html",
        plan_id=state.plan_id,
        plan=state.plan,
        state=state,
        account=None,
        refused=Refused(),
        view=MonthsView(state.plan, "purse", None, None),
        choices=CHOICES,
        whole=f"months?of={quote(request.args.get('of', ''))}&{WHOLE}=1",
        looking=True,
    )


def _months(plan_id: str, of: str, refused: Refused) -> str:
    state, account = accounts.account_of(house(), plan_id)
    answer, looking, why_not = None, False, ""
    try:
        at = datetime.now()
        so_far = months_so_far(house(), plan_id, account, at.date(), now_min=next_half_hour_min(at))
        answer, looking = so_far.months, so_far.looking
    except PlanError as error:
        why_not = error.faults[0].sentence if error.faults else error.sentence
    view = MonthsView(account.plan, known_choice(answer, of), account, answer)
    chart = view.chart
    poses = poses_of(account.scene) if view.trains else {}
    return render_template(
        "months.html",
        plan_id=plan_id,
        plan=state.plan,
        state=state,
        account=account,
        refused=refused,
        view=view,
        choices=CHOICES,
        chart=Markup(chart.svg) if chart else "",
        poses=poses,
        why_not=why_not,
        looking=looking,
    )
