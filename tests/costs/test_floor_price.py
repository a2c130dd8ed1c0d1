"""Whose price of a floor it is: the guide price of the library till somebody types another."""

import pytest

from app.costs.cost import costs
from app.drawing.sheets.costs import cost_blocks
from app.errors import PlanError
from app.library.floor_products import floor_products
from app.model.base import json_of
from app.model.money import Money, Price
from app.model.plan import Plan
from app.scene.build import build_scene
from app.takeoff.floor import floor_layout
from app.takeoff.quantities import take_off
from tests.builders import make_plan, make_room

MAT = floor_products()["rubber-mat-1000"]


def plan_with(price_minor: int | None, *prices: Price, currency: str = "EUR") -> Plan:
    laying = {
        "id": "floor-1", "kind": MAT.kind, "material": MAT.material, "length_mm": MAT.length_mm,
        "width_mm": MAT.width_mm, "thickness_mm": MAT.thickness_mm, "price_minor": price_minor,
    }  # fmt: skip
    plan = json_of(make_plan(room=make_room(3000, 2000)))
    money = json_of(Money(prices=prices))
    return Plan.model_validate(
        {**plan, "currency": currency, "fit_out": {"floors": [laying]}, "money": money}
    )


@pytest.mark.parametrize(
    ("plan", "guide"),
    [
        (plan_with(MAT.price_minor), True),
        (plan_with(MAT.price_minor + 1), False),
        (plan_with(MAT.price_minor, Price(id="floor.floor-1", minor=3300)), False),
        (plan_with(MAT.price_minor, currency="JPY"), False),
    ],
)
def test_a_floor_is_called_own_priced_only_where_somebody_typed_its_price(
    plan: Plan, guide: bool
) -> None:
    scene = build_scene(plan)
    made = costs(scene, take_off(scene))
    (line,) = [one for one in made.lines if one.key == "floor.floor-1"]
    assert line.guide is guide
    own = [block for block in cost_blocks(made) if block.title == "Of these"]
    assert ("own price" in str(own)) is not guide


def test_a_pack_of_nothing_is_told_wherever_the_floor_is_asked_for() -> None:
    plan = json_of(plan_with(MAT.price_minor))
    plan["fit_out"]["floors"][0]["pack"] = 0
    scene = build_scene(Plan.model_validate(plan))
    assert [one for one in take_off(scene).problems if "a pack of 0 holds nothing" in one]
    with pytest.raises(PlanError, match="a pack of 0 holds nothing; say how many"):
        floor_layout(scene, scene.plan.fit_out.floors[0])
