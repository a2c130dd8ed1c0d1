"""A chain under a wall: a row of holes is one figure, what else is as wide is not."""

from app.drawing.primitives import Line, Text
from app.drawing.sheets.chain import chain


def test_holes_in_steps_alike_are_one_figure_with_their_sum() -> None:
    # ISO 129-1, equidistant features: their number, the step, and the sum in brackets (from memory)
    row = [0.0, 600, 1000, 1400, 1800, 2400]
    items, _ = chain(row, 100, 25, "metric", holes=row[1:-1])
    words = [one.words for one in items if isinstance(one, Text)]
    assert words == ["600", "3 × 400 (= 1200)", "600"]
    (at,) = [one.at for one in items if isinstance(one, Text) and "×" in one.words]
    assert at[0] == 1200
    # each hole keeps its tick and its line
    ticks = [one for one in items if isinstance(one, Line) and one.ink == "tick"]
    assert len(ticks) == len(row)
    items, _ = chain(row, 100, 25, "metric")
    assert [one.words for one in items if isinstance(one, Text)] == ["600", *["400"] * 3, "600"]
