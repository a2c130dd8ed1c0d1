"""Sheets are put together with no more drawing than they need."""

import json
from pathlib import Path

from app.drawing.composed import Subject, composed
from app.drawing.figures_placed import Figure
from app.drawing.flow import Block, Words
from app.drawing.medium import Medium
from app.drawing.paper import SCALES
from app.model.versions import load
from app.units import Units
from tests.drawing.boxes import lettered
from tests.drawing.sheets.judged import sample, sheet
from tests.drawing.sheets.test_every_sheet import faults

PLAN = Path(__file__).resolve().parents[2] / "sample_rooms" / "single-garage.json"


def test_a_figure_is_drawn_once_and_measured_at_few_scales() -> None:
    data = json.loads(PLAN.read_text(encoding="utf-8"))
    for units in ("metric", "feet"):
        plan = load(json.dumps({**data, "units": units}))
        drawn: list[int] = []
        measured: list[int] = []

        def size(em_mm: float) -> tuple[float, float, float, float]:
            # a room of 6 by 3 m with lettering on all its sides
            return -3 * em_mm, -3 * em_mm, 6000 + 3 * em_mm, 3000 + 3 * em_mm

        def draw(medium: Medium, at: int, into: list[int] = drawn) -> Figure:
            into.append(at)
            return Figure((), size(medium.em_mm))

        def measure(medium: Medium, at: int, into: list[int] = measured) -> Figure:
            into.append(at)
            return Figure((), size(medium.em_mm))

        words = Block("Words", tuple(Words(f"line {i} " * 12) for i in range(60)))
        sheet = composed(
            plan, Subject("trial", "Trial"), [draw], [words], paper="A3", scale=None, fields=None,
            measured=[measure],
        )  # fmt: skip
        scales = SCALES[known(units)]
        assert drawn == [sheet.scale]
        # the largest scale tells which are too large, and they are passed over
        assert set(measured) <= {scales[0], *scales[scales.index(sheet.scale) - 1 :]}
        assert len(measured) == len(set(measured)) <= 4


def known(units: str) -> Units:
    """Return units by their name."""
    return "feet" if units == "feet" else "metric"


def test_words_take_what_a_figure_leaves_of_its_own_page() -> None:
    plan = load(PLAN.read_text(encoding="utf-8"))

    def draw(_: Medium, at: int) -> Figure:
        # at 1:25 on A3 it leaves 84 mm at its side: too little for the usual column of words
        return Figure((), (0.0, 0.0, 7450.0, 5000.0))

    words = Block("Words", tuple(Words(f"line {i} " * 4) for i in range(20)))
    sheet = composed(
        plan, Subject("trial", "Trial"), [draw], [words], paper="A3", scale=None, fields=None
    )
    assert (sheet.scale, len(sheet.pages)) == (25, 1)


def test_words_stand_beside_the_last_figure_where_it_is_narrow() -> None:
    # at 1:25 the section along a single garage of 5000 is 200 mm wide, that across it 108: of the
    # 267 mm of A4 lying two columns of words of 56 mm and more are free beside that one
    drawn = sheet(sample("single-garage"), "section", "A4")
    assert (drawn.scale, len(drawn.pages)) == (25, 2)
    last = lettered(drawn.pages[1])
    right = max(one.box.bounds[2] for one in last if one.words == "Section Y-Y")
    heads = {one.words: one.box.bounds[0] for one in last}
    for head in ("At the top of the movement", "Kit and its height"):
        assert heads[head] > right
    assert faults(drawn) == []
