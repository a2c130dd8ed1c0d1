"""What tasks have at hand has a day by which it is in the house, with what its shop sells."""

from datetime import date

import pytest

from app.costs.cost import costs
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.takeoff.shopping import shop_of
from app.works.at_hand import Group, pool
from tests.works.plans import of_sample, sample


@pytest.mark.parametrize("key", ["double-garage", "upstairs-room"])
def test_everything_on_the_list_is_ordered_once_and_there_when_it_is_used(key: str) -> None:
    answer = of_sample(key)
    listed = take_off(build_scene(sample(key))).lines
    here = {line: order for order in answer.orders for line in order.lines}
    assert len(here) == sum(len(order.lines) for order in answer.orders)
    assert {line.key for line in listed} <= here.keys()
    for one in answer.programme.tasks:
        for line in {*one.task.lines, *one.task.uses} & here.keys():
            assert here[line].arrives <= one.starts.date()
    shops = {line.key: shop_of(line) for line in listed}
    hired = 0
    for order in answer.orders:
        # one order is one kind of shop
        assert len({shops.get(line, "") for line in order.lines}) == 1
        for line in order.lines:
            if shops.get(line) == "hire":
                using = [t for t in answer.programme.tasks if line in t.task.uses]
                # paid by the day: it comes when it is first used
                assert order.needed == min(one.starts.date() for one in using)
                hired += 1
    assert hired


def test_what_is_needed_later_joins_the_last_order_of_its_shop_in_time() -> None:
    early, middle, late = date(2027, 4, 3), date(2027, 5, 1), date(2027, 6, 1)
    groups: dict[Group, list[str]] = {
        (middle, "small", "building", ""): ["paint"],
        (early, "small", "electric", ""): ["lamp"],
    }
    shops = {"mask": "building", "brush": "building", "drill": "hire", "extractor": "hire"}
    days = {"brush": late, "mask": early, "drill": middle, "extractor": late}
    pool(groups, days, lambda line, day: (day, "small", shops[line], ""))
    assert groups == {
        (middle, "small", "building", ""): ["paint", "brush"],
        (early, "small", "electric", ""): ["lamp"],
        (early, "small", "building", ""): ["mask"],
        (middle, "small", "hire", ""): ["drill"],
        (late, "small", "hire", ""): ["extractor"],
    }


@pytest.mark.parametrize("today", [date(2026, 12, 1), date(2027, 4, 3)])
@pytest.mark.parametrize("key", ["double-garage", "single-garage", "basement", "upstairs-room"])
def test_orders_come_to_what_the_list_of_costs_says(key: str, today: date) -> None:
    plan = sample(key)
    scene = build_scene(plan)
    asked = costs(scene, take_off(scene))
    now = [line for line in asked.lines if line.standing != "owned" and not line.later]
    answer = of_sample(key, today)
    ordered = [line for order in answer.orders for line in order.lines if not order.is_visit]
    assert sorted(ordered) == sorted(line.key for line in now)
    # in cents: the sum of each order against the sum of all lines, which the orders never add up
    assert sum(order.sum_minor or 0 for order in answer.orders) == sum(
        line.asked_minor or 0 for line in now
    )


def test_what_warms_the_room_is_there_before_it_is_placed() -> None:
    answer = of_sample("single-garage", date(2026, 12, 1))
    (heater,) = [p for p in answer.scene.order if p.kit.key == "heater"]
    (order,) = [o for o in answer.orders if f"piece.{heater.piece.id}" in o.lines]
    (placing,) = [one for one in answer.programme.tasks if one.task.kind == "heat"]
    assert order.arrives <= placing.starts.date()
