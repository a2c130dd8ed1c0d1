"""What is said of a plan: remarks as letters on it, replies, votes."""

from __future__ import annotations

import re
from typing import Any

from flask import Blueprint, Response, jsonify

from app.errors import NotFoundError
from app.model.room_walls import letter_at
from app.usecases import sharing
from app.usecases.sharing import Remark, Vote
from app.web.api.body import Body, Flag, Number, Text, body_of
from app.web.guard.requester import author, shown_name, voice
from app.web.house import house

remark_pages = Blueprint("remarks", __name__, url_prefix="/api/plans/<plan_id>")


class Reply(Body):
    """What somebody says of a remark."""

    text: Text


class Remarked(Body):
    """A remark on a place of the plan."""

    x_mm: Number
    y_mm: Number
    text: Text


class Settled(Body):
    """Whether a remark is settled."""

    settled: Flag


class Choice(Body):
    """For the plan, or against it."""

    choice: Text


def remarks_json(plan_id: str) -> dict[str, Any]:
    """Return the remarks and votes of a plan as JSON data, seen by who asks."""
    mine = voice()
    votes = sharing.votes(house(), plan_id)
    own = next((vote.choice for vote in votes if vote.voice == mine), None)
    return {
        "ok": True,
        "remarks": [_remark_json(remark, mine) for remark in sharing.remarks(house(), plan_id)],
        "votes": [_vote_json(vote) for vote in votes],
        "own_vote": own,
    }


@remark_pages.get("/remarks")
def listed(plan_id: str) -> Response:
    """Return the remarks and votes of a plan."""
    return jsonify(remarks_json(plan_id))


@remark_pages.post("/remarks")
def add(plan_id: str) -> tuple[Response, int]:
    """Pencil a letter on the plan: `x_mm`, `y_mm` and `text`."""
    body = body_of(Remarked)
    sharing.add_remark(house(), plan_id, body.x_mm, body.y_mm, body.text, voice(), author())
    return jsonify(remarks_json(plan_id)), 201


@remark_pages.post("/remarks/<number>/replies")
def reply(plan_id: str, number: str) -> tuple[Response, int]:
    """Answer a remark: `text`."""
    text = body_of(Reply).text
    sharing.reply(house(), plan_id, _id(number), text, voice(), author())
    return jsonify(remarks_json(plan_id)), 201


@remark_pages.post("/remarks/<number>/settled")
def settle(plan_id: str, number: str) -> Response:
    """Settle a remark, or open it again: `settled` true or false."""
    sharing.settle(house(), plan_id, _id(number), body_of(Settled).settled, author())
    return jsonify(remarks_json(plan_id))


@remark_pages.post("/vote")
def vote(plan_id: str) -> Response:
    """Vote on the plan as it stands: `choice` for or against."""
    sharing.vote(house(), plan_id, voice(), author(), body_of(Choice).choice)
    return jsonify(remarks_json(plan_id))


def _id(text: str) -> int:
    if not re.fullmatch(r"[0-9]{1,15}", text):
        raise NotFoundError("There is no such remark.")
    return int(text)


def _remark_json(remark: Remark, mine: str) -> dict[str, Any]:
    return {
        "id": remark.id,
        "letter": letter_at(remark.letter),
        "x": remark.x_mm,
        "y": remark.y_mm,
        "lines": [
            {
                "who": shown_name(line.author),
                "own": line.voice == mine,
                "text": line.text,
                "at": line.at.isoformat(),
            }
            for line in remark.lines
        ],
        "settled": None if remark.settled_by is None else shown_name(remark.settled_by),
    }


def _vote_json(vote: Vote) -> dict[str, Any]:
    return {"who": shown_name(vote.author), "choice": vote.choice, "revision": vote.revision}
