"""Options of one plan side by side, and the plan as it is before the later purchases."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any
from urllib.parse import quote

from flask import Blueprint, Response, jsonify, redirect, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from app.errors import CommandError, PlanError
from app.published.register import published
from app.scene.free_floor import WIDE
from app.units import LONGEST_MM, format_money
from app.usecases import options
from app.usecases.options import Weighed
from app.usecases.plans import Entry
from app.usecases.small_pictures import small_picture_of
from app.web.errors import status_of
from app.web.guard.requester import author, shown_name
from app.web.house import house
from app.web.pages.typed_forms import Refused
from app.wording import area_words, open_words, phrase

option_pages = Blueprint("option_pages", __name__)


@option_pages.get("/plan/<plan_id>/options")
def show(plan_id: str) -> str:
    """All options of a plan beside one another."""
    return _page(plan_id, Refused())


@option_pages.post("/plan/<plan_id>/options")
def change(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Copy, rename, choose, delete or put back one; or show the form again with what is wrong."""
    form = request.form.to_dict()
    name, of = form.get("edit", ""), form.get("of") or plan_id
    gone = ""
    try:
        if name == "copy":
            plan_id = options.copy_as_option(house(), of, form.get("name", ""), author()).plan_id
        elif name == "rename":
            house().rename(of, " ".join(form.get("name", "").split()), author())
        elif name == "choose":
            options.choose(house(), of)
        elif name == "delete":
            plan_id, gone = options.take_away(house(), of, plan_id), of
        elif name == "put-back":
            house().restore(of)
        else:
            raise CommandError("There is no such thing to do with options.")
    except PlanError as error:
        faults = {fault.field: fault.sentence for fault in error.faults}
        return _page(plan_id, Refused(name, {**form, "of": of}, faults)), 400
    except CommandError as error:
        return _page(plan_id, Refused(name, {**form, "of": of}, {"": error.sentence})), (
            status_of(error)
        )
    query = f"?gone={quote(gone)}" if gone else ""
    return redirect(f"{request.script_root}/plan/{plan_id}/options{query}", 303)


@option_pages.get("/plan/<plan_id>/now")
def now(plan_id: str) -> str:
    """The plan without what is bought later."""
    bought_now = options.now_of(house(), plan_id)
    plan = bought_now.state.plan
    open_snags = [snag for snag in bought_now.verdict["snags"] if snag["settled"] is None]
    return render_template(
        "now.html",
        plan_id=plan_id,
        plan=plan,
        bought_now=bought_now,
        drawing=Markup(bought_now.drawing),
        snags=open_snags,
        money=lambda minor: format_money(minor, plan.currency),
    )


@option_pages.get("/plan/<plan_id>/picture.svg")
def small(plan_id: str) -> Response:
    """The room as a small picture, for a card; with `now`, without what is bought later.

    `without` names pieces that are not there yet, by their ids with commas between.
    """
    missing = frozenset(request.args.get("without", "").split(","))
    svg = small_picture_of(house(), plan_id, now="now" in request.args, missing=missing)
    return Response(svg, mimetype="image/svg+xml")


@option_pages.get("/api/plans/<plan_id>/now")
def api_now(plan_id: str) -> Response:
    """Return verdict, drawing and prices of the plan without what is bought later."""
    bought_now = options.now_of(house(), plan_id)
    return jsonify(
        ok=True,
        revision=bought_now.state.revision,
        verdict=bought_now.verdict,
        drawing=bought_now.drawing,
        left_out=list(bought_now.left_out),
        now_minor=bought_now.price.now_minor,
        later_minor=bought_now.price.later_minor,
        unpriced=bought_now.price.unknown,
    )


@option_pages.get("/api/plans/<plan_id>/options")
def api_options(plan_id: str) -> Response:
    """Return the options of a plan with all by which they are compared."""
    weighed = options.side_by_side(house(), plan_id)
    return jsonify(
        ok=True,
        options=[
            {
                "id": one.option.plan_id,
                "letter": one.option.letter,
                "name": one.option.name,
                "chosen": one.option.chosen,
                "counts": one.counts,
                "free_m2": round(one.free_m2, 2),
                "floor_m2": round(one.floor_m2, 2),
                "narrowest_mm": _finite(one.narrowest.width_mm),
                "narrowest": one.narrowest.wording.worded(one.plan.units),
                "shut": one.narrowest.shut,
                "at_once": one.at_once,
                "now_minor": one.price.now_minor,
                "later_minor": one.price.later_minor,
                "unpriced": one.price.unknown,
            }
            for one in weighed
        ],
    )


