"""A way out moves what is made for a wall along its wall or to another, never into the room."""

import pytest

from app.arrange.remedy import Remedy
from app.arrange.ways_out import remedies
from app.changes.commands import apply
from app.checks.run import run
from app.library.kit import kit_types
from app.model.kit import Pose
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place


def offered(plan: Plan, code: str) -> list[Remedy]:
    scene = build_scene(plan)
    found = remedies(scene, [snag for snag in run(scene) if snag.code == code])
    return list(found.values())


def after(plan: Plan, remedy: Remedy, piece_id: str) -> Pose:
    for command in remedy.commands:
        plan = apply(plan, command)
    return plan.piece(piece_id).pose


def test_a_wall_piece_in_the_way_moves_along_its_wall() -> None:
    # A tree that is pinned stands in the right half of the bars, both at the back wall.
    bars = place("wall-bars", 2500, 75, piece_id="bars")
    tree = place("plate-tree", 2900, 300, piece_id="tree")
    tree = tree.model_copy(update={"pinned": True})
    assert kit_types()["wall-bars"].depth_mm == 150
    (remedy,) = offered(make_plan(bars, tree, room=make_room(5000, 4000)), "clash")
    pose = after(make_plan(bars, tree, room=make_room(5000, 4000)), remedy, "bars")
    assert pose.y_mm == pytest.approx(75)
    assert pose.angle_deg == 0
    # the tree and the bars are clear of one another by their half widths
    half = (kit_types()["wall-bars"].width_mm + kit_types()["plate-tree"].width_mm) / 2
    assert abs(pose.x_mm - 2900) >= half - 0.5


def test_a_wall_piece_that_hangs_free_is_offered_its_wall() -> None:
    # 900 from the back wall to its middle, 75 to its back: it goes 825 to the back
    room = make_room(5000, 4000)
    brick = tuple(wall.model_copy(update={"construction": "solid-brick"}) for wall in room.walls)
    room = room.model_copy(update={"walls": brick})
    plan = make_plan(place("wall-bars", 2500, 900, piece_id="bars"), room=room)
    (remedy,) = offered(plan, "off-the-wall")
    assert remedy.sentence == "Move the wall bars 825 to the back."
    assert after(plan, remedy, "bars") == Pose(x_mm=2500, y_mm=75)
