"""What the application of this machine and the one for guests have in common."""

from __future__ import annotations

import mimetypes
from typing import Any

from flask import Flask

from app.resources import folder
from app.usecases.plans import Elbowroom
from app.web.api.following import STREAMS, Streams
from app.web.compression import packing
from app.web.errors import answer_faults
from app.web.guard.requester import tell_templates
from app.web.house import put_house
from app.web.program_files import serve_program_files
from app.web.templates import set_templates


def bare_app(name: str, house: Elbowroom, streams: Streams) -> Flask:
    """Return an application over a service, with nothing to answer yet."""
    # A registry of types on the machine may call scripts something browsers refuse to run.
    mimetypes.add_type("text/javascript", ".js")
    mimetypes.add_type("font/woff", ".woff")
    app = Flask(name, static_folder=folder("static"), template_folder=str(folder("templates")))
    serve_program_files(app)
    settings: Any = app.json
    settings.compact = True
    settings.sort_keys = False
    set_templates(app)
    put_house(app, house)
    app.extensions[STREAMS] = streams
    return app


def finish(app: Flask) -> None:
    """Let it pack what it sends, know who asks, and answer faults; after all that may refuse."""
    packing(app)
    tell_templates(app)
    answer_faults(app)
