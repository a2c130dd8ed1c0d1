"""The room: its drawing with everything that can be chosen, and the fields of what is chosen."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import partial
from typing import Any

from flask import Blueprint, Response, jsonify, render_template, request
from markupsafe import Markup
from pydantic import Field
from werkzeug.wrappers import Response as AnyResponse

from app.changes.commands import Command
from app.drawing.desk import desk_figure
from app.drawing.framed import Framed
from app.forms.choice_words import CEILING_KINDS, WALL_KINDS
from app.forms.room_edits import edit
from app.model.base import json_of
from app.model.plan import Plan
from app.model.sketch import Picture
from app.scene.build import build_scene
from app.store.entries import State
from app.usecases.carrying_out import Asked, Outcome, carry_out
from app.usecases.will import EDITS as WILL_EDITS
from app.usecases.will import edit_will, wills
from app.web.api.body import Body, Seen, Texts, body_of
from app.web.api.shown import limits_of_asker
from app.web.guard.requester import author
from app.web.house import house
from app.web.pages.photos import with_photo
from app.web.pages.room_view import RoomView, known_part, things_of
from app.web.pages.room_words import LISTS
from app.web.pages.typed_forms import NOT_FIELDS, Refused, take_form
from app.works.asking import to_ask

room_pages = Blueprint("room_pages", __name__)


class Typed(Body):
    """A form of the room: what is to be done, what is chosen, the fields and their revision."""

    edit: Any = ""
    of: Any = ""
    fields: Texts = Field(default={})
    revision: Seen = None


NEWCOMERS = ("opening", "low", "column", "socket", "over", "step")
"""What can come into the room, by the word for it in the address."""
_REVISION = re.compile(r"[0-9]{1,12}")


@room_pages.get("/plan/<plan_id>/room")
def room(plan_id: str) -> str:
    """The page of the room; `of` says what is chosen."""
    return page_of(plan_id, request.args.get("of", ""), Refused())


@room_pages.get("/plan/<plan_id>/ask")
def ask(plan_id: str) -> str:
    """Whom to ask before anything is bought, and what: a page to print."""
    plan = house().open(plan_id).plan
    return render_template(
        "ask.html",
        plan_id=plan_id,
        plan=plan,
        asked=to_ask(build_scene(plan)),
        owner_known=plan.room.fabric.whose != "unknown",
    )


@room_pages.post("/plan/<plan_id>/room")
def change(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Carry out the edit of a form, or show it again with what is wrong beside each field."""
    return take_form(
        plan_id,
        partial(with_photo, _edit),
        lambda refused: page_of(plan_id, request.form.get("of", ""), refused),
        lambda form, outcome: f"room?of={_chosen(form.get('of', ''), outcome, form)}",
    )


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
    body = body_of(Typed)
    fields = {name: text for name, text in body.fields.items() if name not in NOT_FIELDS}
    asked = Asked(str(body.edit), fields, body.revision)
    outcome = carry_out(house(), plan_id, _edit, asked, author(), limits_of_asker())
    return jsonify(_parts(plan_id, _chosen(str(body.of), outcome, fields)))


def _edit(plan: Plan, name: str, fields: Mapping[str, str], photo: str = "") -> Command | None:
    """Carry out an edit of the room, or a yes to something that may be done to it."""
    if name in WILL_EDITS:
        return edit_will(plan, name, fields)
    return edit(plan, name, fields, photo)


def _chosen(of: str, outcome: Outcome, form: Mapping[str, str]) -> str:
    """Return what is chosen then: what has come into the room, else what was, if it is there.

    Where another is to follow it is the list, with its empty form.
    """
    for part in NEWCOMERS:
        come = outcome.newcomer(partial(things_of, kind=part))
        if come and form.get("then") == "another":
            return LISTS[part]
        if come:
            return f"{part}:{come}"
    return known_part(outcome.after, of)


def page_of(plan_id: str, of: str, refused: Refused) -> str:
    """Return the page of the room with what could not be kept."""
    return render_template("room.html", **_context(plan_id, of, refused))


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


def _context(plan_id: str, of: str, refused: Refused, at: State | None = None) -> dict[str, Any]:
    state = at or house().open(plan_id)
    drawing = room_drawing(state.plan)
    return {
        "plan_id": state.plan_id,
        "plan": state.plan,
        "room": state.plan.room,
        "state": state,
        "refused": refused,
        "empty_form": Refused(),
        "view": RoomView(state.plan, known_part(state.plan, of)),
        "drawing": Markup(drawing.svg),
        "sketch": _sketch(state.plan),
        "kept_here": house().store.pictures.holds,
        "view_box": drawing.view_box,
        "wills": wills(state.plan),
        "wall_kinds": WALL_KINDS,
        "ceiling_kinds": CEILING_KINDS,
    }


def _sketch(plan: Plan) -> Picture | None:
    """Return the picture under the drawing if it is kept here: plan files bring none along."""
    picture = plan.picture
    return picture if picture and house().store.pictures.holds(picture.id) else None


def room_drawing(plan: Plan) -> Framed:
    """Draw the room of a plan to scale with what stays in it and no other kit, as SVG markup."""
    staying = [{**json_of(piece), "carried_by": None} for piece in plan.pieces if piece.stays]
    bare = {**json_of(plan), "pieces": staying, "situations": [], "settled": []}
    return desk_figure(build_scene(Plan.model_validate(bare)))
