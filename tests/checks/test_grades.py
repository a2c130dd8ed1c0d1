"""The incline that nobody has said: asked for, with the one from which on a runner is too near.

By hand: 1750 + deck 180 + 100 while running + 25 of shoe + 100 of margin = 2155 when flat; at a
grade of g the feet, 1000 before the pivot, are lifted by 1000 sin(atan g) (common practice).
"""

import math

import pytest

from tests.builders import judge, make_person, make_plan, make_room, place, turned_plan

FLAT_MM = 2155
TWELVE = 1000 * math.sin(math.atan(0.12))


def asked(height: float, angle: float = 0, grade: float | None = None) -> str:
    machine = place("running-machine", 2500, 2500, deck=180, grade=grade)
    person = make_person(1750, want=("run",))
    plan = make_plan(machine, room=make_room(height=height), people=[person])
    questions = [s.sentence for s in judge(turned_plan(plan, angle)) if s.code == "find-out"]
    return next((words for words in questions if "incline" in words), "")


@pytest.mark.parametrize("angle", [0, 37])
def test_what_is_taken_is_said_and_from_where_on_it_is_too_little(angle: float) -> None:
    assert "is used (taken as flat)" in asked(math.ceil(FLAT_MM + TWELVE), angle)
    # 30 to spare: 3 % lifts 30.0, so over 2 whole per cent
    for spare, per_cent in ((31, 3), (29, 2), (100, 10), (1, 0)):
        words = f"(taken as flat; over {per_cent}% 1.75 m has no margin overhead)"
        assert words in asked(FLAT_MM + spare, angle)
    # too low when flat is a row of its own
    assert "(taken as flat)" in asked(FLAT_MM - 2, angle)


def test_what_is_typed_is_not_asked_for() -> None:
    assert asked(2300, grade=0) == ""
    assert asked(2300, grade=10) == ""


def test_who_runs_on_a_walking_pad_is_told_that_it_is_made_to_walk_on() -> None:
    person = make_person(1750, want=("run",))
    pad, machine = place("walking-pad", 1500, 2500), place("running-machine", 3500, 2500)

    def rows(*kit: str) -> list[tuple[str, str]]:
        pieces = [one for one in (pad, machine) if one.type in kit]
        plan = make_plan(*pieces, room=make_room(height=2150), people=[person])
        return [(s.severity, s.sentence) for s in judge(plan) if s.movement == "run"]

    assert rows("walking-pad") == [
        ("note", "The walking pad is made to walk on: there is nothing here to run on.")
    ]
    assert all("walking pad" not in words for _, words in rows("walking-pad", "running-machine"))
