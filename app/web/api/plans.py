"""The API: JSON in, JSON out; every fault in the one shape of `errors`."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, current_app, jsonify, request

from app.errors import Fault, LengthError, PlanError
from app.forms.new_room import plan_from_form
from app.library.own import kits_of
from app.model.base import json_of
from app.units import Units, parse_length_mm
from app.usecases import searches
from app.usecases.as_found import do_as_found
from app.usecases.crowds import guests_moves
from app.usecases.judged import Judged
from app.usecases.picture_files import export_file, import_file
from app.usecases.plans import Entry
from app.usecases.verdict import remedy_json
from app.web.api.body import (
    Body,
    BodyError,
    Flag,
    Named,
    Number,
    Seen,
    Shows,
    Text,
    body_of,
    json_body,
    read_command,
    read_poses,
    typed_fields,
)
from app.web.api.shown import lays_own_picture, limits_of_asker, plans_along, shown_json
from app.web.guard.requester import author, left, link
from app.web.house import house

api = Blueprint("api", __name__, url_prefix="/api")


class Sample(Body):
    """A sample to make a plan of."""

    sample: Text


class Asked(Shows):
    """A command, the revision that it was made on, and whether a search found it in that."""

    command: Any
    revision: Seen = None
    as_found: Flag = False


class Moves(Body):
    """Pieces at other poses, and the revision whose verdict is at hand."""

    moves: Any = None
    against: Seen = None


class Sizes(Body):
    """A thing of three sizes; what kit it is, and whether it goes to the kit it is used in."""

    width_mm: Number
    depth_mm: Number
    height_mm: Number
    type: Any = None
    joins: Any = None
    chosen: Any = None


def plan_json(plan_id: str, drawing: bool = True) -> dict[str, Any]:
    """Return a plan as it stands, with its verdict, as JSON data."""
    return judged_json(house().judged(plan_id), drawing)


def judged_json(seen: Judged, drawing: bool) -> dict[str, Any]:
    """Return a revision with its verdict as JSON data."""
    state = seen.state
    data = {
        "ok": True,
        "id": state.plan_id,
        "revision": state.revision,
        "plan": json_of(state.plan),
        "can_undo": state.can_undo,
        "can_redo": state.can_redo,
        "undo_to": state.undo_to,
        "redo_to": state.redo_to,
        "undo_says": state.undo_says,
        "redo_says": state.redo_says,
        "verdict": seen.verdict,
    }
    if drawing:
        data["drawing"] = seen.drawing
    return data


def _entry_json(entry: Entry) -> dict[str, Any]:
    return {
        "id": entry.id,
        "name": entry.name,
        "revision": entry.revision,
        "created": entry.created.isoformat(),
        "changed": entry.changed.isoformat(),
        "deleted": None if entry.deleted is None else entry.deleted.isoformat(),
    }


def _made(plan_id: str) -> tuple[Response, int]:
    return jsonify(plan_json(plan_id)), 201


@api.get("/hello")
def hello() -> Response:
    """Say that this is the program, and which start of it."""
    return jsonify(ok=True, name="elbowroom", mark=current_app.config["ELBOWROOM_MARK"])


@api.get("/plans")
def list_plans() -> Response:
    """List the plans, and those that can be brought back."""
    return jsonify(
        ok=True,
        plans=[_entry_json(entry) for entry in house().list_plans()],
        deleted=[_entry_json(entry) for entry in house().list_plans(deleted=True)],
    )


@api.post("/plans")
def create() -> tuple[Response, int]:
    """Make a plan from the fields of a new room, or from a sample."""
    if "sample" in json_body():
        return _made(house().create_sample(body_of(Sample).sample).plan_id)
    return _made(house().create(plan_from_form(typed_fields())).plan_id)


@api.post("/plans/import")
def import_plan() -> tuple[Response, int]:
    """Make a plan from a plan file, with or without its picture; it is the whole body."""
    return _made(import_file(house(), request.get_data()).plan_id)


@api.get("/plans/<plan_id>")
def show(plan_id: str) -> Response:
    """Return a plan as it stands; to guests who may not change it, what their page shows."""
    if not plans_along():
        return jsonify(shown_json(house().judged(plan_id)))
    return jsonify(plan_json(plan_id))


@api.delete("/plans/<plan_id>")
def delete(plan_id: str) -> Response:
    """Put a plan aside."""
    house().delete(plan_id)
    return jsonify(ok=True)


@api.post("/plans/<plan_id>/restore")
def restore(plan_id: str) -> Response:
    """Bring a deleted plan back."""
    house().restore(plan_id)
    return jsonify(plan_json(plan_id))


@api.post("/plans/<plan_id>/copy")
def copy(plan_id: str) -> tuple[Response, int]:
    """Make a copy of a plan."""
    return _made(house().copy(plan_id).plan_id)


@api.post("/plans/<plan_id>/name")
def rename(plan_id: str) -> Response:
    """Rename a plan."""
    house().rename(plan_id, body_of(Named).name, author())
    return jsonify(plan_json(plan_id))


@api.get("/plans/<plan_id>/export")
def export(plan_id: str) -> Response:
    """Return the plan as a file, its picture with it; photos of the works where asked for."""
    name, text = export_file(house(), plan_id, request.args.get("photos") == "yes")
    response = Response(text, mimetype="application/json")
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


@api.post("/plans/<plan_id>/commands")
def command(plan_id: str) -> Response:
    """Carry a command out; 409 when the plan has been changed meanwhile.

    With `revision`, the one that the command was made on, it is merged with what came since; a
    409 then holds both versions. With `as_found` it is a way out, or what mends all, and is carried
    out on that revision alone. With `drawing` false the answer comes sooner, without one.
    """
    body = body_of(Asked)
    asked = read_command(body.command)
    lays_own_picture(house().open(plan_id).plan, asked)
    if body.as_found:
        do_as_found(house(), plan_id, asked, author(), body.revision, limits_of_asker())
    else:
        house().do(plan_id, asked, author(), body.revision, limits_of_asker())
    return jsonify(plan_json(plan_id, body.drawing))


@api.post("/plans/<plan_id>/undo")
def undo(plan_id: str) -> Response:
    """Take the last command back."""
    drawing = body_of(Shows).drawing
    house().undo(plan_id, author(), limits_of_asker())
    return jsonify(plan_json(plan_id, drawing))


@api.post("/plans/<plan_id>/redo")
def redo(plan_id: str) -> Response:
    """Do the last undone command again."""
    drawing = body_of(Shows).drawing
    house().redo(plan_id, author(), limits_of_asker())
    return jsonify(plan_json(plan_id, drawing))


@api.post("/plans/<plan_id>/try")
def try_moves(plan_id: str) -> Response:
    """Return the verdict with pieces at other poses; nothing is kept.

    With `against`, a revision whose verdict is at hand, only the rows that differ from it are
    given, as `changed`; the whole verdict where that revision is not the newest. `money` are the
    lines of the list that change with it, in words, where some do; guests see none.
    """
    body = body_of(Moves)
    poses, against = read_poses(body.moves), body.against
    if link() is not None:
        guests_moves(house().open(plan_id).plan, poses)
    lines = [] if link() is not None else house().money_of(plan_id, poses)
    money = {"money": lines} if lines else {}
    if against is None:
        return jsonify(ok=True, verdict=house().try_moves(plan_id, poses), **money)
    changed, verdict = house().try_against(plan_id, poses, against)
    if changed is None:
        return jsonify(ok=True, verdict=verdict, **money)
    return jsonify(ok=True, changed=changed, **money)


@api.get("/plans/<plan_id>/remedies")
def remedies(plan_id: str) -> Response:
    """Return what may be offered for each snag, and the revision that was looked at.

    With `first` what one change mends alone, which comes sooner.
    """
    first = "first" in request.args
    revision, ways = searches.remedies(house(), plan_id, left(), first=first)
    offered = {key: remedy_json(remedy) for key, remedy in ways.remedies.items()}
    return jsonify(ok=True, revision=revision, remedies=offered, tried=dict(ways.tried))


@api.get("/plans/<plan_id>/mending/now")
def mending_now(plan_id: str) -> Response:
    """Return how far the search for what mends all of it is: what it looks at, what it took."""
    progress = house().judged(plan_id).findings.mending_so_far
    return jsonify(ok=True, looking=progress.looking, taken=list(progress.taken))


@api.get("/plans/<plan_id>/mending")
def mending(plan_id: str) -> Response:
    """Return what mends all of it: the steps in words and one command for all of them."""
    revision, mended = searches.mend_all(house(), plan_id, left())
    return jsonify(
        ok=True,
        revision=revision,
        steps=list(mended.steps),
        command=None if mended.command is None else json_of(mended.command),
        stops_left=mended.stops_left,
        cares_left=mended.cares_left,
        price=mended.price,
        ended_early=mended.ended_early,
    )


@api.get("/plans/<plan_id>/walls/<piece_id>")
def walls(plan_id: str, piece_id: str) -> Response:
    """Return the best place along each wall for the station of a piece, the best wall first."""
    best, left_out = searches.four_walls(house(), plan_id, piece_id, left())
    places = [
        {
            "wall": place.wall,
            "sentence": place.sentence,
            "stops": place.stops,
            "cares": place.cares,
            "free_m2": round(place.free_m2, 2),
            "poses": {member: json_of(pose) for member, pose in place.poses.items()},
        }
        for place in best
    ]
    return jsonify(ok=True, places=places, left_out=list(left_out))


@api.get("/length")
def length() -> Response:
    """Return how a length that a person wrote is read: mm, or the sentence that says why not."""
    units = request.args.get("units", "metric")
    if units not in ("metric", "feet"):
        raise BodyError("The units must be metric or feet.")
    understood: Units = "feet" if units == "feet" else "metric"
    try:
        return jsonify(ok=True, mm=parse_length_mm(request.args.get("text", ""), understood))
    except LengthError as error:
        return jsonify(ok=True, mm=None, sentence=error.sentence)


@api.post("/plans/<plan_id>/fits")
def fits(plan_id: str) -> Response:
    """Return whether and where a thing of three sizes fits.

    With `joins` a bar or a bench goes to the rack it is used in: the `chosen` one or the only one.
    """
    body, type_key = _asked_of(plan_id)
    if type_key is not None and body.joins is True:
        mine = body.chosen if isinstance(body.chosen, str) else None
        joined = searches.joining(house(), plan_id, type_key, mine, left())
        if joined is not None:
            place = json_of(joined.pose)
            return jsonify(ok=True, fits=True, sentence="", place=place, carried_by=joined.host)
    asked = body.width_mm, body.depth_mm, body.height_mm
    offer = searches.fit_offer(house(), plan_id, asked, type_key, left())
    return jsonify(
        ok=True,
        fits=offer.fits,
        sentence=offer.sentence,
        place=None if offer.place is None else json_of(offer.place),
        tallest_mm=offer.tallest_mm,
    )


@api.post("/plans/<plan_id>/places")
def places(plan_id: str) -> Response:
    """Return places where a thing of three sizes could stand, and what each costs in room."""
    body, type_key = _asked_of(plan_id)
    asked = body.width_mm, body.depth_mm, body.height_mm
    spots, units = searches.places_for(house(), plan_id, asked, type_key, left())
    return jsonify(
        ok=True,
        places=[
            {
                "pose": json_of(spot.pose),
                "sentence": spot.sentence(units),
                "stops": spot.stops,
                "cares": spot.cares,
                "free_m2": round(spot.free_m2, 2),
            }
            for spot in spots
        ],
    )


def _asked_of(plan_id: str) -> tuple[Sizes, str | None]:
    """Return the sizes that were asked about, and of which kit type. Raises PlanError."""
    body = body_of(Sizes)
    sizes = body.model_dump(include={"width_mm", "depth_mm", "height_mm"})
    faults = [
        Fault(side, f"must be more than nothing and at most 20 m (65 ft), not {size:,.10g} mm")
        for side, size in sizes.items()
        if not 0 < size <= 20_000
    ]
    type_key = body.type or None
    kits = kits_of(house().open(plan_id).plan)
    if type_key is not None and (not isinstance(type_key, str) or type_key not in kits):
        faults.append(Fault("type", "there is no such kit type in the library"))
    if faults:
        raise PlanError(*faults)
    return body, type_key


@api.get("/plans/<plan_id>/look")
def look(plan_id: str) -> Response:
    """Return the desk's drawing with the revision that it shows."""
    seen = house().judged(plan_id)
    return jsonify(ok=True, revision=seen.state.revision, drawing=seen.drawing)


@api.get("/plans/<plan_id>/revisions/<int:number>")
def at_revision(plan_id: str, number: int) -> Response:
    """Return a plan as it was at a revision that is kept, judged and drawn."""
    return jsonify(judged_json(house().judged_at(plan_id, number), drawing=True))


@api.get("/plans/<plan_id>/drawing")
def drawing(plan_id: str) -> Response:
    """Return the desk's drawing as SVG."""
    return Response(house().desk_drawing(plan_id), mimetype="image/svg+xml")
