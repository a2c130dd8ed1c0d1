"""Before a main switch 914 x 760 (NEC 110.26); before a gas tap or stopcock 600 (practice).

The consumer unit is 450 wide and 120 deep, with its middle at y = 60 its face is at 120; the gas
meter is 250 deep, the stopcock 120.
"""

import numpy as np
import pytest

from app.checks.shut_offs import _bounding, _deepest, _Thing
from app.checks.snag import Snag
from app.model.kit import Piece
from app.model.plan import Plan
from app.placing.core import Core
from app.scene.build import build_scene
from tests.builders import found, judge, make_plan, make_room, place, turned_plan

UNIT = place("consumer-unit", 2250, 60, stays=True)


def box(x: float, y: float, high: float = 1800, piece_id: str = "box", width: float = 600) -> Piece:
    return place("other-thing", x, y, width=width, depth=600, height=high, piece_id=piece_id)


def plan(*pieces: Piece, covering: float = 20) -> Plan:
    return make_plan(*pieces, room=make_room(4500, 4500, covering=covering))


def before(whole: Plan) -> list[Snag]:
    return [s for s in found(whole, "room-to-reach") if s.severity != "note"]


@pytest.mark.parametrize("angle", [0, 23])
@pytest.mark.parametrize(("away", "measured"), [(914, None), (912, 912), (300, 300), (0, 0)])
def test_the_depth_before_a_main_switch(away: float, measured: int | None, angle: float) -> None:
    snags = before(turned_plan(plan(UNIT, box(2250, 120 + away + 300)), angle))
    assert [(s.severity, s.measured, s.required) for s in snags] == (
        [] if measured is None else [("stop", measured, 914)]
    )


def test_it_says_depth_and_width() -> None:
    (snag,) = before(plan(UNIT, box(2250, 720)))
    assert snag.sentence == (
        "300 mm clear before it, then the other thing. Keep 914 deep and 760 wide free."
    )


@pytest.mark.parametrize("angle", [0, 23])
@pytest.mark.parametrize(("width", "measured"), [(760, None), (757, 757)])
def test_the_width_before_a_main_switch(width: float, measured: int | None, angle: float) -> None:
    sides = (
        box(2250 - width / 2 - 300, 500, piece_id="left"),
        box(2250 + width / 2 + 300, 500, piece_id="right"),
    )
    snags = before(turned_plan(plan(UNIT, *sides), angle))
    assert [(s.severity, s.measured, s.required) for s in snags] == (
        [] if measured is None else [("stop", measured, 760)]
    )
    assert [set(s.pieces) for s in snags] == (
        [] if measured is None else [{"consumer-unit", "left", "right"}]
    )


def test_the_width_need_not_be_centred() -> None:
    # 250 to the left of the middle and nothing to the right: 760 are clear, askew
    assert before(plan(UNIT, box(2250 - 250 - 300, 500))) == []
    # 200 of it: then it stands before the unit itself, which is 450 wide
    assert before(plan(UNIT, box(2250 - 200 - 300, 500))) != []


def test_in_a_corner_the_wall_is_at_its_side() -> None:
    assert before(plan(place("consumer-unit", 240, 60, stays=True))) == []


@pytest.mark.parametrize(("high", "count"), [(220, 0), (225, 1)])
def test_what_can_be_stepped_over_blocks_nothing(high: float, count: int) -> None:
    # as high as a step of a house stair: 220 (common practice, no source)
    assert len(before(plan(UNIT, box(2250, 720, high)))) == count


@pytest.mark.parametrize(("kind", "face"), [("gas-tap", 250), ("water-stopcock", 120)])
@pytest.mark.parametrize(("away", "count"), [(600, 0), (597, 1)])
def test_a_tap_asks_less_than_a_switch(kind: str, face: float, away: float, count: int) -> None:
    tap = place(kind, 2250, face / 2, stays=True)
    snags = before(plan(tap, box(2250, face + away + 300)))
    assert [(s.severity, s.required) for s in snags] == [("stop", 600)] * count
    assert not any("914" in s.sentence or "760" in s.sentence for s in snags)


def test_an_empty_room_says_nothing() -> None:
    assert before(plan()) == []
    assert before(plan(UNIT)) == []


BOILER = place("boiler", 2250, 175, stays=True)
"""Its body hangs from 1050 to 1800 above the bare floor."""


def test_under_a_boiler_the_heights_of_its_space_count() -> None:
    heater = plan(BOILER, place("heater", 2250, 100))
    assert [s for s in judge(heater) if s.severity != "note" and "boiler" in s.pieces] == []


