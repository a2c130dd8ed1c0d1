"""People by fields: each edit is one command, faults name their fields, undo brings them back."""

import pytest

from app.changes.commands import Command, apply, inverse
from app.errors import CommandError, PlanError
from app.forms.people_edits import edit_people
from app.model.people import Person
from app.model.plan import Plan
from tests.builders import make_person, make_plan

ADA = make_person(1750, person_id="ada")
BO = make_person(1900, person_id="bo")


def plan(*people: Person, units: str = "metric") -> Plan:
    made = make_plan(people=people)
    return made.model_copy(update={"units": units})


def done(before: Plan, command: Command | None) -> Plan:
    assert command is not None
    after = apply(before, command)
    assert apply(after, inverse(command)) == before
    return after


@pytest.mark.parametrize(
    ("typed", "mm"), [("1.64", 1640), ("1,64 m", 1640), ("164", 1640), ("1640", 1640)]
)
def test_a_person_is_added_with_a_height_typed_any_way(typed: str, mm: float) -> None:
    before = plan(ADA)
    fields = {"label": "  Bo  B ", "stature": typed, "reach": "2.05", "mass": "81,5", "with": "ada"}
    after = done(before, edit_people(before, "add", fields))
    (new,) = [person for person in after.people if person.id != "ada"]
    assert (new.label, new.stature_mm, new.reach_mm) == ("Bo B", mm, 2050)
    assert new.mass_kg == 81.5
    assert (new.trains_alone, new.trains_with) == (False, "ada")


def test_feet_and_inches_are_read_as_such() -> None:
    before = plan(units="feet")
    after = done(before, edit_people(before, "add", {"stature": "5' 10\""}))
    assert after.people[0].stature_mm == pytest.approx(1778)  # 70 in of 25.4 mm
    assert after.people[0].trains_alone


def test_a_change_keeps_what_was_not_touched() -> None:
    before = plan(make_person(1750, person_id="ada", want=("squat",)), BO)
    command = edit_people(before, "change", {"person": "ada", "stature": "1.80", "with": "alone"})
    assert command is not None
    assert [change.path for change in command.changes] == [("people", "ada", "stature_mm")]
    after = done(before, command)
    assert after.people[0].wish_for("squat") == "want"
    same = edit_people(before, "change", {"person": "ada", "stature": "1.75", "with": "alone"})
    assert same is None


def test_somebody_wants_the_same_as_another() -> None:
    before = plan(make_person(1750, person_id="ada", want=("squat", "row")), BO)
    after = done(before, edit_people(before, "same", {"person": "bo", "other": "ada"}))
    assert after.people[1].wishes == before.people[0].wishes
    assert after.people[1].stature_mm == 1900
    assert edit_people(after, "same", {"person": "bo", "other": "ada"}) is None
    for other in ("bo", "nobody", ""):
        with pytest.raises(CommandError, match="no longer in the plan"):
            edit_people(before, "same", {"person": "bo", "other": other})


def test_who_is_removed_leaves_the_others_without_that_company() -> None:
    with_bo = make_person(1750, person_id="ada").model_copy(
        update={"trains_alone": False, "trains_with": "bo"}
    )
    before = plan(with_bo, BO)
    after = done(before, edit_people(before, "remove", {"person": "bo"}))
    assert [person.id for person in after.people] == ["ada"]
    assert after.people[0].trains_with is None
    assert not after.people[0].trains_alone


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"stature": ""}, "stature"),
        ({"stature": "tall"}, "stature"),
        ({"stature": "0.9 m"}, "stature"),
        ({"stature": "1.80", "reach": "1.70"}, "reach"),
        ({"stature": "1.80", "label": "x" * 201}, "label"),
        ({"stature": "1.80", "with": "ghost"}, "with"),
        ({"stature": "1.80", "mass": "8"}, "mass"),
        ({"stature": "1.80", "mass": "light"}, "mass"),
    ],
)
def test_a_fault_names_its_field(fields: dict[str, str], field: str) -> None:
    with pytest.raises(PlanError) as refused:
        edit_people(plan(ADA), "add", fields)
    assert [fault.field for fault in refused.value.faults] == [field]


def test_somebody_who_is_gone_cannot_be_changed() -> None:
    for name in ("change", "remove"):
        with pytest.raises(CommandError, match="no longer in the plan"):
            edit_people(plan(ADA), name, {"person": "bo", "stature": "1.8"})
    with pytest.raises(CommandError, match="no such change"):
        edit_people(plan(ADA), "clone", {"person": "ada"})


def test_there_is_an_end_to_people() -> None:
    many = plan(*(make_person(1750, person_id=f"p{n}") for n in range(40)))
    with pytest.raises(CommandError, match="at most 40"):
        edit_people(many, "add", {"stature": "1.8"})
