"""Whole mats that fit with a gap somewhat wider or narrower: by hand, 12 of 1000 x 1000 uncut."""

import pytest

from app.model.base import json_of
from app.model.flooring import FloorLaying
from app.model.plan import Plan
from app.scene.build import build_scene
from app.takeoff.floor import floor_layout
from app.takeoff.floor_setting import setting_out, setting_words
from app.usecases.laying import tick_laying
from tests.builders import make_plan, make_room
from tests.takeoff.test_laying import done


@pytest.mark.parametrize(
    ("width", "depth", "typed", "gaps"),
    [
        # what is left of a room beside 3 x 4 mats, half at each wall (common practice, no source)
        (3012, 4012, None, (6, 6)),
        (3020, 4020, None, (10, 10)),
        (3012, 4012, 5, (6, 6)),
        (3014, 4014, 5, (7, 7)),
        (3005, 4005, 0, (2.5, 2.5)),
        (3020, 4012, None, (10, 6)),
        (3024, 4024, 8, (12, 12)),
    ],
)
def test_twelve_whole_mats_lie_uncut(
    width: int, depth: int, typed: float | None, gaps: tuple[float, float]
) -> None:
    plan = make_plan(room=make_room(width, depth))
    scene, laying = build_scene(plan), FloorLaying(id="f", gap_mm=typed)
    layout = floor_layout(scene, laying, compare=False)
    assert (layout.to_buy, layout.laid.cut_mats, layout.laid.narrow_mats) == (12, 0, 0)
    # each as it comes, none stretched by what the tape cannot tell
    for mat in layout.mats:
        assert mat.polygon.area == pytest.approx(1e6, abs=50)
    lefts = min(mat.polygon.bounds[0] for mat in layout.mats)
    assert lefts == pytest.approx(gaps[0], abs=0.02)
    assert min(mat.polygon.bounds[1] for mat in layout.mats) == pytest.approx(gaps[1], abs=0.02)
    out = setting_out(scene, layout)
    assert out.joint_mm is not None
    assert {round(mm - 1000, 1) % 1000 for mm in out.joint_mm} <= {round(g, 1) for g in gaps}
    words = setting_words(scene, layout, "metric")
    if gaps[0] == gaps[1] and typed != 0:
        assert f"Gap at the walls: {gaps[0]} mm." in words
    elif typed is None:
        assert "6 mm at the" in words
        assert "10 mm at the" in words


@pytest.mark.parametrize(("width", "typed"), [(3026, 8), (3012, 8), (3010, None)])
def test_a_gap_that_was_asked_for_is_the_least_and_twelve_the_most(
    width: int, typed: float | None
) -> None:
    scene = build_scene(make_plan(room=make_room(width, 4012)))
    layout = floor_layout(scene, FloorLaying(id="f", gap_mm=typed), compare=False)
    assert layout.laid.cut_mats
    least = 6 if typed is None else typed
    assert min(mat.polygon.bounds[0] for mat in layout.mats) >= least - 0.02


def test_the_proof_says_between_which_gaps() -> None:
    scene = build_scene(make_plan(room=make_room(3020, 4020)))
    sentence = floor_layout(scene, FloorLaying(id="f"), compare=False).sentence
    assert "layouts searched with 8 mm to 10 mm free at the walls, each cut" in sentence


def test_what_is_begun_with_a_wider_gap_goes_on_so() -> None:
    plan = make_plan(room=make_room(2020, 3020))
    floor = json_of(FloorLaying(id="f"))
    plan = Plan.model_validate({**json_of(plan), "fit_out": {"floors": [floor]}})
    before = floor_layout(build_scene(plan), plan.fit_out.floors[0], compare=False)
    for number in ("1", "2"):
        plan = done(plan, tick_laying(plan, "laid.f", {"piece": number}))
    now = floor_layout(build_scene(plan), plan.fit_out.floors[0], compare=False)
    assert (now.to_buy, now.laid.cut_mats) == (before.to_buy, 0)
    assert not [note for note in now.notes if "stays bare" in note or "too far" in note]
    for mat, was in zip(now.mats, before.mats, strict=True):
        assert mat.polygon.symmetric_difference(was.polygon).area < 100
