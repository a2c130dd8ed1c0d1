"""Walk round the room: the form, the outline as it grows, what the tape says of itself."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from flask import Blueprint, Response, jsonify, redirect, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from app.changes.commands import Command
from app.changes.difference import difference
from app.drawing.walk_figure import WalkDrawing, walk_figure
from app.errors import Fault, PlanError
from app.forms.walk_form import TypedWalk, field_name, fields_of, read_walk, rows_of
from app.forms.walk_report import Report, report
from app.model.base import LABEL_LIMIT, Point
from app.model.height_lines import fall_arrow, straight_rise
from app.model.plan import Plan
from app.model.room_walls import letter_at
from app.model.turning import as_it_is_drawn, turned_plan, turned_point
from app.model.walk_heights import place
from app.model.walk_room import Outline, first_plan, outlined, walk_of
from app.model.walk_solve import comes_back, so_far
from app.units import Units, format_length
from app.usecases.carrying_out import Fields
from app.web.api.body import Body, Texts, body_of
from app.web.guard.requester import link
from app.web.house import house
from app.web.pages.typed_forms import Refused, take_form

walk = Blueprint("walk", __name__)

AHEAD = 3
"""Quarters by which a first walk is turned: the first wall goes up, as one sees it from the door,
and the last, with the door in it, lies below."""
_FRESH_ROWS = {"length": 4, "diagonal": 2, "height": 2}
_MORE = {"wall": "length", "diagonal": "diagonal", "height": "height"}


class Walked(Body):
    """A walk as typed so far, and the plan of the room unless it is a new one."""

    fields: Texts
    plan: Any = None


@dataclass(frozen=True, slots=True)
class Seen:
    """What a form of a walk comes to: a drawing, a report once it is closed, faults by field.

    `read` tells that all of it could be read: what is wrong then is what it comes to.
    """

    drawing: str = ""
    report: Report | None = None
    outline: Outline | None = None
    to_go: str = ""
    faults: Mapping[str, str] = field(default_factory=dict)
    read: bool = True

    @property
    def wrong(self) -> list[tuple[str, str, str]]:
        """What is wrong at single fields: the field, what it is about, the sentence."""
        return [
            (name, field_name(name), sentence) for name, sentence in self.faults.items() if name
        ]


@dataclass(frozen=True, slots=True)
class Fall:
    """One way in which a ceiling may fall: the wall it rises from, the outline, the arrow down."""

    number: int
    letter: str
    corners: tuple[Point, ...]
    arrow: tuple[Point, Point]
    view: tuple[float, float, float, float]


@walk.get("/walk")
def new() -> str:
    """A walk round a room that has no plan yet."""
    return _page(None, {"units": request.args.get("units", "metric")}, Seen())


@walk.post("/walk")
def make() -> AnyResponse | str | tuple[str, int]:
    """Show a new walk again with another row or its outline, or make a plan of it."""
    form = request.form.to_dict()
    if form.get("act") != "use":
        return _again(None, form)
    seen = _look(None, form)
    if seen.outline is None or seen.faults:
        return _page(None, form, _not_back(seen)), 400
    if seen.outline.overhead is None:
        asked = {"height1": "tape the height from floor to ceiling at one place at least"}
        return _page(None, form, Seen(seen.drawing, seen.report, seen.outline, "", asked)), 400
    state = house().create(seen.outline.plan)
    return redirect(f"{request.script_root}/plan/{state.plan_id}/room?of=house", 303)


@walk.get("/plan/<plan_id>/walk")
def show(plan_id: str) -> str:
    """The walk of a plan's room, else its walls as a walk."""
    plan = house().open(plan_id).plan
    form = fields_of(walk_of(plan)) | {"back": "yes"}
    return _page(plan_id, form, _look(plan, form))


@walk.post("/plan/<plan_id>/walk")
def use(plan_id: str) -> AnyResponse | str | tuple[str, int]:
    """Show a walk again with another row or its outline, or put its outline into the plan."""
    form = request.form.to_dict()
    if form.get("act") != "use" and "insist" not in form:
        return _again(plan_id, form)
    seen = _look(house().open(plan_id).plan, form)
    if seen.outline is None or seen.faults:
        return _page(plan_id, form, _not_back(seen)), 400

    def show(refused: Refused) -> str:
        faults = {"": " ".join(refused.faults.values())}
        shown = Seen(seen.drawing, seen.report, seen.outline, "", faults)
        return _page(plan_id, refused.typed, shown, refused)

    return take_form(plan_id, _walked, show, lambda _, __: "room", form)


