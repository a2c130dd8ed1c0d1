"""Looking back: pages and API of a plan's history, its milestones, two revisions compared."""

from __future__ import annotations

import re
import tempfile
from datetime import date
from pathlib import Path
from typing import Any

from flask import Blueprint, Response, jsonify, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from app.checks.snag import Snag
from app.errors import NotFoundError
from app.units import Units
from app.usecases import history as histories
from app.usecases.history import Comparison, Line, Past, Side
from app.web.api.body import Body, Named, Whole, body_of
from app.web.api.plans import plan_json
from app.web.house import house
from app.web.pages.overlay import laid_over

history = Blueprint("history", __name__)


class Revision(Body):
    """A revision of a plan."""

    revision: Whole


class Milestone(Revision, Named):
    """A name for a revision."""


@history.get("/plan/<plan_id>/history")
def page(plan_id: str) -> str:
    """The revisions of a plan and its milestones; each can be laid over the plan of today."""
    past = histories.history(house(), plan_id, _below())
    return render_template("history.html", plan_id=plan_id, plan=past.state.plan, past=past)


@history.get("/plan/<plan_id>/history/<number>/picture")
def thumbnail(plan_id: str, number: str) -> Response:
    """A small picture of a revision: its outlines, what came of it inked in blue."""
    seen = histories.outlines(house(), plan_id, _number(number))
    return Response(render_template("_history_picture.svg", seen=seen), mimetype="image/svg+xml")


@history.get("/plan/<plan_id>/history/compare")
def compare_page(plan_id: str) -> str:
    """Two revisions laid over one another, and what differs in words; `to` is usually today."""
    comparison = _compared(plan_id)
    past = histories.history(house(), plan_id)
    days = {line.number: line for line in past.lines}
    for side in (comparison.old, comparison.new):
        days.setdefault(side.line.number, side.line)
    return render_template(
        "history.html",
        plan_id=plan_id,
        plan=past.state.plan,
        compared=comparison,
        today=past.state.revision,
        days=sorted(days.values(), key=lambda line: -line.number),
        laid=laid_over(comparison),
    )


@history.post("/plan/<plan_id>/history/<number>/name")
def name(plan_id: str, number: str) -> AnyResponse:
    """Make a revision a milestone."""
    histories.name_milestone(house(), plan_id, _number(number), request.form.get("name", ""))
    return _to_history(plan_id)


@history.post("/plan/<plan_id>/history/<number>/unname")
def unname(plan_id: str, number: str) -> AnyResponse:
    """Take the name of a revision away."""
    histories.drop_milestone(house(), plan_id, _number(number))
    return _to_history(plan_id)


@history.post("/plan/<plan_id>/history/<number>/back")
def back(plan_id: str, number: str) -> AnyResponse:
    """Make the plan what it was at a revision."""
    histories.go_back(house(), plan_id, _number(number))
    return redirect(url_for("pages.desk", plan_id=plan_id), 303)


@history.post("/backup")
def backup() -> Response | str:
    """Return all plans as one file; where some cannot be read, they are named first."""
    with tempfile.TemporaryDirectory(prefix="elbowroom-") as folder:
        file = Path(folder) / "backup"
        copied = histories.back_up_open(house(), file)
        if copied.unread and not request.form.get("known"):
            return render_template("backup.html", copied=copied)
        response = Response(file.read_bytes(), mimetype="application/octet-stream")
    name = f"elbowroom-{date.today().isoformat()}.backup"
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


@history.get("/api/plans/<plan_id>/history")
def api_history(plan_id: str) -> Response:
    """Return a page of the history; `below` of the answer asks for the next."""
    return jsonify(ok=True, **_past_json(histories.history(house(), plan_id, _below())))


@history.get("/api/plans/<plan_id>/compare")
def api_compare(plan_id: str) -> Response:
    """Return what differs between the revisions `from` and `to`."""
    comparison = _compared(plan_id)
    return jsonify(
        ok=True,
        summary=comparison.summary,
        told=comparison.phrases,
        gone=[_snag_json(snag, comparison.units) for snag in comparison.gone],
        come=[_snag_json(snag, comparison.units) for snag in comparison.come],
        **{"from": _side_json(comparison.old), "to": _side_json(comparison.new)},
    )


@history.post("/api/plans/<plan_id>/milestones")
def api_name(plan_id: str) -> Response:
    """Make a revision a milestone, or name it anew."""
    body = body_of(Milestone)
    histories.name_milestone(house(), plan_id, body.revision, body.name)
    return jsonify(ok=True, **_past_json(histories.history(house(), plan_id)))


@history.delete("/api/plans/<plan_id>/milestones/<number>")
def api_unname(plan_id: str, number: str) -> Response:
    """Take the name of a revision away."""
    histories.drop_milestone(house(), plan_id, _number(number))
    return jsonify(ok=True, **_past_json(histories.history(house(), plan_id)))


@history.post("/api/plans/<plan_id>/back")
def api_back(plan_id: str) -> Response:
    """Make the plan what it was at a revision; 409 when it is changed meanwhile."""
    histories.go_back(house(), plan_id, body_of(Revision).revision)
    return jsonify(plan_json(plan_id))


def _to_history(plan_id: str) -> AnyResponse:
    return redirect(url_for("history.page", plan_id=plan_id), 303)


def _number(text: str) -> int:
    """Read the number of a revision from an address; what is none names nothing."""
    if not re.fullmatch(r"[0-9]{1,15}", text):
        raise NotFoundError("There is no such revision.")
    return int(text)


def _below() -> int | None:
    asked = request.args.get("below")
    return None if not asked else _number(asked)


def _compared(plan_id: str) -> Comparison:
    old = _number(request.args.get("from", ""))
    asked = request.args.get("to")
    new = house().open(plan_id).revision if asked is None else _number(asked)
    return histories.compare(house(), plan_id, min(old, new), max(old, new))


def _past_json(past: Past) -> dict[str, Any]:
    return {
        "revision": past.state.revision,
        "lines": [_line_json(line) for line in past.lines],
        "milestones": [
            {"revision": m.number, "name": m.name, "made": m.made.isoformat()}
            for m in past.milestones
        ],
        "below": past.below,
    }


def _line_json(line: Line) -> dict[str, Any]:
    return {
        "revision": line.number,
        "what": line.what,
        "who": line.who,
        "at": line.at.isoformat(),
        "milestone": line.milestone,
        "stands_for": line.folded,
    }


def _side_json(side: Side) -> dict[str, Any]:
    return {**_line_json(side.line), "drawing": side.drawing, "marks": list(side.marks)}


def _snag_json(snag: Snag, units: Units) -> dict[str, str]:
    return {
        "key": snag.key,
        "severity": snag.severity,
        "who": snag.who,
        "sentence": snag.worded(units),
    }
