"""The floor behind a garage door: how much of it is clear, and that layouts leave it so."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arranging.best_layouts import BestLayouts, JudgedLayout
from app.arranging.choosing import different
from app.arranging.garage_door import (
    clear_mm,
    garage_doors,
    kept_clear,
    lost_before,
    shares_taken,
    stretches,
)
from app.arranging.search import Search
from app.arranging.workers import READY_STEPS, SEARCHES
from app.model.base import json_of
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import Scene, build_scene
from tests.arranging.hand_made import sample
from tests.arranging.test_search import searched
from tests.builders import make_plan, make_room, place, turned_plan

WIDE, STEP_MM = 2400.0, 600
DOOR = Opening(
    id="garage", wall="front", kind="sectional", offset_mm=800, width_mm=WIDE, height_mm=2100
)


def garage(*pieces: object, turned: float = 0) -> Scene:
    """A garage of 4 x 5 m with a door of 2.4 m in the middle of the wall y = 5000."""
    plan = make_plan(*pieces, room=make_room(4000, 5000, 2600, openings=[DOOR]))  # type: ignore[arg-type]
    return build_scene(turned_plan(plan, turned))


def box(x: float, y: float) -> Piece:
    return place("other-thing", x, y, piece_id="box", width=600, depth=600, height=900)


@pytest.mark.parametrize(
    ("x", "y", "clear"),
    [
        # the door goes from 800 to 3200: a box of 600 in its middle leaves 900 to either side
        (2000, 4600, 900),
        (1100, 4600, 1800),
        # half of it beside the door
        (800, 4600, 2100),
        (400, 4600, 2400),
        # 600 are asked of: at 4400 it begins
        (2000, 4100, 2400),
        (2000, 4102, 900),
    ],
)
@pytest.mark.parametrize("turned", [0, 30])
def test_the_widest_clear_stretch_counts(x: float, y: float, clear: float, turned: float) -> None:
    scene = garage(box(x, y), turned=turned)
    (door,) = garage_doors(scene)
    assert door.wide_mm == pytest.approx(WIDE)
    assert clear_mm(scene, door, STEP_MM, scene.order) == pytest.approx(clear, abs=0.1)


def test_what_is_heavy_takes_twice_as_much() -> None:
    # a light box leaves two steps behind the door as they are, and of one step its widest stretch
    assert kept_clear(garage(box(1100, 4600))) == pytest.approx((1800 / WIDE + 1) / 2)
    # 300 kg, 1500 wide: from 350 to 1850, of which the door's 1050 count, and 1350 stay clear
    rack = place("dumbbell-rack-2", 1100, 4600)
    assert kept_clear(garage(rack)) == pytest.approx((1350 - 1050) / WIDE)
    # in its middle it leaves nothing
    assert kept_clear(garage(place("dumbbell-rack-2", 2000, 4600))) == 0.0


@pytest.mark.parametrize(
    # 4400 is a step off the door, 3800 two; a box of 600, a rack 550 deep and 300 kg heavy
    ("piece", "clear"),
    [
        (box(1100, 4050), 1.0),
        (place("dumbbell-rack-2", 1100, 4120), (1 + (1350 - 1050) / WIDE) / 2),
        (place("dumbbell-rack-2", 1100, 3520), 1.0),
        # a bag of 120 kg and 560 across, clear of a step and in it: one walks round it
        (place("standing-bag", 1100, 4100), 1.0),
        (place("standing-bag", 1100, 4500), ((3200 - 1380 - 560) / WIDE + 1) / 2),
    ],
)
def test_what_is_low_and_light_may_stand_a_step_behind_the_door(piece: Piece, clear: float) -> None:
    assert kept_clear(garage(piece)) == pytest.approx(clear)


@pytest.mark.parametrize("kept", [True, False])
def test_where_a_car_comes_in_nothing_heavy_may_stand_before_the_door(kept: bool) -> None:
    def clear(*pieces: Piece) -> float:
        # a car that is kept here without being drawn, and one that is drawn: 2.0 x 4.3 m
        data = json_of(garage(*pieces, *([] if kept else [place("car", 2000, 2300)])).plan)
        data["room"]["climate"]["car_kept_here"] = "yes" if kept else "no"
        return kept_clear(build_scene(Plan.model_validate(data)))

    assert clear() == pytest.approx(1.0)
    # what is light takes what it took before, what is heavy all, however little of the door
    assert clear(box(1100, 4600)) == pytest.approx((1800 / WIDE + 1) / 2)
    assert clear(place("dumbbell-rack-2", 100, 4600)) == 0.0
    assert clear(place("dumbbell-rack-2", 3500, 300)) == pytest.approx(1.0)


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(("off", "clear"), [(148, 700), (152, WIDE)])
def test_mats_may_lie_there_but_for_the_sill(off: float, clear: float, turned: float) -> None:
    # 1000 wide in the middle of a door of 2400, its end so far off the door
    mat = place("mat-space", 2000, 5000 - off - 1000, width=1000, depth=2000, piece_id="mat")
    scene = garage(mat, turned=turned)
    (door,) = garage_doors(scene)
    assert clear_mm(scene, door, STEP_MM, scene.order) == pytest.approx(clear, abs=0.1)
    outline = [
        np.subtract(point[:2], scene.placed["mat"].at)
        for point in scene.placed["mat"].footprint.exterior.coords
    ]
    (lost,) = lost_before(scene.placed["mat"], scene, outline, [scene.placed["mat"].at])
    assert kept_clear(scene) == pytest.approx(1 - lost, abs=1e-4)


def test_a_room_without_such_a_door_has_none() -> None:
    assert garage_doors(build_scene(make_plan(room=make_room(4000, 5000)))) == ()


@given(st.floats(300, 3700), st.floats(300, 4700))
def test_one_thing_takes_the_same_by_the_rough_figure(x: float, y: float) -> None:
    scene = garage(box(x, y))
    (door,) = garage_doors(scene)
    ring = scene.placed["box"].shape.footprint.exterior.coords
    outline = [point[:2] for point in ring]
    (share,) = shares_taken((door,), outline, [(x, y)], STEP_MM)
    clear = clear_mm(scene, door, STEP_MM, scene.order)
    assert clear == pytest.approx(WIDE * (1 - share), abs=0.1)
    (lost,) = lost_before(scene.placed["box"], scene, outline, [(x, y)])
    assert kept_clear(scene) == pytest.approx(1 - lost, abs=1e-4)


HAND_MM = 100
HEAVY = {"rack-1", "tree-1", "dumbbells-1", "shelf-1", "runner-1"}


def test_nothing_heavy_stands_before_the_door_of_the_double_garage() -> None:
    # one search alone, long before anybody looks; where it stands then hangs on its chance
    search = searched(sample("double-garage"), 25, 1)
    # of what was met in passing that counts which somebody would be shown
    found = different(search.layouts)
    assert found
    assert all(heavy_before_the_door(search, one) == set() for one in found)


@pytest.mark.long
@pytest.mark.parametrize("steps", [READY_STEPS, READY_STEPS + 20])
def test_nor_does_it_in_any_layout_that_is_shown(steps: int) -> None:
    # as the button is pressed, and some seconds later
    searches = [searched(sample("double-garage"), steps, n) for n in range(SEARCHES)]
    layouts = BestLayouts()
    for search in searches:
        layouts.join(search.layouts.every)
    chosen = different(layouts)
    assert len(chosen) >= 2
    assert all(heavy_before_the_door(searches[0], one) == set() for one in chosen)


def heavy_before_the_door(search: Search, layout: JudgedLayout) -> set[str]:
    """The heavy things before the garage door in a layout; a hand's breadth is beside its end."""
    scene = search.problem.at(layout.poses)
    (door,) = garage_doors(scene)
    taken = {
        p.piece.id: sum(b - a for a, b in stretches(p, door, 2 * STEP_MM)) for p in scene.order
    }
    return {key for key, wide in taken.items() if wide > HAND_MM} & HEAVY
