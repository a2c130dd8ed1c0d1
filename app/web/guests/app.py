"""The application for guests: one plan for each link, and of it what the link's right allows.

It is served on the home network, where anybody may knock. Every address begins with the secret
of a link; what is not in the table of rights is not there for any guest.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any

from flask import Blueprint, Flask, Response, current_app, jsonify, render_template, request
from markupsafe import Markup

from app.errors import NotFoundError, StoreError
from app.model.base import json_of
from app.usecases.options import options_of
from app.usecases.plans import Elbowroom
from app.usecases.room_picture import shown_picture
from app.usecases.sharing import Link, Rights, opened_by
from app.web.api.following import Streams, following
from app.web.api.pictures import pictures
from app.web.api.plans import api
from app.web.api.shown import shown_verdict
from app.web.bare_app import bare_app, finish
from app.web.errors import answer_own
from app.web.guard.guard import RefusedError, guard
from app.web.guard.requester import LINK, STRANGER, link
from app.web.guests.limits import Buckets
from app.web.guests.lines import LINE, Line
from app.web.guests.options import guest_options
from app.web.house import house
from app.web.pages.laying import lay_pages
from app.web.pages.plans import pages
from app.web.pages.remarks import remark_pages, remarks_json
from app.web.pages.room import room_pages
from app.web.pages.sheets import sheets
from app.web.pages.shopping import shopping_pages
from app.web.pages.sketch import sketch
from app.web.pages.walk import walk
from app.web.pages.works import work_pages

BODY_LIMIT = 2_000_000
BURST = 400.0
PER_SECOND = 80.0
STRANGE_BURST = 60.0
STRANGE_PER_SECOND = 2.0

RANK: dict[Rights, int] = {"look": 0, "comment": 1, "edit": 2}
RIGHTS: dict[str, Rights] = {
    "static": "look",
    "guests.page": "look",
    "guests.picture": "look",
    "guest_options.page": "look",
    "api.show": "look",
    "api.drawing": "look",
    "following.stream": "look",
    "remarks.listed": "look",
    "sketch.picture": "look",
    "sheets.choose": "look",
    "sheets.page": "look",
    "sheets.svg": "look",
    "sheets.pdf": "look",
    "pages.cautions": "look",
    "work_pages.show": "look",
    "work_pages.today_page": "look",
    "shopping_pages.show": "look",
    "lay_pages.show": "look",
    "remarks.add": "comment",
    "remarks.reply": "comment",
    "remarks.settle": "comment",
    "remarks.vote": "comment",
    "guest_options.vote": "comment",
    "pages.desk": "edit",
    "pages.shelf": "edit",
    "pages.people": "edit",
    "room_pages.room": "edit",
    "room_pages.ask": "edit",
    "room_pages.change": "edit",
    "room_pages.parts": "edit",
    "room_pages.command": "edit",
    "pictures.section": "edit",
    "pictures.region": "edit",
    "pictures.ways": "edit",
    "pictures.picture_now": "edit",
    "walk.show": "edit",
    "walk.use": "edit",
    "walk.look": "edit",
    "work_pages.change": "edit",
    "work_pages.tick": "edit",
    "work_pages.photo": "edit",
    "shopping_pages.tick": "edit",
    "lay_pages.tick": "edit",
    "api.command": "edit",
    "api.undo": "edit",
    "api.redo": "edit",
    "api.look": "edit",
    "api.at_revision": "edit",
    "api.rename": "edit",
    "api.try_moves": "edit",
    "api.remedies": "edit",
    "api.mending": "edit",
    "api.mending_now": "edit",
    "api.walls": "edit",
    "api.length": "edit",
    "api.fits": "edit",
    "api.places": "edit",
}
"""What each endpoint asks for at the least. One that is missing here is shut for every guest."""
TICKING = frozenset(
    {"work_pages.tick", "work_pages.photo", "shopping_pages.tick", "lay_pages.tick"}
)
"""What a link that ticks may do beside what its right allows."""

WORDS: dict[Rights, str] = {
    "look": "look at the plan",
    "comment": "look at the plan, pencil remarks on it and vote",
    "edit": "change the plan, and pencil remarks on it",
}

OUT_OF_ORDER = (
    "The plans cannot be read or kept just now. The machine that they are on can say why: ask "
    "whoever gave you the link."
)
GUEST_PAGE = "/guest"
GUEST_PICTURE = "/guest/picture"
guests = Blueprint("guests", __name__)


class _Door:
    """Looks up the link in an address and takes it off, before the application sees the rest.

    What begins otherwise comes to the application without a link, and is shut out there.
    """

    def __init__(self, inside: Callable[..., Iterable[bytes]], elbowroom: Elbowroom) -> None:
        self._inside = inside
        self._elbowroom = elbowroom

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        link_address = re.fullmatch(
            r"/g/([A-Za-z0-9_-]{20,64})(/.*)?", environ.get("PATH_INFO", "")
        )
        environ.pop(LINK, None)
        if link_address is not None:
            environ[LINK] = _Knock(self._elbowroom, link_address[1])
            environ["SCRIPT_NAME"] = f"{environ.get('SCRIPT_NAME', '')}/g/{link_address[1]}"
            rest = link_address[2] or "/"
            environ["PATH_INFO"] = GUEST_PAGE if rest == "/" else rest
        return self._inside(environ, start_response)


class _Knock:
    """A secret that has not been looked at yet."""

    def __init__(self, elbowroom: Elbowroom, secret: str) -> None:
        self._elbowroom = elbowroom
        self._secret = secret

    def link(self) -> Link | None:
        return opened_by(self._elbowroom, self._secret)


def create_guest_app(elbowroom: Elbowroom, names: frozenset[str], streams: Streams) -> Flask:
    """Make the application for guests, answering to the hosts `names`."""
    app = bare_app("elbowroom-guests", elbowroom, streams)
    app.extensions["elbowroom-buckets"] = Buckets(BURST, PER_SECOND)
    app.extensions["elbowroom-strangers"] = Buckets(STRANGE_BURST, STRANGE_PER_SECOND)
    guard(app, names, BODY_LIMIT)
    app.before_request(_admit)
    finish(app)
    app.register_error_handler(StoreError, _without_paths)
    for blueprint in (
        api,
        pages,
        pictures,
        sketch,
        sheets,
        room_pages,
        following,
        remark_pages,
        guests,
        guest_options,
        work_pages,
        shopping_pages,
        lay_pages,
        walk,
    ):
        app.register_blueprint(blueprint)
    app.wsgi_app = _Door(app.wsgi_app, elbowroom)  # type: ignore[method-assign]
    return app


@guests.get(GUEST_PAGE)
def page() -> str:
    """The guest's page: the plan, its snags, the remarks, the sheet."""
    came_by = link()
    assert came_by is not None
    seen = house().judged(came_by.plan_id)
    picture = seen.state.plan.picture
    return render_template(
        "guest.html",
        plan=seen.state.plan,
        plan_id=came_by.plan_id,
        rights=came_by.rights,
        may=WORDS[came_by.rights],
        options=len(options_of(house(), came_by.plan_id)),
        drawing=Markup(seen.drawing),
        money=came_by.money,
        page_data={
            "id": came_by.plan_id,
            "rights": came_by.rights,
            "name": came_by.name,
            "revision": seen.state.revision,
            "verdict": shown_verdict(seen),
            "said": remarks_json(came_by.plan_id),
            "picture": picture and json_of(picture),
            "sketch": picture is None or house().store.pictures.holds(picture.id),
        },
    )


