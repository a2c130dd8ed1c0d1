"""Makes the Flask application."""

from __future__ import annotations

import mimetypes
from typing import Any

from flask import Flask

from app.resources import folder
from app.service import Elbowroom
from app.web.account_pages import account_pages
from app.web.api import api
from app.web.errors import answer_faults
from app.web.figure_pages import figure_pages
from app.web.following import STREAMS, Streams, following
from app.web.guard import guard
from app.web.guest_server import GuestServer
from app.web.history import history
from app.web.house import put_house
from app.web.kit_pages import kit_pages
from app.web.measuring import measuring
from app.web.option_pages import option_pages
from app.web.packing import packing
from app.web.pages import pages
from app.web.people_pages import people_pages
from app.web.pictures import pictures
from app.web.remark_pages import remark_pages
from app.web.room_pages import room_pages
from app.web.share_pages import put_guest_server, share_pages
from app.web.sheets import sheets
from app.web.sketch import sketch
from app.web.start_pages import start_pages
from app.web.walk import walk
from app.web.who import tell_templates
from app.wording import example_length

MARK = "ELBOWROOM_MARK"
STREAMS_OPEN = 12
"""Browsers of this machine that may follow plans at once; each holds a thread of the server."""


def create_app(house: Elbowroom, mark: str = "", guest_server: GuestServer | None = None) -> Flask:
    """Make the application over a service; `mark` is what it answers to /api/hello.

    The caller closes the service, and stops the server for guests.
    """
    # A registry of types on the machine may call scripts something browsers refuse to run.
    mimetypes.add_type("text/javascript", ".js")
    app = Flask(
        "elbowroom", static_folder=folder("static"), template_folder=str(folder("templates"))
    )
    app.config[MARK] = mark
    settings: Any = app.json
    settings.compact = True
    settings.sort_keys = False
    app.jinja_env.trim_blocks = True
    app.jinja_env.lstrip_blocks = True
    app.jinja_env.filters["example"] = example_length
    put_house(app, house)
    put_guest_server(app, guest_server or GuestServer(house, allowed=False))
    app.extensions[STREAMS] = Streams(STREAMS_OPEN, STREAMS_OPEN)
    guard(app)
    packing(app)
    tell_templates(app)
    answer_faults(app)
    app.register_blueprint(api)
    app.register_blueprint(pages)
    app.register_blueprint(people_pages)
    app.register_blueprint(option_pages)
    app.register_blueprint(kit_pages)
    app.register_blueprint(start_pages)
    app.register_blueprint(pictures)
    app.register_blueprint(sketch)
    app.register_blueprint(sheets)
    app.register_blueprint(history)
    app.register_blueprint(room_pages)
    app.register_blueprint(account_pages)
    app.register_blueprint(walk)
    app.register_blueprint(measuring)
    app.register_blueprint(following)
    app.register_blueprint(remark_pages)
    app.register_blueprint(share_pages)
    app.register_blueprint(figure_pages)
    return app
