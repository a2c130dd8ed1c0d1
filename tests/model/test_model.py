"""The plan document: what it holds, what it refuses and in which words, and how it is written."""

import json
import math
from typing import Any

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.errors import PlanError
from app.model.base import json_of
from app.model.outline import first_crossing, signed_area_mm2
from app.model.people import Person
from app.model.plan import Plan, station_root
from app.model.room import Plane
from app.model.versions import dump, from_data, load, schema

Corners = list[tuple[float, float]]


def document(**changes: Any) -> dict[str, Any]:
    """A plan as plain data; a key such as `room.walls.0.x_mm` changes what stands there."""
    corners = [("back", 0, 0), ("right", 5000, 0), ("front", 5000, 4000), ("left", 0, 4000)]
    data: dict[str, Any] = {
        "format": "elbowroom-plan",
        "version": 1,
        "name": "Room",
        "room": {
            "walls": [{"id": i, "x_mm": x, "y_mm": y} for i, x, y in corners],
            "openings": [
                {
                    "id": "door",
                    "wall": "front",
                    "kind": "tracks",
                    "offset_mm": 500,
                    "width_mm": 2400,
                    "height_mm": 2100,
                }
            ],
            "ceiling": {"planes": [{"id": "ceiling", "height_mm": 2400}]},
        },
        "people": [{"id": "ada", "label": "Ada", "stature_mm": 1750}],
        "pieces": [
            {"id": "rack", "type": "rack", "pose": {"x_mm": 1000, "y_mm": 900}},
            {
                "id": "bar",
                "type": "bar",
                "carried_by": "rack",
                "pose": {"x_mm": 1000, "y_mm": 900},
            },
        ],
    }
    for path, value in changes.items():
        *way, last = path.split("__")
        holder: Any = data
        for step in way:
            holder = holder[int(step)] if step.isdecimal() else holder[step]
        if last.isdecimal():
            holder[int(last)] = value
        else:
            holder[last] = value
    return data


def refused(data: object) -> str:
    with pytest.raises(PlanError) as caught:
        from_data(data)
    return caught.value.sentence


def test_a_plan_is_read_and_written_back_alike() -> None:
    plan = from_data(document())
    assert load(dump(plan)) == plan
    assert dump(load(dump(plan))) == dump(plan)


def test_lists_are_put_in_the_order_of_their_ids() -> None:
    plan = from_data(document())
    assert [piece.id for piece in plan.pieces] == ["bar", "rack"]


def test_positions_are_kept_to_a_hundredth() -> None:
    pose = {"x_mm": 1.23456, "y_mm": -0.001, "angle_deg": -90.00049}
    piece = from_data(document(pieces__0__pose=pose)).piece("rack")
    # -90.00049 to three decimals is -90.0, a full turn on 270
    assert (piece.pose.x_mm, piece.pose.y_mm, piece.pose.angle_deg) == (1.23, 0.0, 270.0)
    assert math.copysign(1, piece.pose.y_mm) == 1


def test_a_station_is_its_carrier_and_all_it_carries() -> None:
    data = document()
    data["pieces"].append(
        {"id": "plates", "type": "plates", "carried_by": "bar", "pose": {"x_mm": 0, "y_mm": 0}}
    )
    plan = from_data(data)
    carriers = {piece.id: piece.carried_by for piece in plan.pieces}
    roots = {piece_id: station_root(piece_id, carriers) for piece_id in carriers}
    assert {"rack", "bar", "plates"} == {piece for piece, root in roots.items() if root == "rack"}


def test_a_sloping_plane_has_its_height_at_each_point() -> None:
    # 2050 at x = 0, 250 mm more for each metre
    plane = Plane(id="roof", height_mm=2050, rise_x=250)
    assert plane.height_at(0, 3000) == 2050
    assert plane.height_at(2800, 0) == 2750


