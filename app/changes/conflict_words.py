"""Both versions of a place that two people changed, in words: what stands, what was meant."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from app.changes.commands import Change
from app.changes.merging import CORNERS, Clash, ClashError
from app.changes.telling import tell
from app.model.fronts import front_of
from app.model.plan import Plan
from app.model.room import Room
from app.model.room_walls import letter_at
from app.units import format_length, format_money

SPELLED_OUT = frozenset(
    {"room", "fit_out", "money", "overrides", "own_kit", "situations", "way_in", "works", "phasing"}
)
"""What stands in these is told field by field: its phrases would else name the list alone."""
LISTS = frozenset(
    {
        *(
            "room",
            "fit_out",
            "money",
            "overrides",
            "own_kit",
            "situations",
            "way_in",
            "works",
            "phasing",
        ),
        *("openings", "low_things", "columns", "sockets", "circuits", "planes"),
        *("floors", "paint", "strips", "mirrors", "projections", "prices", "entries"),
        *("free", "extra", "loud", "days_off", "stored", "tasks", "deliveries", "things"),
    }
)
"""Steps of a path that hold things and are none themselves."""
NO_LONGER = "{name} as it was"


def both_in_words(
    error: ClashError, names: Mapping[str, str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return a phrase for each place: what others made of it, and what was meant.

    `names` are what to call pieces and people, by id.
    """
    theirs = _phrases(error, names, error.now, mine=False)
    meant = _phrases(error, names, error.mine, mine=True)
    return theirs, meant


def _phrases(
    error: ClashError, names: Mapping[str, str], plan: Plan, mine: bool
) -> tuple[str, ...]:
    phrases: list[str] = []
    for clash in error.clashes:
        value = clash.mine if mine else clash.now
        if clash.path[:2] == ("room", "walls"):
            phrases += _walls(clash, value, error.base.room, plan)
            continue
        if clash.path[0] in SPELLED_OUT and not isinstance(value, list):
            phrases.append(_spelled_out(clash.path, value, names, plan))
            continue
        change = Change(path=clash.path, before=clash.base, after=value)
        phrases += tell([change], names, plan.units, plan.currency, front=front_of(plan)) or (
            _plain(clash, names),
        )
    return tuple(dict.fromkeys(phrases))


def _plain(clash: Clash, names: Mapping[str, str]) -> str:
    thing = clash.path[1] if len(clash.path) > 1 else clash.path[0]
    return NO_LONGER.format(name=names.get(thing, thing.replace("-", " ")))


def _spelled_out(path: tuple[str, ...], value: Any, names: Mapping[str, str], plan: Plan) -> str:
    """Return what one place holds, such as "Window 1: width 900 mm" or "Window 1 taken away"."""
    way = [step for step in path if step not in LISTS]
    called = [names.get(step, step if "." in step else step.replace("-", " ")) for step in way]
    field = way[-1]
    if isinstance(value, dict):
        phrase = f"{called[-1]} changed"
    elif value is None and path[-2] in LISTS:
        phrase = f"{called[-1]} taken away"
    else:
        words = field.removesuffix("_mm").removesuffix("_minor").replace("_", " ")
        phrase = f"{words} {_value(field, value, plan)}"
        if len(called) > 1:
            phrase = f"{called[-2]}: {phrase}"
    return phrase[:1].upper() + phrase[1:]


def _value(field: str, value: Any, plan: Plan) -> str:
    if value is None:
        return "not given"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        if field.endswith("_mm"):
            return format_length(value, plan.units)
        return format_money(int(value), plan.currency) if field.endswith("minor") else f"{value:g}"
    return f"“{value}”" if str(value).strip() else "not given"


def _walls(clash: Clash, value: Any, before: Room, plan: Plan) -> list[str]:
    room = plan.room
    if clash.path == CORNERS:
        was = {wall.id: before.wall_length_mm(wall.id) for wall in before.walls}
        return [
            f"Wall {letter_at(index)}: {format_length(length, plan.units)} long"
            for index, wall in enumerate(room.walls)
            if round(length := room.wall_length_mm(wall.id)) != round(was.get(wall.id, 0))
        ] or ["The corners of the room moved"]
    if len(clash.path) < 4:
        return [f"{len(room.walls)} walls, drawn anew"]
    wall_id, field = clash.path[2], clash.path[3]
    index = next((i for i, wall in enumerate(room.walls) if wall.id == wall_id), None)
    wall = "Wall" if index is None else f"Wall {letter_at(index)}"
    words = field.removesuffix("_mm").replace("_", " ")
    if isinstance(value, bool):
        return [f"{wall}: {words}, {'yes' if value else 'no'}"]
    if isinstance(value, int | float) and field.endswith("_mm"):
        return [f"{wall}: {words} {format_length(value, plan.units)}"]
    return [f"{wall}: {words} {str(value).replace('-', ' ') or 'not given'}"]
