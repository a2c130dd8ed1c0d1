"""Every movement under a level ceiling, by hand for 1800 on 20 (see the formulas' own tests)."""

import pytest

from app.checks.headroom_table import Row, table
from app.library.movements import movements


def rows(ceiling: float, **asked: float) -> dict[str, Row]:
    return {row.movement: row for row in table(ceiling, 1800, floor_mm=20, **asked)}


@pytest.mark.parametrize(
    ("ceiling", "severity"),
    # standing press: least 2412.2, need 2598.4; a millimetre is the tolerance
    [(2300, "stop"), (2410, "stop"), (2412, "care"), (2596, "care"), (2598, None), (2700, None)],
)
def test_a_standing_press_by_its_ceiling(ceiling: float, severity: str | None) -> None:
    row = rows(ceiling)["standing-press"]
    assert (row.least_mm, row.need_mm) == pytest.approx((2412.2, 2598.4))
    assert row.severity == severity
    assert (row.clear_mm, row.spare_mm) == pytest.approx((ceiling, ceiling - 2598.4))
    assert sum(term.mm for term in row.working) == pytest.approx(row.need_mm)


def test_smaller_plates_lower_what_is_done_with_a_bar_and_nothing_else() -> None:
    # plates of 280 instead of 450: 140 over the bar instead of 225
    usual, small = rows(2600), rows(2600, plate_mm=280)
    bars = {key for key, movement in movements().items() if movement.held == "bar"}
    assert "standing-press" in bars
    assert small["standing-press"].need_mm == pytest.approx(2598.4 - 85)
    assert {key for key in usual if usual[key].need_mm != small[key].need_mm} <= bars
    for key in ("dumbbell-press", "kettlebell-overhead", "run"):
        assert small[key] == usual[key]


def test_a_measured_reach_and_every_movement() -> None:
    # 20 + 25 + 2100 + 225 + 100
    assert rows(2600, reach_mm=2100)["standing-press"].need_mm == pytest.approx(2470)
    assert set(rows(2600)) == set(movements())
