"""What would be fixed to a tanked wall. Common practice, no source: nothing at all is."""

import pytest

from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.model.base import json_of
from app.model.finishing import MirrorArea
from app.model.fit_out import FitOut
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Room
from app.scene.build import build_scene
from tests.builders import SIDES, found, make_plan, make_room, place, turned_plan


def tanked(*names: str) -> Room:
    data = json_of(make_room(5000, 5000))
    walls = [
        {**wall, "construction": "dense-block", "tanked": wall["id"] in names}
        for wall in data["walls"]
    ]
    return Room.model_validate({**data, "walls": walls})


def hung(key: str, *walls: str, off_mm: float = 0) -> Plan:
    """A thing on the back wall of a room of which some walls are tanked."""
    thing = place(key, 2500, 0, piece_id="thing")
    deep = build_scene(make_plan(thing)).placed["thing"].extent.depth_mm
    there = place(key, 2500, deep / 2 + off_mm, piece_id="thing")
    return make_plan(there, room=tanked(*walls))


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize("key", ["mirror", "screen", "shelving", "bar-hooks"])
def test_whatever_is_fixed_to_a_tanked_wall_is_a_care(key: str, angle: float) -> None:
    plan = turned_plan(hung(key, "back"), angle)
    (care,) = found(plan, "tanked")
    assert care.severity == "care"
    assert "is tanked: make no holes in it" in care.sentence
    # and nobody is told how to hang it there all the same
    assert not [one for one in found(plan, "fixing") if "thing" in one.pieces]
    assert not found(turned_plan(hung(key, "left"), angle), "tanked")


def test_the_way_out_is_a_wall_that_is_not() -> None:
    plan = hung("mirror", "back", "left", "right")
    scene = build_scene(plan)
    (care,) = (one for one in run(scene) if one.code == "tanked")
    (command,) = ways_out(scene, run(scene)).remedies[care.key].commands
    assert not found(apply(plan, command), "tanked")


@pytest.mark.parametrize(("off_mm", "count"), [(30, 1), (32, 0)])
def test_what_stands_off_the_wall_is_not_fixed_to_it(off_mm: float, count: int) -> None:
    """By fixing.off-wall-mm, within which a thing reaches its wall."""
    assert len(found(hung("shelving", "back", off_mm=off_mm), "tanked")) == count


def test_what_stays_hangs_already_and_what_people_hang_on_is_a_stop_of_its_own() -> None:
    stays = Piece.model_validate({**hung("mirror", "back").pieces[0].model_dump(), "stays": True})
    assert not found(make_plan(stays, room=tanked("back")), "tanked")
    bar = hung("pull-up-bar-wall", "back")
    assert not found(bar, "tanked")
    assert [one.severity for one in found(bar, "fixing")] == ["stop"]


@pytest.mark.parametrize(("wall", "count"), [("back", 1), ("left", 0)])
def test_a_mirror_of_the_fit_out_is_told_as_well(wall: str, count: int) -> None:
    area = MirrorArea(
        id="glass", wall=wall, offset_mm=500, width_mm=1200, bottom_mm=500, height_mm=1500
    )
    plan = Plan.model_validate(
        {**json_of(make_plan(room=tanked("back"))), "fit_out": json_of(FitOut(mirrors=(area,)))}
    )
    told = found(plan, "tanked-sheet-back")
    assert [one.severity for one in told] == ["care"] * count
    assert len(found(plan, "fixings")) == 1 - count


@pytest.mark.parametrize(("walls", "named"), [(3, True), (4, False)])
def test_another_wall_is_named_where_there_is_one(walls: int, named: bool) -> None:
    (care,) = found(hung("mirror", *("back", "left", "right", "front")[:walls]), "tanked")
    assert ("to another wall, or to a frame" in care.sentence) == named
    assert care.sentence.endswith("to a frame that stands on the floor.")


@pytest.mark.parametrize("turn", [0, 37])
@pytest.mark.parametrize(("walls", "offered"), [(("back",), True), (SIDES, False)])
def test_a_mirror_of_the_fit_out_is_offered_a_wall_that_is_not(
    walls: tuple[str, ...], offered: bool, turn: float
) -> None:
    area = MirrorArea(
        id="glass", wall="back", offset_mm=500, width_mm=1200, bottom_mm=500, height_mm=1500
    )
    bare = turned_plan(make_plan(room=tanked(*walls)), turn)
    plan = Plan.model_validate({**json_of(bare), "fit_out": json_of(FitOut(mirrors=(area,)))})
    scene = build_scene(plan)
    (care,) = (one for one in run(scene) if one.code == "tanked-sheet-back")
    found_ = ways_out(scene, run(scene)).remedies
    assert (care.key in found_) == offered
    if offered:
        assert found_[care.key].sentence.startswith("Hang it on the ")
        assert not found(apply(plan, found_[care.key].commands[0]), "tanked")