BAD: list[tuple[dict[str, Any], tuple[str, ...]]] = [
    ({"version": 2}, ("version", "written by a newer one")),
    ({"version": True}, ("version", "whole number")),
    ({"version": "1"}, ("version", "whole number")),
    ({"format": "other"}, ("format", "this file is not a plan of Elbowroom")),
    ({"colour": "red"}, ("colour", "this field is not known")),
    ({"name": ""}, ("name", "must not be empty")),
    ({"name": 7}, ("name", "must be a text, not 7")),
    ({"room": None}, ("room", "not nothing")),
    ({"room__ceiling__planes__0__height_mm": math.nan}, ("height_mm", "finite number")),
    ({"pieces__0__pose": {"x_mm": math.inf, "y_mm": 0}}, ("pieces[0].pose.x_mm", "finite number")),
    ({"pieces__0__pose": {"x_mm": 1e300, "y_mm": 0}}, ("pieces[0].pose.x_mm", "100000")),
    ({"room__walls__2__x_mm": -5000}, ("room: walls", "crosses itself", "'right'", "'left'")),
    ({"room__walls__1__x_mm": 0}, ("walls", "'back' has no length")),
    ({"room__walls__1__id": "back"}, ("'back' stands twice",)),
    ({"room__walls": []}, ("room.walls", "3 is the least")),
    ({"room__openings__0__width_mm": 6000}, ("'door' is 6000 mm wide", "'front' only 5000")),
    ({"room__openings__0__offset_mm": 3000}, ("'door' ends 5400 mm", "5000 mm long")),
    ({"room__openings__0__wall": "roof"}, ("'door'", "'roof', which is not there")),
    ({"room__openings__0__kind": "drawbridge"}, ("kind", "'hinged'", "'drawbridge'")),
    ({"room__ceiling__planes__0__height_mm": -10}, ("ceiling", "not above the floor")),
    ({"room__ceiling__planes__0__rise_x": -600}, ("ceiling", "-600 mm high at (5000, 0)")),
    ({"room__ceiling__planes": []}, ("ceiling", "at least one plane")),
    ({"people__0__stature_mm": 3000}, ("people[0].stature_mm", "2300")),
    ({"people__0__stature_mm": 900}, ("people[0].stature_mm", "1000")),
    ({"room__floor": {"covering": {"thickness_mm": 400}}}, ("thickness_mm", "300")),
    ({"people__0__reach_mm": 1700}, ("reach of 'Ada'", "1700 mm", "measure it")),
    ({"pieces__0__id": "Rack 1"}, ("pieces[0].id", "is no name of a thing in a plan")),
    ({"pieces__0__id": "bar"}, ("'bar' stands twice",)),
    ({"pieces__1__carried_by": "stand"}, ("'bar' is carried by 'stand'", "not in the plan")),
    ({"pieces__0__carried_by": "bar"}, ("carry one another",)),
    ({"pieces__0__width_mm": 0}, ("pieces[0].width_mm", "must be more than 0")),
    ({"pieces__0__width_mm": "wide"}, ("pieces[0].width_mm", "'wide'")),
]


@pytest.mark.parametrize(("changes", "words"), BAD, ids=lambda value: str(value)[:40])
def test_what_is_wrong_is_named(changes: dict[str, Any], words: tuple[str, ...]) -> None:
    sentence = refused(document(**changes))
    assert [word for word in words if word not in sentence] == []
    assert "\n" not in sentence
    assert "pydantic" not in sentence


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "not a plan of Elbowroom"),
        ("{", "not JSON"),
        (b"\xff\xfe\x00", "not a plan of Elbowroom"),
        ("[]", "not a plan of Elbowroom"),
        ("null", "not a plan of Elbowroom"),
        ('"plan"', "not a plan of Elbowroom"),
        ('{"format": "elbowroom-plan"}', "version"),
        ('{"format": "elbowroom-plan", "version": NaN}', "holds NaN"),
        ('{"format": -Infinity}', "holds -Infinity"),
        ("[" * 100_000, "nested too deeply"),
        ('{"a":' * 100_000, "nested too deeply"),
        ("1" * 5000, "not a plan of Elbowroom"),
        (b" " * 50_000_000, "the file is 50.0 MB"),
    ],
    ids=lambda value: repr(value[:24]),
)
def test_a_file_that_is_no_plan(text: str | bytes, words: str) -> None:
    with pytest.raises(PlanError, match=words):
        load(text)


def test_a_huge_number_in_a_file_is_refused() -> None:
    text = json.dumps(document()).replace("2400", "1e999", 1)
    with pytest.raises(PlanError, match="finite number"):
        load(text)


def test_more_pieces_than_a_plan_holds() -> None:
    one = {"type": "rack", "pose": {"x_mm": 0, "y_mm": 0}}
    many = [{"id": f"p-{n}", **one} for n in range(10_000)]
    assert "10,000 pieces; a plan holds at most 3,000" in refused(document(pieces=many))
    assert len(from_data(document(pieces=many[:3000])).pieces) == 3000


