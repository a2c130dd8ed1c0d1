"""Who trains, as typed into a form."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from app.changes.commands import Command
from app.errors import CommandError
from app.forms.field_table import Field, Table, length, made, mass, text
from app.forms.thing_edits import Done, Things, command_of, plan_with, without
from app.forms.typed_fields import Typed
from app.model.people import Person, still_true, worth_keeping
from app.model.plan import Plan
from app.units import written_on_tape

STATURE_MM = (1000.0, 2300.0)
REACH_MM = (1000.0, 3500.0)
PEOPLE_LIMIT = 40
ALONE, SOMEBODY = "alone", "somebody"


def _shown(plan: Plan, person: Person) -> Mapping[str, Any]:
    """Return lengths as they were typed while that is still true, and with whom one trains."""
    named = person.trains_with in {other.id for other in plan.people}
    company = ALONE if person.trains_alone else SOMEBODY
    shown: dict[str, Any] = {"with": person.trains_with if named else company}
    for name, typed, mm in (
        ("stature", person.stature_typed, person.stature_mm),
        ("reach", person.reach_typed, person.reach_mm),
    ):
        if mm is not None:
            shown[name] = (still_true(typed, mm, plan.units) or written_on_tape(mm, plan.units), mm)
    return shown


def _read(plan: Plan, typed: Typed, old: Person | None, values: dict[str, Any]) -> dict[str, Any]:
    stature, reach = values["stature_mm"], values["reach_mm"]
    others = [other.id for other in plan.people if old is None or other.id != old.id]
    company = typed.choice("with", (ALONE, SOMEBODY, *others))
    if not typed.faults:
        see_reach(typed, "reach", stature, reach)
    return {
        **{name: value for name, value in values.items() if name != "with"},
        "stature_typed": _text_to_keep(typed, "stature", stature, old.stature_typed if old else ""),
        "reach_typed": _text_to_keep(typed, "reach", reach, old.reach_typed if old else ""),
        "trains_alone": company == ALONE,
        "trains_with": company if company in others else None,
    }


def see_reach(typed: Typed, field: str, stature: float, reach: float | None) -> None:
    """See that a reach, in mm, can be that of somebody so tall."""
    if reach is not None and not stature < reach < 2 * stature:
        typed.fault(
            field,
            f"{typed.say(reach)} does not go with a height of {typed.say(stature)}: measure "
            "barefoot, arms locked overhead, to the middle of a gripped bar",
        )


def _text_to_keep(typed: Typed, field: str, length_mm: float | None, before: str) -> str:
    """Return the text of a field where it says more than the program would write itself."""
    text = worth_keeping(typed.fields.get(field, ""))
    if length_mm is None or (text != before and text == written_on_tape(length_mm, typed.units)):
        return ""
    return text


PERSON = Table(
    Person,
    (
        text("label", "Name", "label"),
        length("stature", "Height, barefoot", "stature_mm", what="the height of a person"),
        length(
            "reach",
            "Reach, if measured",
            "reach_mm",
            what="the reach",
            least=REACH_MM[0],
            most=REACH_MM[1],
        ),
        mass("mass", "Weight, if you like", "mass_kg", what="the weight"),
        Field("with", "Trains", "", "text", "list", choices="company"),
    ),
    shown=_shown,
    finish=_read,
)
PEOPLE = Things(
    "person", PERSON, "people", "", ("add {}", "change {}", "remove {}"),
    "This person is no longer in the plan.",
    lambda plan, person: person.label or person.id.replace("-", " "), by_old_name=True,
    limit=(PEOPLE_LIMIT, f"This plan has {{}} people; it holds at most {PEOPLE_LIMIT}."),
)  # fmt: skip


def _remove(plan: Plan, typed: Typed) -> Done:
    """Take a person away; who trained with them trains with somebody from then on."""
    gone = PEOPLE.named(plan, typed).id
    after, says = PEOPLE.remove(plan, typed)
    return without(after, "people", "trains_with", gone), says


def _wish_the_same(plan: Plan, typed: Typed) -> Done:
    """Let a person want what another one wants; what they said themselves goes."""
    person, other = PEOPLE.named(plan, typed), typed.text("other")
    model = next((one for one in plan.people if one.id == other and one.id != person.id), None)
    if model is None:
        raise CommandError(PEOPLE.gone)
    says = f"{PEOPLE.called(plan, person)} wants the same as {PEOPLE.called(plan, model)}"
    wanting = made(Person, "", {**dict(person), "wishes": model.wishes})
    people = tuple(wanting if one.id == person.id else one for one in plan.people)
    return plan_with(plan, "people", "", people), says


def edit_people(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for an edit (`add`, `change`, `remove`, `same`), None if nothing differs.

    Fields: those of the table, and but for `add` the id as `person`; for `same` whose wishes are
    taken over as `other`. Raises PlanError naming the
    fields that are wrong, CommandError for an unknown edit or a person who is gone.
    """
    edits = {"add": PEOPLE.add, "change": PEOPLE.change, "remove": _remove, "same": _wish_the_same}
    unknown = "There is no such change of the people."
    return command_of(edits, plan, name, fields, "people", unknown)
