"""Kit of one's own: copied from the library or entered by size, changed by fields."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from urllib.parse import quote

from flask import Blueprint, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from app.drawing.symbol import symbol
from app.forms.own_kit_edits import KINDS, OWN, edit_own_kit
from app.forms.seller_text import Reading, read_seller
from app.library.kit import GROUPS, kit_types
from app.library.own import SIDE_WORDS, kits_of
from app.scales import MASS
from app.units import format_money, format_short
from app.usecases.carrying_out import STEPS, Outcome
from app.web.house import house
from app.web.pages.typed_forms import Refused, take_form

kit_pages = Blueprint("kit_pages", __name__)

PX_PER_M = 46.0


@kit_pages.get("/plan/<plan_id>/kit")
def show(plan_id: str) -> str:
    """The kit that only this plan has."""
    return _page(plan_id, Refused())


@kit_pages.post("/plan/<plan_id>/kit")
def change(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Copy, enter, change or remove a row, or show the form again with what is wrong in it."""
    return take_form(plan_id, edit_own_kit, partial(_page, plan_id), _lead)


@kit_pages.post("/plan/<plan_id>/kit/read")
def read(plan_id: str) -> str:
    """Read what a seller says, and show each figure for a yes; or fill the form with those said.

    Nothing is kept: the form that is filled is sent by a hand, like any other.
    """
    form = request.form
    plan = house().open(plan_id).plan
    taken = {
        name.removeprefix("take-"): form[name]
        for name in form
        if name.startswith("take-") and form[name]
    }
    if not taken:
        text = form.get("text", "")
        reading = read_seller(text, plan.units, plan.currency)
        return _page(plan_id, Refused(), reading, text, none_taken="take" in form)
    rows = {row.id: row for row in plan.own_kit}
    row = rows.get(form.get("row", ""))
    if row is None:
        return _page(plan_id, Refused("add", taken))
    return _page(plan_id, Refused("change", {**OWN.texts(plan, row), "row": row.id, **taken}))


def _lead(form: Mapping[str, str], outcome: Outcome) -> str:
    if form.get("edit") in STEPS:
        return "kit"
    opened = outcome.newcomer(lambda plan: plan.own_kit) or form.get("row", "")
    return f"kit?of={quote(opened)}#{quote(opened)}"


def _page(
    plan_id: str,
    refused: Refused,
    reading: Reading | None = None,
    pasted: str = "",
    *,
    none_taken: bool = False,
) -> str:
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
            "fields": OWN.texts(plan, row),
            "mass": f"{MASS.written(row.mass_kg, plan.units)} {MASS.unit(plan.units)}",
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
        kinds=KINDS,
        refused=refused,
        reading=reading,
        pasted=pasted,
        none_taken=none_taken,
        into=request.form.get("row", ""),
        field_names={field.name: field.label_in(plan.units) for field in OWN.fields},
    )
