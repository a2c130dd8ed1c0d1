"""Photos of a wall: what it looks like today, and what is in it before it is covered."""

from __future__ import annotations

from app.forms.photo_field import PHOTO, one_less, one_more
from app.forms.room_edits_walls import WALLS
from app.forms.thing_edits import Done, Edits
from app.forms.typed_fields import Typed
from app.model.plan import Plan
from app.model.room import PHOTOS_A_WALL, Wall
from app.model.room_check import changed_plan
from app.model.room_walls import letter


def _with(plan: Plan, wall: Wall, photos: tuple[str, ...]) -> Plan:
    walls = tuple(
        Wall(**{**one.model_dump(), "photos": photos}) if one.id == wall.id else one
        for one in plan.room.walls
    )
    return changed_plan(plan, "photo", walls=walls)


def _add(plan: Plan, typed: Typed) -> Done:
    wall = WALLS.named(plan, typed)
    photos = one_more(wall.photos, typed.text(PHOTO), PHOTOS_A_WALL, "wall")
    return _with(plan, wall, photos), f"a photo of wall {letter(plan.room, wall.id)}"


def _remove(plan: Plan, typed: Typed) -> Done:
    wall = WALLS.named(plan, typed)
    photos = one_less(wall.photos, typed.text("kept"))
    says = f"a photo of wall {letter(plan.room, wall.id)} taken away"
    return _with(plan, wall, photos), says


EDITS: Edits = {"wall-photo": _add, "remove-wall-photo": _remove}
