"""The command as the log keeps it: exactly what changed, so that an undo always fits."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pydantic import BaseModel
from pydantic_core import to_jsonable_python

from app.changes.commands import Change, Command, apply
from app.model.plan import Plan

AT_ONCE = 7000
ORDERED_BY_HAND = (("room", "walls"), ("way_in",))

Path = tuple[str, ...]


def as_carried_out(command: Command, before: Plan, after: Plan) -> Command | None:
    """Return the command that leads exactly from one plan to the other, or None if they are alike.

    A command may ask for what a plan then holds rounded, or touch one place twice. The log keeps
    each outermost place once, with what stood there and what stands there now.
    """
    changes = []
    for path in _outermost([_whole(change.path, before, after) for change in command.changes]):
        # Only what is named is written out: a save must not cost a copy of the whole plan.
        was, is_now = (to_jsonable_python(_at(plan, path)) for plan in (before, after))
        if was != is_now:
            changes.append(Change(path=path, before=was, after=is_now))
    if not changes:
        return None
    return Command(name=command.name, says=command.says, changes=tuple(changes))


def replay(plan: Plan, commands: Sequence[Command]) -> Plan:
    """Carry out commands of the log on a snapshot, validating once instead of at each."""
    changes = [change for command in commands for change in command.changes]
    for start in range(0, len(changes), AT_ONCE):
        plan = apply(plan, Command(name="edit", changes=tuple(changes[start : start + AT_ONCE])))
    return plan


def _whole(path: Path, old: Plan, new: Plan) -> Path:
    """Widen a path where a part of it comes or goes, or where the order of a list has a meaning."""
    for length in range(1, len(path)):
        part = path[:length]
        if _at(old, part) is None or _at(new, part) is None:
            path = part
            break
    appears = _at(old, path) is None or _at(new, path) is None
    if appears:
        for ordered in ORDERED_BY_HAND:
            if path[: len(ordered)] == ordered:
                return ordered
    return path


def _outermost(paths: list[Path]) -> list[Path]:
    every = dict.fromkeys(paths)
    return [
        path for path in every if not any(path[:length] in every for length in range(1, len(path)))
    ]


def _at(plan: Plan, path: Path) -> Any:
    """Return what stands at a path of ids and field names, None where nothing does."""
    value: Any = plan
    for step in path:
        if isinstance(value, BaseModel):
            value = getattr(value, step) if step in type(value).model_fields else None
        elif isinstance(value, tuple):
            value = next((thing for thing in value if _id(thing) == step), None)
        else:
            return None
    return value


def _id(thing: Any) -> Any:
    return getattr(thing, "id", None) or getattr(thing, "movement", None)
