"""What hangs over a mat is in the way of who lies, sits or kneels on it, if it hangs low."""

import pytest

from tests.builders import judge, make_plan, place, turned_plan


@pytest.mark.parametrize("angle", [0, 37])
@pytest.mark.parametrize(("lower_edge_mm", "told"), [(1500, False), (1498, True)])
def test_a_boiler_over_a_mat(lower_edge_mm: float, told: bool, angle: float) -> None:
    """Common practice, no source: who kneels is less than a metre and a half high."""
    boiler = place("boiler", 2500, 175, height=lower_edge_mm + 750, piece_id="boiler")
    plan = turned_plan(make_plan(place("mat-space", 2500, 1160), boiler), angle)
    assert any(snag.code == "room-on-the-mat" for snag in judge(plan)) == told


@pytest.mark.parametrize(("high_mm", "told"), [(2150, False), (1600, True)])
def test_a_landing_mat_lies_under_a_bar_to_pull_up_on(high_mm: float, told: bool) -> None:
    # the struts of one as low as 1600 reach down to who kneels
    bar = place("pull-up-bar-wall", 2500, 300, height=high_mm, piece_id="bar")
    plan = make_plan(place("mat-space", 2500, 1200), bar)
    assert any(snag.code == "room-on-the-mat" for snag in judge(plan)) == told
