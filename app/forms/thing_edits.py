"""Edits by a table: a thing of a list added, changed or removed, a sole thing changed.

What a table is of is told by its place in the plan, a dotted path such as `room.openings`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

from pydantic import ValidationError
from pydantic_core import to_jsonable_python

from app.changes.commands import Command, Verb
from app.changes.difference import difference
from app.errors import CommandError, Fault, PlanError
from app.forms.field_table import Table, made, values_of
from app.forms.typed_fields import Typed
from app.model.base import json_of
from app.model.faults import plan_error
from app.model.plan import Plan
from app.model.room_check import changed_plan
from app.model.room_walls import fresh_id

Done = tuple[Plan, str]
Edit = Callable[[Plan, Typed], Done]
Edits = Mapping[str, Edit]


def command_of(
    edits: Edits, plan: Plan, name: str, fields: Mapping[str, str], verb: Verb, unknown: str
) -> Command | None:
    """Return the command for an edit by its name, None when nothing changes.

    `situation.car-in` is the edit `situation` of the thing `car-in`. `unknown` is said of an edit
    that there is not. Raises PlanError for fields that are wrong, each under its own name,
    CommandError for what cannot be done.
    """
    name, point, thing_id = name.partition(".")
    if name not in edits:
        raise CommandError(unknown)
    named = {**fields, "id": thing_id} if point else fields
    after, says = edits[name](plan, Typed(named, plan.units))
    return difference(plan, after, verb, says)


def plan_with(plan: Plan, at: str, fault: str, value: Any) -> Plan:
    """Return the plan with another value at a place. Raises PlanError naming the field `fault`."""
    owner, _, name = at.rpartition(".")
    if owner == "room":
        return changed_plan(plan, fault, **{name: value})
    if owner:
        whole = attrgetter(owner)(plan)
        return plan_with(plan, owner, fault, made(type(whole), fault, {**dict(whole), name: value}))
    try:
        return Plan.model_validate({**json_of(plan), name: to_jsonable_python(value)})
    except ValidationError as error:
        raise PlanError(*(Fault(fault, f.sentence) for f in plan_error(error).faults)) from None


def without(plan: Plan, at: str, name: str, gone: str) -> Plan:
    """Return the plan whose things at a place no longer name one that has gone."""
    things = tuple(
        made(type(one), "", {**dict(one), name: None}) if getattr(one, name) == gone else one
        for one in attrgetter(at)(plan)
    )
    return plan_with(plan, at, "", things)


def _bare_name(plan: Plan, thing: Any) -> str:
    return str(getattr(thing, "label", "") or thing.id)


@dataclass(frozen=True)
class Things:
    """A list of things with ids, each told by the fields of one table.

    `name` is the word of its edits and, unless `key` is given, the field that holds an id where
    the name of the edit does not (see `command_of`); `at` is the place of the list in the plan,
    which `put` changes. What the plan as a whole refuses is told at the field `fault`. `says` are
    the words of the log for adding, changing and removing, with {} for what `called` makes of the
    thing. `adds` are the fields of one that comes, where they are fewer; of more than `limit`
    nothing comes, and its words say so, with {} for how many there are. `by_old_name` tells that
    the log calls what was renamed as it was called before. `stem` is what ids begin with where that
    is not the name.
    """

    name: str
    table: Table
    at: str
    fault: str | Callable[[Plan, Any], str]
    says: tuple[str, str, str]
    gone: str
    called: Callable[[Plan, Any], str] = _bare_name
    key: str = ""
    put: Callable[[Plan, str, str, Any], Plan] = plan_with
    adds: Table | None = None
    limit: tuple[int, str] | None = None
    stem: str = ""
    by_old_name: bool = False

    def edits(self) -> Edits:
        """Return its three edits by name."""
        return {
            f"add-{self.name}": self.add,
            self.name: self.change,
            f"remove-{self.name}": self.remove,
        }

    def of(self, plan: Plan) -> tuple[Any, ...]:
        """Return the things of a plan."""
        return tuple(attrgetter(self.at)(plan))

    def add(self, plan: Plan, typed: Typed) -> Done:
        """Add a thing."""
        return self.take_in(plan, self._made(plan, typed, None, self.next_id(plan)))

    def next_id(self, plan: Plan) -> str:
        """Return the id of one that comes. Raises CommandError where there is room for no more."""
        things = self.of(plan)
        if self.limit and len(things) >= self.limit[0]:
            raise CommandError(self.limit[1].format(len(things)))
        return fresh_id(self.stem or self.name, {one.id for one in things})

    def take_in(self, plan: Plan, thing: Any) -> Done:
        """Put one more thing at the end of the list."""
        after = self.put(plan, self.at, self._fault(plan, thing), (*self.of(plan), thing))
        return after, self.says[0].format(self.called(plan, thing))

    def change(self, plan: Plan, typed: Typed) -> Done:
        """Change a thing where it stands in the list."""
        old = self.named(plan, typed)
        after, says = self.swap(plan, self._made(plan, typed, old, old.id))
        return after, self.says[1].format(self.called(plan, old)) if self.by_old_name else says

    def swap(self, plan: Plan, thing: Any) -> Done:
        """Put a thing in the place of the one with its id."""
        things = tuple(thing if one.id == thing.id else one for one in self.of(plan))
        after = self.put(plan, self.at, self._fault(plan, thing), things)
        return after, self.says[1].format(self.called(plan, thing))

    def remove(self, plan: Plan, typed: Typed) -> Done:
        """Take a thing away."""
        old = self.named(plan, typed)
        rest = tuple(one for one in self.of(plan) if one.id != old.id)
        return self.put(plan, self.at, "", rest), self.says[2].format(self.called(plan, old))

    def named(self, plan: Plan, typed: Typed) -> Any:
        """Return the thing whose id the form holds. Raises CommandError when it is gone."""
        given = typed.text("id") or typed.text(self.key or self.name)
        for thing in self.of(plan):
            if thing.id == given:
                return thing
        raise CommandError(self.gone)

    def _made(self, plan: Plan, typed: Typed, old: Any, thing_id: str) -> Any:
        table = self.adds if self.adds and old is None else self.table
        values = values_of(table, plan, typed, old)
        before = {} if old is None else old.model_dump()
        fault = self.fault if isinstance(self.fault, str) else ""
        return made(table.model, fault, {**before, **values, "id": thing_id})

    def _fault(self, plan: Plan, thing: Any) -> str:
        return self.fault if isinstance(self.fault, str) else self.fault(plan, thing)


def sole(
    table: Table, at: str, fault: str, says: str, *, gone: str = "", usual: Any = None
) -> Edit:
    """Return the edit of a thing of which a plan has one; what no field holds stays as it is.

    Where it has none yet the edit begins with `usual`, or is refused with the words `gone`.
    """

    def change(plan: Plan, typed: Typed) -> Done:
        old = attrgetter(at)(plan) or usual
        if old is None and gone:
            raise CommandError(gone)
        values = values_of(table, plan, typed, old)
        before = {} if old is None else dict(old)
        return plan_with(plan, at, fault, made(table.model, fault, {**before, **values})), says

    return change


def emptied(at: str, says: str, gone: str = "") -> Edit:
    """Return the edit that leaves nothing at a place of the plan; `gone` is said where none is."""

    def empty(plan: Plan, typed: Typed) -> Done:
        if gone and attrgetter(at)(plan) is None:
            raise CommandError(gone)
        return plan_with(plan, at, "", None), says

    return empty
