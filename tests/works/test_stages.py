"""The floor in parts: a look of its own at each stage, by rectangles and by a flood of squares."""

import math
from datetime import date
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from shapely import LineString, Point, Polygon

from app.model.plan import Plan
from app.scene.build import build_scene
from app.works.splitting import split
from app.works.stages import Place, Split, judged
from tests.works.plans import of_sample, planned, sample, with_works

SQUARE_MM = 50
BOX = {"id": "box", "width_mm": 900, "depth_mm": 600, "height_mm": 1200}


def corners(place: Place) -> NDArray[np.float64]:
    a = math.radians(place.angle_deg)
    turn = np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])
    half = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * [place.width_mm / 2, place.depth_mm / 2]
    return np.asarray(half @ turn.T + [place.x_mm, place.y_mm])


def bounds(place: Place) -> tuple[float, float, float, float]:
    xy = corners(place)
    return (*xy.min(axis=0), *xy.max(axis=0))


def apart(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    gap = 0.5
    return (
        one[2] <= other[0] + gap or other[2] <= one[0] + gap
        or one[3] <= other[1] + gap or other[3] <= one[1] + gap
    )  # fmt: skip


def reaches(plan: Plan, wet: tuple[float, ...], places: tuple[Place, ...], way_mm: float) -> bool:
    """Whether somebody as wide as the way gets from a door to the wet part, square by square."""
    walls = plan.room.walls
    x1 = max(wall.x_mm for wall in walls)
    y1 = max(wall.y_mm for wall in walls)
    half = way_mm / 2 - SQUARE_MM
    xs = np.arange(half, x1 - half, SQUARE_MM / 2)
    ys = np.arange(half, y1 - half, SQUARE_MM / 2)
    x, y = np.meshgrid(xs, ys, indexing="ij")

    def near(box: tuple[float, ...], within: float) -> NDArray[np.bool_]:
        dx = np.maximum(np.maximum(box[0] - x, x - box[2]), 0)
        dy = np.maximum(np.maximum(box[1] - y, y - box[3]), 0)
        return np.asarray(np.hypot(dx, dy) < within)

    blocked = near(wet, half)
    for place in places:
        blocked |= near(bounds(place), half)
    free = ~blocked
    reached = np.zeros_like(free)
    for shape in build_scene(plan).room.openings:
        if shape.opening.kind == "window":
            continue
        ends = sorted([shape.left, shape.right])
        box = (ends[0][0], min(ends[0][1], ends[1][1]), ends[1][0], max(ends[0][1], ends[1][1]))
        # the whole width of somebody goes through the door
        lengthwise = 0 if box[2] - box[0] > box[3] - box[1] else 1
        line = (x, y)[lengthwise]
        through = (line > box[lengthwise] + half) & (line < box[lengthwise + 2] - half)
        reached |= near(box, half + 2 * SQUARE_MM) & free & through
    while True:
        grown = reached.copy()
        grown[1:] |= reached[:-1]
        grown[:-1] |= reached[1:]
        grown[:, 1:] |= reached[:, :-1]
        grown[:, :-1] |= reached[:, 1:]
        grown &= free
        if (grown == reached).all():
            break
        reached = grown
    return bool((reached & near(wet, half + 200)).any())


def see(plan: Plan, made: Split) -> None:
    x1 = max(wall.x_mm for wall in plan.room.walls)
    y1 = max(wall.y_mm for wall in plan.room.walls)
    for stage in made.stages:
        wet = stage.area.bounds
        boxes = [bounds(place) for place in stage.places]
        for i, box in enumerate(boxes):
            assert box[0] >= -1, stage.places[i]
            assert box[1] >= -1
            assert box[2] <= x1 + 1
            assert box[3] <= y1 + 1
            assert apart(box, wet), f"{stage.places[i].name} stands in wet paint"
            assert all(apart(box, other) for other in boxes[:i])
        if stage.way_mm is not None:
            assert stage.way_mm >= 600  # way kept to the door: common practice, no source
            assert reaches(plan, wet, stage.places, stage.way_mm)


def test_the_double_garage_is_done_in_two_halves_round_freezer_and_bicycles() -> None:
    plan = sample("double-garage")
    made = split(build_scene(plan))
    see(plan, made)
    assert made.outside_m2 == 0
    assert len(made.areas) == 2
    for stage in made.stages:
        names = {place.name for place in stage.places}
        assert names == {"Two bicycles", "Boxes", "Mower", "Winter tyres", "Chest freezer"}
        assert judged(build_scene(plan), stage) == ()
    assert sum(area.area for area in made.areas) == pytest.approx(5320 * 5180)


def test_stages_have_days_and_the_second_half_waits_for_the_first() -> None:
    answer = of_sample("double-garage")
    first, second = answer.stages
    assert first.ends <= second.starts
    at = {one.task.id: one for one in answer.programme.tasks}
    over = at["store-b"]
    assert over.starts >= (at["wall-coat-a-2"].dry or at["wall-coat-a-2"].ends)
    right = [one for one in answer.programme.tasks if one.task.part == 2 and one != over]
    assert all(one.starts >= over.ends for one in right)
    whole = sum(at[f"wall-coat-{part}-2"].task.quantity for part in "ab")
    alone = planned(with_works(sample("double-garage"), is_empty=True)).programme
    assert whole == pytest.approx(alone.dated("wall-coat-2").task.quantity, rel=0.02)


def test_one_door_means_the_last_part_locks_the_others_in_and_it_is_said() -> None:
    plan = with_works(sample("upstairs-room"), stored=[BOX])
    made = split(build_scene(plan))
    assert [stage.way_mm is None for stage in made.stages] == [False, True]
    assert any("nobody gets to what stands behind it" in one for one in made.says)


def test_what_does_not_fit_is_said_with_how_much() -> None:
    large = {**BOX, "width_mm": 1500, "depth_mm": 1000}
    many = [{**large, "id": f"b{i}", "label": f"Box {i}"} for i in range(9)]
    made = split(build_scene(with_works(sample("double-garage"), stored=many)))
    assert made.outside_m2 >= 1.5
    assert f"{made.outside_m2:.1f} m² do not fit" in made.says[0]
    whole = split(build_scene(with_works(sample("double-garage"), stored=many, store_outside=True)))
    assert len(whole.areas) == 1
    assert "stands outside" in whole.says[0]
    empty = split(build_scene(with_works(sample("double-garage"), stored=many, is_empty=True)))
    assert (len(empty.areas), empty.says) == (1, ())


@settings(max_examples=6, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(3, 20), st.integers(3, 12)), min_size=1, max_size=5
    )
)  # fmt: skip
def test_whatever_stands_there_the_stages_hold(sizes: list[tuple[int, int]]) -> None:
    stored: list[dict[str, Any]] = [
        {**BOX, "id": f"b{i}", "width_mm": wide * 100, "depth_mm": deep * 100}
        for i, (wide, deep) in enumerate(sizes)
    ]
    plan = with_works(sample("double-garage"), stored=stored)
    see(plan, split(build_scene(plan)))


