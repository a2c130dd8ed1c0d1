"""A plan file is opened for ever: one file of each version is kept and read here."""

from pathlib import Path

import pytest

from app.model.base import json_of
from app.model.plan import VERSION
from app.model.versions import UPGRADES, dump, load
from app.usecases.files import read_plan

KEPT = Path(__file__).parent / "versions"


def test_there_is_a_file_of_every_version() -> None:
    names = {path.name for path in KEPT.iterdir()}
    assert names == {f"plan_v{version}.json" for version in range(1, VERSION + 1)}
    assert set(UPGRADES) == set(range(1, VERSION))


@pytest.mark.parametrize("version", range(1, VERSION + 1))
def test_a_file_of_every_version_opens_and_is_written_as_todays(version: int) -> None:
    plan = read_plan((KEPT / f"plan_v{version}.json").read_bytes())
    assert plan.version == VERSION
    assert load(dump(plan)) == plan


def test_the_file_of_version_1_means_what_it_meant() -> None:
    # The values below stand in the file; they must never be adapted to the code.
    plan = load((KEPT / "plan_v1.json").read_bytes())
    assert (plan.name, plan.drawn_for) == ("Garage of the first version", "Ada & Bo")
    assert (plan.units, plan.currency) == ("feet", "GBP")
    assert len(plan.pieces) == 14
    assert json_of(plan.settled[0])["reason"] == "Looked at it on the floor."
    assert plan.settled[0].measured == 560
    assert plan.way_in[0].label == "Garden gate"
    assert plan.overrides[0].value == 40
    assert plan.money.tax_percent == 19
    assert plan.money.prices[0].minor == 4900
    assert plan.fit_out.floors[0].kind == "mat"
    assert plan.situations[-1].door_open
