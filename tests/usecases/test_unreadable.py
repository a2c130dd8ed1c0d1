"""A plan that cannot be read to its end, or not be judged, opens, says so and goes on."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.changes.commands import edits, moves
from app.checks.run import run
from app.checks.snag import Snag
from app.drawing.sheet import TitleFields
from app.model.kit import Pose
from app.model.versions import load
from app.scene.build import Scene
from app.usecases import history as histories
from app.usecases.accounts import account_of
from app.usecases.drawing_set import draw_named
from app.usecases.plans import Elbowroom
from app.usecases.searches import mend_all, remedies
from app.usecases.sheet_subjects import Subjects
from tests.web.building import plan_data, text

TOO_HEAVY_KG = 1234


def judge_that_may_fail(scene: Scene, full: bool) -> tuple[Snag, ...]:
    """The judge, but for a fault with things of one mass."""
    if any(piece.mass_kg == TOO_HEAVY_KG for piece in scene.plan.pieces):
        raise ZeroDivisionError
    return run(scene, full)


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Elbowroom]:
    house = Elbowroom(tmp_path / "plans", judge_that_may_fail)
    yield house
    house.close()


def test_a_plan_that_cannot_be_judged_opens_says_so_and_is_undone(house: Elbowroom) -> None:
    state = house.create(load(text(plan_data())))
    plan_id, before = state.plan_id, state.plan
    usual = house.verdict(plan_id)
    house.do(plan_id, edits(state.plan, "bench-1", mass_kg=TOO_HEAVY_KG))
    verdict = house.verdict(plan_id)
    assert [snag["code"] for snag in verdict["snags"]] == ["not-judged"]
    assert verdict["counts"]["stop"] == 1
    assert "<svg" in house.desk_drawing(plan_id)
    dragged = house.try_moves(plan_id, {"bench-1": Pose(x_mm=1300, y_mm=2000)})
    assert [snag["code"] for snag in dragged["snags"]] == ["not-judged"]
    assert remedies(house, plan_id)[1].remedies == {}
    assert mend_all(house, plan_id)[1].command is None
    judged, account = house.judged(plan_id), account_of(house, plan_id)[1]
    assert draw_named(Subjects(judged, account, TitleFields()), "plan", "A3", None).svgs
    assert histories.history(house, plan_id).lines[0].number == 1
    assert house.undo(plan_id).plan == before
    assert house.verdict(plan_id) == usual


def test_what_is_out_of_reach_is_said_on_desk_and_history(house: Elbowroom) -> None:
    state = house.create(load(text(plan_data())))
    plan_id = state.plan_id
    for x in (1300, 1400, 1500):
        pose = Pose(x_mm=x, y_mm=2000)
        state = house.do(plan_id, moves(state.plan, {"bench-1": pose}))
    with house.store.database.writing() as db:
        db.execute("UPDATE revisions SET command = '{' WHERE number = 3")
    house.close()
    again = Elbowroom(house.store.database.path.parent)
    try:
        lost = next(s for s in again.verdict(plan_id)["snags"] if s["code"] == "out-of-reach")
        assert lost["sentence"].startswith("Revision 3 cannot be read from the file")
        past = histories.history(again, plan_id)
        assert past.state.out_of_reach == (3, 3)
        assert past.lines[0].what == "A change that cannot be read from the file"
        assert load(again.export(plan_id)[1]).piece("bench-1").pose.x_mm == 1400
        back = histories.go_back(again, plan_id, 1)
        assert back.plan.piece("bench-1").pose.x_mm == 1300
        assert "out-of-reach" not in {s["code"] for s in again.verdict(plan_id)["snags"]}
    finally:
        again.close()
