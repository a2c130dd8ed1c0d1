"""Rows of points told as a chain, against sums by hand."""

from app.drawing.sheets.in_steps import in_steps, runs_alike


def test_three_spaces_alike_are_told_together_two_are_not() -> None:
    assert in_steps([1390, 1656.7, 1923.3, 2190], "metric") == "1390, then 3 × 267 to 2190"
    assert in_steps([750, 1250, 1750], "metric") == "750, 1250 and 1750"
    assert in_steps([525, 875, 925, 1412.5, 1900, 2387.5, 2875], "metric") == (
        "525, 875, 925, then 4 × 488 to 2875"
    )
    assert in_steps([0, 100, 200, 300, 350], "metric") == "0, then 3 × 100 to 300 and 350"
    assert in_steps([2030], "metric") == "2030"


def test_spaces_differ_by_half_a_millimetre_at_most() -> None:
    assert list(runs_alike([0, 100, 200.5, 300.5])) == [(0, 3)]
    assert list(runs_alike([0, 100, 200.6, 300.6])) == [(0, 1), (1, 2), (2, 3)]


def test_only_what_is_of_the_row_is_told_together() -> None:
    # wall, window and wall again as wide are no row; four holes are
    assert list(runs_alike([0, 600, 1200, 1800], among=())) == [(0, 1), (1, 2), (2, 3)]
    stops = [0, 600, 900, 1200, 1500, 1800]
    assert list(runs_alike(stops, among={600, 900, 1200, 1500})) == [(0, 1), (1, 4), (4, 5)]


def test_in_feet_a_step_is_told_to_the_sixteenth() -> None:
    # 10 1/2 in are 266.7 mm
    inches = [54.75 * 25.4 + i * 266.7 for i in range(4)]
    assert in_steps(inches, "feet") == '4\' 6 3/4", then 3 × 10 1/2" to 7\' 2 1/4"'
