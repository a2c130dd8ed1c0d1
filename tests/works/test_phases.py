"""Money by month on the sample rooms: sums to the cent, what can be trained from when, by hand.

The double garage with 900 put by and 900 a month, a tenth of it kept back: kit of 3,030 by guide
prices, added up by hand, and the fit-out of the page of cost.
"""

import json
from fractions import Fraction
from itertools import accumulate
from pathlib import Path
from typing import Any

import pytest

from app.cli import main
from app.costs.budget import budget_says
from app.costs.cost import costs
from app.costs.leaving_out import least_set
from app.errors import PlanError
from app.model.base import json_of
from app.model.phasing import later_month, months_between
from app.model.plan import Plan
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.works.months import Months, months_of
from app.works.sparing import spares_of
from tests.builders import place

SAMPLES = Path("sample_rooms")


def plan_of(name: str, **phasing: Any) -> Plan:
    data = json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return Plan.model_validate({**data, "phasing": phasing})


def months(plan: Plan) -> Months:
    scene = build_scene(plan)
    return months_of(scene, costs(scene, take_off(scene)), "2027-04")


def bought(answer: Months) -> dict[str, str]:
    return {thing.key: month.month for month in answer.months for thing in month.buys}


@pytest.fixture(scope="module")
def garage() -> Months:
    return months(plan_of("double-garage", put_by_minor=90_000, a_month_minor=90_000))


def test_every_thing_is_bought_once_and_the_sums_are_those_of_the_page_of_cost(
    garage: Months,
) -> None:
    scene = build_scene(plan_of("double-garage"))
    lines = costs(scene, take_off(scene)).lines
    asked = {
        group: sum(line.asked_minor or 0 for line in lines if line.group == group)
        for group in ("fit-out", "kit")
    }
    # the kit of the sample, added up by hand
    assert asked["kit"] == 303_000
    assert asked["fit-out"] > 150_000
    assert sum(month.spent_minor for month in garage.months) == sum(asked.values())
    assert garage.proven
    assert not garage.beyond


def test_what_is_bought_and_what_is_kept_back_is_never_more_than_there_is(garage: Months) -> None:
    spent = accumulate(month.spent_minor for month in garage.months)
    for t, (by, month) in enumerate(zip(spent, garage.months, strict=True)):
        assert month.there_is_minor == 90_000 * (t + 2)
        assert by + Fraction(by, 10) <= month.there_is_minor
        assert month.spent_by_then_minor == by


def test_paint_and_light_come_before_the_floor_and_the_floor_before_the_kit(
    garage: Months,
) -> None:
    at = bought(garage)
    assert max(at["part.paint"], at["part.light"]) <= at["part.floor"]
    kit = [key for key in at if key.startswith("piece.") and key[6:] not in ("fan-1", "mirror-1")]
    assert all(at["part.floor"] <= at[key] for key in kit)
    assert at["piece.rack-1"] <= at["piece.bar-1"]


def test_one_squats_when_rack_and_bar_have_come_and_never_presses_under_the_joists(
    garage: Months,
) -> None:
    at = bought(garage)
    ready = later_month(max(at["piece.rack-1"], at["piece.bar-1"]), 1)
    squat = next(m.month for m in garage.months if ("squat", "a") in m.new)
    assert squat == ready
    # the standing press of A hits the joists: no purchase mends that
    assert all(
        "standing-press" not in {movement for movement, _ in m.trains} for m in garage.months
    )


def test_nobody_trains_with_a_bar_before_the_plates_are_there_if_there_are_any() -> None:
    # common practice, no source: nobody trains with an empty bar
    plan = plan_of("double-garage", put_by_minor=90_000, a_month_minor=90_000)
    stack = place("rubber-plates", 4800, 2600, piece_id="stack")
    put_off = {"things": [{"id": "piece.stack", "month": "2027-11"}]}
    phasing = {**json_of(plan.phasing), **put_off}
    with_stack = Plan.model_validate(
        {**json_of(plan), "pieces": [*json_of(plan)["pieces"], json_of(stack)], "phasing": phasing}
    )
    without, answer = months(plan), months(with_stack)

    def squats_from(some: Months) -> str:
        return next(m.month for m in some.months for key, _ in m.new if key == "squat")

    assert squats_from(without) < "2027-11" <= squats_from(answer)
    (plates,) = [thing for m in answer.months for thing in m.buys if thing.key == "piece.stack"]
    assert plates.serves == ("squat", "bench press")
    assert not plates.is_no_wish


