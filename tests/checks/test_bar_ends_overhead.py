"""What hangs low over the ends of a bar: carried on the shoulders, and at rest on its hooks.

Shoulder at 0.818 H: Drillis and Contini 1966. Plates of 450: IWF rules. Hooks from 1000 up: the row
of the rack.
"""

import numpy as np
import pytest

from app.checks.outside import under_ceiling
from app.checks.run import run
from app.formulas.headroom import demand
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
from tests.placing.agreement import Agreement, compare

SHOULDERS_MM = 0.818 * 1800
PLATE_MM = 225.0
LOWEST_MM = 1000 + PLATE_MM


def garage(bottom_mm: float, *, want: tuple[str, ...], to_x_mm: float = 1780) -> Plan:
    """A mid rack with its bar on the outer hooks, a bulkhead over the left plates alone."""
    return make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        place("bar-20", 2500, 1437, carried_by="mid-rack", plate=450),
        room=make_room(
            5000, 5000, low_things=(low_thing(rectangle(0, 0, to_x_mm, 3000), bottom_mm),)
        ),
        people=(make_person(1800, want=want),),
    )


def test_on_the_shoulders_a_bar_asks_for_less_than_the_crown_and_its_plates_may_ask_for_more() -> (
    None
):
    bar, plates = demand("squat", 1800, held_mm=14.0), demand("squat", 1800, held_mm=PLATE_MM)
    assert bar.least_mm == pytest.approx(SHOULDERS_MM + 14)
    assert plates.least_mm == pytest.approx(SHOULDERS_MM + PLATE_MM)
    assert bar.least_mm < plates.least_mm < demand("squat", 1800).least_mm


@pytest.mark.parametrize("turn", [0, 31])
@pytest.mark.parametrize(("over", "hits"), [(-2.0, True), (0.5, False)])
def test_plates_of_a_squat_on_both_sides_of_the_limit(turn: float, over: float, hits: bool) -> None:
    plan = turned_plan(garage(SHOULDERS_MM + PLATE_MM + over, want=("squat",)), turn)
    found = [snag for snag in run(build_scene(plan)) if snag.code == "headroom"]
    assert [snag.severity for snag in found] == ["stop" if hits else "care"]


@pytest.mark.parametrize("turn", [0, 31])
@pytest.mark.parametrize(("over", "count"), [(-2.0, 1), (0.0, 0)])
def test_even_the_lowest_hooks_hold_the_plates_too_high(
    turn: float, over: float, count: int
) -> None:
    plan = turned_plan(garage(LOWEST_MM + over, want=()), turn)
    assert [snag.severity for snag in under_ceiling(build_scene(plan))] == ["stop"] * count


def test_a_bar_on_the_floor_reaches_as_high_as_its_plates() -> None:
    def told(bottom_mm: float) -> int:
        plan = make_plan(
            place("bar-20", 2500, 2000, on_floor=True, plate=450),
            room=make_room(
                5000, 5000, low_things=(low_thing(rectangle(0, 0, 1780, 3000), bottom_mm),)
            ),
        )
        return len(list(under_ceiling(build_scene(plan))))

    assert (told(448), told(450)) == (1, 0)


def test_the_core_of_searches_puts_no_bar_under_a_bulkhead() -> None:
    for want in ((), ("squat",)):
        for bottom in (1100.0, 1500.0):
            agreement = Agreement()
            scene = build_scene(garage(bottom, want=want, to_x_mm=1200))
            compare(scene, 60, np.random.default_rng(5), agreement)
            assert not agreement.admitted
