"""How wide ways on foot are wanted in this room: figures of the register, set for one plan."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from app.forms.field_table import Table, length, values_of
from app.forms.thing_edits import Done, Edits, plan_with
from app.forms.typed_fields import Typed
from app.model.plan import Override, Plan
from app.published.register import row

LEAST, WANTED, EASY = "route.least-mm", "route.recommended-mm", "route.easy-mm"
WAYS = (LEAST, WANTED, EASY)
REASON = "clear width wanted on the ways, for a wheelchair, a walking frame or a pram"


def _shown(plan: Plan, thing: Any) -> Mapping[str, Any]:
    """Return the clear width that a household wants on all ways, None where none was said."""
    return {"way": next((own.value for own in plan.overrides if own.id == LEAST), None)}


WIDTH = Table(
    Override,
    (
        length("way", "Clear width wanted on the ways", "", what="the width of a way",
               example="915 mm", least=row(LEAST).value, most=2000, optional=True, span=""),
    ),
    shown=_shown,
    finish=lambda plan, typed, old, values: values,
)  # fmt: skip


def _ways(plan: Plan, typed: Typed) -> Done:
    width = values_of(WIDTH, plan, typed, None)["way"]
    own = [each for each in plan.overrides if each.id not in WAYS]
    says = "take the usual widths of ways again"
    if width is not None:
        # what is less than easy or wanted otherwise stays so where that is wider
        wide = {key: max(width, row(key).value) for key in WAYS}
        own += [Override(id=key, value=mm, reason=REASON) for key, mm in wide.items()]
        says = f"ways at least {typed.say(width)} wide"
    return plan_with(plan, "overrides", "way", own), says


TABLES = {"ways": WIDTH}
EDITS: Edits = {"ways": _ways}
