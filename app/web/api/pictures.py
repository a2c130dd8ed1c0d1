"""Pictures that are asked for one at a time: the section of a snag, films of movements and ways."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, jsonify, request

from app.usecases.crowds import guests_moves
from app.usecases.room_picture import room_picture
from app.web.api.body import Body, Seen, Whole, body_of, read_poses
from app.web.guard.requester import link
from app.web.house import house

pictures = Blueprint("pictures", __name__, url_prefix="/api")


@pictures.get("/plans/<plan_id>/section")
def section(plan_id: str) -> Response:
    """Return the section of the headroom snag with the key asked for."""
    return jsonify(ok=True, svg=house().section(plan_id, request.args.get("key", "")))


@pictures.get("/plans/<plan_id>/region")
def region(plan_id: str) -> Response:
    """Return where on the open floor a person has the least and the need for a movement."""
    person, movement = request.args.get("person", ""), request.args.get("movement", "")
    least, need = house().region(plan_id, person, movement)
    return jsonify(ok=True, least=least, need=need)


class Looks(Body):
    """From which corner the room is looked at, pieces at other poses, the picture at hand."""

    corner: Whole = 0
    moves: Any = None
    against: Seen = None


@pictures.post("/plans/<plan_id>/picture-now")
def picture_now(plan_id: str) -> Response:
    """Return the picture of the room with pieces at other poses; nothing is kept.

    Without `against`, the revision whose picture is at hand, or where that is not the newest, all
    of it is drawn.
    """
    body = body_of(Looks)
    poses = read_poses(body.moves) if body.moves else {}
    if link() is not None:
        guests_moves(house().open(plan_id).plan, poses)
    return jsonify(ok=True, **room_picture(house(), plan_id, body.corner, poses, body.against))


@pictures.get("/plans/<plan_id>/ways")
def ways(plan_id: str) -> Response:
    """Return the film of the ways on foot, its key, each way in words and all in one sentence."""
    film = house().ways(plan_id)
    lines = [{"ink": line.ink, "words": line.words} for line in film.lines]
    return jsonify(ok=True, svg=film.svg, key=film.key, lines=lines, short=film.short)
