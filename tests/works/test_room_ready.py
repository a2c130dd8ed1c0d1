"""Works and months agree: nothing is bought before it can be built, late money moves the date."""

from datetime import date
from functools import cache

import pytest

from app.costs.cost import costs
from app.model.base import json_of
from app.model.phasing import later_month, month_of
from app.model.plan import Plan
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.works.months import Months, months_of
from app.works.phases import PART
from app.works.room_ready import RoomReady
from app.works.works import works
from tests.works.plans import SPRING, sample

FIRST = month_of(SPRING)


@cache
def with_purse(put_by: int, a_month: int, key: str = "upstairs-room") -> tuple[RoomReady, Months]:
    phasing = {"put_by_minor": put_by, "a_month_minor": a_month}
    plan = Plan.model_validate({**json_of(sample(key)), "phasing": phasing})
    scene = build_scene(plan)
    counted = take_off(scene)
    costed = costs(scene, counted)
    ready = RoomReady(works(scene, counted, costed, SPRING), costed.lines)
    return ready, months_of(scene, costed, FIRST, ready)


def bought(months: Months) -> dict[str, str]:
    return {thing.key: month.month for month in months.months for thing in month.buys}


@pytest.mark.parametrize("purse", [(1_000_000, 0), (60_000, 20_000)])
def test_nothing_is_bought_before_the_works_ask_for_it(purse: tuple[int, int]) -> None:
    ready, months = with_purse(*purse)
    asked_for = {
        line: month_of(order.order_by) for order in ready.works.orders for line in order.lines
    }
    when = bought(months)
    kit = {key: month for key, month in when.items() if not key.startswith(PART)}
    assert len(kit) >= 4
    assert all(month >= asked_for.get(key, FIRST) for key, month in kit.items())
    floors = [month for line, month in asked_for.items() if line.startswith("floor.")]
    assert floors
    assert when[f"{PART}floor"] >= min(floors)


def test_with_money_enough_the_first_training_is_that_of_the_works() -> None:
    ready, months = with_purse(1_000_000, 0)
    assert months.first_training == ready.first_training
    assert not months.problems
    # what can be trained is so from the month of that day, or the month after what came last
    new = [month.month for month in months.months if month.new]
    assert min(new) >= month_of(SPRING)


def test_money_that_comes_late_moves_the_first_training_and_that_is_said() -> None:
    ready, months = with_purse(60_000, 20_000)
    when = bought(months)
    floor = when[f"{PART}floor"]
    assert floor > ready.wanted_from()[f"{PART}floor"]
    then = months.first_training
    assert then is not None
    assert then > ready.first_training
    assert then > date.fromisoformat(f"{floor}-01")
    (said,) = [one for one in months.problems if "later than the works ask for" in one]
    assert "floor covering" in said


def test_all_that_the_room_needs_comes_before_the_kit() -> None:
    _, months = with_purse(60_000, 20_000)
    when = bought(months)
    last = max(month for key, month in when.items() if key.startswith(PART))
    kit = [month for key, month in when.items() if key in {"piece.rower-1", "piece.bench-1"}]
    assert len(kit) == 2
    assert min(kit) >= last
    assert last < later_month(FIRST, 24)
