"""What a fault looks like from outside: one JSON shape for the API, a small page for people.

Nothing of the machine is told: no paths of the code, no traceback. Faults of programming are
logged and answered with a sentence.
"""

from __future__ import annotations

from typing import Any

from flask import Flask, Response, current_app, jsonify, make_response, render_template, request
from werkzeug.exceptions import HTTPException, MethodNotAllowed

from app.changes.conflict_words import both_in_words
from app.changes.merging import ClashError
from app.errors import (
    ConflictError,
    ElbowroomError,
    EndingError,
    NotFoundError,
    PlanError,
    StoreError,
    UnbuildableError,
)
from app.model.base import json_of
from app.usecases.history import names_of
from app.web.api.following import CrowdedError
from app.web.guard.guard import RefusedError, TooLargeError, style_elements_allowed
from app.web.guard.requester import STRANGER, shown_name

STATUS: tuple[tuple[type[ElbowroomError], int], ...] = (
    (NotFoundError, 404),
    (ConflictError, 409),
    (UnbuildableError, 409),
    (StoreError, 503),
    (EndingError, 503),
    (RefusedError, 403),
    (TooLargeError, 413),
    (CrowdedError, 429),
    (ElbowroomError, 400),
)
SENTENCES = {
    400: "The request cannot be understood.",
    404: "There is nothing at this address.",
    405: "That cannot be done at this address.",
    413: "What was sent is larger than the 16 MB that are taken.",
    415: "What was sent is of a kind that is not taken here.",
}
OURS = "Something went wrong inside the program. What was kept is unharmed; please try again."


def answer_faults(app: Flask) -> None:
    """Register the answers for every fault there can be."""
    app.register_error_handler(ElbowroomError, answer_own)
    app.register_error_handler(HTTPException, _on_http)
    app.register_error_handler(Exception, _on_bug)


def fault_json(error: ElbowroomError) -> dict[str, Any]:
    """Return the one error shape as JSON data."""
    faults = error.faults if isinstance(error, PlanError) else ()
    fields = [{"field": fault.field, "sentence": fault.sentence} for fault in faults]
    shape = _shape(error.code, error.sentence, fields)
    if isinstance(error, ClashError):
        shape["error"]["both"] = _both(error)
    return shape


def _both(error: ClashError) -> dict[str, Any]:
    """Return both versions in words, and the command that puts the refused one through."""
    theirs, mine = both_in_words(error, {**names_of(error.now), **names_of(error.base)})
    return {
        "theirs": list(theirs),
        "mine": list(mine),
        "who": [shown_name(name) for name in error.authors],
        "revision": error.revision,
        "command": None if error.insisting is None else json_of(error.insisting),
    }


def status_of(error: ElbowroomError) -> int:
    """Return the HTTP status for a fault."""
    return next(status for kind, status in STATUS if isinstance(error, kind))


def answer_own(error: ElbowroomError) -> Response:
    """Answer with a fault of the family."""
    return _answer(fault_json(error), status_of(error))


def _on_http(error: HTTPException) -> Response:
    status = error.code or 500
    if status < 400:
        return make_response(error.get_response())
    code = error.name.lower().replace(" ", "-")
    response = _answer(_shape(code, SENTENCES.get(status, f"{error.name}."), []), status)
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        response.headers["Allow"] = ", ".join(sorted(error.valid_methods))
    return response


def _on_bug(error: Exception) -> Response:
    current_app.logger.error("%s %s", request.method, request.path, exc_info=error)
    return _answer(_shape("bug", OURS, []), 500)


def _shape(code: str, message: str, fields: list[dict[str, str]]) -> dict[str, Any]:
    return {"ok": False, "error": {"code": code, "message": message, "fields": fields}}


def _answer(shape: dict[str, Any], status: int) -> Response:
    if request.path.startswith("/api/"):
        response = jsonify(shape)
    else:
        stranger = STRANGER in request.environ
        if stranger:
            style_elements_allowed()
        response = make_response(
            render_template(
                "shut.html" if stranger else "error.html",
                message=shape["error"]["message"],
                status=status,
            )
        )
    response.status_code = status
    return response
