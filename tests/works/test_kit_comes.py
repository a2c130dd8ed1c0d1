"""When kit comes: the largest first, the rest when it stands, and never to an empty house."""

from datetime import date, timedelta

import pytest

from app.model.base import json_of
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from app.works.packing import Thing
from app.works.splitting import finds_room
from tests.builders import make_plan, make_room
from tests.works.plans import SPRING, of_sample, planned, sample, with_works

WITH_A_LARGEST = ("double-garage", "single-garage", "basement")
WORKDAYS = range(5)


@pytest.mark.parametrize("key", WITH_A_LARGEST)
def test_the_largest_comes_alone_and_the_rest_when_it_stands(key: str) -> None:
    answer = of_sample(key)
    made = answer.programme
    (largest,) = made.dated("receive-first").task.lines
    placed = answer.scene.placed[largest.removeprefix("piece.")]
    size = placed.extent.width_mm * placed.extent.depth_mm * placed.extent.height_mm
    rest = made.dated("receive")
    assert largest not in rest.task.lines
    assert rest.task.lines
    built = [one for one in made.tasks if one.task.id.endswith(f"-{placed.piece.id}")]
    assert built
    assert rest.starts >= max(one.ends for one in built)
    for line in rest.task.lines:
        other = answer.scene.placed[line.removeprefix("piece.")]
        task_id = f"build-{other.piece.id}"
        if any(one.task.id == task_id for one in made.tasks):
            assert made.dated(task_id).starts >= rest.ends
            extent = other.extent
            assert extent.width_mm * extent.depth_mm * extent.height_mm <= size


@pytest.mark.parametrize("start", [SPRING, date(2027, 11, 8)])
def test_in_the_double_garage_all_kit_is_begun_while_it_may_go_back(start: date) -> None:
    answer = of_sample("double-garage", start)
    begins = {one.task.id: one.starts.date() for one in answer.programme.tasks}
    lines = [(order, line) for order in answer.orders for line in order.lines]
    built = [
        (order, f"build-{line.removeprefix('piece.')}")
        for order, line in lines
        if f"build-{line.removeprefix('piece.')}" in begins
    ]
    assert len(built) >= 8
    assert all(begins[task_id] <= order.returns_until for order, task_id in built)
    assert not [one for one in answer.says if "may go back until" in one]


def test_who_builds_slower_than_the_returns_window_is_told_so() -> None:
    slow = {"id": "e", "day": "sat", "starts": "10:00", "ends": "13:00", "people": 2}
    answer = planned(with_works(sample("double-garage"), free=[slow]))
    late = [one for one in answer.says if "may go back until" in one]
    assert any(one.startswith("Dumbbell rack of 2 tiers and 8 more: ") for one in late)
    assert not any("rack" in one and "Mid" in one for one in late)


def test_kit_that_is_down_as_here_came_in_one_delivery() -> None:
    note = {"id": "receive", "done_on": f"{SPRING}"}
    made = planned(with_works(sample("double-garage"), tasks=[note])).programme
    assert "receive-first" not in {one.task.id for one in made.tasks}
    stands = made.dated("set-rack-rack-1")
    others = [one for one in made.tasks if one.task.kind == "build" and "rack-1" not in one.task.id]
    assert others
    assert all(one.starts >= stands.ends for one in others)


@pytest.mark.parametrize("days", [3, 17])
def test_nothing_comes_while_nobody_is_there(days: int) -> None:
    """Days off are laid over the arrival of every order in turn."""
    plan = sample("upstairs-room")
    usual = of_sample("upstairs-room")
    for order in usual.orders:
        first, last = order.arrives - timedelta(days=1), order.arrives + timedelta(days=days)
        away = {"id": "away", "first": first.isoformat(), "last": last.isoformat()}
        answer = planned(with_works(plan, days_off=[away]))
        for one in answer.orders:
            assert not first <= one.arrives <= last, one
            assert one.arrives.weekday() in WORKDAYS
            assert one.order_by <= one.arrives <= one.needed


def test_what_is_sold_is_gone_before_anybody_builds() -> None:
    made = of_sample("double-garage").programme
    gone = made.dated("sell").dry
    assert gone is not None
    assert all(gone <= made.dated(one).starts for one in ("elec-1", "scrape-a"))


@pytest.mark.parametrize("key", ["single-garage", "basement"])
def test_mouse_holes_and_the_signal_come_before_the_first_coat(key: str) -> None:
    made = of_sample(key).programme
    first = min(one.starts for one in made.tasks if one.task.paint)
    assert all(made.dated(one).ends <= first for one in ("vermin", "network"))


@pytest.mark.parametrize("start", [SPRING, date(2027, 11, 8)])
@pytest.mark.parametrize("key", [*WITH_A_LARGEST, "upstairs-room"])
def test_where_the_floor_is_wet_nobody_does_anything_else(key: str, start: date) -> None:
    elsewhere = {"ask", "sell", "tip", "outside", "own"}
    wet = {"degrease", "floor-mend", "level", "floor-coat", "floor-two"}
    made = of_sample(key, start).programme
    here = [one for one in made.tasks if one.task.kind not in elsewhere]
    for one in (one for one in here if one.task.kind in wet):
        for other in here:
            parts = {one.task.part, other.task.part}
            if other is one or (len(parts) == 2 and 0 not in parts):
                continue
            assert not [
                (a, b)
                for a in one.stretches
                for b in other.stretches
                if a.starts < b.ends and b.starts < a.ends
            ], (one.task.id, other.task.id)


def test_who_is_away_orders_before() -> None:
    away = {"id": "away", "first": "2027-05-08", "last": "2027-05-30"}
    answer = planned(with_works(sample("double-garage"), days_off=[away]))
    for order in answer.orders:
        assert not date(2027, 5, 8) <= order.order_by <= date(2027, 5, 30), order


def test_a_damp_room_is_dried_once_the_answers_are_there() -> None:
    data = json_of(sample("basement"))
    data["room"]["fabric"]["floor_dry"] = "no"
    made = planned(Plan.model_validate(data)).programme
    asked, water = made.dated("ask"), made.dated("water")
    assert (water.starts.date() - asked.ends.date()).days >= 12  # ten workdays hold two weekends
    assert made.dated("cellar-dry").starts > water.ends


def test_a_delivery_finds_room_in_one_room_and_not_in_a_smaller_one_however_often_asked() -> None:
    # by hand: a box of 2000 x 1000 in a room of 4 x 4 m, and in one of 2.2 x 1.2 m
    door = Opening(id="d", wall="front", kind="hinged", offset_mm=200, width_mm=838, height_mm=1981)
    large, small = (
        build_scene(make_plan(room=make_room(*size, openings=(door,))))
        for size in ((4000, 4000), (2200, 1200))
    )
    box, shelf = Thing("b", "Box", 2000, 1000, 500), Thing("s", "Shelf", 900, 300, 500)
    for _ in range(2):
        assert finds_room(large, [box])
        assert not finds_room(small, [box])
        assert finds_room(large, [])
        assert finds_room(large, [box, shelf])
    assert not finds_room(large, [box] * 8)
