"""What is never moved: what is owned and fixed, and where the house is shut off."""

import pytest

from app.arrange.sense import may_be_another, may_move
from app.arrange.ways_out import ways_out
from app.arranging.problem import Problem, Task
from app.checks.run import run
from app.costs.cost import costs
from app.library.kit import kit_types
from app.model.money import Entry, Money, Standing
from app.model.plan import Plan, owned, owned_pieces
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from tests.builders import make_plan, make_room, place


def _with(plan: Plan, **standings: Standing) -> Plan:
    entries = tuple(
        Entry(id=f"piece.{key.replace('_', '-')}", standing=standing)
        for key, standing in standings.items()
    )
    return Plan(**{**dict(plan), "money": Money(entries=entries)})


def test_owned_is_what_money_says_else_what_stays() -> None:
    plan = make_plan(
        place("bike", 1000, 1000, stays=True),
        place("rower", 2500, 2500, stays=True),
        place("mid-rack", 4000, 4000),
        place("flat-bench", 1000, 4000),
    )
    plan = _with(plan, rower="to-come", mid_rack="owned", flat_bench="bought")
    assert owned_pieces(plan) == {"bike", "mid-rack"}
    assert owned(plan, "bike")
    assert not owned(plan, "rower")
    scene = build_scene(plan)
    # the list of costs says the same of each
    lines = costs(scene, take_off(scene)).lines
    told = {line.key.removeprefix("piece.") for line in lines if line.standing == "owned"}
    assert told == owned_pieces(plan)


@pytest.mark.parametrize("standing", ["owned", "to-come"])
@pytest.mark.parametrize("bolted", [True, False])
def test_what_is_owned_and_fixed_is_moved_by_no_search(standing: Standing, bolted: bool) -> None:
    plan = make_plan(place("mid-rack", 2500, 2500, bolted=bolted), place("bike", 800, 4000))
    plan = _with(plan, mid_rack=standing)
    free = not (bolted and standing == "owned")
    scene = build_scene(plan)
    assert may_move(scene, "mid-rack") == free
    assert may_be_another(scene, scene.placed["mid-rack"]) == free
    assert ("mid-rack" in Problem(Task(plan)).free) == free


@pytest.mark.parametrize("key", ["consumer-unit", "gas-tap", "water-stopcock"])
def test_what_shuts_off_the_house_stays_though_no_file_says_so(key: str) -> None:
    plan = make_plan(place(key, 2500, kit_types()[key].depth_mm / 2), place("bike", 800, 4000))
    assert not may_move(build_scene(plan), key)
    assert Problem(Task(plan)).free == ("bike",)


@pytest.mark.parametrize("standing", ["owned", "to-come"])
def test_nobody_who_owns_a_fixed_thing_is_told_to_take_a_lower_one(standing: Standing) -> None:
    bars = place("wall-bars", 2500, kit_types()["wall-bars"].depth_mm / 2)
    scene = build_scene(_with(make_plan(bars, room=make_room(height=2200)), wall_bars=standing))
    (tall,) = (snag for snag in run(scene) if snag.code == "too-tall")
    said = [one.sentence for one in ways_out(scene, (tall,)).remedies.values()]
    assert any("lower" in one for one in said) == (standing != "owned")
