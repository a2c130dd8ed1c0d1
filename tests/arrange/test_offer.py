"""A rack is offered a place where the bar hung on it later is in nothing's way."""

import math

import pytest

from app.arrange.joining import joined
from app.arrange.offer import fits
from app.changes.commands import adds, apply
from app.checks.run import run
from app.library.kit import kit_types
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from app.scene.shapes import turn
from tests.builders import make_plan, make_room

RACKS = ["full-rack", "half-rack", "squat-stands"]


def offered(plan: Plan, key: str) -> Pose | None:
    kit = kit_types()[key]
    scene = build_scene(plan)
    return fits(scene, kit.width_mm, kit.depth_mm, kit.height_mm, key).place


def stops_at(plan: Plan, key: str, pose: Pose, with_bar: bool) -> list[str]:
    plan = apply(plan, adds([Piece(id="rack", type=key, pose=pose)]))
    if with_bar:
        way = joined(build_scene(plan), "bar-20")
        assert way is not None
        bar = Piece(id="bar", type="bar-20", pose=way.pose, carried_by=way.host)
        plan = apply(plan, adds([bar]))
    return [snag.key for snag in run(build_scene(plan)) if snag.severity == "stop"]


@pytest.mark.parametrize("key", RACKS)
def test_a_corner_that_takes_the_rack_but_not_its_bar_is_passed_by(key: str) -> None:
    # The bar is 2200 long and needs 150 beyond each end: 2500 of the 2600 between the walls, so
    # its middle is 1250 to 1350 from them. The rack alone, 1220 wide, would stand 90 from the
    # corner with its middle at 700; there the bar would end at 700 - 1100, 400 in the wall.
    plan = make_plan(room=make_room(2600, 4000))
    corner = Pose(x_mm=700, y_mm=4000 - kit_types()[key].depth_mm / 2 - 150, angle_deg=180)
    assert not stops_at(plan, key, corner, with_bar=False)
    assert stops_at(plan, key, corner, with_bar=True)
    place = offered(plan, key)
    assert place is not None
    assert not stops_at(plan, key, place, with_bar=True)
    along, least, most = (
        (place.x_mm, 1250, 1350) if place.angle_deg % 180 == 0 else (place.y_mm, 1250, 2750)
    )
    assert least <= along <= most


@pytest.mark.parametrize(
    ("key", "behind_mm"), [("full-rack", 150), ("running-machine", 200), ("plate-tree", 0)]
)
def test_what_has_a_back_is_offered_a_wall_and_the_room_it_asks_for_behind_it(
    key: str, behind_mm: float
) -> None:
    # in 5 x 4 m there is room for each at a wall and off it; what is behind is in its row of kit
    place = offered(make_plan(room=make_room(5000, 4000, 2600)), key)
    assert place is not None
    half = kit_types()[key].depth_mm / 2
    back = turn(0.0, -half, place.angle_deg)
    x, y = place.x_mm + back[0], place.y_mm + back[1]
    assert min(x, y, 5000 - x, 4000 - y) == pytest.approx(behind_mm, abs=1)


def test_where_no_place_takes_the_bar_the_rack_stands_where_it_does_alone() -> None:
    # 2450 between the walls both ways is 50 less than the bar and the room beyond its ends
    plan = make_plan(room=make_room(2450, 2450))
    place = offered(plan, "full-rack")
    assert place is not None
    assert not stops_at(plan, "full-rack", place, with_bar=False)
    assert stops_at(plan, "full-rack", place, with_bar=True)


def test_a_box_with_the_sizes_of_a_rack_hangs_no_bar() -> None:
    scene = build_scene(make_plan(room=make_room(2600, 4000)))
    box = fits(scene, 1220, 1250, 2140)
    # nothing is in its way at the first place that is tried, in a corner
    assert box.place is not None
    assert box.sentence == "It fits, with nothing in its way; 460 mm are left above it."
    assert min(box.place.x_mm, 2600 - box.place.x_mm) < 1250


DOOR = Opening(
    id="door", wall="back", kind="hinged", offset_mm=300, width_mm=838, height_mm=1981, swing="out"
)


@pytest.mark.parametrize("key", ["wall-bars", "pull-up-bar-wall", "wall-pulley", "bar-hooks"])
def test_what_is_made_for_a_wall_has_its_back_on_one_that_leans(key: str) -> None:
    # the back and right walls have a door and a window from end to end, the front wall is 600
    # long; the left one leans: from 300, 3000 at the front to 0, 0 at the back
    corners = [(0, 0), (4000, 0), (900, 3000), (300, 3000)]
    wide = DOOR.model_copy(update={"offset_mm": 0, "width_mm": 4000})
    glass = DOOR.model_copy(update={"id": "glass", "wall": "right", "kind": "window"})
    glass = glass.model_copy(update={"offset_mm": 0, "width_mm": 4313})
    plan = make_plan(room=make_room(corners=corners, openings=(wide, glass)))
    place = offered(plan, key)
    assert place is not None
    # the wall runs 1 to the side in 10 to the front, its length is sqrt(101) of these parts
    off = (10 * place.x_mm - place.y_mm) / math.sqrt(101)
    assert off == pytest.approx(kit_types()[key].depth_mm / 2, abs=0.01)
    assert place.angle_deg % 360 == pytest.approx(270 - 5.7106, abs=0.001)


def test_it_is_said_where_no_wall_has_room() -> None:
    # 1500 by 1500, and a door or window of 1400 in each wall leaves 100 of it
    walls = ("back", "right", "front", "left")
    parts = {"offset_mm": 50, "width_mm": 1400}
    openings = [DOOR.model_copy(update={"id": f"d-{w}", "wall": w, **parts}) for w in walls]
    scene = build_scene(make_plan(room=make_room(1500, 1500, openings=openings)))
    kit = kit_types()["wall-bars"]
    found = fits(scene, kit.width_mm, kit.depth_mm, kit.height_mm, "wall-bars")
    assert found.place is None
    assert "no wall has room" in found.sentence


def test_the_floor_inside_a_door_is_left_clear_while_there_is_another_place() -> None:
    # the door opens out, so that nothing swings over the 838 x 838 before it
    plan = make_plan(room=make_room(2400, 4000, openings=(DOOR,)))
    place = offered(plan, "jump-box")
    assert place is not None
    kit = kit_types()["jump-box"]
    half = min(kit.width_mm, kit.depth_mm) / 2
    assert place.y_mm - half >= 838 or place.x_mm - half >= 300 + 838 or place.x_mm + half <= 300


def test_a_bar_without_a_rack_is_told_what_it_needs() -> None:
    kit = kit_types()["bar-20"]
    scene = build_scene(make_plan(room=make_room(4000, 4000)))
    found = fits(scene, kit.width_mm, kit.depth_mm, kit.height_mm, "bar-20")
    assert not found.fits
    assert found.place is not None
    assert found.sentence.endswith("it needs a rack, stands or hooks.")
