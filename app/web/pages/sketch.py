"""The picture under the drawing: taken in, and given to the pages of its plan."""

from __future__ import annotations

from flask import Blueprint, Response, jsonify, request
from werkzeug.wrappers import Response as AnyResponse

from app.changes.commands import Command
from app.changes.difference import difference
from app.errors import NotFoundError
from app.forms.room_edits_sketch import laid
from app.model.plan import Plan
from app.usecases.carrying_out import Asked, Fields, carry_out
from app.usecases.picture_reading import read_picture
from app.web.api.plans import plan_json
from app.web.guard.requester import author
from app.web.house import house
from app.web.pages.room import page_of
from app.web.pages.typed_forms import number_of, take_form

sketch = Blueprint("sketch", __name__)


@sketch.post("/api/plans/<plan_id>/picture")
def take(plan_id: str) -> Response:
    """Lay a picture under the drawing: the file `file` of a form, or the whole body."""
    seen = number_of(request.form.get("revision", ""))
    carry_out(house(), plan_id, _laid, Asked("lay-picture", {}, seen), author())
    return jsonify(plan_json(plan_id))


@sketch.post("/plan/<plan_id>/picture")
def choose(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Lay the picture of the form under the drawing and show it on the page of the room."""
    return take_form(
        plan_id,
        _laid,
        lambda refused: page_of(plan_id, "picture", refused),
        lambda form, outcome: "room?of=picture",
        {**request.form.to_dict(), "edit": "lay-picture"},
    )


@sketch.get("/api/plans/<plan_id>/picture/<picture_id>")
def picture(plan_id: str, picture_id: str) -> Response:
    """Return the picture that lies under a plan; no other one."""
    lies = house().open(plan_id).plan.picture
    if lies is None or lies.id != picture_id:
        raise NotFoundError("There is no such picture under this plan.")
    return Response(house().store.pictures.read(picture_id), mimetype="image/jpeg")


def _laid(plan: Plan, _: str, __: Fields) -> Command | None:
    """Make the command that lays the picture of the request under a plan. Raises PictureError."""
    upload = request.files.get("file")
    if upload:
        upload.seek(0)
    drawn = read_picture(upload.read() if upload else request.get_data())
    house().store.pictures.keep(drawn.id, drawn.data)
    after = laid(plan, drawn.id, drawn.width_px, drawn.height_px)
    return difference(plan, after, "room", "a picture under the drawing")
