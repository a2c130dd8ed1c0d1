"""The commands takeoff and costs: text, JSON and a table of a plan file; what exit they give."""

import csv
import io
import json
from pathlib import Path

import pytest

from app.cli import main

GARAGE = Path(__file__).resolve().parents[2] / "sample_rooms" / "double-garage.json"


def test_takeoff_prints_the_list_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["takeoff", str(GARAGE), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    line = next(line for line in data["lines"] if line["key"] == "floor.floor-1")
    # 5.32 x 5.18 m less 8 mm along three walls and 120 at the garage door, less the freezer and its
    # gaps, with a slit of 17 mm before it that is left bare: 5304 x 5052 less 660 x 983
    assert line["net"] == pytest.approx(26.147, abs=0.005)


def test_costs_prints_the_whole_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["costs", str(GARAGE), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    asked = sum(line["asked_minor"] for line in data["lines"])
    assert data["gross_minor"] == asked + data["contingency_minor"]


@pytest.mark.parametrize("command", ["takeoff", "costs"])
def test_a_table_and_a_text(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([command, str(GARAGE), "--csv"]) == 0
    table = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert "floor.floor-1" in [row["key"] for row in table]
    assert main([command, str(GARAGE)]) == 0
    assert "Rubber mats, 20 mm" in capsys.readouterr().out


def test_a_file_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["takeoff", "no-such-plan.json"]) == 2
    assert "cannot be read" in capsys.readouterr().err
