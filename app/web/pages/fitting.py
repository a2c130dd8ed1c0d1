"""What fits in here: every kit type with its use and for whom, and the largest of some kinds."""

from __future__ import annotations

import math

from flask import Blueprint, render_template, request

from app.usecases.fitting import fitting, fitting_known
from app.web.guard.requester import left
from app.web.house import house
from app.wording import length_words

fitting_pages = Blueprint("fitting_pages", __name__)

WHOLE = "whole"
"""Said by an address that waits for the answer: trying each kind of kit takes seconds."""
USES = (
    ("full", "Fits, with all the room it asks for"),
    ("tight", "Fits, with less room than recommended"),
    ("crowded", "Stands here, with hardly any room to use it"),
    ("none", "No place was found for it here"),
)


@fitting_pages.get("/plan/<plan_id>/fits")
def show(plan_id: str) -> str:
    """What fits beside what stands there; without `whole` a page that asks for it, at once."""
    plan = house().open(plan_id).plan
    answer = fitting_known(house(), plan_id)
    if answer is None and WHOLE in request.args:
        answer = fitting(house(), plan_id, left())
    if answer is None:
        return render_template("fits.html", plan_id=plan_id, plan=plan, whole=WHOLE)
    rack_mm = answer.tallest_rack_mm
    return render_template(
        "fits.html",
        plan_id=plan_id,
        plan=plan,
        whole="",
        rack="" if rack_mm is None else length_words(math.floor(rack_mm), plan.units),
        bar=answer.longest_bar,
        floor=answer.mat,
        racks=answer.racks,
        parts=[
            (title, sorted((one for one in answer.kit if one.use == use), key=lambda f: f.lacking))
            for use, title in USES
        ],
        everybody=len(plan.people),
    )
