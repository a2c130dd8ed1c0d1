"""The one service behind all pages, as the running application holds it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from flask import Flask, current_app

from app.usecases.plans import Elbowroom

T = TypeVar("T")

KEY = "elbowroom"


def put_house(app: Flask, house: Elbowroom) -> None:
    """Hand the application its service."""
    app.extensions[KEY] = house


def house() -> Elbowroom:
    """Return the service of the application that answers just now."""
    found = current_app.extensions[KEY]
    assert isinstance(found, Elbowroom)
    return found


def beside(kind: Callable[[Elbowroom], T]) -> T:
    """Return what a class makes of the service, made once for each application."""
    kept: dict[object, T] = current_app.extensions.setdefault(f"{KEY}-beside", {})
    if kind not in kept:
        kept.setdefault(kind, kind(house()))
    return kept[kind]
