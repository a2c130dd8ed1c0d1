"""What is too low where it stands, and passes at another place of the room; and what was refused.

Common practice, no source: a fitter who can stand a rack under the high side says so before he
talks anybody out of a press.
"""

import pytest

from app.arrange.ways_out import ways_out
from app.checks.run import run
from app.formulas.headroom import demand
from app.model.plan import Plan
from app.model.room import Plane
from app.scene.build import build_scene
from tests.builders import found, make_person, make_plan, make_room, place, turned_plan

STATURE_MM = 1720
LEAST_MM = demand("standing-press", STATURE_MM, held_mm=225).least_mm
"""What the press asks for with plates of 450, half of them over the bar."""
WIDE_MM = 3000


def pressing(highest: float, refused: tuple[str, ...] = (), full: bool = True) -> Plan:
    """A rack under the low side of a slope that rises to the right, and shelves under the high."""
    slope = Plane(
        id="roof", height_mm=LEAST_MM - 300, rise_x=(highest - LEAST_MM + 300) / WIDE_MM * 1000
    )
    rack = place("half-rack", 1150, 875, piece_id="rack", bolted=True)
    bar = place("bar-20", 1150, 742, piece_id="bar", carried_by="rack")
    shelves = [
        place("other-thing", WIDE_MM - 450, y, width=900, depth=900, height=1500, piece_id=f"s{y}")
        for y in ((500, 1500, 2500, 3500, 4500) if full else ())
    ]
    person = make_person(STATURE_MM, want=["standing-press"], no=refused)
    room = make_room(WIDE_MM, 5000, planes=(slope,))
    return make_plan(rack, bar, *shelves, room=room, people=[person])


def offered(plan: Plan) -> str:
    """What is offered for the press that hits, in words."""
    scene = build_scene(plan)
    (stop,) = (s for s in run(scene) if s.movement == "standing-press" and s.severity == "stop")
    return ways_out(scene, run(scene)).remedies[stop.key].sentence


@pytest.mark.parametrize("more_mm", [900, -10])
def test_where_the_roof_is_high_enough_is_said_beside_another_movement(more_mm: float) -> None:
    """Turned with its back to the high side; where the ridge is too low nothing is said of it."""
    said = offered(pressing(LEAST_MM + more_mm))
    assert said.startswith("1.72 m gives up ")
    passes = "; or make room by the right wall, where standing press passes." in said
    assert passes == (more_mm > 0)


def test_where_nothing_stands_under_the_high_side_it_is_moved_there() -> None:
    assert offered(pressing(LEAST_MM + 900, full=False)).startswith(("Move ", "Turn "))


def test_what_somebody_said_no_to_comes_last_and_is_told_as_that() -> None:
    assert offered(pressing(LEAST_MM - 10)).startswith(
        "1.72 m gives up standing press for kneeling press"
    )
    said = offered(pressing(LEAST_MM - 10, refused=("kneeling-press",)))
    assert "no so far" not in said or "kneeling" in said
    every = ("kneeling-press", "seated-press", "landmine-press", "dumbbell-press")
    said = offered(pressing(LEAST_MM - 10, refused=every))
    assert ", to which 1.72 m has said no so far" in said


@pytest.mark.parametrize(("ceiling", "alone"), [(2295, False), (2106, False), (2105, True)])
def test_smaller_plates_are_ruled_out_where_the_hands_hit_as_well(
    ceiling: float, alone: bool
) -> None:
    """Hands reach 35 over the bar that they hold (practice sheet, section 4), plates 225.

    The bar is at 1.204 x 1720 = 2070.9.
    """
    rack = place("half-rack", 2500, 2500, piece_id="rack", bolted=True)
    bar = place("bar-20", 2500, 2367, piece_id="bar", carried_by="rack")
    person = make_person(STATURE_MM, want=["standing-press"])
    plan = make_plan(rack, bar, room=make_room(height=ceiling), people=[person])
    (stop,) = (s for s in found(plan, "headroom") if s.severity == "stop")
    assert ("smaller plates do not help, the hands alone need 2106" in stop.sentence) == alone


