"""Who asks: the owner on this machine, or a guest by a link. The link comes with the request."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Flask, request

from app.usecases.sharing import OWNER, Link

LINK = "elbowroom.link"
STRANGER = "elbowroom.stranger"
"""Set where no link opens: pages of faults then refer to nothing that is shut as well."""
OWNER_NAME = "the desk"


def link() -> Link | None:
    """Return the link that the guest came by; None for the owner."""
    came_by = request.environ.get(LINK)
    return came_by if isinstance(came_by, Link) else None


def author() -> str:
    """Return the name under which changes are kept."""
    came_by = link()
    return OWNER if came_by is None else came_by.name


def voice() -> str:
    """Return what tells two speakers of the same name apart."""
    came_by = link()
    return OWNER if came_by is None else came_by.id


def shown_name(name: str) -> str:
    """Return what an author is called on pages."""
    return OWNER_NAME if name == OWNER else name


def tell_templates(app: Flask) -> None:
    """Let every template know what stands before its addresses, and which guest asks."""
    app.context_processor(_known)


def _known() -> dict[str, Any]:
    return {"base": request.script_root, "guest": link()}


def left() -> Callable[[], bool]:
    """Return what tells whether the browser that asked has gone; the server notices a shut line."""
    gone: Callable[[], bool] = request.environ.get("waitress.client_disconnected", lambda: False)
    return gone
