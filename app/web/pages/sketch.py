"""The picture under the drawing: taken in, and given to the pages of its plan."""

from __future__ import annotations

from flask import Blueprint, Response, jsonify, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from app.changes.difference import difference
from app.errors import NotFoundError
from app.forms.room_edits_sketch import laid
from app.usecases.picture_reading import PictureError, read_picture
from app.web.api.plans import plan_json
from app.web.errors import status_of
from app.web.guard.requester import author
from app.web.house import house
from app.web.pages.room import Refused, page_of

sketch = Blueprint("sketch", __name__)


@sketch.post("/api/plans/<plan_id>/picture")
def take(plan_id: str) -> Response:
    """Lay a picture under the drawing: the file `file` of a form, or the whole body."""
    _lay(plan_id)
    return jsonify(plan_json(plan_id))


@sketch.post("/plan/<plan_id>/picture")
def choose(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Lay the picture of the form under the drawing and show it on the page of the room."""
    try:
        _lay(plan_id)
    except PictureError as error:
        kept = Refused("lay-picture", {}, {"": error.sentence})
        return page_of(plan_id, "picture", kept), status_of(error)
    return redirect(f"{request.script_root}/plan/{plan_id}/room?of=picture", 303)


@sketch.get("/api/plans/<plan_id>/picture/<picture_id>")
def picture(plan_id: str, picture_id: str) -> Response:
    """Return the picture that lies under a plan; no other one."""
    lies = house().open(plan_id).plan.picture
    if lies is None or lies.id != picture_id:
        raise NotFoundError("There is no such picture under this plan.")
    return Response(house().store.pictures.read(picture_id), mimetype="image/jpeg")


def _lay(plan_id: str) -> None:
    plan = house().open(plan_id).plan
    upload = request.files.get("file")
    drawn = read_picture(upload.read() if upload else request.get_data())
    house().store.pictures.keep(drawn.id, drawn.data)
    after = laid(plan, drawn.id, drawn.width_px, drawn.height_px)
    asked = difference(plan, after, "room", "a picture under the drawing")
    if asked is not None:
        house().do(plan_id, asked, author())
