"""The one service behind all pages, as the running application holds it."""

from __future__ import annotations

from flask import Flask, current_app

from app.usecases.plans import Elbowroom

KEY = "elbowroom"


def put_house(app: Flask, house: Elbowroom) -> None:
    """Hand the application its service."""
    app.extensions[KEY] = house


def house() -> Elbowroom:
    """Return the service of the application that answers just now."""
    elbowroom = current_app.extensions[KEY]
    assert isinstance(elbowroom, Elbowroom)
    return elbowroom
