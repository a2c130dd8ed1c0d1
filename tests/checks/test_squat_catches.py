"""Catches for squats: as high as they go under the bar at the bottom."""

from __future__ import annotations

import pytest

from app.checks.snag import Snag
from app.checks.squat_catches import catches_set
from app.checks.squat_setting import setting_mm
from app.library.kit import Catches, kit_types
from app.model.people import Person
from app.published.register import overridden
from app.scene.build import build_scene
from tests.builders import found, make_person, make_plan, make_room, place, turned_plan

HOLES = Catches(low_mm=400, high_mm=1400, pitch_mm=50)


def notes(*people: Person, rack: str = "mid-rack", angle: float = 0) -> list[Snag]:
    plan = make_plan(
        place(rack, 2500, 1500, piece_id="rack"),
        place("bar-20", 2500, 1500 + 662, piece_id="bar", carried_by="rack"),
        people=people,
    )
    return found(turned_plan(plan, angle) if angle else plan, "catch-setting-squat")


def test_the_bottom_of_a_squat_by_the_segments_of_the_body() -> None:
    # Winter 2009, fig. 4.1: knee 0.285 H, hip 0.530, shoulder 0.818; the trunk at 45 degrees
    # 0.285 + (0.818 - 0.530) x 0.7071 = 0.4886; 1800: 880, less 50
    assert setting_mm(1800, None) == pytest.approx(830, abs=1)


@pytest.mark.parametrize(
    ("stature", "setting"), [(1738, 750), (1737, 750), (1735, 750), (1841, 850), (1840, 800)]
)
def test_the_highest_hole_under_it(stature: float, setting: float) -> None:
    # 0.489 x 1841 - 50 = 850.2; 0.489 x 1840 - 50 = 849.8
    assert setting_mm(stature, HOLES) == setting


def test_no_hole_is_low_enough() -> None:
    # 0.489 x 1400 - 50 = 634.6
    assert setting_mm(1400, Catches(low_mm=650, high_mm=1400, pitch_mm=50)) is None


def test_each_who_wants_to_squat_is_named_once() -> None:
    for angle in (0, 37):
        (note,) = notes(
            make_person(1880, person_id="tall", want=["squat"]),
            make_person(1640, person_id="short", want=["squat"]),
            make_person(1700, person_id="other", no=["squat"]),
            angle=angle,
        )
        assert note.severity == "note"
        catches = kit_types()["mid-rack"].catches
        tall, short = (setting_mm(stature, catches) for stature in (1880, 1640))
        assert f"{tall:.0f} mm for 1.88 m" in note.sentence
        assert f"{short:.0f} mm for 1.64 m" in note.sentence
        assert "1.70 m" not in note.sentence


def test_press_and_squats_of_a_station_stand_in_one_note() -> None:
    plan = make_plan(
        place("mid-rack", 2500, 1500, piece_id="rack"),
        place("bar-20", 2500, 1500 + 662, piece_id="bar", carried_by="rack"),
        place("adjustable-bench", 2500, 1600, piece_id="bench", carried_by="rack"),
        people=[make_person(1800, want=["squat", "bench-press"])],
    )
    assert found(plan, "catch-setting-squat") == []
    (note,) = found(plan, "catch-setting")
    press, squats = note.lines("metric")
    assert "for the bench press" in press
    assert squats.startswith(
        "For squats hang the bar on the hooks inside and set the catches of the mid rack at 800 mm "
        "for 1.80 m"
    )


@pytest.mark.parametrize("angle", [0, 37])
@pytest.mark.parametrize(("off", "told"), [(662, True), (513, False)])
def test_from_the_hooks_before_the_posts_the_bar_is_hung_inside_first(
    off: float, told: bool, angle: float
) -> None:
    # a rack 1250 deep: its hooks are 37 before the posts or 112 behind their front
    plan = make_plan(
        place("mid-rack", 2500, 1500, piece_id="rack"),
        place("bar-20", 2500, 1500 + off, piece_id="bar", carried_by="rack"),
        people=[make_person(1800, want=["squat"])],
    )
    (note,) = found(turned_plan(plan, angle), "catch-setting-squat")
    assert ("hang the bar on the hooks inside" in note.sentence) is told
    assert "set the catches of the mid rack at 800 mm for 1.80 m" in note.sentence


def test_nothing_is_said_where_nothing_catches_or_nobody_squats() -> None:
    assert notes(make_person(1800, want=["squat"]), rack="squat-stands") == []
    assert notes(make_person(1800, want=["bench-press"])) == []
    assert found(make_plan(people=[make_person(1800, want=["squat"])]), "catch-setting-squat") == []


def test_a_rack_with_no_hole_low_enough_hides_no_other() -> None:
    # a child's bottom is lower than every hole of both racks; the tall one is named at both
    plan = make_plan(
        place("mid-rack", 1500, 1500, piece_id="a"),
        place("bar-20", 1500, 1500 + 662, piece_id="bar-a", carried_by="a"),
        place("squat-stands", 3000, 3500, piece_id="b"),
        place("mid-rack", 4000, 1500, piece_id="c"),
        place("bar-20", 4000, 1500 + 662, piece_id="bar-c", carried_by="c"),
        people=[make_person(1800, want=["squat"])],
    )
    assert {note.pieces for note in found(plan, "catch-setting-squat")} == {("a",), ("c",)}


@pytest.mark.parametrize("first", ["half-rack", "mid-rack"])
def test_a_rack_whose_lowest_hole_is_too_high_hides_no_other(first: str) -> None:
    # a household that keeps 120 below the bar: 0.489 x 1000 - 120 = 369; the holes of one rack
    # begin at 400, of the other at 300, 350
    second = "mid-rack" if first == "half-rack" else "half-rack"
    plan = make_plan(
        *(
            piece
            for x, kit in ((1300, first), (3700, second))
            for piece in (
                place(kit, x, 1500, piece_id=kit),
                place("bar-20", x, 1500 + 662, piece_id=f"bar-{kit}", carried_by=kit),
            )
        ),
        people=[make_person(1000, want=["squat"])],
    )
    with overridden({"catch.below-squat-mm": 120}):
        (note,) = catches_set(build_scene(plan))
    assert note.pieces == ("mid-rack",)
    assert note.required == 350


def test_a_rack_that_catches_nothing_hides_no_other() -> None:
    bare = place("mid-rack", 1500, 1500, piece_id="a").model_copy(update={"catches": False})
    plan = make_plan(
        bare,
        place("bar-20", 1500, 2162, piece_id="a-bar", carried_by="a"),
        place("mid-rack", 4500, 1500, piece_id="b"),
        place("bar-20", 4500, 2162, piece_id="b-bar", carried_by="b"),
        room=make_room(7000, 5000),
        people=[make_person(1800, want=["squat"])],
    )
    assert [note.pieces for note in found(plan, "catch-setting-squat")] == [("b",)]
