"""The whole list: each sample room reads whole, opens to its working, and costs little time."""

import csv
import io
import json
from pathlib import Path

import pytest

from app.model.versions import load
from app.published.register import all_rows
from app.scene.build import Scene, build_scene
from app.takeoff.quantities import COLUMNS, as_csv, as_json, take_off
from tests.builders import make_room, place
from tests.takeoff.making import counted

SAMPLES = sorted((Path(__file__).resolve().parents[2] / "sample_rooms").glob("*.json"))


def sample(path: Path) -> Scene:
    return build_scene(load(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_is_priced_and_packed_and_opens_to_its_working(path: Path) -> None:
    found = take_off(sample(path))
    assert {"floor", "paint", "light", "fixings", "small"} <= {line.part for line in found.lines}
    assert len({line.key for line in found.lines}) == len(found.lines)
    known = {row.key for row in all_rows()}
    for line in found.lines:
        assert line.to_buy >= line.net + line.waste - 1e-9, line.key
        assert line.cost_minor is not None, line.key
        assert line.working, line.key
        assert line.rate, line.key
        dotted = [step.key for step in line.working if "." in step.key]
        assert [key for key in dotted if key not in known] == []


def test_the_assumed_mats_weigh_what_rubber_weighs() -> None:
    # 1 m x 1 m x 20 mm of rubber weighs about 20 kg (1000 kg/m3)
    room = make_room(1000, 1000, covering=20)
    assert counted(room=room, nothing_assumed=False).line("floor.rubber").mass_kg == 20


def test_nothing_is_assumed_when_asked_not_to() -> None:
    assert counted(place("mid-rack"), room=make_room(covering=20)).lines == ()


def test_json_holds_every_line_with_its_sources() -> None:
    data = as_json(take_off(sample(SAMPLES[1])), "EUR")
    assert json.loads(json.dumps(data, allow_nan=False)) == data
    walls = next(line for line in data["lines"] if line["key"] == "paint.walls-emulsion")
    sources = {step["source"] for step in walls["working"]}
    assert "Loss factors, a coating maker's note (quoted)" in sources


def test_csv_has_a_line_for_each_and_no_formulas() -> None:
    found = take_off(sample(SAMPLES[1]))
    rows = list(csv.reader(io.StringIO(as_csv(found, "EUR"))))
    assert rows[0] == list(COLUMNS)
    assert [row[0] for row in rows[1:]] == [line.key for line in found.lines]


def test_a_name_that_looks_like_a_formula_is_kept_text() -> None:
    strip = {"id": "s", "wall": "back", "points": ((0, 1), (900, 1)), "label": "=1+1"}
    text = as_csv(counted(room=make_room(), strips=[strip]), "EUR")
    cells = {cell for row in csv.reader(io.StringIO(text)) for cell in row}
    assert "'=1+1" in cells
    assert "=1+1" not in cells


def test_a_currency_without_guide_prices_has_none() -> None:
    found = counted(room=make_room(), currency="JPY", paint=[{"id": "w", "surface": "walls"}])
    assert found.line("paint.walls-emulsion").cost_minor is None
    assert found.line("paint.walls-emulsion").to_buy > 0