def _page(plan_id: str, refused: Refused) -> str:
    weighed = options.side_by_side(house(), plan_id)
    mine = next(one for one in weighed if one.option.plan_id == plan_id)
    votes = votes_by_letter(plan_id, {one.option.letter: one.revision for one in weighed})
    return render_template(
        "options.html",
        plan_id=plan_id,
        plan=mine.plan,
        cards=[_card(one, weighed, votes.get(one.option.letter, "")) for one in weighed],
        mine=mine,
        wide=phrase("{:mm}", published(WIDE)).worded(mine.plan.units),
        refused=refused,
        gone=_deleted(request.args.get("gone", "")),
    )


def _deleted(plan_id: str) -> Entry | None:
    """Return a plan that was put aside and can be put back."""
    return next((one for one in house().list_plans(deleted=True) if one.id == plan_id), None)


def votes_by_letter(plan_id: str, revisions: Mapping[str, int]) -> dict[str, str]:
    """Return who is for each option that has votes, by its letter, as words.

    `revisions` are the newest ones by letter: a vote on an older one says so.
    """
    names: dict[str, list[str]] = {}
    for vote in options.votes_of(house(), plan_id):
        old = vote.revision < revisions.get(vote.letter, 0)
        on = f" (on revision {vote.revision})" if old else ""
        names.setdefault(vote.letter, []).append(f"{shown_name(vote.author)}{on}")
    return {letter: f"{len(some)}: {', '.join(some)}" for letter, some in names.items()}


def _card(one: Weighed, every: Sequence[Weighed], votes: str) -> dict[str, Any]:
    """Return what a card shows: each measure as words, and whether it is the best of all."""
    plan = one.plan
    price = one.price
    unpriced = f", {price.unknown} without a price" if price.unknown else ""
    measures = [
        (
            "Open",
            open_words(one.counts),
            _best(one, every, lambda w: -_weight(w)),
        ),
        (
            "Free floor in one piece",
            f"{area_words(one.free_m2, plan.units)} of {area_words(one.floor_m2, plan.units)}",
            _best(one, every, lambda w: round(w.free_m2, 1)),
        ),
        (
            "Narrowest way",
            one.narrowest.wording.worded(plan.units),
            _best(one, every, _way_worth),
        ),
        (
            "Used together",
            f"{one.at_once}{'' if one.proven else ' or more'} "
            f"{'station' if one.at_once == 1 else 'stations'} in use",
            _best(one, every, lambda w: w.at_once),
        ),
        (
            "Kit now",
            f"{format_money(price.now_minor, plan.currency)}{unpriced}",
            _best(one, every, lambda w: -w.price.now_minor),
        ),
        (
            "Kit later",
            format_money(price.later_minor, plan.currency) if price.later_minor else "nothing",
            False,
        ),
    ]
    if votes:
        measures.append(("Votes", votes, False))
    return {"one": one, "measures": measures, "drawing": apart(one.option.letter, one.drawing)}


def _way_worth(one: Weighed) -> float:
    """Return the narrowest way as it is compared; one that is shut is worth nothing."""
    way = one.narrowest
    return 0.0 if way.shut or way.width_mm is None else min(way.width_mm, LONGEST_MM) // 1


def _finite(width_mm: float | None) -> float | None:
    return None if width_mm is None or math.isinf(width_mm) else round(width_mm, 1)


def _weight(one: Weighed) -> int:
    return (one.counts["stop"] * 100 + one.counts["care"]) * 100 + one.counts["note"]


def _best(one: Weighed, every: Sequence[Weighed], worth: Callable[[Weighed], float]) -> bool:
    """Return whether an option is the best of several that differ."""
    values = [worth(other) for other in every]
    return len(set(values)) > 1 and worth(one) == max(values)


def apart(letter: str, drawing: str) -> Markup:
    """Return a figure with hatches of its own, so that several can stand on one page."""
    letter = letter.lower()
    drawing = drawing.replace('id="hatch-', f'id="{letter}-hatch-')
    return Markup(drawing.replace("url(#hatch-", f"url(#{letter}-hatch-"))
