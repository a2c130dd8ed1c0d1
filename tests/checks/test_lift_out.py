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
