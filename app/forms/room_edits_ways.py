"""How wide ways on foot are wanted in this room: figures of the register, set for one plan."""

from __future__ import annotations

from app.forms.thing_edits import Done, Edits
from app.forms.typed_fields import Typed
from app.model.base import json_of
from app.model.plan import Override, Plan
from app.published.register import row

LEAST, WANTED, EASY = "route.least-mm", "route.recommended-mm", "route.easy-mm"
WAYS = (LEAST, WANTED, EASY)
WIDEST_MM = 2000.0
REASON = "clear width wanted on the ways, for a wheelchair, a walking frame or a pram"


def wanted_way_mm(plan: Plan) -> float | None:
    """Return the clear width that a household wants on all ways, None where none was said."""
    return next((own.value for own in plan.overrides if own.id == LEAST), None)


def _ways(plan: Plan, typed: Typed) -> Done:
    bounds = (row(LEAST).value, WIDEST_MM)
    width = typed.maybe_length("way", "the width of a way", bounds)
    typed.done()
    rest = tuple(own for own in plan.overrides if own.id not in WAYS)
    if width is None:
        own, says = rest, "take the usual widths of ways again"
    else:
        # what is less than easy or wanted otherwise stays so where that is wider
        wide = {key: max(width, row(key).value) for key in WAYS}
        own = (*rest, *(Override(id=key, value=mm, reason=REASON) for key, mm in wide.items()))
        says = f"ways at least {typed.say(width)} wide"
    data = {**json_of(plan), "overrides": [json_of(one) for one in own]}
    return Plan.model_validate(data), says


EDITS: Edits = {"ways": _ways}
