"""What a guest sees of the other options of the plan: pictures, figures and who is for which.

What the kit costs is told to those who may change the plan, and where a link shares it.
The link still opens one plan only. The others go by their letters: no id and no address of them
is told here.
"""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from app.errors import NotFoundError
from app.units import format_money
from app.usecases import options
from app.usecases.options import Glance
from app.web.api.shown import sees_money
from app.web.guard.requester import author, link, voice
from app.web.house import house
from app.web.pages.options import apart, votes_by_letter
from app.wording import open_words

OPTIONS_PAGE = "/guest/options"
guest_options = Blueprint("guest_options", __name__)


@guest_options.get(OPTIONS_PAGE)
def page() -> str:
    """All options of the guest's plan beside one another, and a vote."""
    plan_id = _plan_id()
    glances = options.glances(house(), plan_id)
    votes = votes_by_letter(plan_id, {one.option.letter: one.revision for one in glances})
    given = options.votes_of(house(), plan_id)
    return render_template(
        "guest_options.html",
        cards=[
            {
                "letter": one.option.letter,
                "name": one.option.name,
                "chosen": one.option.chosen,
                "this": one.option.plan_id == plan_id,
                "drawing": apart(one.option.letter, one.drawing),
                "measures": _figures_in_words(one),
                "votes": votes.get(one.option.letter, "nobody yet"),
            }
            for one in glances
        ],
        own=next((vote.letter for vote in given if vote.voice == voice()), None),
    )


@guest_options.post(OPTIONS_PAGE)
def vote() -> AnyResponse:
    """Vote for the option with the letter of the form."""
    letter = request.form.get("letter", "")
    options.vote_for(house(), _plan_id(), letter, voice(), author())
    return redirect(f"{request.script_root}{OPTIONS_PAGE}", 303)


def _plan_id() -> str:
    came_by = link()
    if came_by is None:
        raise NotFoundError("There is nothing at this address.")
    return came_by.plan_id


def _figures_in_words(one: Glance) -> list[tuple[str, str]]:
    figures = [("Open", open_words(one.counts, ("stop", "care")))]
    if not sees_money():
        return figures
    price, currency = one.price, one.plan.currency
    unpriced = f", {price.unknown} without a price" if price.unknown else ""
    figures.append(("Kit now", f"{format_money(price.now_minor, currency)}{unpriced}"))
    if price.later_minor:
        figures.append(("Kit later", format_money(price.later_minor, currency)))
    return figures
