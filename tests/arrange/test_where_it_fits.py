"""Places for a new thing: far from one another, free, the best first, and what each leaves open."""

import math
from itertools import pairwise

import pytest

from app.arrange.offer import IN_THE_MIDDLE
from app.arrange.where_it_fits import OFF_THE_WALLS, Spot, costs, where_it_fits
from app.budget import Budget
from app.changes.commands import adds, apply
from app.checks.run import run
from app.library.kit import kit_types
from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place


def spots_for(plan: Plan, key: str) -> tuple[Spot, ...]:
    kit = kit_types()[key]
    sizes = (kit.width_mm, kit.depth_mm, kit.height_mm)
    return where_it_fits(build_scene(plan), sizes, key)


@pytest.mark.parametrize("key", ["bike", "jump-box", "mirror"])
def test_places_lie_apart_and_each_is_as_good_as_it_says(key: str) -> None:
    plan = make_plan(place("mid-rack", 1200, 1200), room=make_room(4000, 5000))
    found = spots_for(plan, key)
    assert 1 < len(found) <= 5
    kit = kit_types()[key]
    for one, other in pairwise(found):
        apart = math.dist((one.pose.x_mm, one.pose.y_mm), (other.pose.x_mm, other.pose.y_mm))
        assert apart >= max(kit.width_mm, kit.depth_mm)
        middle = [IN_THE_MIDDLE * (spot.where == OFF_THE_WALLS) for spot in (one, other)]
        assert (one.stops, one.weight + middle[0]) <= (other.stops, other.weight + middle[1])
    before = {snag.key for snag in run(build_scene(plan))}
    for spot in found:
        there = build_scene(apply(plan, adds([Piece(id="offered", type=key, pose=spot.pose)])))
        new = [snag.severity for snag in run(there) if snag.key not in before]
        assert (new.count("stop"), new.count("care")) == (spot.stops, spot.cares)
        inside = there.room.free.buffer(1)
        assert inside.covers(there.placed["offered"].footprint)


def test_open_floor_is_what_is_left_beside_it() -> None:
    # an empty room of 4 x 5 m has 20 m2; a chest of 0.9 x 0.6 at its wall leaves 20 - 0.54
    plan = make_plan(room=make_room(4000, 5000))
    (best, *_) = where_it_fits(build_scene(plan), (900, 600, 800))
    assert best.free_m2 == pytest.approx(19.46, abs=0.01)
    assert best.where.startswith("At the ")
    assert best.sentence("metric").endswith(
        " wall: nothing in its way; 19.5 m² of open floor left."
    )
    # 19.458 m2, less the millimetre kept round it, are 209.4 square feet (1 ft = 0.3048 m)
    assert "209.4 ft² of open floor left" in best.sentence("feet")


def test_what_is_too_tall_or_too_long_has_no_place() -> None:
    scene = build_scene(make_plan(room=make_room(3000, 3000, height=2300)))
    assert where_it_fits(scene, (600, 600, 2300)) != ()
    assert where_it_fits(scene, (600, 600, 2301)) == ()
    assert where_it_fits(scene, (3200, 600, 800)) == ()


def test_without_steps_left_there_is_no_answer() -> None:
    scene = build_scene(make_plan(room=make_room(3000, 3000)))
    assert where_it_fits(scene, (600, 600, 800), budget=Budget(1)) == ()


def test_costs_are_counted_in_words() -> None:
    assert costs(0, 0, 5.25, "metric") == "nothing in its way; 5.2 m² of open floor left"
    assert costs(1, 2, 5.3, "metric") == "1 stop and 2 cares; 5.3 m² of open floor left"
