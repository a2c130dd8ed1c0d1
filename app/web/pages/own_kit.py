"""Kit of one's own: copied from the library or entered by size, changed by fields."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from app.drawing.symbol import symbol
from app.errors import CommandError, PlanError
from app.forms.own_kit_edits import KINDS, edit_own_kit, written_fields
from app.library.kit import GROUPS, kit_types
from app.library.own import SIDE_WORDS, kits_of
from app.units import format_money, format_short
from app.web.errors import status_of
from app.web.guard.requester import author
from app.web.house import house
from app.web.pages.room import STEPS, Refused

kit_pages = Blueprint("kit_pages", __name__)

PX_PER_M = 46.0
KIND_WORDS = {
    "access": "to reach or load it",
    "body": "for the body",
    "fall-off": "to fall off into",
}


@kit_pages.get("/plan/<plan_id>/kit")
def show(plan_id: str) -> str:
    """The kit that only this plan has."""
    return _page(plan_id, Refused())


@kit_pages.post("/plan/<plan_id>/kit")
def change(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Copy, enter, change or remove a row, or show the form again with what is wrong in it."""
    form = request.form.to_dict()
    name = form.get("edit", "")
    opened = form.get("row", "")
    if name in STEPS:
        (house().undo if name == "undo" else house().redo)(plan_id, author())
        return redirect(f"{request.script_root}/plan/{plan_id}/kit", 303)
    try:
        before = house().open(plan_id).plan
        command = edit_own_kit(before, name, form)
        if command is not None:
            after = house().do(plan_id, command, author()).plan
            known = {row.id for row in before.own_kit}
            come = [row.id for row in after.own_kit if row.id not in known]
            opened = come[0] if come else opened
    except PlanError as error:
        faults = {fault.field: fault.sentence for fault in error.faults}
        return _page(plan_id, Refused(name, form, faults)), 400
    except CommandError as error:
        return _page(plan_id, Refused(name, form, {"": error.sentence})), status_of(error)
    return redirect(f"{request.script_root}/plan/{plan_id}/kit?of={opened}#{opened}", 303)


def _page(plan_id: str, kept: Refused) -> str:
    state = house().open(plan_id)
    plan = state.plan
    kits = kits_of(plan)
    library = kit_types()
    rows = [
        {
            "row": row,
            "copied": library[row.like].name if row.like in library else "",
            "symbol": Markup(symbol(kits[row.id], PX_PER_M)),
            "sizes": " × ".join(
                format_short(size, plan.units)
                for size in (row.width_mm, row.depth_mm, row.height_mm)
            ),
            "price": ""
            if row.price_minor is None
            else format_money(row.price_minor, plan.currency),
            "fields": written_fields(plan, row),
            "standing": sum(piece.type == row.id for piece in plan.pieces),
        }
        for row in plan.own_kit
    ]
    return render_template(
        "kit.html",
        plan_id=plan_id,
        plan=plan,
        state=state,
        rows=rows,
        of=request.args.get("of", ""),
        groups=GROUPS,
        library=[
            (group, [(kit.key, kit.name) for kit in library.values() if kit.group == group])
            for group in GROUPS
        ],
        sides=tuple(SIDE_WORDS.items()),
        kinds=[(kind, KIND_WORDS[kind]) for kind in KINDS[::-1]],
        kept=kept,
    )
