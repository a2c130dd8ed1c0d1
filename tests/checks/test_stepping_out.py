"""Stepping out of a rack with the bar: the height before the posts, on both sides of the limit.

H and the covering decide for the head, 0.818 H (Drillis and Contini 1966) and half a plate for the
plates; that one steps out 700 is common practice, no source.
"""

import pytest

from app.arrange.ways_out import ways_out
from app.checks.run import run
from app.checks.squat_catches import catches_set
from app.checks.stepping_out import stepping_out
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import (
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)

OUTER_MM, INNER_MM = 1437, 1288


def before_the_posts(
    bottom_mm: float,
    left_mm: float = 2300,
    right_mm: float = 2700,
    bar_mm: float = OUTER_MM,
    wish: str = "want",
) -> Plan:
    """A mid rack whose posts end at 1400, and a duct from 1850 on."""
    who = {"want": make_person(1800, want=("squat",)), "nice": make_person(1800, nice=("squat",))}
    duct = low_thing(rectangle(left_mm, 1850, right_mm, 2700), bottom_mm, "duct")
    return make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        place("bar-20", 2500, bar_mm, carried_by="mid-rack", plate=450),
        room=make_room(low_things=(duct,)),
        people=(who[wish],) if wish in who else (make_person(1800, no=("squat",)),),
    )


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(("over", "count"), [(-2.0, 1), (0.0, 0)])
def test_the_head_counts_to_the_millimetre(turn: float, over: float, count: int) -> None:
    plan = turned_plan(before_the_posts(1800 + over), turn)
    assert [snag.severity for snag in stepping_out(build_scene(plan))] == ["care"] * count


def test_over_the_ends_of_the_bar_its_plates_count() -> None:
    least = 0.818 * 1800 + 225
    low = list(stepping_out(build_scene(before_the_posts(least - 3, 3300, 3700))))
    assert [snag.severity for snag in low] == ["care"]
    assert "plates" in low[0].sentence
    assert not list(stepping_out(build_scene(before_the_posts(least + 1, 3300, 3700))))


def test_from_hooks_inside_nobody_steps_out_and_a_mere_wish_is_a_note() -> None:
    assert not list(stepping_out(build_scene(before_the_posts(1700, bar_mm=INNER_MM))))
    assert [s.severity for s in stepping_out(build_scene(before_the_posts(1700, wish="nice")))] == [
        "note"
    ]
    assert not list(stepping_out(build_scene(before_the_posts(1700, wish="no"))))


def test_what_hits_between_the_posts_as_well_is_said_there() -> None:
    plan = make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        place("bar-20", 2500, OUTER_MM, carried_by="mid-rack", plate=450),
        room=make_room(height=1700),
        people=(make_person(1800, want=("squat",)),),
    )
    assert not list(stepping_out(build_scene(plan)))


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(
    ("rubber", "alone", "from_mm", "severity"),
    [
        # the floor to drop the bar on reaches from 600 before where one squats to 600 behind
        (True, True, 2700, "care"),
        (True, True, 2698, "stop"),
        (False, True, 3500, "stop"),
        # as on stands: a helper at each end each time
        (False, False, 3500, "care"),
    ],
)
def test_before_the_posts_nothing_catches_the_bar_of_who_is_alone(
    rubber: bool, alone: bool, from_mm: float, severity: str, turn: float
) -> None:
    """Alone without catches: a stop but for rubber plates and 1200 of floor (practice)."""
    bar = place("bar-20", 2500, OUTER_MM, carried_by="mid-rack", plate=450)
    tall = make_person(1980, want=("squat",))
    plan = make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        bar.model_copy(update={"bumper_plates": rubber}),
        place("other-thing", 2500, from_mm + 250, width=500, depth=500, height=900),
        people=(tall.model_copy(update={"trains_alone": alone}),),
    )
    found = list(stepping_out(build_scene(turned_plan(plan, turn))))
    assert [snag.severity for snag in found] == [severity]
    for snag in found:
        assert ("rubber plates" in snag.sentence) == (severity == "stop")


def test_who_squats_before_the_posts_is_offered_a_taller_rack() -> None:
    """In a rack of 2140 the crossmember is at 2065, over 1980 and shoes."""
    plan = make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        place("bar-20", 2500, OUTER_MM, carried_by="mid-rack", plate=450),
        people=(make_person(1980, want=("squat",)),),
    )
    scene = build_scene(plan)
    (snag,) = (s for s in run(scene) if s.code == "squat-before-posts")
    said = ways_out(scene, [snag]).remedies[snag.key].sentence
    assert said.startswith("Take the full rack instead, 2140 mm high")


UNDERSIDE_MM = 2030 - 75
"""The underside of a mid rack's crossmember: practice has a stop for who is taller than that."""


def squatting(stature_mm: float) -> Plan:
    """Somebody at a mid rack, its posts ending at 1400 and its bar on the hooks before them."""
    return make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        place("bar-20", 2500, OUTER_MM, carried_by="mid-rack", plate=450),
        people=(make_person(stature_mm, want=("squat",)),),
    )


def said_before(plan: Plan) -> list[str]:
    scene = build_scene(plan)
    return [s.severity for s in stepping_out(scene) if s.code == "squat-before-posts"]


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(("over", "grave"), [(2.0, ["stop"]), (0.0, ["care"])])
def test_who_does_not_fit_between_the_posts_has_no_catches_and_is_stopped(
    turn: float, over: float, grave: list[str]
) -> None:
    # practice: squat without catches, alone: stop
    plan = turned_plan(squatting(UNDERSIDE_MM + over), turn)
    assert said_before(plan) == grave


def test_nobody_is_told_how_to_set_catches_that_he_squats_before() -> None:
    fits, too_tall = squatting(UNDERSIDE_MM), squatting(UNDERSIDE_MM + 2)
    assert ["squats" in s.sentence for s in catches_set(build_scene(fits))] == [True]
    assert not list(catches_set(build_scene(too_tall)))