@guests.get(GUEST_PICTURE)
def picture() -> Response:
    """The room as a picture, for the guest's page to show where it is come to."""
    came_by = link()
    assert came_by is not None
    return jsonify(ok=True, svg=shown_picture(house(), came_by.plan_id).svg)


def _without_paths(error: StoreError) -> Response:
    """Tell a guest that something ails the file of plans; the owner is told what and where."""
    return answer_own(StoreError(OUT_OF_ORDER))


def _admit() -> None:
    """Let nobody by but a guest whose link opens this plan and allows this."""
    knock = request.environ.pop(LINK, None)
    address = request.remote_addr or ""
    came_by = knock.link() if isinstance(knock, _Knock) else None
    line = request.environ.get(LINE)
    if isinstance(line, Line):
        line.named(None if came_by is None else came_by.id)
    if came_by is None:
        request.environ[STRANGER] = True
        current_app.extensions["elbowroom-strangers"].take(address)
        raise NotFoundError("There is nothing at this address. The link may have ended.")
    request.environ[LINK] = came_by
    current_app.extensions["elbowroom-buckets"].take(f"{came_by.id} {address}")
    needed = RIGHTS.get(request.endpoint or "")
    asked = (request.view_args or {}).get("plan_id", came_by.plan_id)
    if needed is None or asked != came_by.plan_id:
        raise NotFoundError("There is nothing at this address.")
    if came_by.ticks and request.endpoint in TICKING:
        return
    if RANK[came_by.rights] < RANK[needed]:
        raise RefusedError(f"This link lets you {WORDS[came_by.rights]}; not more.")
