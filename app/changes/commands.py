"""The one way a plan changes: commands that carry what was before and what comes after.

A command is a name and a list of changes. A change names a place in the plan by a path of stable
ids and holds the value that stood there and the one that will stand there; None means that
nothing stands there, so adding, removing and editing are all the same thing, and undo swaps the
two. A command applies if every *before* still holds, else it is a conflict.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Literal

from pydantic import Field, JsonValue, ValidationError

from app.changes.older import as_read
from app.errors import CommandError, ConflictError
from app.model.base import LABEL_LIMIT, Frozen, json_of
from app.model.faults import plan_error
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.model.versions import see_reads_back

Verb = Literal[
    "move",
    "turn",
    "add",
    "copy",
    "remove",
    "edit",
    "carry",
    "wish",
    "settle",
    "unsettle",
    "back",
    "rename",
    "room",
    "people",
    "mend",
    "undo",
    "redo",
]


SAYS_LIMIT = 3 * LABEL_LIMIT
"""So many letters a command may say of itself: two names and what is done with them."""


class Change(Frozen):
    """One place in the plan: `path` such as ("pieces", "rack-1", "pose"), before and after."""

    path: tuple[Annotated[str, Field(max_length=600)], ...] = Field(min_length=1, max_length=6)
    before: JsonValue = None
    after: JsonValue = None


class Command(Frozen):
    """A named list of changes that are made together or not at all."""

    name: Verb
    changes: tuple[Change, ...] = Field(min_length=1, max_length=7000)
    says: Annotated[str, Field(max_length=SAYS_LIMIT)] = ""


def named_as_now(command: Command) -> Command:
    """Return a command of a log with the name it has now.

    In logs of before `back` was a verb, going back was an edit that only its words told apart.
    """
    if command.name != "edit" or not command.says.startswith("back to revision "):
        return command
    return Command(name="back", says=command.says, changes=command.changes)


def inverse(command: Command, name: Verb = "undo") -> Command:
    """Return the command that takes this one back."""
    return Command(
        name=name,
        says=command.says,
        changes=tuple(
            Change(path=c.path, before=c.after, after=c.before) for c in reversed(command.changes)
        ),
    )


def apply(plan: Plan, command: Command) -> Plan:
    """Carry a command out and give the new plan; the old one is untouched.

    Raises ConflictError when a *before* no longer holds, CommandError when a path leads nowhere,
    PlanError when the result would not be a valid plan.
    """
    data = json_of(plan)
    for change in command.changes:
        _put(data, change)
    try:
        changed = Plan.model_validate(data)
    except ValidationError as error:
        raise plan_error(error) from None
    see_reads_back(changed, data)
    return changed


def _put(data: dict[str, Any], change: Change) -> None:
    *way, last = change.path
    holder: Any = data
    for step in way:
        holder = _into(holder, step, change.path)
    where = " / ".join(change.path)
    if isinstance(holder, list):
        index = _index(holder, last)
        if index is None and change.after is not None and not _names(change.after, last):
            raise CommandError(f"{where}: what is added there must carry the id {last!r}")
        there = None if index is None else holder[index]
        _expect(change, there)
        if index is None:
            if change.after is not None:
                holder.append(copy.deepcopy(change.after))
        elif change.after is None:
            del holder[index]
        else:
            holder[index] = copy.deepcopy(change.after)
    elif isinstance(holder, dict) and last in holder:
        _expect(change, holder[last])
        holder[last] = copy.deepcopy(change.after)
    else:
        raise CommandError(f"{where}: there is no such place in a plan")


def _into(holder: Any, step: str, path: Sequence[str]) -> Any:
    if isinstance(holder, list):
        index = _index(holder, step)
        if index is not None:
            return holder[index]
        raise ConflictError(f"{' / '.join(path)}: {step!r} is no longer in the plan")
    if isinstance(holder, dict) and step in holder:
        return holder[step]
    raise CommandError(f"{' / '.join(path)}: there is no such place in a plan")


def _index(holder: list[Any], thing_id: str) -> int | None:
    for index, thing in enumerate(holder):
        if _names(thing, thing_id):
            return index
    return None


def _names(thing: Any, thing_id: str) -> bool:
    return isinstance(thing, dict) and (thing.get("id") or thing.get("movement")) == thing_id


def _expect(change: Change, there: Any) -> None:
    before = change.before
    if not _alike(there, before) and not _alike(there, as_read(change.path, before)):
        raise ConflictError(f"{' / '.join(change.path)} has been changed meanwhile")


def _alike(there: Any, before: Any) -> bool:
    """Compare what stands in the plan with what a command expects; omitted fields are None."""
    if isinstance(there, Mapping) and isinstance(before, Mapping):
        return all(_alike(there.get(k), before.get(k)) for k in {*there, *before})
    if isinstance(there, list) and isinstance(before, list):
        return len(there) == len(before) and all(
            _alike(a, b) for a, b in zip(there, before, strict=True)
        )
    if isinstance(there, bool) or isinstance(before, bool):
        return there is before
    return bool(there == before)


def moves(plan: Plan, poses: Mapping[str, Pose], name: Verb = "move", says: str = "") -> Command:
    """Build the command that puts pieces at new poses. Raises KeyError for an unknown piece."""
    return Command(
        name=name,
        says=says,
        changes=tuple(
            Change(
                path=("pieces", piece_id, "pose"),
                before=json_of(plan.piece(piece_id).pose),
                after=json_of(pose),
            )
            for piece_id, pose in poses.items()
        ),
    )


def adds(pieces: Sequence[Piece], name: Verb = "add", says: str = "") -> Command:
    """Build the command that puts new pieces on the plan."""
    return Command(
        name=name,
        says=says,
        changes=tuple(
            Change(path=("pieces", piece.id), before=None, after=json_of(piece)) for piece in pieces
        ),
    )


def edits(plan: Plan, piece_id: str, says: str = "", **fields: JsonValue) -> Command:
    """Build the command that changes fields of one piece. Raises KeyError for an unknown one."""
    now = json_of(plan.piece(piece_id))
    return Command(
        name="edit",
        says=says,
        changes=tuple(
            Change(path=("pieces", piece_id, field), before=now[field], after=value)
            for field, value in fields.items()
        ),
    )


def wishes(plan: Plan, person_id: str, says: str = "", **words: str | None) -> Command:
    """Build the command that sets a person's wishes; keys are movements with `_` for `-`."""
    person = next(p for p in plan.people if p.id == person_id)
    wished = {wish.movement: wish.wish for wish in person.wishes}
    changes = []
    for key, word in words.items():
        movement = key.replace("_", "-")
        before = wished.get(movement)
        changes.append(
            Change(
                path=("people", person_id, "wishes", movement),
                before=None if before is None else {"movement": movement, "wish": before},
                after=None if word is None else {"movement": movement, "wish": word},
            )
        )
    return Command(name="wish", says=says, changes=tuple(changes))
