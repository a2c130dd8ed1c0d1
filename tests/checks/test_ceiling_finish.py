"""The ceiling is judged as it will be finished: boards take 40, with insulation 110 (practice)."""

import pytest

from app.checks.snag import Snag
from app.library.movements import movements
from app.model.plan import Plan
from app.model.room import Joists, Plane
from tests.builders import judge, make_person, make_plan, make_room, place, turned_plan

OTHERS = [movement for movement in movements() if movement != "step-up"]


def plan(height: float, finish: float, joists: Joists | None = None) -> Plan:
    """1750 wants step-ups on a box of 500 (2250 the least, 2375 with its margin)."""
    planes = [Plane(id="roof", height_mm=height)]
    room = make_room(6000, 6000, joists=joists, planes=planes)
    person = make_person(1750, want=["step-up"], no=OTHERS)
    whole = make_plan(place("jump-box", 3000, 3000), room=room, people=[person])
    return finished(whole, finish)


def finished(whole: Plan, finish: float) -> Plan:
    data = whole.model_dump(mode="json")
    data["room"]["ceiling"]["finish_mm"] = finish
    return Plan.model_validate(data)


def headroom(whole: Plan) -> list[Snag]:
    return [snag for snag in judge(whole) if snag.code == "headroom"]


@pytest.mark.parametrize(
    ("height", "finish", "severity"),
    [
        (2415, 40, None),
        (2413, 40, "care"),
        (2485, 110, None),
        (2290, 40, "care"),
        (2287, 40, "stop"),
        (2375, 0, None),
    ],
)
def test_what_is_still_to_come_is_taken_off(
    height: float, finish: float, severity: str | None
) -> None:
    snags = headroom(plan(height, finish))
    assert [snag.severity for snag in snags] == ([severity] if severity else [])
    assert all(snag.measured == height - finish for snag in snags)


def test_what_fits_today_and_not_after_boarding_says_so() -> None:
    (snag,) = headroom(plan(2287, 40))
    assert snag.sentence.endswith("; it fits today, not after boarding.")
    (low,) = headroom(plan(2240, 40))
    assert "today" not in low.sentence


def test_boards_go_under_the_joists_and_close_the_gaps() -> None:
    joists = Joists(spacing_mm=2000, first_mm=2000, depth_mm=150)
    # the box stands between two joists: today it has the height of the deck
    assert headroom(plan(2430, 0, joists)) == []
    (snag,) = headroom(plan(2430, 40, joists))
    assert (snag.severity, snag.measured) == ("stop", 2430 - 150 - 40)


@pytest.mark.parametrize("angle", [0, 27])
@pytest.mark.parametrize(("finish", "count"), [(38, 0), (42, 1)])
def test_a_tall_thing_under_a_finished_ceiling(finish: float, count: int, angle: float) -> None:
    shelf = make_plan(place("shelving", 2500, 300, height=2000), room=make_room(height=2039))
    turned = finished(turned_plan(shelf, angle), finish)
    snags = [snag for snag in judge(turned) if snag.code == "too-tall"]
    assert len(snags) == count
    assert all(snag.sentence.endswith("It fits today, not after boarding.") for snag in snags)


def test_an_empty_room_says_nothing_of_it() -> None:
    empty = finished(make_plan(room=make_room()), 110)
    assert [snag for snag in judge(empty) if snag.severity != "note"] == []
