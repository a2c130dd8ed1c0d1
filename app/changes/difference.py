"""The command that leads from one plan to another: what several commands come to, as one."""

from __future__ import annotations

from typing import Any

from app.changes.commands import Change, Command, Verb
from app.model.base import json_of
from app.model.plan import Plan

_COLLECTIONS = (
    "pieces", "people", "own_kit", "settled", "situations", "overrides", "chalk", "layout_wishes",
)  # fmt: skip
_WHOLE = (
    "name", "drawn_for", "drawn", "quarter_turns", "units", "currency", "way_in", "fit_out",
    "money", "picture",
)  # fmt: skip
_BY_THING = frozenset(
    {("works", "tasks"), ("works", "deliveries"), ("works", "stored"), ("phasing", "things")}
)
"""Lists that several people write in side by side: each of their things is a place of its own."""


def difference(before: Plan, after: Plan, name: Verb, says: str = "") -> Command | None:
    """Return one command that turns `before` into `after`, or None when they are alike.

    Pieces and people are compared field by field, so that what others change meanwhile holds.
    """
    old, new = json_of(before), json_of(after)
    changes: list[Change] = []
    for key in _COLLECTIONS:
        changes += _collection((key,), old[key], new[key])
    for key in _WHOLE:
        changes += _field((key,), old[key], new[key])
    for part in ("room", "works", "phasing"):
        for key in old[part]:
            was, now = old[part][key], new[part][key]
            if (part, key) in _BY_THING:
                changes += _collection((part, key), was, now)
            else:
                changes += _field((part, key), was, now)
    return Command(name=name, says=says, changes=tuple(changes)) if changes else None


def _collection(path: tuple[str, ...], old: list[Any], new: list[Any]) -> list[Change]:
    was, now = {thing["id"]: thing for thing in old}, {thing["id"]: thing for thing in new}
    changes: list[Change] = []
    # what is carried goes before its carrier, what carries comes before what it carries; the
    # plan is checked only when all changes are made, so the order here is free
    for thing_id in {**was, **now}:
        here = (*path, thing_id)
        if thing_id not in was or thing_id not in now:
            changes.append(Change(path=here, before=was.get(thing_id), after=now.get(thing_id)))
            continue
        for field in was[thing_id]:
            if path == ("people",) and field == "wishes":
                changes += _wishes((*here, field), was[thing_id][field], now[thing_id][field])
            else:
                changes += _field((*here, field), was[thing_id][field], now[thing_id][field])
    return changes


def _wishes(path: tuple[str, ...], old: list[Any], new: list[Any]) -> list[Change]:
    was, now = {w["movement"]: w for w in old}, {w["movement"]: w for w in new}
    return [
        Change(path=(*path, movement), before=was.get(movement), after=now.get(movement))
        for movement in {**was, **now}
        if was.get(movement) != now.get(movement)
    ]


def _field(path: tuple[str, ...], old: Any, new: Any) -> list[Change]:
    return [] if old == new else [Change(path=path, before=old, after=new)]
