"""A rack is offered a place where the bar hung on it later is in nothing's way."""

import pytest

from app.arrange.joining import joined
from app.arrange.offer import fits
from app.checks.run import run
from app.library.kit import kit_types
from app.model.commands import adds, apply
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.scene.build import build_scene
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
