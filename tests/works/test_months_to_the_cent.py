"""What is bought by month comes to what the page of cost says, to the cent, however tax is rounded.

Both as the command line prints them; tax of 7.25 % on top leaves parts of a cent on most lines.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from app.cli import main
from app.costs.budget import gross_minor_by_line
from app.costs.cost import costs
from app.model.plan import Plan
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.usecases.files import samples
from app.works.phases import wishes_of
from tests.thinned import one_of

SAMPLES = Path(__file__).resolve().parents[2] / "sample_rooms"
RULES = ("line-half-up", "total-half-up", "total-down")


def taxed(plan: Plan, rule: str, **money: Any) -> Plan:
    data = json.loads(plan.model_dump_json(by_alias=True))
    taxes = {"tax_percent": 7.25, "prices_with_tax": False, "tax_rounding": rule}
    data["money"] = {**data["money"], "contingency_percent": 0, **taxes, **money}
    data["phasing"] = {"put_by_minor": 2_000_000, "a_month_minor": 100_000}
    return Plan.model_validate(data)


@pytest.mark.parametrize("name", one_of(4, (one.key for one in samples())))
def test_things_come_to_the_cost_with_tax_by_every_rule(name: str) -> None:
    (plan,) = (one.plan for one in samples() if one.key == name)
    counted = take_off(build_scene(plan))
    keys = [line.key for line in counted.lines][::3]
    # some is paid, some ordered, some second hand and untaxed, some owned
    standings = ("bought", "committed", "to-come", "owned")
    entries = [
        {"id": key, "standing": standings[i % 4], "second_hand": i % 3 == 0, "minor": 1013 + 7 * i}
        for i, key in enumerate(keys)
    ]
    for rule in RULES:
        scene = build_scene(taxed(plan, rule, entries=entries))
        costed = costs(scene, counted)
        wishes = wishes_of(scene, costed, "2027-04")
        by_line = gross_minor_by_line(costed)
        paid = sum(by_line[line.key] for line in costed.lines if line.standing == "bought")
        things = sum(thing.minor for thing in (*wishes.things, *wishes.left_out))
        assert paid > 0
        assert wishes.ordered_minor > 0
        assert paid + wishes.ordered_minor + things == costed.gross_minor, rule
        # no line is more than a cent beside its own tax
        for line in costed.lines:
            assert abs(by_line[line.key] - line.sum_minor - line.tax) <= 1


@pytest.mark.parametrize("rule", one_of(3, RULES[::-1]))
def test_the_months_that_are_printed_come_to_the_costs_that_are_printed(
    rule: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (plan,) = (one.plan for one in samples() if one.key == "single-garage")
    file = tmp_path / "plan.json"
    file.write_text(taxed(plan, rule).model_dump_json(by_alias=True), encoding="utf-8")
    printed = []
    for command in ("costs", "phases"):
        assert main([command, str(file), "--json"]) == 0
        printed.append(json.loads(capsys.readouterr().out))
    costed, phased = printed
    months = phased["months"]
    assert not phased["beyond"]
    assert sum(month["spent_minor"] for month in months) == costed["gross_minor"]
    for month in months:
        assert sum(thing["minor"] for thing in month["buys"]) == month["spent_minor"]
