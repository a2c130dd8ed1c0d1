"""How answers are told: to the hundredth, and the same whatever rows are added."""

import pytest
from shapely import Polygon

from tests.answers.kept import FOLDER, GROUPS, kept, names
from tests.answers.lot import Lot
from tests.answers.told import number, shape


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (1.005, "1.01"),
        (1.005 - 1e-10, "1.01"),
        (1.0, "1"),
        (2.5 - 1e-12, "2.5"),
        (-1e-12, "0"),
        (40.0, "40"),
    ],
)
def test_what_a_library_leaves_in_the_last_digits_is_not_told(value: float, said: str) -> None:
    assert number(value) == said


def test_a_shape_is_told_alike_wherever_its_outline_begins() -> None:
    square = [(0, 0), (400, 0), (400, 300), (0, 300)]
    assert shape(Polygon(square)) == shape(Polygon([*square[2:], *square[:2]]))
    assert shape(Polygon(square)) == "<0 0 400 300 area 1200 cm2, 4 corners>"


def test_a_row_that_is_added_changes_few_draws() -> None:
    keys = [f"kit-{i}" for i in range(60)]
    drawn = [Lot(f"plan {i}").row(keys) for i in range(200)]
    with_one_more = [Lot(f"plan {i}").row([*keys, "kit-new"]) for i in range(200)]
    other = [new for old, new in zip(drawn, with_one_more, strict=True) if old != new]
    assert len(set(drawn)) > 40
    assert set(other) <= {"kit-new"}
    assert len(other) < 20


@pytest.mark.parametrize("group", GROUPS)
def test_what_is_kept_is_of_the_plans_there_are(group: str) -> None:
    assert FOLDER.is_dir()
    assert list(kept(group)) == names(group)
