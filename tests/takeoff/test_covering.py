"""A covering without a sheet: 10 % of waste, rubber 1000 kg/m3 (common practice)."""

from typing import Any

import pytest

from app.model.plan import Plan
from app.scene.build import build_scene
from app.takeoff.covering import covering
from app.takeoff.line import Gathered
from tests.builders import column, make_plan, make_room, rectangle


def counted(thickness_mm: float = 20, **fit_out: Any) -> Gathered:
    nib = column(rectangle(1000, 1000, 1500, 2000))
    plan = make_plan(room=make_room(5000, 4000, covering=thickness_mm, columns=[nib]))
    return covering(build_scene(Plan.model_validate({**plan.model_dump(), "fit_out": fit_out})))


def test_by_area_less_columns_and_a_usual_waste() -> None:
    # 20 m2 less half a square metre; 20 mm of rubber are 20 kg/m2
    (line,) = counted().lines
    assert (line.key, line.part, line.unit, line.assumed) == ("floor.rubber", "floor", "m2", True)
    assert line.net == pytest.approx(19.5)
    assert line.waste == pytest.approx(1.95)
    assert line.mass_kg == pytest.approx(390)
    assert [step.value for step in line.working] == pytest.approx([19.5, 1.95, 20])
    # 21.45 m2 by whole ones
    assert sum(each.count * each.size for each in line.bought) == 22
    assert counted(6).lines[0].mass_kg == pytest.approx(117)


def test_nothing_where_nothing_is_assumed_or_a_sheet_is_chosen() -> None:
    assert counted(nothing_assumed=True).lines == []
    assert counted(floors=[{"id": "f"}]).lines == []
    assert counted(0).lines == []
