"""Edits by a table: a thing of a list added, changed or removed, a sole thing changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from app.errors import CommandError, Fault, PlanError
from app.forms.field_table import Table, made, values_of
from app.forms.typed_fields import Typed
from app.model.base import json_of
from app.model.faults import plan_error
from app.model.plan import Plan
from app.model.room_walls import fresh_id

Done = tuple[Plan, str]
Edit = Callable[[Plan, Typed], Done]
Edits = Mapping[str, Edit]
Put = Callable[[Plan, str, Any], Plan]
"""Returns the plan with other things in it. Raises PlanError naming the field that is given."""


def _bare_name(plan: Plan, thing: Any) -> str:
    return str(getattr(thing, "label", "") or thing.id)


@dataclass(frozen=True)
class Things:
    """A list of things with ids, each told by the fields of one table.

    `name` is the word of its edits and, unless `key` is given, the field that holds an id. What
    the plan as a whole refuses is told at the field `fault`. `says` are the words of the log for
    adding, changing and removing, with {} for what `called` makes of the thing.
    """

    name: str
    table: Table
    of: Callable[[Plan], tuple[Any, ...]]
    put: Put
    fault: str | Callable[[Plan, Any], str]
    says: tuple[str, str, str]
    gone: str
    called: Callable[[Plan, Any], str] = _bare_name
    key: str = ""

    def edits(self) -> Edits:
        """Return its three edits by name."""
        return {
            f"add-{self.name}": self.add,
            self.name: self.change,
            f"remove-{self.name}": self.remove,
        }

    def add(self, plan: Plan, typed: Typed) -> Done:
        """Add a thing."""
        things = self.of(plan)
        thing = self._made(plan, typed, None, fresh_id(self.name, {one.id for one in things}))
        after = self.put(plan, self._fault(plan, thing), (*things, thing))
        return after, self.says[0].format(self.called(plan, thing))

    def change(self, plan: Plan, typed: Typed) -> Done:
        """Change a thing where it stands in the list."""
        old = self.named(plan, typed)
        thing = self._made(plan, typed, old, old.id)
        things = tuple(thing if one.id == old.id else one for one in self.of(plan))
        after = self.put(plan, self._fault(plan, thing), things)
        return after, self.says[1].format(self.called(plan, thing))

    def remove(self, plan: Plan, typed: Typed) -> Done:
        """Take a thing away."""
        old = self.named(plan, typed)
        rest = tuple(one for one in self.of(plan) if one.id != old.id)
        return self.put(plan, "", rest), self.says[2].format(self.called(plan, old))

    def named(self, plan: Plan, typed: Typed) -> Any:
        """Return the thing whose id the form holds. Raises CommandError when it is gone."""
        for thing in self.of(plan):
            if thing.id == typed.text(self.key or self.name):
                return thing
        raise CommandError(self.gone)

    def _made(self, plan: Plan, typed: Typed, old: Any, thing_id: str) -> Any:
        values = values_of(self.table, plan, typed, old)
        before = {} if old is None else old.model_dump()
        fault = self.fault if isinstance(self.fault, str) else ""
        return made(self.table.model, fault, {**before, **values, "id": thing_id})

    def _fault(self, plan: Plan, thing: Any) -> str:
        return self.fault if isinstance(self.fault, str) else self.fault(plan, thing)


def sole(table: Table, of: Callable[[Plan], Any], put: Put, fault: str, says: str) -> Edit:
    """Return the edit of a thing of which a plan has one; what no field holds stays as it is."""

    def change(plan: Plan, typed: Typed) -> Done:
        old = of(plan)
        values = values_of(table, plan, typed, old)
        before = {} if old is None else dict(old)
        return put(plan, fault, made(table.model, fault, {**before, **values})), says

    return change


def plan_with(plan: Plan, fault: str, **changes: Any) -> Plan:
    """Return the plan with other things in its own lists. Raises PlanError naming `fault`."""
    data = json_of(plan)
    for name, value in changes.items():
        data[name] = [one if isinstance(one, dict) else json_of(one) for one in value]
    try:
        return Plan.model_validate(data)
    except ValidationError as error:
        raise PlanError(*(Fault(fault, f.sentence) for f in plan_error(error).faults)) from None
