"""Who trains: a child alone, a reach nobody has, a bar above its rack; both sides of each limit.

Stationary training equipment is made for users of 14 and over (EN ISO 20957-1, scope). Who is
taken for a child: common practice, no source. Grip reach on stature: ANSUR 1988, 1.2755 H - 131.5,
standard error 32 (regression over men and women).
"""

import pytest

from tests.builders import found, make_person, make_plan, make_room, place, severities
from tests.checks.hanging import but

RACK = place("full-rack", 2500, 2000, piece_id="rack")


@pytest.mark.parametrize(
    ("stature", "alone", "expected"),
    [
        (1200, True, ["care"]),
        (1448, True, ["care"]),
        (1449, True, ["care"]),
        (1450, True, []),
        (1200, False, []),
    ],
)
def test_a_child_is_not_alone_on_kit(stature: float, alone: bool, expected: list[str]) -> None:
    child = make_person(stature, want=("pull-up",), alone=alone)
    assert severities(make_plan(RACK, people=[child]), "child-alone") == expected
    # a mat is no training equipment
    on_a_mat = make_person(stature, want=("floor-work",), alone=alone)
    assert severities(make_plan(place("mat-space"), people=[on_a_mat]), "child-alone") == []
    for snag in found(make_plan(RACK, people=[child]), "child-alone"):
        assert "14 years" in snag.sentence


@pytest.mark.parametrize(
    ("reach", "note"),
    [
        # 1.2755 x 1700 - 131.5 = 2036.85, and 4 x 32 = 128 either way
        (None, False),
        (1907, True),
        (1909, False),
        (2037, False),
        (2165, False),
        (2167, True),
        (3000, True),
    ],
)
def test_a_reach_that_nobody_has_is_measured_again(reach: float | None, note: bool) -> None:
    person = make_person(1700, reach=reach, want=("squat",))
    told = found(make_plan(RACK, people=[person]), "reach-not-usual")
    assert [snag.severity for snag in told] == ["note"] * note
    for snag in told:
        assert "1909 to 2165 mm" in snag.sentence


@pytest.mark.parametrize(
    ("bar", "expected"),
    [(2065, []), (2140, []), (2141, ["care"]), (2142, ["care"]), (3000, ["care"])],
)
def test_a_bar_is_no_higher_than_the_rack_that_carries_it(bar: float, expected: list[str]) -> None:
    # a full rack is 2140 high: common practice, no source
    rack = but(place("full-rack", 2500, 2000), bar_height_mm=bar)
    room = make_room(height=3500)
    assert severities(make_plan(rack, room=room), "bar-above-its-rack") == expected