@pytest.mark.parametrize("angle", [0, 23])
@pytest.mark.parametrize(("high", "measured"), [(750, None), (752, 298), (860, 190)])
def test_300_are_wanted_free_below_a_boiler(
    high: float, measured: int | None, angle: float
) -> None:
    under = place("other-thing", 2250, 300, width=600, depth=600, height=high)
    snags = found(turned_plan(plan(BOILER, under, covering=0), angle), "below-boiler")
    assert [(s.severity, s.measured, s.required) for s in snags] == (
        [] if measured is None else [("care", measured, 300)]
    )


def test_a_boiler_with_nothing_under_it_hides_no_other() -> None:
    free = place("boiler", 900, 175, stays=True, piece_id="a-free-one")
    under = place("other-thing", 2250, 300, width=600, depth=600, height=860)
    (snag,) = found(plan(free, BOILER, under, covering=0), "below-boiler")
    assert snag.pieces == ("boiler", "other-thing")


@pytest.mark.parametrize("angle", [0, 23])
@pytest.mark.parametrize(
    ("high", "code"),
    # its lower edge is 1050 above the floor
    [(220, None), (222, "before-boiler"), (1050, "before-boiler"), (1800, "room-for-service")],
)
def test_what_is_stepped_over_before_a_boiler_bars_nothing_and_a_chest_does(
    high: float, code: str | None, angle: float
) -> None:
    # practice: 600 in front of a boiler; who services it stands on the floor before it
    there = turned_plan(plan(BOILER, box(2250, 850, high), covering=0), angle)
    snags = [*found(there, "before-boiler"), *found(there, "room-for-service")]
    assert [snag.code for snag in snags] == ([code] if code else [])
    assert all((s.severity, s.measured, s.required) == ("care", 200, 600) for s in snags)


@pytest.mark.parametrize("angle", [0, 23])
@pytest.mark.parametrize(("y", "count"), [(1250, 0), (1248, 1)])
def test_600_before_a_boiler(y: float, count: int, angle: float) -> None:
    # 350 deep on its wall, and the box 600: its edge is 300 before its middle
    there = turned_plan(plan(BOILER, box(2250, y, 900)), angle)
    assert len(found(there, "before-boiler")) == count


@pytest.mark.parametrize("angle", [0, 23])
@pytest.mark.parametrize(("y", "measured"), [(320, None), (348, None), (352, 0), (600, 0)])
def test_what_stands_mostly_under_a_boiler_is_judged_below_it(
    y: float, measured: int | None, angle: float
) -> None:
    # its face is 350 off the wall: pushed under it by a little a thing is no less before it
    there = turned_plan(plan(BOILER, box(2250, y, 860)), angle)
    told = [snag.measured for snag in found(there, "before-boiler")]
    assert told == ([] if measured is None else [measured])


@pytest.mark.parametrize(("stays", "count"), [(False, 0), (True, 1)])
def test_what_one_person_puts_aside_bars_nobody_from_a_boiler(stays: bool, count: int) -> None:
    # a box of 25 kg, the guide of the lifting regulations
    there = plan(BOILER, place("jump-box", 2250, 800, stays=stays, piece_id="chest"))
    assert len(found(there, "before-boiler")) == count


def test_one_row_tells_what_reaches_up_to_a_boiler() -> None:
    # the console of a running machine is higher than the lower edge of 1050, its deck is not
    belt = place("running-machine", 2250, 350 + 400 + 925, piece_id="chest")
    there = plan(BOILER, belt)
    rows = [*found(there, "before-boiler"), *found(there, "room-for-service")]
    assert [snag.code for snag in rows] == ["room-for-service"]


@pytest.mark.parametrize("side", [-1, 1])
def test_one_thing_that_just_reaches_in_and_one_that_just_does_not(side: int) -> None:
    """By 1.5 and by 0.9 mm into the width of the unit itself: one tolerance lies between."""
    things = (
        box(2250 + side * (225 - 1.5 + 300), 421, piece_id="in"),
        box(2250 + side * (225 - 0.9 + 300), 1031, piece_id="not-in"),
    )
    (snag,) = before(plan(UNIT, *things))
    assert (snag.severity, snag.measured, snag.required) == ("stop", 1, 914)


def test_of_several_things_at_a_side_the_nearest_bounds_the_width() -> None:
    # 250 free to the left of the middle; to the right 300, and farther out 460
    far, near = box(2250 + 460 + 300, 500, piece_id="far"), box(2250 + 300 + 300, 600, piece_id="n")
    left = box(2250 - 250 - 300, 500, piece_id="left")
    beyond = box(2250 - 400 - 300, 800, piece_id="beyond", width=580)
    for pieces in ((far, near, left, beyond), (beyond, left, near, far)):
        (snag,) = before(plan(UNIT, *pieces))
        assert (snag.measured, snag.required) == (550, 760)
        assert snag.sentence.startswith("550 mm wide clear before it, beside the other thing")
        assert snag.sentence.endswith("Keep 760 wide and 914 deep free.")


