"""Regions of movements agree with the clear height over each place, asked one by one."""

import numpy as np
import pytest
import shapely

from app.checks.open_floor import directions, open_demand
from app.drawing.sheets.headroom_regions import grown, region
from app.library.movements import movements
from app.scene.shapes import turned
from app.scene.swept import area_size_mm, parts, usual_bar
from tests.drawing.sheets.judged import sample

NEAR_MM = 3.0


def fits(key: str, movement: str, at: tuple[float, float]) -> bool:
    """Whether a movement fits at a place along or across, by the scene's own clear heights."""
    scene = sample(key).scene
    person, row, held = scene.plan.people[0], movements()[movement], usual_bar()
    width, depth = area_size_mm(movement, held)
    w, d = width / 2 - row.wander_mm, depth / 2 - row.wander_mm
    for angle in directions(scene.room):
        body = turned(shapely.box(-w, -d, w, d), angle)
        if not scene.room.within.covers(shapely.transform(body, lambda xy: xy + at)):
            continue
        clear = True
        for part in parts(movement, held):
            area = turned(part.area, angle).buffer(-0.5, join_style="mitre")
            moved = shapely.transform(area, lambda xy: xy + at)
            heights, _ = scene.room.training.clear(np.array([moved], dtype=object))
            need = open_demand(scene, person, movement, part.held_mm).need_mm
            clear = clear and float(heights[0]) >= need - 1
        if clear:
            return True
    return False


@pytest.mark.parametrize(
    ("key", "movement"),
    [("upstairs-room", "dumbbell-press"), ("single-garage", "squat"), ("basement", "run")],
)
def test_a_place_is_in_the_region_just_where_the_movement_fits(key: str, movement: str) -> None:
    scene = sample(key).scene
    there = region(scene, scene.plan.people[0], movements()[movement], cautious=True)
    x0, y0, x1, y1 = scene.room.free.bounds
    seeds = np.random.default_rng(16)
    asked = inside = 0
    for x, y in seeds.uniform((x0, y0), (x1, y1), (120, 2)):
        point = shapely.Point(x, y)
        near = not there.is_empty and there.boundary.distance(point) < NEAR_MM
        if near or not scene.room.free.covers(point):
            continue
        asked += 1
        inside += there.covers(point)
        assert there.covers(point) == fits(key, movement, (x, y)), (x, y)
    assert asked > 40


def test_growing_a_square_by_a_square_is_a_larger_square() -> None:
    # 2 x 2 grown by 4 x 6 is 6 x 8: the sum of two boxes
    area = grown(shapely.box(0, 0, 2, 2), shapely.box(-2, -3, 2, 3))
    assert area.bounds == (-2, -3, 4, 5)
    assert area.area == pytest.approx(48)


def test_an_l_is_grown_along_both_its_arms() -> None:
    shape = shapely.Polygon([(0, 0), (6, 0), (6, 2), (2, 2), (2, 6), (0, 6)])
    area = grown(shape, shapely.box(-1, -1, 1, 1))
    # 8 x 4 and 4 x 8 share 4 x 4
    assert area.area == pytest.approx(32 + 32 - 16)
