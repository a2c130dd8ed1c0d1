"""The room: its drawing with everything that can be chosen, and the fields of what is chosen."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from flask import Blueprint, Response, jsonify, redirect, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from app.drawing.desk import desk_figure
from app.errors import CommandError, PlanError
from app.forms.room_edits import edit
from app.model.base import json_of
from app.model.plan import Plan
from app.model.room_parts import parts_of
from app.model.sketch import Picture
from app.scene.build import build_scene
from app.store.entries import State
from app.usecases.history import plan_at
from app.web.api.body import BodyError, json_body, seen_of
from app.web.errors import status_of
from app.web.guard.requester import author
from app.web.house import house
from app.web.pages.room_view import RoomView, known_part
from app.web.pages.room_words import WORDS

room_pages = Blueprint("room_pages", __name__)

STEPS = ("undo", "redo")
FIELD_LIMIT = 400
_REVISION = re.compile(r"[0-9]{1,12}")
_NOT_FIELDS = frozenset({"edit", "of"})


@dataclass(frozen=True, slots=True)
class Refused:
    """A form that could not be kept: which one, what was typed, what is wrong with it."""

    edit: str = ""
    typed: dict[str, str] = field(default_factory=dict)
    faults: dict[str, str] = field(default_factory=dict)


@room_pages.get("/plan/<plan_id>/room")
def room(plan_id: str) -> str:
    """The page of the room; `of` says what is chosen."""
    return _page(plan_id, request.args.get("of", ""), Refused())


@room_pages.post("/plan/<plan_id>/room")
def change(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Carry out the edit of a form, or show it again with what is wrong beside each field."""
    form = request.form.to_dict()
    name, of = form.get("edit", ""), form.get("of", "")
    try:
        of = _do(plan_id, name, of, {k: v for k, v in form.items() if k not in _NOT_FIELDS})
    except PlanError as error:
        faults = {fault.field: fault.sentence for fault in error.faults}
        return _page(plan_id, of, Refused(name, form, faults)), 400
    except CommandError as error:
        return _page(plan_id, of, Refused(name, form, {"": error.sentence})), status_of(error)
    return redirect(f"{request.script_root}/plan/{plan_id}/room?of={of}", 303)


@room_pages.get("/api/plans/<plan_id>/room")
def parts(plan_id: str) -> Response:
    """Return the parts of the page; `of` says what is chosen.

    As they stand, or with `at` as they were at that revision when it was the newest.
    """
    at = request.args.get("at", "")
    state = house().store.at(plan_id, int(at)) if _REVISION.fullmatch(at) else None
    return jsonify(_parts(plan_id, request.args.get("of", ""), state))


@room_pages.post("/api/plans/<plan_id>/room")
def command(plan_id: str) -> Response:
    """Carry an edit out and give the parts of the page as they stand then.

    Body: `edit` (a name), `of` (what is chosen), `fields` (texts as typed) and `revision` (the
    one that the form showed). Faults name the fields of the form.
    """
    data = json_body()
    fields = data.get("fields", {})
    if not isinstance(fields, dict) or len(fields) > FIELD_LIMIT:
        raise BodyError("The field 'fields' must be an object of texts.")
    if not all(isinstance(value, str) for value in fields.values()):
        raise BodyError("The field 'fields' must be an object of texts.")
    name, chosen = str(data.get("edit", "")), str(data.get("of", ""))
    of = _do(plan_id, name, chosen, fields, seen_of(data))
    return jsonify(_parts(plan_id, of))


def _do(plan_id: str, name: str, of: str, fields: dict[str, str], seen: int | None = None) -> str:
    """Carry an edit or a step of the history out; give what is to be chosen then.

    `seen` is the revision that the form showed: what others changed since stays changed.
    """
    if name in STEPS:
        (house().undo if name == "undo" else house().redo)(plan_id, author())
        return known_part(house().open(plan_id).plan, of)
    before = house().open(plan_id).plan if seen is None else plan_at(house(), plan_id, seen)
    asked = edit(before, name, fields)
    if asked is None:
        return known_part(before, of)
    try:
        after = house().do(plan_id, asked, author(), seen).plan
    except PlanError as error:
        # of the plan as it stands by now it is said in the words and units of the page
        edit(house().open(plan_id).plan, name, fields)
        # what the room as a whole refuses belongs to the form and not to one field of it
        raise CommandError(error.faults[0].sentence if error.faults else error.sentence) from None
    return _fresh(before, after) or known_part(after, of)


def _fresh(before: Plan, after: Plan) -> str | None:
    """Return the part of the page for a thing that has come into the room."""
    for part, things, now in (
        ("opening", before.room.openings, after.room.openings),
        ("low", before.room.low_things, after.room.low_things),
        ("column", before.room.columns, after.room.columns),
        ("socket", before.room.sockets, after.room.sockets),
        ("over", parts_of(before.room, "ceiling"), parts_of(after.room, "ceiling")),
        ("step", parts_of(before.room, "floor"), parts_of(after.room, "floor")),
    ):
        was = {thing.id for thing in things}
        come = [thing.id for thing in now if thing.id not in was]
        if come:
            return f"{part}:{come[0]}"
    return None


def page_of(plan_id: str, of: str, kept: Refused) -> str:
    """Return the page of the room with what could not be kept."""
    return _page(plan_id, of, kept)


def _page(plan_id: str, of: str, kept: Refused) -> str:
    return render_template("room.html", **_context(plan_id, of, kept))


def _parts(plan_id: str, of: str, at: State | None = None) -> dict[str, Any]:
    context = _context(plan_id, of, Refused(), at)
    state = context["state"]
    return {
        "ok": True,
        "of": context["view"].of,
        "revision": state.revision,
        "can_undo": state.can_undo,
        "can_redo": state.can_redo,
        "undo_says": state.undo_says,
        "redo_says": state.redo_says,
        "undo_to": state.undo_to,
        "redo_to": state.redo_to,
        "corners": state.plan.room.corners,
        "drawing": context["drawing"],
        "underlay": render_template("_room_under.html", **context),
        "overlay": render_template("_room_overlay.html", **context),
        "panel": render_template("_room_panel.html", **context),
        "index": render_template("_room_index.html", **context),
    }


def _context(plan_id: str, of: str, kept: Refused, at: State | None = None) -> dict[str, Any]:
    state = at or house().open(plan_id)
    drawing = room_drawing(state.plan)
    found = re.search(r'viewBox="([^"]+)"', drawing)
    return {
        "plan_id": state.plan_id,
        "plan": state.plan,
        "room": state.plan.room,
        "state": state,
        "kept": kept,
        "empty_form": Refused(),
        "view": RoomView(state.plan, known_part(state.plan, of)),
        "drawing": Markup(drawing),
        "sketch": _sketch(state.plan),
        "view_box": found[1] if found else "0 0 1 1",
        **WORDS,
    }


def _sketch(plan: Plan) -> Picture | None:
    """Return the picture under the drawing if it is kept here: plan files bring none along."""
    picture = plan.picture
    return picture if picture and house().store.pictures.holds(picture.id) else None


def room_drawing(plan: Plan) -> str:
    """Draw the room of a plan to scale, without any kit, as SVG markup."""
    bare = {**json_of(plan), "pieces": [], "situations": [], "settled": []}
    return desk_figure(build_scene(Plan.model_validate(bare)))
