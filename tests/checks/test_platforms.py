"""Platforms under what stands and is done on them, on both sides of the limit.

1.204 H: Drillis and Contini 1966. A platform of 30 to 80 is common practice, no source.
"""

import pytest

from app.checks.platforms import platforms
from app.formulas.headroom import demand
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place, turned_plan

HIGH_MM, RACK_MM = 40.0, 2030.0


def on_platform(ceiling_mm: float, y_mm: float = 1300, want: str = "standing-press") -> Plan:
    """A mid rack on a platform whose middle is at some y, and one who presses before it."""
    return make_plan(
        place("platform", 2500, y_mm, height=HIGH_MM),
        place("mid-rack", 2500, 775, bolted=True),
        place("bar-20", 2500, 1437, carried_by="mid-rack", plate=450),
        room=make_room(height=ceiling_mm),
        people=(make_person(1640, want=(want,)),),
    )


@pytest.mark.parametrize("turn", [0, 29])
@pytest.mark.parametrize(("over", "count"), [(-2.0, 1), (0.0, 0)])
def test_a_press_on_a_platform_asks_for_its_height_more(
    turn: float, over: float, count: int
) -> None:
    least = demand("standing-press", 1640, held_mm=225).least_mm + HIGH_MM
    plan = turned_plan(on_platform(least + over), turn)
    assert [s.severity for s in platforms(build_scene(plan))] == ["stop"] * count


def test_what_hits_without_the_platform_is_said_as_such() -> None:
    least = demand("standing-press", 1640, held_mm=225).least_mm
    plan = on_platform(least - 5)
    assert not [s for s in platforms(build_scene(plan)) if s.code == "platform-headroom"]


@pytest.mark.parametrize("turn", [0, 29])
@pytest.mark.parametrize(("over", "count"), [(-2.0, 1), (0.0, 0)])
def test_a_rack_on_a_platform_is_so_much_taller(turn: float, over: float, count: int) -> None:
    plan = turned_plan(on_platform(RACK_MM + HIGH_MM + over, want="squat"), turn)
    found = [s for s in platforms(build_scene(plan)) if s.code == "platform-too-tall"]
    assert [s.severity for s in found] == ["stop"] * count


@pytest.mark.parametrize("turn", [0, 29])
@pytest.mark.parametrize(("y_mm", "codes"), [(1300, []), (2300, ["platform-in-part"]), (2630, [])])
def test_a_rack_with_some_feet_on_a_platform_is_a_care(
    turn: float, y_mm: float, codes: list[str]
) -> None:
    plan = turned_plan(on_platform(2800, y_mm), turn)
    assert [s.code for s in platforms(build_scene(plan))] == codes


def test_a_rack_takes_its_rails_up_on_to_the_platform() -> None:
    """Between posts of 2030 the crossmember is 1955 high, and a head of 1940 passes under it."""
    plan = on_platform(2800, want="squat")
    people = (make_person(1920, want=("squat",)),)
    tall = Plan.model_validate(
        {**plan.model_dump(mode="json"), "people": [one.model_dump(mode="json") for one in people]}
    )
    assert not list(platforms(build_scene(tall)))