def thing(owner: int, from_mm: float, to_mm: float, away_mm: float) -> _Thing:
    return _Thing(owner, from_mm, to_mm, away_mm, (0, 0))


MIDDLE = thing(0, -10, 10, 500)


@pytest.mark.parametrize(
    ("others", "bounds"),
    [
        # 760 wide, from 535 left of the middle to 535 right of it, the 450 of the unit within
        ((), 0),
        # to either side something nearer: the floor keeps off both, between 420 and 340
        ((thing(1, -535, -420, 100), thing(2, 400, 500, 200)), 0),
        # 300 left and 300 right are too near: it goes to the side of what is farther off
        ((thing(1, -535, -300, 100), thing(2, 300, 500, 200)), 2),
        ((thing(1, -535, -300, 200), thing(2, 300, 500, 100)), 1),
        # of the two as far off the first from the left
        ((thing(1, -535, -300, 200), thing(2, 300, 500, 200)), 1),
        # what lies in the width of the unit bounds it wherever the floor goes
        ((thing(1, 224, 535, 90),), 0),
        ((thing(1, 223, 535, 90),), 1),
        # by a millimetre past where it may go it is at its end
        ((thing(1, -700, -535.5, 90),), 0),
        ((thing(1, -700, -224.5, 90),), 0),
        ((thing(1, -700, -223, 90),), 1),
        # what lies behind something wider bounds nothing
        ((thing(1, -5, 5, 600), thing(2, -9, 9, 700)), 0),
    ],
)
def test_what_bounds_the_deepest_clear_floor(others: tuple[_Thing, ...], bounds: int) -> None:
    for things in ([MIDDLE, *others], [*others, MIDDLE]):
        assert _deepest(things, 760, 535).owner == bounds


def test_only_what_stands_before_what_is_wider_bounds() -> None:
    near, behind = thing(0, -100, 100, 50), thing(1, -100, 90, 60)
    left, right = thing(2, -101, 50, 70), thing(3, 0, 101, 80)
    assert _bounding([right, behind, near, left]) == [near, left, right]
    # as far off: the first from the left is kept, and what is as wide and no nearer is not
    twin = thing(4, -100, 100, 50.3)
    assert _bounding([near, twin]) == [near]


def test_it_hangs_on_the_place_of_what_can_be_moved() -> None:
    (moved,) = before(plan(UNIT, box(2250, 720)))
    assert (moved.hangs_on_place, moved.pieces) == (True, ("consumer-unit", "box"))
    assert moved.to_reach
    # a wall 500 before it cannot be
    room = make_room(4500, 620, covering=20)
    (fixed,) = before(make_plan(UNIT, room=room))
    assert (fixed.hangs_on_place, fixed.pieces, fixed.measured) == (False, ("consumer-unit",), 500)
    assert "then the front wall" in fixed.sentence


@pytest.mark.parametrize(("left", "right"), [("a", "z"), ("z", "a")])
def test_what_bounds_the_width_is_named_in_one_order_whatever_it_is_called(
    left: str, right: str
) -> None:
    # 560 are left between the two
    sides = (box(2250 + side * (280 + 300), 500, piece_id=name)
             for side, name in ((-1, left), (1, right)))  # fmt: skip
    (snag,) = before(plan(UNIT, *sides))
    assert (snag.pieces, snag.measured) == (("consumer-unit", right, left), 560)


@pytest.mark.parametrize("angle", [0, 37])
@pytest.mark.parametrize(("free", "count"), [(600, 0), (599.6, 0), (599, 1), (598, 1)])
def test_before_a_gas_tap_a_millimetre_less_is_less(free: float, count: int, angle: float) -> None:
    """The row asks for 600 before what shuts off: practice."""
    tap = place("gas-tap", 2500, 100, stays=True)
    end = build_scene(make_plan(tap)).order[0].footprint.bounds[3]
    thing = place("other-thing", 2500, end + free + 200, width=900, depth=400, height=900)
    whole = turned_plan(make_plan(tap, thing), angle)
    assert [s.severity for s in before(whole)] == ["stop"] * count
    core = Core.of(build_scene(whole))
    at = core.scene.placed["other-thing"]
    there = core.admits("other-thing", at.pose.angle_deg, np.array([at.at]), core.layout())
    assert there.tolist() == [not count]
