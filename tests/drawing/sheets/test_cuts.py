"""Where a plan is cut: through who stands there, at the bar they hold, never before it."""

import numpy as np
import pytest

from app.drawing.section import given_of
from app.drawing.section_pose import stance
from app.drawing.sheets.cuts import cuts_of, held_ahead_mm
from app.drawing.sheets.tightest import stands
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import turned_plan
from tests.drawing.sheets.judged import sample

SAMPLES = ("double-garage", "single-garage", "basement", "upstairs-room")


def bar_behind_mm(plan: Plan) -> list[float]:
    """How far the bar of whoever decides lies behind each cut; nothing without a bar."""
    scene = build_scene(plan)
    every = stands(scene)
    bay = every[0].bay
    ahead = held_ahead_mm(stance(bay.movement.key, given_of(scene, bay)))
    if ahead is None:
        return []
    at = np.array([(bay.at[0] + bay.facing[0] * ahead, bay.at[1] + bay.facing[1] * ahead)])
    return [float(cut.flat(at)[0][1]) for cut in cuts_of(scene, None, every)]


@pytest.mark.parametrize("angle", [0.0, 90.0, 33.0])
def test_the_bar_in_the_hands_is_cut_or_lies_beyond_the_cut(angle: float) -> None:
    # it is held 100 before the middle of whoever squats: cut through that it lay behind the reader
    found = bar_behind_mm(turned_plan(sample("single-garage").plan, angle))
    assert len(found) == 2
    assert min(found) > -1


def test_in_no_sample_the_bar_that_is_drawn_lies_behind_the_reader() -> None:
    every = {key: bar_behind_mm(sample(key).plan) for key in SAMPLES}
    assert all(away > -1 for found in every.values() for away in found)
    assert sum(map(bool, every.values())) == 2
