"""A plan as a scene: what belongs together, what is called how, and what moves with what."""

from __future__ import annotations

import pytest

from app.model.kit import Pose
from app.model.room import Column
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, rectangle

RACK = place("mid-rack", 1500, 2500)
BAR = place("bar-20", 1500, 3162, piece_id="bar", carried_by="mid-rack")
BENCH = place("flat-bench", 3500, 2500)


def test_columns_are_called_by_their_label() -> None:
    columns = (
        Column(id="a", outline=rectangle(0, 0, 200, 200)),
        Column(id="b", outline=rectangle(400, 0, 600, 200), label="Chimney"),
    )
    names = build_scene(make_plan(room=make_room(columns=columns))).fixed_names
    assert names[:4] == ("the back wall", "the right wall", "the front wall", "the left wall")
    assert names[4:] == ("the column", "the chimney")


def test_what_rests_on_another_belongs_to_its_station() -> None:
    scene = build_scene(make_plan(RACK, BAR, BENCH))
    members = {root: sorted(one.piece.id for one in of) for root, of in scene.stations.items()}
    assert members == {"mid-rack": ["bar", "mid-rack"], "flat-bench": ["flat-bench"]}
    roots = {placed.piece.id: placed.root for placed in scene.order}
    assert roots == {"bar": "mid-rack", "mid-rack": "mid-rack", "flat-bench": "flat-bench"}
    bars = [placed.piece.id for placed, bar in zip(scene.order, scene.bars, strict=True) if bar]
    assert bars == ["bar"]


def test_a_moved_scene_shares_what_stands_still() -> None:
    scene = build_scene(make_plan(RACK, BAR, BENCH))
    pose = Pose(x_mm=3600, y_mm=2400, angle_deg=90)
    moved = scene.moved({"flat-bench": pose})
    assert moved.placed["flat-bench"].pose == pose
    assert moved.placed["flat-bench"].at == (3600, 2400)
    assert scene.placed["flat-bench"].at == (3500, 2500)
    assert moved.placed["mid-rack"] is scene.placed["mid-rack"]
    # the same as built from nothing
    fresh = build_scene(make_plan(RACK, BAR, BENCH.model_copy(update={"pose": pose})))
    assert moved.poses.tolist() == fresh.poses.tolist()
    assert [core.wkt for core in moved.solids.cores] == [core.wkt for core in fresh.solids.cores]
    with pytest.raises(KeyError):
        scene.moved({"nobody": pose})


def test_doors_that_stand_so_already_leave_the_scene_as_it_is() -> None:
    scene = build_scene(make_plan(RACK))
    opened = scene.with_doors(True)
    assert (scene.door_open, opened.door_open) == (False, True)
    assert scene.with_doors(False) is scene
    assert opened.with_doors(True) is opened
    shut = opened.with_doors(False)
    assert not shut.door_open
    assert shut.placed == scene.placed