def _walked(plan: Plan, _: str, fields: Fields) -> Command | None:
    """Make the command that puts the outline of a walk into a plan. Raises PlanError."""
    typed = read_walk(fields, plan.units, walk_of(plan))
    after = as_it_is_drawn(outlined(plan, typed.walk).plan)
    return difference(plan, after, "room", "the outline as walked round")


@walk.post("/api/walk")
def look() -> Response:
    """Return the outline and the report of a walk as typed so far; nothing is kept.

    Body: `fields` (texts as typed) and `plan` (an id, or nothing for a new room). A guest walks
    round the room of their own link, whatever the body names.
    """
    body, guest = body_of(Walked), link()
    plan_id = str(body.plan or "") if guest is None else guest.plan_id
    plan = house().open(plan_id).plan if plan_id else None
    seen = _look(plan, body.fields)
    return jsonify(
        ok=True,
        answer=render_template("_walk_answer.html", **_context(seen), form=body.fields),
        faults=dict(seen.faults),
        closed=seen.outline is not None,
        drawn=bool(seen.drawing),
    )


def _again(plan_id: str | None, form: dict[str, str]) -> str:
    """Show the form again: with one row more, one less, or with what it comes to."""
    plan = house().open(plan_id).plan if plan_id else None
    act, _, which = form.pop("act", "").partition(":")
    if act == "more" and which in _MORE:
        name = _MORE[which]
        form[f"{name}{rows_of(form, name) + 1}"] = ""
    elif act == "drop" and which.isdecimal():
        form = _without_wall(form, int(which))
    return _page(plan_id, form, _look(plan, form))


def _without_wall(form: dict[str, str], gone: int) -> dict[str, str]:
    """Take the row of a wall out of the form; the rows after it move up."""
    rows = rows_of(form, "length")
    rest = dict(form)
    for name in ("length", "turn", "wall"):
        texts = [form.get(f"{name}{n}", "") for n in range(1, rows + 1) if n != gone]
        rest.pop(f"{name}{rows}", None)
        rest |= {f"{name}{n}": text for n, text in enumerate(texts, 1)}
    return rest


def _currency(form: Mapping[str, str]) -> str:
    """Return the money of a new plan as it was chosen; nothing where that goes with the units."""
    chosen = form.get("currency", "").strip().upper()
    return chosen if re.fullmatch("[A-Z]{3}", chosen) else ""


def _units(plan: Plan | None, form: Mapping[str, str]) -> Units:
    if plan is not None:
        return plan.units
    return "feet" if form.get("units") == "feet" else "metric"


def _look(plan: Plan | None, form: Mapping[str, str]) -> Seen:
    """Read and solve a walk as far as it goes."""
    units = _units(plan, form)
    try:
        typed = read_walk(form, units, None if plan is None else walk_of(plan))
    except PlanError as error:
        return Seen(_rough(plan, form, units), faults=_by_field(error.faults), read=False)
    if not typed.walk.steps:
        return Seen()
    closed = bool(form.get("back", "").strip()) or comes_back(typed.walk)
    if not closed:
        return _under_way(plan, typed, units)
    try:
        if plan is None:
            name = " ".join(form.get("name", "").split())[:LABEL_LIMIT] or "My room"
            first = first_plan(typed.walk, name, units, _currency(form))
            outlined_plan = replace(first, plan=turned_plan(first.plan, AHEAD))
        else:
            outlined_plan = outlined(plan, typed.walk)
    except PlanError as error:
        open_walk = _under_way(plan, typed, units)
        return Seen(open_walk.drawing, faults=_by_field(typed.beside(error.faults)))
    told = report(outlined_plan.solved, units)
    return Seen(_closed(outlined_plan, told, units), told, outlined_plan)


