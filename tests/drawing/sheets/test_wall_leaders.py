"""Lines on a wall lead from words to what they tell of, and are told from where one drills."""

import pytest

from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet


@pytest.mark.parametrize("key", ["basement", "double-garage"])
def test_a_line_to_a_thing_ends_in_an_arrow_for_a_dot_is_where_one_drills(key: str) -> None:
    # as a draughtsman sent it back: the end of a line beside a clip was counted as one more
    every = [t for svg in sheet(sample(key), "walls").svgs for t in seen(parse(svg))]
    ends = [t for t in every if t.ink == "leader-dot"]
    dots = [t for t in ends if {"clips", "screws"} & set(t.inside)]
    assert len(dots) < len(ends)
    assert {t.tag for t in dots} == {"circle"}
    assert {t.tag for t in ends if t not in dots} == {"polygon"}
