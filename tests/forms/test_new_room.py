"""My room in a minute: what the form's fields become, and what is said when they are wrong."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.errors import PlanError
from app.forms.new_room import COVERINGS, DOORS, plan_from_form
from app.model.versions import dump, load

GARAGE = {
    "name": "Double garage",
    "units": "metric",
    "width": "5.32",
    "depth": "5,18",
    "height": "2.31 m",
    "covering": "rubber-20",
    "door": "tracks",
    "door_wall": "front",
    "door_width": "4270",
    "door_height": "2.13",
    "person1_name": "Ada",
    "person1_stature": "188",
    "person1_reach": "2.26",
    "person2_stature": "1.64",
    "person2_helped": "yes",
}


def faults(**fields: str) -> dict[str, str]:
    with pytest.raises(PlanError) as caught:
        plan_from_form({**GARAGE, **fields})
    return {fault.field: fault.sentence for fault in caught.value.faults}


@pytest.mark.parametrize(
    ("units", "chosen", "currency"),
    [("metric", "", "EUR"), ("feet", "", "USD"), ("feet", "GBP", "GBP"), ("metric", "chf", "CHF")],
)
def test_prices_are_in_what_was_chosen_or_in_what_goes_with_the_units(
    units: str, chosen: str, currency: str
) -> None:
    fields = {**GARAGE, "units": units, "currency": chosen}
    lengths = {"width": "17 ft", "depth": "17 ft", "height": "7 ft 7", "door_width": "14 ft",
               "door_height": "7 ft", "person1_stature": "6 ft 2", "person1_reach": "7 ft 5",
               "person2_stature": "5 ft 5"}  # fmt: skip
    assert plan_from_form({**fields, **lengths}).currency == currency


def test_a_currency_is_three_letters() -> None:
    assert faults(currency="dollars") == {
        "currency": "a currency is three letters, such as EUR, GBP or USD"
    }


def test_a_garage_from_its_fields() -> None:
    plan = plan_from_form(GARAGE)
    assert (plan.name, plan.units) == ("Double garage", "metric")
    assert [wall.id for wall in plan.room.walls] == ["back", "right", "front", "left"]
    assert plan.room.corners == ((0, 0), (5320, 0), (5320, 5180), (0, 5180))
    assert plan.room.clockwise
    assert {wall.construction for wall in plan.room.walls} == {"unknown"}
    assert [plane.height_mm for plane in plan.room.ceiling.planes] == [2310]
    covering = plan.room.floor.covering
    assert (covering.material, covering.thickness_mm) == ("rubber", 20)
    (door,) = plan.room.openings
    assert (door.kind, door.wall) == ("tracks", "front")
    assert (door.offset_mm, door.width_mm, door.height_mm) == (525, 4270, 2130)
    one, other = plan.people
    assert (one.label, one.stature_mm, one.reach_mm, one.trains_alone) == ("Ada", 1880, 2260, True)
    assert (other.label, other.stature_mm, other.trains_alone) == ("", 1640, False)


def test_what_the_form_makes_can_be_read_back() -> None:
    plan = plan_from_form(GARAGE)
    assert load(dump(plan)) == plan


def test_feet_and_inches() -> None:
    # 17' 5 1/2" = 209.5 x 25.4
    plan = plan_from_form(
        {
            **GARAGE,
            "units": "feet",
            "width": "17' 5 1/2\"",
            "depth": "17",
            "height": "7-7",
            "door_width": "14",
            "door_height": "7'",
            "person1_stature": "6' 2\"",
            "person1_reach": "89",
            "person2_stature": "5.5",
        }
    )
    assert plan.units == "feet"
    assert plan.room.corners[2] == (5321.3, 5181.6)
    assert plan.room.ceiling.planes[0].height_mm == 2311.4
    assert plan.room.openings[0].width_mm == 4267.2
    assert [p.stature_mm for p in plan.people] == [1879.6, 1676.4]
    assert plan.people[0].reach_mm == 2260.6


@pytest.mark.parametrize("typed", ["5", "5.00", "500", "500 cm", "5000", "5 000 mm", "5m"])
def test_a_width_that_can_only_mean_one_thing(typed: str) -> None:
    assert plan_from_form({**GARAGE, "width": typed}).room.corners[1] == (5000, 0)


@pytest.mark.parametrize(
    ("wall", "offset"), [("back", 525), ("front", 525), ("left", 455), ("right", 455)]
)
def test_the_door_stands_in_the_middle_of_its_wall(wall: str, offset: float) -> None:
    (door,) = plan_from_form({**GARAGE, "door_wall": wall}).room.openings
    assert (door.wall, door.offset_mm) == (wall, offset)


@pytest.mark.parametrize("kind", DOORS)
def test_every_picture_of_a_door_is_a_door(kind: str) -> None:
    kinds = [o.kind for o in plan_from_form({**GARAGE, "door": kind}).room.openings]
    assert kinds == ([] if kind == "none" else [kind])


def test_without_a_door_its_sizes_do_not_matter() -> None:
    plan = plan_from_form({**GARAGE, "door": "none", "door_width": "", "door_height": "x"})
    assert plan.room.openings == ()


@pytest.mark.parametrize("choice", COVERINGS)
def test_coverings(choice: str) -> None:
    covering = plan_from_form({**GARAGE, "covering": choice}).room.floor.covering
    assert (covering.material, covering.thickness_mm) == COVERINGS[choice]


def test_another_thickness_is_in_millimetres() -> None:
    plan = plan_from_form({**GARAGE, "covering": "other", "covering_mm": "43"})
    assert plan.room.floor.covering.thickness_mm == 43


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("width", "", "the width is missing"),
        ("width", "wide", "cannot be read as a length"),
        ("depth", "35 m", "read as 35.00 m; it must be 1.00 m to 30.00 m"),
        ("height", "90 cm", "read as 900 mm; it must be 1.00 m to 8.00 m"),
        ("width", "-5", "less than nothing"),
        ("covering", "lava", "choose one of bare, rubber-10"),
        ("door", "drawbridge", "choose one of none, hinged"),
        ("door_wall", "top", "choose one of front, back"),
        ("door_width", "5.33", "the door is 5.33 m wide, its wall only 5.32 m long"),
        ("door_height", "2.32", "the door is 2.32 m high, the lowest height only 2.31 m"),
        ("person1_stature", "3 m", "it must be 1.00 m to 2.30 m"),
        ("person1_reach", "1.70", "does not go with a height of 1.88 m"),
        ("name", "x" * 201, "201 letters"),
        ("person1_name", "x" * 201, "201 letters"),
    ],
)
def test_a_fault_stands_at_its_field(field: str, typed: str, sentence: str) -> None:
    found = faults(**{field: typed})
    assert list(found) == [field]
    assert sentence in found[field]


def test_a_name_without_a_stature_is_asked_for_it() -> None:
    found = faults(person2_name="Bo", person2_stature="")
    assert found == {"person2_stature": "the height of a person is missing"}


def test_every_fault_is_named_at_once() -> None:
    found = faults(width="x", height="y", door_width="z", person2_stature="w", covering="v")
    assert set(found) == {"width", "height", "door_width", "person2_stature", "covering"}


def test_somebody_must_train() -> None:
    found = faults(person1_name="", person1_stature="", person1_reach="", person2_stature="")
    assert list(found) == ["person1_stature"]


def test_nothing_given_names_what_is_needed() -> None:
    with pytest.raises(PlanError) as caught:
        plan_from_form({})
    assert [f.field for f in caught.value.faults] == ["width", "depth", "height", "person1_stature"]


def test_a_name_with_markup_is_kept_as_text() -> None:
    assert plan_from_form({**GARAGE, "name": "<b>Shed</b> & co"}).name == "<b>Shed</b> & co"


@given(
    st.dictionaries(
        st.sampled_from(sorted(GARAGE)),
        st.one_of(st.text(max_size=12), st.sampled_from(sorted(GARAGE.values()))),
    )
)
def test_whatever_is_typed_gives_a_plan_or_named_fields(typed: dict[str, str]) -> None:
    fields = {**GARAGE, **typed}
    try:
        plan = plan_from_form(fields)
    except PlanError as error:
        named = {fault.field for fault in error.faults}
    else:
        named = set()
        assert load(dump(plan)) == plan
    assert named <= set(GARAGE) | {"covering_mm"}