@pytest.mark.parametrize("angle", [0.0, 23.0])
@pytest.mark.parametrize(
    ("wants", "said"),
    [
        (
            ["squat", "pull-up"],
            "Do without squat; or take the full rack instead, 2140 mm high, and do without "
            "pull-ups.",
        ),
        (["squat"], "Take the full rack instead, 2140 mm high."),
    ],
)
def test_where_two_wants_ask_for_two_heights_of_a_rack_both_are_named(
    wants: list[str], said: str, angle: float
) -> None:
    """2.00 m does not stand up in a mid rack, and does not hang in a full one under 2330."""
    rack = place("mid-rack", 3000, 1500, piece_id="rack", bolted=True)
    bar = place("bar-20", 3000, 2013, piece_id="bar", carried_by="rack")
    people = [make_person(2000, want=wants)]
    plan = turned_plan(make_plan(rack, bar, room=make_room(6000, 3000, 2330), people=people), angle)
    scene = build_scene(plan)
    snags = run(scene)
    (stop,) = (one for one in snags if one.severity == "stop" and one.movement == "squat")
    assert ways_out(scene, snags).remedies[stop.key].sentence == said


def test_on_the_open_floor_no_other_rack_is_looked_for() -> None:
    """What is too low where nothing stands names no thing, and there is a way out all the same."""
    people = [make_person(1880, want=["standing-press"])]
    scene = build_scene(make_plan(room=make_room(4000, 4000, 2100), people=people))
    snags = run(scene)
    (stop,) = (one for one in snags if one.severity == "stop" and one.lacks == "height")
    assert not stop.pieces
    assert ways_out(scene, snags).remedies[stop.key].sentence == "Do without standing press."


def test_who_loses_by_a_higher_rack_is_named() -> None:
    """One of 2.00 m squats in it, another of 1.95 m hangs from it."""
    rack = place("mid-rack", 3000, 1500, piece_id="rack", bolted=True)
    bar = place("bar-20", 3000, 2013, piece_id="bar", carried_by="rack")
    people = [
        make_person(1950, person_id="a", want=["pull-up"]),
        make_person(2000, person_id="b", want=["squat"]),
    ]
    scene = build_scene(make_plan(rack, bar, room=make_room(6000, 3000, 2330), people=people))
    snags = run(scene)
    (stop,) = (one for one in snags if one.severity == "stop" and one.movement == "squat")
    assert ways_out(scene, snags).remedies[stop.key].sentence == (
        "Do without squat; or take the full rack instead, 2140 mm high, and 1.95 m does without "
        "pull-ups."
    )


@pytest.mark.parametrize("angle", [0.0, 23.0])
@pytest.mark.parametrize(
    ("wants", "ends"),
    [
        (["pull-up", "squat"], ", and do without squat."),
        (["pull-up"], None),
    ],
)
def test_a_bar_set_lower_for_pull_ups_is_named_with_the_squat_that_it_takes(
    wants: list[str], ends: str | None, angle: float
) -> None:
    """Under 2200 nobody of 1.92 m hangs from 2103, nor stands up between posts under 1770."""
    rack = place("full-rack", 3000, 1500, piece_id="rack", bolted=True)
    bar = place("bar-20", 3000, 1500, piece_id="bar", carried_by="rack")
    people = [make_person(1920, want=wants)]
    plan = turned_plan(make_plan(rack, bar, room=make_room(6000, 3000, 2200), people=people), angle)
    scene = build_scene(plan)
    snags = run(scene)
    (stop,) = (one for one in snags if one.severity == "stop" and one.movement == "pull-up")
    said = ways_out(scene, snags).remedies[stop.key].sentence
    set_lower = "et the pull-up bar of the full rack "
    if ends is None:
        assert said.startswith(f"S{set_lower}"), said
    else:
        assert f"; or s{set_lower}" in said, said
        assert said.endswith(ends), said
