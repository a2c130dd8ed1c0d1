"""The pages: the list of plans, a new room, the desk, who trains, the cautions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

from flask import Blueprint, Response, redirect, render_template, request, url_for
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from app.drawing.figure_kit import drawing_order, piece_group
from app.drawing.in_front import in_front, seen_from_its_side
from app.drawing.medium import Medium
from app.drawing.svg import part
from app.drawing.symbol import symbol
from app.errors import ElbowroomError, NotFoundError, PlanError, UnbuildableError
from app.forms.new_room import plan_from_form
from app.library.called import called, topics
from app.library.kit import GROUPS, KitType, kit_types
from app.library.movements import movements
from app.library.own import kits_of
from app.model.base import json_of
from app.model.fronts import sides_on_paper
from app.scales import beside_kg
from app.scene.build import build_scene
from app.units import Units, format_short, write_feet
from app.usecases.files import Sample, samples
from app.usecases.options import options_of, shelved
from app.usecases.picture_files import import_file
from app.usecases.plans import GENERIC_TYPE
from app.usecases.searches import tallest_mm
from app.web.api.plans import judged_json
from app.web.errors import status_of
from app.web.guard.requester import author, link, shown_name
from app.web.house import house
from app.web.pages.people import people_page
from app.web.pages.sheets import shown_sheets

pages = Blueprint("pages", __name__)

SHELF_PX_PER_M = 22.0
"""Of the outlines from above that are carried into the room."""
IN_FRONT_PX_PER_M = 40.0
"""Of the pictures on the shelf, all of them: heights are compared along it."""
HALVES = 2
"""Parts of an inch in which sizes along the shelf are told; the card has them closely."""
SHELF_THING_MM = 600.0
"""Kit for which the clear height is drawn along the shelf: too wide to stand between two joists."""
OWN_GROUP = "My own"


@pages.get("/")
def home() -> str:
    """The list of plans; `gone` is the plan that was deleted last, told where it stood."""
    return _home(gone=request.args.get("gone", ""))


@pages.get("/favicon.ico")
def favicon() -> Response:
    """Nothing: pages name their own icon, and browsers that ask anyway find no fault."""
    return Response(status=204)


@pages.get("/new")
def new() -> str:
    """The form for a new room."""
    return render_template("new.html", form={}, errors={})


@pages.post("/new")
def create() -> AnyResponse | tuple[str, int]:
    """Make a plan from the form, or show the form again with what is wrong beside each field."""
    form = request.form.to_dict()
    try:
        state = house().create(plan_from_form(form))
    except PlanError as error:
        errors = {fault.field: fault.sentence for fault in error.faults}
        return render_template("new.html", form=form, errors=errors), 400
    return redirect(url_for("pages.people", plan_id=state.plan_id), 303)


@pages.post("/import")
def import_plan() -> AnyResponse | tuple[str, int]:
    """Make a plan from an uploaded plan file."""
    upload = request.files.get("file")
    try:
        state = import_file(house(), upload.read() if upload else b"")
    except ElbowroomError as error:
        return _home(error.sentence), status_of(error)
    return _to_desk(state.plan_id)


@pages.post("/samples/<key>")
def open_sample(key: str) -> AnyResponse:
    """Make a plan from a sample."""
    return _to_desk(house().create_sample(key).plan_id)


@pages.post("/plan/<plan_id>/copy")
def copy(plan_id: str) -> AnyResponse:
    """Make a copy of a plan."""
    house().copy(plan_id)
    return _to_home()


@pages.post("/plan/<plan_id>/name")
def rename(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Rename a plan."""
    try:
        house().rename(plan_id, request.form.get("name", "").strip())
    except PlanError as error:
        return _home(error.sentence), status_of(error)
    return _to_home()


@pages.post("/plan/<plan_id>/delete")
def delete(plan_id: str) -> AnyResponse:
    """Put a plan aside."""
    house().delete(plan_id)
    return redirect(url_for("pages.home", gone=plan_id), 303)


@pages.post("/plan/<plan_id>/restore")
def restore(plan_id: str) -> AnyResponse:
    """Bring a deleted plan back."""
    house().restore(plan_id)
    return _to_home()


@pages.get("/plan/<plan_id>")
def desk(plan_id: str) -> str:
    """The desk: the plan as a drawing, the shelf, the list of snags."""
    try:
        seen = house().judged(plan_id)
    except UnbuildableError as error:
        return _stuck(plan_id, error)
    plan = seen.state.plan
    drawing, tidy = seen.drawing_at_once
    whole = judged_json(seen, drawing=False)
    data = {
        **whole,
        "plan": {**whole["plan"], "pieces": _table(whole["plan"]["pieces"])},
        "verdict": _short_verdict(whole["verdict"]),
        "name": shown_name(author()),
        "tidy": tidy,
        "library": {row.id: _kit_row(kits_of(plan)[row.id]) for row in plan.own_kit},
        "movements": {key: movement.name for key, movement in movements().items()},
        "generic_type": GENERIC_TYPE,
        "tallest_mm": round(tallest_mm(seen.scene, SHELF_THING_MM)),
        "sketch": plan.picture is None or house().store.pictures.holds(plan.picture.id),
    }
    return render_template(
        "desk.html",
        plan_id=plan_id,
        plan=plan,
        page_data=data,
        own_kit=[_on_shelf(row.id, kits_of(plan)[row.id], plan.units) for row in plan.own_kit],
        own_group=OWN_GROUP,
        shelf_px_per_m=SHELF_PX_PER_M,
        front_px_per_m=IN_FRONT_PX_PER_M,
        topics=topics(),
        drawing=Markup(drawing),
        options=() if link() else options_of(house(), plan_id),
        sheets=shown_sheets(plan),
        side=sides_on_paper(plan),
    )


