"""Bars kept upright. A lift of 120 to come out is common practice, no source."""

import pytest

from app.model.room import Joists
from tests.builders import found, make_plan, make_room, place, severities, turned_plan
from tests.checks.hanging import but

HOLDER = place("bar-holder", 2500, 2500, height=2000)
JOISTS = Joists(direction_deg=0, spacing_mm=600, width_mm=50, depth_mm=150, first_mm=0)


@pytest.mark.parametrize("angle", [0, 37])
@pytest.mark.parametrize(
    # a bar of 2200 is lifted 120: 2320, whatever height is typed for its holder
    ("height", "expected"),
    [(2318, ["care"]), (2320, []), (2400, [])],
)
def test_a_bar_needs_its_length_and_the_lift(
    height: float, expected: list[str], angle: float
) -> None:
    plan = make_plan(HOLDER, room=make_room(height=height))
    assert severities(turned_plan(plan, angle), "bar-lift-out") == expected


def test_the_longest_bar_of_the_plan_counts() -> None:
    short = place("short-bar", 2500, 1000, on_floor=True, width=1800)
    low = but(HOLDER, height_mm=1850)
    for height, expected in ((1922, []), (1918, ["care"])):
        plan = make_plan(low, short, room=make_room(height=height))
        assert severities(plan, "bar-lift-out") == expected


@pytest.mark.parametrize("angle", [0, 29])
def test_between_joists_it_stands_but_does_not_come_out(angle: float) -> None:
    # 2400 between the joists, 2250 under them; the holder of 300 stands in a gap of 550
    room = make_room(height=2400, joists=JOISTS)
    plan = turned_plan(make_plan(place("bar-holder", 2500, 2725), room=room), angle)
    assert found(plan, "too-tall") == []
    (snag,) = found(plan, "bar-lift-out")
    assert (snag.severity, snag.measured, snag.required) == ("care", 2250, 2320)
    assert "under the joist" in snag.sentence


def test_what_is_higher_than_the_room_is_said_once() -> None:
    plan = make_plan(but(HOLDER, height_mm=2320), room=make_room(height=2290))
    assert len(found(plan, "too-tall")) == 1
    assert found(plan, "bar-lift-out") == []


@pytest.mark.parametrize("angle", [0, 37])
@pytest.mark.parametrize(
    ("height", "expected"), [(2198, ["stop"]), (2200, []), (2318, []), (2400, [])]
)
def test_a_bar_longer_than_the_room_is_high_does_not_stand(
    height: float, expected: list[str], angle: float
) -> None:
    # a holder of 2150 stands under 2198, a bar of 2200 that lies about does not
    holder = but(HOLDER, height_mm=2150)
    bar = place("bar-20", 2500, 4000, on_floor=True)
    plan = turned_plan(make_plan(holder, bar, room=make_room(height=height)), angle)
    assert severities(plan, "bar-stands-too-high") == expected
    assert (found(plan, "bar-lift-out") == []) == (bool(expected) or height == 2400)


def test_a_bar_that_lies_on_a_rack_is_no_bar_in_a_holder() -> None:
    rack, bar = place("half-rack", 1500, 3500), place("bar-20", 1500, 3500, carried_by="half-rack")
    plan = make_plan(but(HOLDER, height_mm=2150), rack, bar, room=make_room(height=2190))
    assert severities(plan, "bar-stands-too-high") == []
    assert severities(plan, "bar-lift-out") == ["care"]
