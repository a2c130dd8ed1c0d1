"""Makes the Flask application."""

from __future__ import annotations

import mimetypes
from typing import Any

from flask import Flask

from app.resources import folder
from app.service import Elbowroom
from app.web.api import api
from app.web.errors import answer_faults
from app.web.guard import guard
from app.web.history import history
from app.web.house import put_house
from app.web.pages import pages
from app.web.pictures import pictures
from app.web.room_pages import room_pages
from app.web.sheets import sheets

MARK = "ELBOWROOM_MARK"


def create_app(house: Elbowroom, mark: str = "") -> Flask:
    """Make the application over a service; `mark` is what it answers to /api/hello.

    The caller closes the service.
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
    put_house(app, house)
    guard(app)
    answer_faults(app)
    app.register_blueprint(api)
    app.register_blueprint(pages)
    app.register_blueprint(pictures)
    app.register_blueprint(sheets)
    app.register_blueprint(history)
    app.register_blueprint(room_pages)
    return app