def test_a_thing_put_off_is_not_bought_in_the_first_month_until_something_else_is_said() -> None:
    data = json_of(plan_of("double-garage", put_by_minor=10_000_000))
    for piece in data["pieces"]:
        piece["later"] = piece["id"] == "rack-1"
    plan = Plan.model_validate(data)
    assert bought(months(plan))["piece.rack-1"] == "2027-05"
    data["phasing"]["things"] = [{"id": "piece.rack-1", "must": True}]
    assert bought(months(Plan.model_validate(data)))["piece.rack-1"] == "2027-04"


def test_what_a_hand_lays_stands_and_what_it_leaves_out_serves_nobody() -> None:
    plan = plan_of(
        "double-garage",
        put_by_minor=90_000,
        a_month_minor=90_000,
        things=[
            {"id": "piece.runner-1", "month": "2027-04"},
            {"id": "piece.bike-1", "left_out": True},
            {"id": "piece.bar-1", "left_out": True},
        ],
    )
    answer = months(plan)
    assert bought(answer)["piece.runner-1"] == "2027-04"
    assert [thing.key for thing in answer.left_out] == ["piece.bar-1", "piece.bike-1"]
    assert all("squat" not in {movement for movement, _ in m.trains} for m in answer.months)
    assert all("bike-1" not in problem for problem in answer.problems)


def test_a_month_that_does_not_reach_is_said_with_the_missing_sum() -> None:
    plan = plan_of(
        "double-garage",
        put_by_minor=0,
        a_month_minor=50_000,
        things=[{"id": "piece.runner-1", "month": "2027-04"}],
    )
    answer = months(plan)
    # 900.00 and a tenth kept back are 990.00, and 500.00 have come in
    assert answer.months[0].missing_minor == 49_000
    assert any("April 2027 does not reach" in problem for problem in answer.problems)


def test_nothing_to_spend_is_a_sentence() -> None:
    with pytest.raises(PlanError, match="say what there is to spend"):
        months(plan_of("basement"))


def test_what_is_never_reached_is_named() -> None:
    answer = months(plan_of("basement", put_by_minor=10_000, a_month_minor=100, months=3))
    assert {thing.key for thing in answer.beyond} >= {"piece.runner-1", "part.floor"}
    assert any("is not reached within 3 months" in problem for problem in answer.problems)


def test_months_of_the_calendar_go_over_the_end_of_a_year() -> None:
    assert later_month("2027-11", 3) == "2028-02"
    assert months_between("2027-11", "2028-02") == 3
    assert months_between("2027-03", "2026-12") == -3


@pytest.mark.long
def test_the_command_line_gives_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    file = str(SAMPLES / "double-garage.json")
    asked = ["phases", file, "--start-sum", "900", "--month", "900", "--first", "2027-04"]
    assert main([*asked, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["proven"] is True
    assert answer["months"][0]["month"] == "2027-04"
    for month in answer["months"]:
        assert month["spent_minor"] == sum(thing["minor"] for thing in month["buys"])
    assert "squat" in answer["months"][-1]["movements"]
    assert main(asked) == 0
    assert "April 2027" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--start-sum", "-5"], "less than nothing"),
        (["--month", "1.2.3"], "cannot be read"),
        (["--month", "12 GBP"], "the plan's money is EUR"),
        ([], "say what there is to spend"),
    ],
)
def test_bad_sums_are_sentences(
    capsys: pytest.CaptureFixture[str], options: list[str], words: str
) -> None:
    assert main(["phases", str(SAMPLES / "double-garage.json"), *options]) == 2
    assert words in capsys.readouterr().err


def test_a_broken_budget_leaves_out_what_is_worth_least() -> None:
    plan = plan_of("double-garage", put_by_minor=90_000, a_month_minor=90_000)
    money = {**json_of(plan.money), "budget_minor": 500_000}
    scene = build_scene(Plan.model_validate({**json_of(plan), "money": money}))
    priced = costs(scene, take_off(scene))
    assert priced.over_minor > 0
    spares, wanted = spares_of(scene, priced)
    # no part of the fit-out while kit is enough
    assert [spare.key for spare in spares if spare.key.startswith("part.")] == []
    said = budget_says(priced, spares, wanted)
    found = least_set(spares, priced.over_minor / 1.1, wanted)
    assert found is not None
    assert all(spare.name in said for spare in found.spares)
    # without it the plan's own sums are within the budget, its contingency of 10 % too
    assert priced.gross_minor - found.minor * 1.1 <= 500_000 + 1