def test_a_name_with_markup_is_only_text() -> None:
    assert from_data(document(name="<script>x</script>")).name == "<script>x</script>"


@given(
    st.recursive(
        st.none() | st.integers() | st.text(max_size=6),
        lambda part: (
            st.lists(part, max_size=3)
            | st.dictionaries(st.sampled_from(sorted(Plan.model_fields)), part)
        ),
    )
)
def test_any_data_gives_a_plan_error_and_nothing_else(data: object) -> None:
    assert refused(data)


@given(st.sampled_from(sorted(document())), st.none() | st.integers() | st.lists(st.text()))
def test_any_field_spoilt_is_named(field: str, value: object) -> None:
    data = document()
    data[field] = value
    if value == 1 or (value == [] and field in ("people", "pieces")):
        assert json_of(from_data(data))[field] == value
        return
    with pytest.raises(PlanError) as caught:
        from_data(data)
    assert caught.value.faults[0].field.startswith(field)


def test_the_schema_tells_of_every_field() -> None:
    told = schema()
    assert set(told["properties"]) == set(Plan.model_fields)
    assert told["additionalProperties"] is False
    assert {"Room", "Wall", "Opening", "Piece", "Person"} <= set(told["$defs"])


# Outlines. Whole numbers up to 10 m keep every cross product exact in both programs.
CORNER = st.tuples(st.integers(0, 12), st.integers(0, 12))


@given(st.lists(CORNER, min_size=3, max_size=7))
def test_an_outline_is_simple_where_an_independent_program_says_so(corners: Corners) -> None:
    ring = shapely.LinearRing(corners)
    assert (first_crossing(corners) is None) == bool(
        ring.is_simple and shapely.Polygon(corners).is_valid and corners_differ(corners)
    )


def corners_differ(corners: Corners) -> bool:
    """Two corners in one place are a side of no length, which shapely forgives."""
    return len(set(corners)) == len(corners)


@given(
    st.lists(st.integers(1, 9), min_size=3, max_size=12),
    st.floats(0, 360),
    st.floats(-5000, 5000),
)
def test_a_star_is_simple_at_any_angle(radii: list[int], turn: float, shift: float) -> None:
    step = 360 / len(radii)
    corners = [
        (
            round(shift + 500 * r * math.cos(math.radians(turn + i * step)), 2),
            round(shift + 500 * r * math.sin(math.radians(turn + i * step)), 2),
        )
        for i, r in enumerate(radii)
    ]
    assert first_crossing(corners) is None
    assert signed_area_mm2(corners) == pytest.approx(shapely.Polygon(corners).area, rel=1e-9)
    assert signed_area_mm2(corners[::-1]) == pytest.approx(-signed_area_mm2(corners))


@pytest.mark.parametrize(
    ("corners", "pair"),
    [
        ([(0, 0), (4, 4), (4, 0), (0, 4)], (0, 2)),
        ([(0, 0), (4, 0), (2, 0), (2, 3)], (0, 1)),
        ([(0, 0), (4, 0), (4, 4), (2, 0), (0, 4)], (0, 2)),
        ([(0, 0), (0, 0), (4, 4)], (0, 0)),
        ([(0, 0), (4, 0), (8, 0)], (0, 2)),
    ],
)
def test_the_sides_that_meet_are_named(corners: Corners, pair: tuple[int, int]) -> None:
    assert first_crossing(corners) == pair


def test_a_corner_on_a_straight_wall_is_no_crossing() -> None:
    assert first_crossing([(0, 0), (2, 0), (4, 0), (4, 4), (0, 4)]) is None


@pytest.mark.parametrize(
    ("typed", "mm", "told"),
    [
        ("6' 4", 1930.4, "6' 4\""),
        ("6′4 1/2", 1943.1, "6′4 1/2″"),
        ("6' 4\"", 1930.4, "6' 4\""),
        ("6 ft 4", 1930.4, "6 ft 4"),
        ("1.93 m", 1930.0, "1.93 m"),
    ],
)
def test_a_height_in_feet_is_told_with_the_inch_mark_that_was_left_out(
    typed: str, mm: float, told: str
) -> None:
    person = Person(id="a", stature_mm=mm, stature_typed=typed)
    assert person.stature_words("feet") == told
