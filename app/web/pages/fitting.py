"""What fits in here: every kit type with its use and for whom, and the largest of some kinds."""

from __future__ import annotations

import math

from flask import Blueprint, render_template

from app.usecases.fitting import fitting
from app.web.guard.requester import left
from app.web.house import house
from app.wording import length_words

fitting_pages = Blueprint("fitting_pages", __name__)

USES = (
    ("full", "Fits, with all the room it asks for"),
    ("tight", "Fits, with less room than recommended"),
    ("crowded", "Stands here, with hardly any room to use it"),
    ("none", "No place was found for it here"),
)


@fitting_pages.get("/plan/<plan_id>/fits")
def show(plan_id: str) -> str:
    """What fits beside what stands there."""
    plan = house().open(plan_id).plan
    answer = fitting(house(), plan_id, left())
    rack_mm = answer.tallest_rack_mm
    return render_template(
        "fits.html",
        plan_id=plan_id,
        plan=plan,
        rack="" if rack_mm is None else length_words(math.floor(rack_mm), plan.units),
        bar=answer.longest_bar,
        floor=answer.mat,
        parts=[
            (title, sorted((one for one in answer.kit if one.use == use), key=lambda f: f.lacking))
            for use, title in USES
        ],
        everybody=len(plan.people),
    )
