"""Who trains, as typed into a form: each edit makes one command."""

from __future__ import annotations

from collections.abc import Mapping

from app.changes.commands import Change, Command
from app.errors import CommandError
from app.forms.typed_fields import Typed
from app.model.base import json_of
from app.model.people import Person, worth_keeping
from app.model.plan import Plan
from app.model.room_walls import fresh_id
from app.units import written

STATURE_MM = (1000.0, 2300.0)
REACH_MM = (1000.0, 3500.0)
PEOPLE_LIMIT = 40
ALONE, SOMEBODY = "alone", "somebody"


def edit_people(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Make the command for an edit: `add`, `change` or `remove`; None where nothing differs.

    Fields: `person` (its id; not for `add`), `label`, `stature`, `reach` (may be empty), `with`
    (alone, somebody, or the id of another person). Raises PlanError naming the fields that are
    wrong, CommandError for an unknown edit or a person who is gone.
    """
    if name == "add":
        if len(plan.people) >= PEOPLE_LIMIT:
            raise CommandError(
                f"This plan has {len(plan.people)} people; it holds at most {PEOPLE_LIMIT}."
            )
        person_id = fresh_id("person", {person.id for person in plan.people})
        made = _read(plan, Person(id=person_id, stature_mm=STATURE_MM[0]), fields)
        change = Change(path=("people", person_id), before=None, after=json_of(made))
        says = f"add {_called(made)}"
        return Command(name="people", says=says, changes=(change,))
    person = next((one for one in plan.people if one.id == fields.get("person")), None)
    if person is None:
        raise CommandError("This person is no longer in the plan.")
    if name == "remove":
        return _removed(plan, person)
    if name != "change":
        raise CommandError("There is no such change of the people.")
    return _changed(person, _read(plan, person, fields))


def _read(plan: Plan, person: Person, fields: Mapping[str, str]) -> Person:
    typed = Typed(fields, plan.units)
    label = typed.text("label")
    stature = typed.length("stature", "the height of a person", STATURE_MM)
    reach = typed.maybe_length("reach", "the reach", REACH_MM)
    others = [other.id for other in plan.people if other.id != person.id]
    company = typed.choice("with", (ALONE, SOMEBODY, *others))
    if not typed.faults and reach is not None and not stature < reach < 2 * stature:
        typed.fault(
            "reach",
            f"{typed.say(reach)} does not go with a height of {typed.say(stature)}: measure "
            "barefoot, arms locked overhead, to the middle of a gripped bar",
        )
    typed.done()
    return Person(
        id=person.id,
        label=label,
        stature_mm=stature,
        stature_typed=_text_to_keep(typed, "stature", stature, person.stature_typed),
        reach_mm=reach,
        reach_typed=_text_to_keep(typed, "reach", reach, person.reach_typed),
        trains_alone=company == ALONE,
        trains_with=company if company in others else None,
        wishes=person.wishes,
    )


def _text_to_keep(typed: Typed, field: str, length_mm: float | None, before: str) -> str:
    """Return the text of a field where it says more than the program would write itself."""
    text = worth_keeping(typed.fields.get(field, ""))
    if length_mm is None or (text != before and text == written(length_mm, typed.units)):
        return ""
    return text


def _changed(before: Person, after: Person) -> Command | None:
    old, new = json_of(before), json_of(after)
    changes = tuple(
        Change(path=("people", before.id, key), before=old[key], after=new[key])
        for key in old
        if old[key] != new[key]
    )
    if not changes:
        return None
    return Command(name="people", says=f"change {_called(before)}", changes=changes)


def _removed(plan: Plan, person: Person) -> Command:
    """Take a person away; who trained with them trains with somebody from then on."""
    left = tuple(
        Change(path=("people", other.id, "trains_with"), before=person.id, after=None)
        for other in plan.people
        if other.trains_with == person.id
    )
    gone = Change(path=("people", person.id), before=json_of(person), after=None)
    return Command(name="people", says=f"remove {_called(person)}", changes=(*left, gone))


def _called(person: Person) -> str:
    return person.label or person.id.replace("-", " ")
