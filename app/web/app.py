"""Makes the Flask application."""

from __future__ import annotations

import mimetypes
from typing import Any

from flask import Flask

from app.resources import folder
from app.usecases.plans import Elbowroom
from app.web.api.following import STREAMS, Streams, following
from app.web.api.pictures import pictures
from app.web.api.plans import api
from app.web.compression import packing
from app.web.errors import answer_faults
from app.web.guard.guard import guard
from app.web.guard.only_me import only_with
from app.web.guard.requester import tell_templates
from app.web.guests.server import GuestServer
from app.web.house import put_house
from app.web.pages.accounts import account_pages
from app.web.pages.arranging import arranging_pages
from app.web.pages.figures import figure_pages
from app.web.pages.history import history
from app.web.pages.measuring import measuring
from app.web.pages.months import months_pages
from app.web.pages.options import option_pages
from app.web.pages.own_kit import kit_pages
from app.web.pages.people import people_pages
from app.web.pages.plans import pages
from app.web.pages.remarks import remark_pages
from app.web.pages.room import room_pages
from app.web.pages.share import put_guest_server, share_pages
from app.web.pages.sheets import sheets
from app.web.pages.sketch import sketch
from app.web.pages.starters import start_pages
from app.web.pages.walk import walk
from app.web.pages.works import work_pages
from app.web.templates import set_templates

MARK = "ELBOWROOM_MARK"
STREAMS_OPEN = 12
"""Browsers of this machine that may follow plans at once; each holds a thread of the server."""


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
    # A registry of types on the machine may call scripts something browsers refuse to run.
    mimetypes.add_type("text/javascript", ".js")
    mimetypes.add_type("font/woff", ".woff")
    app = Flask(
        "elbowroom", static_folder=folder("static"), template_folder=str(folder("templates"))
    )
    app.config[MARK] = mark
    settings: Any = app.json
    settings.compact = True
    settings.sort_keys = False
    set_templates(app)
    put_house(app, house)
    put_guest_server(app, guest_server or GuestServer(house, allowed=False))
    app.extensions[STREAMS] = Streams(1, STREAMS_OPEN - 1, STREAMS_OPEN)
    guard(app)
    if word is not None:
        only_with(app, word)
    packing(app)
    tell_templates(app)
    answer_faults(app)
    app.register_blueprint(api)
    app.register_blueprint(pages)
    app.register_blueprint(people_pages)
    app.register_blueprint(option_pages)
    app.register_blueprint(arranging_pages)
    app.register_blueprint(kit_pages)
    app.register_blueprint(start_pages)
    app.register_blueprint(pictures)
    app.register_blueprint(sketch)
    app.register_blueprint(sheets)
    app.register_blueprint(history)
    app.register_blueprint(room_pages)
    app.register_blueprint(account_pages)
    app.register_blueprint(months_pages)
    app.register_blueprint(work_pages)
    app.register_blueprint(walk)
    app.register_blueprint(measuring)
    app.register_blueprint(following)
    app.register_blueprint(remark_pages)
    app.register_blueprint(share_pages)
    app.register_blueprint(figure_pages)
    return app
