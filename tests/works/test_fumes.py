"""Solvent in the calendar: the freezer is off no longer than food keeps, or it is said."""

from app.model.base import json_of
from app.model.plan import Plan
from tests.works.plans import planned, sample, with_works


def painted(temperature: float) -> Plan:
    """The double garage with a floor in oil paint, at a temperature."""
    data = json_of(with_works(sample("double-garage"), is_empty=True))
    data["fit_out"]["painted_at_c"] = temperature
    data["fit_out"]["paint"] = [
        {"id": "floor", "surface": "floor", "coating": "oil-paint", "coats": 2}
    ]
    return Plan.model_validate(data)


def test_water_based_paint_says_nothing_of_the_freezer() -> None:
    assert not any("freezer" in one for one in planned(sample("double-garage")).says)


def test_solvent_paint_says_how_long_the_freezer_is_off() -> None:
    # shut and full it keeps about 48 h: FoodSafety.gov as quoted in the press; paint that is dry to
    # mats after 7 days at 20 C is longer in the air than that
    says = [one for one in planned(painted(20)).says if "reezer" in one]
    assert len(says) == 1
    assert "Move the food, or take water-based paint" in says[0]
    tasks = planned(painted(20)).programme.tasks
    coats = [one for one in tasks if one.task.kind == "floor-coat"]
    assert coats
    assert all("no flame" in one.task.caution for one in coats)


def test_the_colder_the_longer() -> None:
    hours = []
    for temperature in (20.0, 10.0):
        (line,) = [one for one in planned(painted(temperature)).says if "reezer" in one]
        hours.append(int(line.split("off for ")[1].split(" h")[0]))
    assert hours[1] > hours[0] > 48
