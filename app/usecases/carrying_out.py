"""The one way a form changes a plan: an edit made on what the form showed, merged with what came.

A form shows one revision. The command is made on that one, and what others changed since stays
changed; where both changed one place nobody wins silently: both versions are told, and a form
may insist on its own against exactly the version that was told.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from app.changes.commands import Command
from app.changes.merging import ClashError
from app.errors import CommandError, ConflictError, NotFoundError, PlanError
from app.model.base import HasId
from app.model.plan import Plan
from app.store.plans import Check, anything
from app.usecases.history import plan_at
from app.usecases.plans import Elbowroom

STEPS = ("undo", "redo")
FIELD_LIMIT = 4000
"""More fields than the largest form has: a situation names each of 3,000 pieces."""

Fields = Mapping[str, str]
Editor = Callable[[Plan, str, Fields], Command | None]
"""Makes the command for an edit by its name and fields, None where nothing differs."""


class OlderPageError(ConflictError):
    """The revision that a form showed is no longer kept, so nothing can be merged with it."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a form asks for: an edit, its fields as typed, and the revision that it showed.

    `seen` is None where the form does not tell it: the edit is then made on what stands.
    `insist` is the revision that the person has seen told as the other version of a clash.
    """

    edit: str
    fields: Fields
    seen: int | None = None
    insist: int | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """The plan as it stood before a form was carried out, and as it stands then."""

    before: Plan
    after: Plan

    def newcomer(self, things: Callable[[Plan], tuple[HasId, ...]]) -> str | None:
        """Return the id of the first of some things that came by this form, None without one."""
        known = {thing.id for thing in things(self.before)}
        return next((thing.id for thing in things(self.after) if thing.id not in known), None)


def carry_out(
    house: Elbowroom,
    plan_id: str,
    editor: Editor,
    asked: Asked,
    author: str,
    limits: Check = anything,
) -> Outcome:
    """Carry out an edit, or a step of the history, and keep it.

    Raises PlanError naming fields of the form, CommandError for what cannot be done, ClashError
    where somebody else changed the same place, OlderPageError, NotFoundError, StoreError, and what
    `limits` refuses of the plan as it would be and was; then nothing is kept.
    """
    if len(asked.fields) > FIELD_LIMIT:
        raise CommandError(f"A form of more than {FIELD_LIMIT} fields cannot be kept.")
    now = house.open(plan_id)
    if asked.edit in STEPS:
        step = house.undo if asked.edit == "undo" else house.redo
        return Outcome(now.plan, step(plan_id, author, limits).plan)
    shown = now.plan
    if asked.seen is not None and asked.seen != now.revision:
        shown = _shown(house, plan_id, asked.seen)
    command = editor(shown, asked.edit, asked.fields)
    if command is None:
        return Outcome(now.plan, now.plan)
    try:
        after = house.do(plan_id, command, author, asked.seen, limits).plan
    except ClashError as clash:
        if asked.insist != clash.revision or clash.insisting is None:
            raise
        after = house.do(plan_id, clash.insisting, author, clash.revision, limits).plan
    except PlanError as error:
        # told in the words and units of the form where the plan as it stands says the same
        editor(house.open(plan_id).plan, asked.edit, asked.fields)
        # what the plan as a whole refuses belongs to the form and not to one field of it
        raise CommandError(error.faults[0].sentence if error.faults else error.sentence) from None
    return Outcome(now.plan, after)


def _shown(house: Elbowroom, plan_id: str, seen: int) -> Plan:
    try:
        return plan_at(house, plan_id, seen)
    except NotFoundError:
        raise OlderPageError(
            "What this page showed is no longer kept, so it cannot be seen what was changed "
            "since. What was typed is still here: look at the rest, then keep it again."
        ) from None