@pages.post("/plan/<plan_id>/undo")
def undo(plan_id: str) -> AnyResponse:
    """Take the last change back where the plan cannot be shown for it."""
    house().undo(plan_id)
    return _to_desk(plan_id)


@pages.get("/shelf/<units>")
def shelf(units: str) -> Response:
    """The kit of the library as it lies on every shelf, and its rows for the scripts of a desk.

    It hangs on the library and the units alone: a browser asks only whether it is still so.
    """
    if units not in ("metric", "feet"):
        raise NotFoundError("There is no shelf in those units.")
    stock = _stock(units == "feet")
    response = Response(render_template("shelf.html", stock=stock, px_per_m=SHELF_PX_PER_M))
    response.cache_control.no_cache = True
    response.add_etag()
    response.make_conditional(request)
    return response


@pages.get("/plan/<plan_id>/people")
def people(plan_id: str) -> str:
    """A card per person: what this ceiling allows, and their fields."""
    return people_page(plan_id)


@pages.get("/cautions")
def cautions() -> str:
    """What this program cannot know, and who decides."""
    return render_template("cautions.html")


def _stuck(plan_id: str, error: UnbuildableError) -> str:
    """Show what can be done with a plan that cannot be drawn: undo, history, export."""
    state = house().open(plan_id)
    return render_template("stuck.html", plan_id=plan_id, state=state, why=error.sentence)


def _home(fault: str | None = None, gone: str = "") -> str:
    families, deleted = shelved(house()), house().list_plans(deleted=True)
    last = next((one for one in deleted if one.id == gone), None)
    return render_template(
        "home.html",
        families=families,
        deleted=[one for one in deleted if one is not last],
        last=last,
        last_at=sum(last is not None and one.entry.changed > last.changed for one in families),
        samples=[(sample, _kit_standing(sample)) for sample in samples()],
        fault=fault,
    )


@lru_cache(maxsize=16)
def _kit_standing(sample: Sample) -> Markup:
    """Return the kit of a sample where it stands, to be laid into the small picture of its room."""
    medium = Medium(1, sample.plan.units, strokes=False)
    order = drawing_order(build_scene(sample.plan))
    return Markup("".join(part(piece_group(placed, medium), digits=0) for placed in order))


def _to_home() -> AnyResponse:
    return redirect(url_for("pages.home"), 303)


def _to_desk(plan_id: str) -> AnyResponse:
    return redirect(url_for("pages.desk", plan_id=plan_id), 303)


def _kit_row(kit: KitType) -> dict[str, Any]:
    return {
        "name": kit.name,
        "group": kit.group,
        "width_mm": kit.width_mm,
        "depth_mm": kit.depth_mm,
        "height_mm": kit.height_mm,
        "range": json_of(kit.range),
        "price_minor": kit.price_minor,
        "bar": kit.bar is not None,
        "for_wall": kit.for_wall,
        "front_mm": _asks_mm(kit, "front"),
        "back_mm": _asks_mm(kit, "back"),
        "front_alone": not any(_asks_mm(kit, side) for side in ("back", "left", "right")),
        "runs": any(use.movement in ("run", "walk") for use in kit.uses),
        "rests": [{"name": rest.name, "y": rest.y} for rest in kit.rests],
        "states": {state.key: state.name for state in kit.states},
    }


def _asks_mm(kit: KitType, side: str) -> float:
    """Return the room that a kit type always asks for on one of its sides, mm."""
    sides = (side, "ring")
    asked = [s.recommended_mm for s in kit.spaces if s.side in sides and not s.either]
    return max(asked, default=0.0)


@lru_cache(maxsize=2)
def _stock(feet: bool) -> Markup:
    """Return the groups of the library with their symbols, and the rows of the kit."""
    units: Units = "feet" if feet else "metric"
    kits = kit_types()
    groups = [
        {
            "name": group,
            "types": [
                _on_shelf(key, kit, units) for key, kit in kits.items() if kit.group == group
            ],
        }
        for group in GROUPS
    ]
    rows = {key: _kit_row(kit) for key, kit in kits.items()}
    return Markup(render_template("_stock.html", groups=groups, rows=rows))


def _readable(length_mm: float, units: Units) -> str:
    """Write a usual size as one reads it along a shelf: in feet to the half inch."""
    return write_feet(length_mm, HALVES) if units == "feet" else format_short(length_mm, units)


def _on_shelf(key: str, kit: KitType, units: Units) -> dict[str, Any]:
    sizes = (kit.width_mm, kit.depth_mm, kit.height_mm)
    return {
        "key": key,
        "name": beside_kg(kit.name, units),
        "note": kit.note,
        "called": called(key),
        "sizes": " × ".join(format_short(size, units) for size in sizes),
        "symbol": Markup(symbol(kit, SHELF_PX_PER_M)),
        "picture": Markup(in_front(kit, IN_FRONT_PX_PER_M, _readable(kit.height_mm, units))),
        "deep": f"{_readable(kit.depth_mm, units)} "
        + ("long" if seen_from_its_side(kit) else "deep"),
    }


def _short_verdict(verdict: dict[str, Any]) -> dict[str, Any]:
    """Return a verdict as a table, each source of its figures named once."""
    sources = {source["key"]: source for row in verdict["snags"] for source in row["sources"]}
    snags = [
        {**row, "sources": [source["key"] for source in row["sources"]]} for row in verdict["snags"]
    ]
    return {**verdict, "snags": _table(snags), "sources": sources}


def _table(rows: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Return rows of the same fields with the names of those written once."""
    fields = list(rows[0]) if rows else []
    return {"fields": fields, "rows": [[row[field] for field in fields] for row in rows]}
