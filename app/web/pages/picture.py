"""The room as a picture, from any of four corners."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, render_template, request
from markupsafe import Markup

from app.drawing.picture_view import CORNERS
from app.usecases.room_picture import shown_picture
from app.web.house import house

picture_pages = Blueprint("picture_pages", __name__)

OPEN = "open"


@picture_pages.get("/plan/<plan_id>/picture")
def show_picture(plan_id: str) -> str:
    """The picture; `corner` says from where it is seen, `door` whether garage doors are open."""
    corner = _corner(request.args.get("corner", ""))
    door_open = request.args.get("door") == OPEN
    shown = shown_picture(house(), plan_id, corner, door_open=door_open)
    asked: dict[str, Any] = {"door": OPEN} if door_open else {}
    return render_template(
        "picture.html",
        plan_id=plan_id,
        plan=shown.state.plan,
        revision=shown.state.revision,
        drawing=Markup(shown.svg),
        words=shown.words,
        corner=corner,
        next_corner={**asked, "corner": (corner + 1) % CORNERS},
        last_corner={**asked, "corner": (corner - 1) % CORNERS},
        other_door={"corner": corner} if door_open else {"corner": corner, "door": OPEN},
        door_open=door_open,
        opens=shown.opens,
    )


def _corner(text: str) -> int:
    return int(text) if text in {str(each) for each in range(CORNERS)} else 0
