"""What fits in here: every kit type with its use and for whom, and the largest of some kinds."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, render_template, request

from app.arranging.new_places import Spot
from app.arranging.whatfits import Fit
from app.drawing.desk import desk_figure
from app.errors import LengthError
from app.units import format_length, read_length_mm
from app.usecases.fitting import Found, fitting, fitting_at, fitting_at_known, fitting_known
from app.web.guard.requester import left
from app.web.house import house
from app.web.pages.options import apart
from app.wording import joined, length_words, lower

fitting_pages = Blueprint("fitting_pages", __name__)

WHOLE, PART = "whole", "part"
"""Said by an address that waits for the answer, all of it or what is found in a second more: trying
each kind of kit takes seconds in an empty room, minutes in a full one on a busy machine."""
NEXT = "next"
"""Said after `part` by who does not wait for that second, only for what is found next."""
PART_S = 1.0
"""How long is looked before what is found is shown: a page that grows oftener is not read."""
ALIKE = 3
"""Kinds of kit that cost the same: of so many it is said once."""
WAYS = (("across", "From the left of the drawing"), ("down", "From the top of the drawing"))
"""The fields of a spot, along the drawing beside them: a door may lie at any side of it."""
NEAR_ENOUGH_MM = 10
"""To what a spot is rounded: nobody points at a drawing more exactly."""
USES = (
    ("full", "Fits, with all the room it asks for"),
    ("tight", "Fits, with less room than recommended"),
    ("crowded", "Stands here, with hardly any room to use it"),
    ("none", "No place was found for it here"),
)


@fitting_pages.get("/plan/<plan_id>/fits")
def show(plan_id: str) -> str | tuple[str, int]:
    """What fits beside what stands there, in the room or over a spot of it.

    Without `whole` or `part` a page that asks for it, at once.
    """
    typed = {name: request.args.get(name, "").strip() for name, _ in WAYS}
    shown = _room(plan_id) | {"typed": typed}
    if not any(name in request.args for name in typed):
        return render_template("fits.html", **shown, **_whole(plan_id))
    try:
        spot = _spot(plan_id, typed)
    except LengthError as error:
        return render_template("fits.html", **shown, fault=error.sentence), 400
    return render_template("fits.html", **shown, **_over(plan_id, spot))


def _room(plan_id: str) -> dict[str, Any]:
    """Return what the page shows of any plan: its drawing, and the fields of a spot."""
    scene = house().judged(plan_id).scene
    drawing = apart("fits", desk_figure(scene, tidy=False).svg)
    return {
        "plan_id": plan_id,
        "plan": scene.plan,
        "drawing": drawing,
        "ways": WAYS,
        "bounds": " ".join(f"{value:.1f}" for value in scene.room.free.bounds),
    }


def _whole(plan_id: str) -> dict[str, Any]:
    """Return what is shown of the whole room, or whom to ask for it."""
    plan = house().open(plan_id).plan
    found = fitting_known(house(), plan_id)
    if _asked(found):
        found = fitting(house(), plan_id, left(), _seconds())
    if found is None or found.so_far is None:
        return _more(False, (), 0, [])
    answer = found.so_far
    rack_mm, bar = answer.tallest_rack_mm, answer.longest_bar
    return {
        **_more(found.whole, answer.kit, answer.of, []),
        "answered": True,
        "to_come": answer.to_come,
        "rack": "" if rack_mm is None else length_words(math.floor(rack_mm), plan.units),
        "bar": bar,
        "bar_long": "" if bar is None else length_words(bar.width_mm, plan.units),
        "floor": answer.mat,
        "racks": answer.racks,
        "named": lambda kits: ", ".join(lower(kit.name) for kit in kits),
        "parts": parts_of(answer.kit, [use for use, _ in USES]),
        "everybody": len(plan.people),
    }


def _over(plan_id: str, spot: Spot) -> dict[str, Any]:
    """Return what is shown of one spot, or whom to ask for it."""
    plan = house().open(plan_id).plan
    found = fitting_at_known(house(), plan_id, spot)
    if _asked(found):
        found = fitting_at(house(), plan_id, spot, left(), _seconds())
    asked = [(name, request.args.get(name, "")) for name, _ in WAYS]
    if found is None or found.so_far is None:
        return {"spot": spot, **_more(False, (), 0, asked)}
    answer = found.so_far
    names = joined(" and ", [lower(name) for name in answer.taken]).worded(plan.units)
    return {
        **_more(found.whole, answer.kit, answer.of, asked),
        "answered": True,
        "spot": spot,
        "outside": answer.clear_mm is None,
        "high": "" if answer.clear_mm is None else format_length(answer.clear_mm, plan.units),
        "taken": names,
        "parts": parts_of(answer.kit, [use for use, _ in USES if use != "none"]),
        "everybody": len(plan.people),
    }


def _asked(found: Found[Any] | None) -> bool:
    """Return whether this request waits for more of an answer."""
    return (found is None or not found.whole) and bool({WHOLE, PART} & request.args.keys())


def _seconds() -> float | None:
    if WHOLE in request.args:
        return None
    return 0.0 if request.args.get(PART) == NEXT else PART_S


def _more(
    whole: bool, kit: Sequence[Fit], of: int, asked: Iterable[tuple[str, str]]
) -> dict[str, Any]:
    """Return how far the answer has come, and where the rest of it is asked for."""
    if whole:
        return {"tried": len(kit), "of": of}
    more, all_of_it = (urlencode([(word, ""), *asked]) for word in (PART, WHOLE))
    return {"more": more, "whole": all_of_it, "tried": len(kit), "of": of}


def parts_of(
    kit: Iterable[Fit], uses: Iterable[str]
) -> list[tuple[str, list[tuple[str, list[Fit]]]]]:
    """Return the kinds of kit by their use; of those, what several cost alike once.

    Each part is a title and its rows: what is said of all of them, mostly nothing, and the kinds.
    """
    every = sorted(kit, key=lambda one: one.lacking)
    parts = []
    for use in uses:
        some = [one for one in every if one.use == use]
        words = Counter(one.then or one.why for one in some)
        often = [said for said, count in words.items() if said and count >= ALIKE]
        rows = [("", [one for one in some if (one.then or one.why) not in often])]
        rows += [(said, [one for one in some if (one.then or one.why) == said]) for said in often]
        parts.append((dict(USES)[use], [(said, kinds) for said, kinds in rows if kinds]))
    return parts


def _spot(plan_id: str, typed: dict[str, str]) -> Spot:
    """Read a spot from how far it is from the left and the top of the drawing.

    Raises LengthError, which names the field.
    """
    scene = house().judged(plan_id).scene
    x0, y0, x1, y1 = scene.room.free.bounds
    read = []
    for (name, label), long_mm in zip(WAYS, (x1 - x0, y1 - y0), strict=True):
        try:
            mm = read_length_mm(typed[name], scene.plan.units, (0.0, long_mm))
        except LengthError as error:
            raise LengthError(f"{label}: {error.sentence}") from error
        read.append(round(mm / NEAR_ENOUGH_MM) * NEAR_ENOUGH_MM)
    return x0 + read[0], y0 + read[1]
