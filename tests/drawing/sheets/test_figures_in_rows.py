"""Figures in rows: none is broken, whatever the width, and each stands beside its name."""

import json

import pytest

from app.drawing.ink import SMALL_MM
from app.drawing.lettering import width_of
from app.drawing.primitives import Text
from app.drawing.sheets.figures_in_rows import Figures
from app.drawing.sheets.power import power_sheet
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from tests.builders import make_plan, make_room
from tests.drawing.boxes import lettered, overlaps
from tests.drawing.sheets.test_costs_sheet import words_of

ROWS = tuple((f"L{i}", str(10000 + i), "39' 11 15/16\"") for i in range(1, 8))


@pytest.mark.parametrize(("width", "lines"), [(40.0, 7), (60.0, 7), (90.0, 4), (150.0, 4)])
def test_no_figure_is_broken_and_two_rows_stand_beside_one_another_where_they_fit(
    width: float, lines: int
) -> None:
    table = Figures(ROWS)
    items = [item for item in table.at(10.0, 20.0, width) if isinstance(item, Text)]
    assert [item.words for item in items] == [words for row in ROWS for words in row]
    feet = {item.at[1] for item in items}
    assert len(feet) == lines
    for item in items:
        wide = width_of(item.words, SMALL_MM)
        left = item.at[0] - (wide if item.anchor == "end" else 0.0)
        assert left >= 10.0 - 0.01
        assert left + wide <= 10.0 + width + 0.01
    # by hand: so many lines of 1.3 of the size of the lettering, and a little air
    assert table.high_mm(width) == pytest.approx(lines * (SMALL_MM * 1.3 + 0.2))


def test_what_finds_no_room_goes_on_with_the_next_row() -> None:
    parts = Figures(ROWS).parted(60.0, SMALL_MM * 1.3 * 3 + 2)
    assert parts is not None
    first, rest = parts
    assert isinstance(first, Figures)
    assert isinstance(rest, Figures)
    assert first.rows + rest.rows == ROWS
    assert len(first.rows) == 3
    assert Figures(ROWS).parted(60.0, 1.0) is None


@pytest.mark.parametrize("units", ["metric", "feet"])
def test_in_a_hall_of_forty_metres_every_figure_is_whole(units: str) -> None:
    plan = make_plan(room=make_room(40000, 6000, 3500)).model_copy()
    plan = type(plan).model_validate({**json.loads(plan.model_dump_json()), "units": units})
    scene = build_scene(plan)
    take = take_off(scene)
    sheet = power_sheet(scene, take, paper="A4")
    told = [words for page in sheet.pages for words in words_of(page.items)]
    (note,) = [note for line in take.lines if line.part == "light" for note in line.notes[:1]]
    # the list of quantities tells the same places as a sentence
    for place in note.split(": ", 1)[1].split(". ")[0].split("; "):
        name, along, out = place.split(" ")[0], *place.split(" ", 1)[1].split(" and ")
        # the same name stands in the drawing
        assert [along, out] in [
            told[at + 1 : at + 3] for at, words in enumerate(told) if words == name
        ]
    for page in sheet.pages:
        assert not overlaps(lettered(page))
