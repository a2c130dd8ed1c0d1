"""Tasks that hang on what a household answered or chose: nobody is asked for what is not there."""

from typing import Any

import pytest

from app.model.base import json_of
from app.model.plan import Plan
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.works.needs import needs
from app.works.task import Task
from tests.works.plans import sample


def tasks_of(plan: Plan, cold: bool) -> dict[str, Task]:
    scene = build_scene(plan)
    return {one.id: one for one in needs(scene, take_off(scene), cold=cold).tasks}


def garage(whose: str = "unknown", heater: bool = True) -> Plan:
    """The single garage, without its covering: that takes a search and asks for no socket."""
    data: dict[str, Any] = json_of(sample("single-garage"))
    data["room"]["fabric"]["whose"] = whose
    data["fit_out"]["floors"] = []
    if not heater:
        data["pieces"] = [one for one in data["pieces"] if one["type"] != "heater"]
    return Plan.model_validate(data)


@pytest.mark.parametrize(
    ("whose", "asked"),
    [
        ("own", "Ask insurer, building control"),
        ("shared", "Ask the other owners, insurer, building control"),
        ("rented", "Ask landlord, insurer, building control"),
    ],
)
def test_who_is_asked_hangs_on_whose_house_it_is(whose: str, asked: str) -> None:
    assert tasks_of(garage(whose), cold=False)["ask"].name == asked


def test_a_socket_for_a_heater_is_put_in_where_one_was_chosen_alone() -> None:
    chosen, none = tasks_of(garage(), cold=True), tasks_of(garage(heater=False), cold=True)
    assert "elec-heat" in chosen
    assert "elec-heat" not in none
    # the electrician comes back for one point less where the heater's was put in before the paint
    assert chosen["elec-2"].quantity == none["elec-2"].quantity
    assert chosen["heat"].name.startswith("Place the heater")