def _falls(seen: Seen) -> list[Fall]:
    """Return a little picture for each wall from which the ceiling may rise, if it is open."""
    outline = seen.outline
    if outline is None or outline.overhead is None:
        return []
    room, walk = outline.plan.room, outline.solved.walk
    places = [place(room, each.wall, each.along_mm, each.out_mm) for each in walk.heights]
    high = [each.height_mm for each in walk.heights]
    xs, ys = [x for x, _ in room.corners], [y for _, y in room.corners]
    edge = max(max(xs) - min(xs), max(ys) - min(ys)) / 12
    view = (min(xs) - edge, min(ys) - edge, max(xs) - min(xs) + 2 * edge,
            max(ys) - min(ys) + 2 * edge)  # fmt: skip
    shown = []
    for number in outline.overhead.open_between:
        arrow = fall_arrow(room, straight_rise(room, number, places, high).plane)
        if arrow is not None:
            shown.append(Fall(number, letter_at(number - 1), room.corners, arrow, view))
    return shown


def _by_field(faults: tuple[Fault, ...]) -> dict[str, str]:
    first: dict[str, str] = {}
    for fault in faults:
        first.setdefault(fault.field, fault.sentence)
    return first


def _rough(plan: Plan | None, form: Mapping[str, str], units: Units) -> str:
    """Draw the walls up to the first that cannot be read."""
    fields = {"hand": form.get("hand", "")}
    best = ""
    for n in range(1, rows_of(form, "length") + 1):
        fields |= {f"{name}{n}": form.get(f"{name}{n}", "") for name in ("length", "turn")}
        try:
            typed = read_walk(fields, units)
        except PlanError:
            return best
        if typed.walk.steps:
            best = _under_way(plan, typed, units).drawing
    return best


def _under_way(plan: Plan | None, typed: TypedWalk, units: Units) -> Seen:
    steps = typed.walk.steps
    corners = so_far(typed.walk)
    drawing = WalkDrawing(
        tuple(turned_point(at, AHEAD) for at in corners) if plan is None else corners,
        False,
        tuple(step.length_mm for step in steps),
        typed.walk.hand == "right",
    )
    gap = ((corners[-1][0]) ** 2 + (corners[-1][1]) ** 2) ** 0.5
    return Seen(walk_figure(drawing, units), to_go=format_length(gap, units))


def _closed(outline: Outline, told: Report, units: Units) -> str:
    solved, room = outline.solved, outline.plan.room
    disagreement = solved.disagree
    loud = set(disagreement.suspects) if disagreement else told.doubted
    count = len(solved.walk.steps)
    braces = solved.walk.diagonals
    drawing = WalkDrawing(
        room.corners,
        True,
        tuple(step.length_mm for step in solved.walk.steps),
        solved.walk.hand == "right",
        tuple((d.start - 1, d.end - 1) for d in braces),
        frozenset(i for i in loud if i < count),
        frozenset(i - 2 * count for i in loud if i >= 2 * count),
        frozenset(i for i in range(count) if solved.adjustment.used[count + i]),
        tuple(
            (place(room, each.wall, each.along_mm, each.out_mm), each.height_mm)
            for each in solved.walk.heights
        ),
        fall_arrow(room, room.ceiling.planes[0])
        if outline.overhead and len(room.ceiling.planes) == 1
        else None,
    )
    return walk_figure(drawing, units)


def _not_back(seen: Seen) -> Seen:
    if seen.faults:
        return seen
    sentence = "type at least three walls"
    if seen.to_go:
        sentence = (
            f"the walk is not back at its start: {seen.to_go} are missing. Walk on, or tick “I am "
            "back at the start”"
        )
    return Seen(seen.drawing, seen.report, seen.outline, seen.to_go, {"back": sentence})


def _context(seen: Seen) -> dict[str, Any]:
    return {"seen": seen, "drawing": Markup(seen.drawing), "falls": _falls(seen)}


def _page(
    plan_id: str | None, form: Mapping[str, str], seen: Seen, refused: Refused | None = None
) -> str:
    state = house().open(plan_id) if plan_id else None
    plan = state.plan if state else None
    walls = rows_of(form, "length") or _FRESH_ROWS["length"]
    return render_template(
        "walk.html",
        plan_id=plan_id,
        plan=plan,
        form=form,
        state=state,
        refused=refused or Refused(typed=form),
        errors=seen.faults,
        units=_units(plan, form),
        letters=[letter_at(i) for i in range(walls)],
        diagonals=max(rows_of(form, "diagonal"), _FRESH_ROWS["diagonal"]),
        heights=max(rows_of(form, "height"), _FRESH_ROWS["height"]),
        **_context(seen),
    )
