"""The sample rooms: each loads and is judged; the garage can be cleared of every stop."""

from pathlib import Path

import pytest

from app.changes.commands import apply, moves, wishes
from app.checks.run import in_few_words
from app.library.known import check_known
from app.model.kit import Pose
from app.model.plan import Plan
from app.model.versions import dump, load
from app.resources import folder
from app.scene.build import build_scene
from tests.builders import judge

FILES = sorted(folder("sample_rooms").glob("*.json"))
MOST_SNAGS = 13


def sample(key: str) -> Plan:
    return load((folder("sample_rooms") / f"{key}.json").read_bytes())


def stops(plan: Plan) -> list[str]:
    return [snag.sentence for snag in judge(plan) if snag.severity == "stop"]


def test_there_are_four() -> None:
    names = {path.stem for path in FILES}
    assert names == {"double-garage", "single-garage", "basement", "upstairs-room"}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_sample_loads_and_is_written_as_it_stands(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    plan = load(text)
    check_known(plan)
    assert load(dump(plan)) == plan
    assert plan.settled == ()


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_sample_has_few_snags_and_some_stop(path: Path) -> None:
    snags = in_few_words(judge(load(path.read_bytes())))
    assert len(snags) <= MOST_SNAGS, [snag.sentence for snag in snags]
    assert "stop" in {snag.severity for snag in snags}


def test_the_double_garage_is_what_it_says() -> None:
    plan = sample("double-garage")
    assert [person.stature_mm for person in plan.people] == [1880, 1640]
    assert 12 <= len(plan.pieces) <= 15
    assert [piece.id for piece in plan.pieces if piece.stays] == ["freezer-1"]
    room = plan.room
    assert (room.wall_length_mm("back"), room.wall_length_mm("left")) == (5320, 5180)
    assert room.ceiling.joists is not None
    assert room.ceiling.planes[0].height_mm - room.ceiling.joists.depth_mm == 2310
    assert {(o.kind, o.width_mm) for o in room.openings} == {("tracks", 4270), ("hinged", 838)}


def test_the_double_garage_has_stops_of_several_kinds() -> None:
    codes = {snag.code for snag in judge(sample("double-garage")) if snag.severity == "stop"}
    assert {"outside", "headroom", "room-behind-the-belt"} <= codes
    assert "door-opens-side-door" in codes


def test_the_double_garage_is_cleared_by_dragging_and_another_movement() -> None:
    plan = sample("double-garage")
    assert stops(plan)
    poses = {
        piece_id: Pose(
            x_mm=plan.piece(piece_id).pose.x_mm + 600,
            y_mm=plan.piece(piece_id).pose.y_mm - 200,
            angle_deg=plan.piece(piece_id).pose.angle_deg,
        )
        for piece_id in (placed.piece.id for placed in build_scene(plan).stations["rack-1"])
    }
    poses |= {
        "bike-1": Pose(x_mm=4200, y_mm=4500),
        "fan-1": Pose(x_mm=2300, y_mm=4900, angle_deg=180),
        "bag-1": Pose(x_mm=1500, y_mm=4000, angle_deg=180),
        "mat-1": Pose(x_mm=2900, y_mm=3600),
        "box-1": Pose(x_mm=3700, y_mm=1300, angle_deg=180),
    }
    dragged = apply(plan, moves(plan, poses))
    (left,) = stops(dragged)
    assert left.startswith("The plates hit the joist")
    cleared = apply(dragged, wishes(dragged, "a", standing_press="no", kneeling_press="want"))
    assert stops(cleared) == []