def test_nothing_is_in_the_way_of_old_plans() -> None:
    answer = of_sample("single-garage", date(2027, 4, 3))
    assert answer.stages == ()
    assert any("It is not said what is moved out or goes" in one for one in answer.says)


def test_the_way_that_is_drawn_leads_from_the_work_to_a_door_past_all_things() -> None:
    plan = sample("double-garage")
    made = split(build_scene(plan))
    for stage in made.stages:
        assert len(stage.way) >= 2
        # half a way's width, less the tolerance of the corners and the last step out of the door
        inside = LineString(stage.way[:-1]) if len(stage.way) > 2 else Point(stage.way[0])
        for place in stage.places:
            assert inside.distance(Polygon(corners(place))) >= 290, place.name
        assert Point(stage.way[0]).distance(stage.area) <= 410
        doors = [LineString([o.left, o.right]) for o in build_scene(plan).room.openings]
        assert min(door.distance(Point(stage.way[-1])) for door in doors) < 2


def test_each_part_says_on_which_days_it_is_painted() -> None:
    answer = of_sample("double-garage", date(2027, 4, 3))
    first, second = answer.stages
    assert first.painted
    assert second.painted
    # no coat goes on in the second part before the first one is dry, none outside its own days
    assert max(first.painted) < min(second.painted)
    for stage in answer.stages:
        assert all(stage.starts.date() <= day <= stage.ends.date() for day in stage.painted)
