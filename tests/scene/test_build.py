"""A plan as a scene: what belongs together, what is called how, and what moves with what."""

from __future__ import annotations

from dataclasses import fields

import pytest
import shapely

from app.errors import PlanError
from app.model.kit import Pose
from app.model.plan import Situation
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


@pytest.mark.parametrize("pose", [(3600, 2400, 0), (3600, 2400, 90), (3500, 2500, 30)])
@pytest.mark.parametrize("moved", ["flat-bench", "mid-rack", "bar"])
def test_solids_and_spaces_of_a_moved_scene_are_those_of_one_built_there(
    moved: str, pose: tuple[float, float, float]
) -> None:
    x, y, angle = pose
    there = Pose(x_mm=x, y_mm=y, angle_deg=angle)
    pieces = (BENCH, RACK, BAR)
    at = [one.model_copy(update={"pose": there}) if one.id == moved else one for one in pieces]
    was = build_scene(make_plan(*pieces))
    now, fresh = was.moved({moved: there}), build_scene(make_plan(*at))
    assert [core.wkt for core in now.solids.cores] == [core.wkt for core in fresh.solids.cores]
    for name in ("low_mm", "high_mm", "owner"):
        assert getattr(now.solids, name).tolist() == getattr(fresh.solids, name).tolist()
    for field in fields(now.spaces):
        one, other = (getattr(each.spaces, field.name) for each in (now, fresh))
        if field.name == "cores":
            assert [core.wkt for core in one] == [core.wkt for core in other]
        elif field.name == "shapes":
            assert [(each.space, each.outward) for each in one] == [
                (each.space, each.outward) for each in other
            ]
        else:
            assert one.tolist() == other.tolist(), field.name
    assert now.piece_solids == fresh.piece_solids == int((fresh.solids.owner < 3).sum())


@pytest.mark.parametrize("covering", [0, 20])
def test_solids_reach_from_the_lowest_to_the_highest_of_what_they_rest_on(covering: float) -> None:
    # hooks hold a bar from 1000 to 1500 above the rack's foot: a shaft of 28, sleeves of 50 and
    # plates of 450 about that
    scene = build_scene(make_plan(RACK, BAR, room=make_room(covering=covering)))
    solids = scene.solids
    bar, rack = (solids.owner == scene.order.index(scene.placed[i]) for i in ("bar", "mid-rack"))
    foot = covering + 1000
    assert solids.low_mm[bar].tolist() == [foot - r for r in (14, 25, 25, 225, 225)]
    assert solids.high_mm[bar].tolist() == [foot + 500 + r for r in (14, 25, 25, 225, 225)]
    assert (solids.low_mm[rack].min(), solids.high_mm[rack].max()) == (
        covering,
        covering + scene.placed["mid-rack"].extent.height_mm,
    )
    # walls from the floor to the sky, each by itself and after the pieces
    walls = solids.owner >= 2
    assert solids.owner[walls].tolist() == [2, 3, 4, 5]
    assert solids.low_mm[walls].tolist() == [0] * 4
    assert (solids.high_mm[walls] > 10_000).all()


def test_doors_that_stand_so_already_leave_the_scene_as_it_is() -> None:
    scene = build_scene(make_plan(RACK))
    opened = scene.with_doors(True)
    assert (scene.door_open, opened.door_open) == (False, True)
    assert scene.with_doors(False) is scene
    assert opened.with_doors(True) is opened
    shut = opened.with_doors(False)
    assert not shut.door_open
    assert shut.placed == scene.placed


SHUT, OPEN = Situation(id="shut", trains=False), Situation(id="open", door_open=True)


def test_while_training_it_stands_as_the_first_situation_with_training_says() -> None:
    plain = build_scene(make_plan(RACK))
    assert plain.in_training() is plain
    fold = {"id": "out", "states": ({"id": "flat-bench", "state": "out"},), "door_open": True}
    out = Situation.model_validate(fold)
    plan = make_plan(RACK, BENCH).model_copy(update={"situations": (SHUT, out, OPEN)})
    scene = build_scene(plan)
    training = scene.in_training()
    assert training.door_open
    assert training.placed["flat-bench"].piece.state == "out"
    assert not training.placed["flat-bench"].in_use
    assert training.placed["mid-rack"] is scene.placed["mid-rack"]
    # what is out of the room has neither solids nor places
    assert set(training.solids.owner) < set(scene.solids.owner)
    assert scene.placed["flat-bench"].piece.state is None
    shut = scene.in_situation(SHUT)
    assert not shut.door_open
    assert shut.placed == scene.placed
    wrong = Situation.model_validate(
        {"id": "x", "states": ({"id": "flat-bench", "state": "upside-down"},)}
    )
    with pytest.raises(PlanError, match="has no state 'upside-down'"):
        scene.in_situation(wrong)


def test_an_unknown_kit_type_is_named_by_its_place() -> None:
    nobody = RACK.model_copy(update={"type": "kit-of-nobody", "id": "z"})
    with pytest.raises(PlanError, match="there is no kit type 'kit-of-nobody'"):
        build_scene(make_plan(BENCH, nobody))


def test_what_a_piece_is_called_and_where_its_outline_lies() -> None:
    scene = build_scene(make_plan(BENCH, RACK.model_copy(update={"label": "Big one"})))
    bench, rack = scene.placed["flat-bench"], scene.placed["mid-rack"]
    assert (bench.name, rack.name) == (bench.kit.name, "Big one")
    # 600 x 1220 about 3500 | 2500
    assert bench.footprint.bounds == (3200, 1890, 3800, 3110)
    assert bench.footprint is bench.footprint
    solids = shapely.union_all(bench.polygons())
    assert solids.bounds == bench.footprint.bounds
    assert scene.at.tolist() == [[3500, 2500], [1500, 2500]]
    assert build_scene(make_plan()).at.shape == (0, 2)
