"""Makes the Flask application."""

from __future__ import annotations

from flask import Flask

from app.usecases.plans import Elbowroom
from app.web.api.following import Streams, following
from app.web.api.pictures import pictures
from app.web.api.plans import api
from app.web.bare_app import bare_app, finish
from app.web.guard.guard import guard
from app.web.guard.only_me import only_with
from app.web.guests.server import GuestServer
from app.web.pages.accounts import account_pages
from app.web.pages.arranging import arranging_pages
from app.web.pages.figures import figure_pages
from app.web.pages.fitting import fitting_pages
from app.web.pages.history import history
from app.web.pages.laying import lay_pages
from app.web.pages.measuring import measuring
from app.web.pages.months import months_pages
from app.web.pages.options import option_pages
from app.web.pages.own_kit import kit_pages
from app.web.pages.people import people_pages
from app.web.pages.picture import picture_pages
from app.web.pages.plans import pages
from app.web.pages.remarks import remark_pages
from app.web.pages.room import room_pages
from app.web.pages.share import put_guest_server, share_pages
from app.web.pages.sheets import sheets
from app.web.pages.shopping import shopping_pages
from app.web.pages.sketch import sketch
from app.web.pages.starters import start_pages
from app.web.pages.walk import walk
from app.web.pages.works import work_pages

MARK = "ELBOWROOM_MARK"
STREAMS_OPEN = 12
"""Browsers of this machine that may follow plans at once; each holds a thread of the server."""


def own_streams() -> Streams:
    """Return the places for browsers of this machine that follow plans."""
    return Streams(1, STREAMS_OPEN - 1, STREAMS_OPEN)


def create_app(
    house: Elbowroom,
    mark: str = "",
    guest_server: GuestServer | None = None,
    word: str | None = None,
) -> Flask:
    """Make the application over a service; `mark` is what it answers to /api/hello.

    With a `word` it answers only addresses that begin with it.

    The caller closes the service, and stops the server for guests.
    """
    app = bare_app("elbowroom", house, own_streams())
    app.config[MARK] = mark
    put_guest_server(app, guest_server or GuestServer(house, allowed=False))
    guard(app)
    if word is not None:
        only_with(app, word)
    finish(app)
    for blueprint in (
        api,
        pages,
        people_pages,
        option_pages,
        arranging_pages,
        kit_pages,
        fitting_pages,
        start_pages,
        pictures,
        sketch,
        sheets,
        history,
        room_pages,
        account_pages,
        lay_pages,
        shopping_pages,
        months_pages,
        picture_pages,
        work_pages,
        walk,
        measuring,
        following,
        remark_pages,
        share_pages,
        figure_pages,
    ):
        app.register_blueprint(blueprint)
    return app
