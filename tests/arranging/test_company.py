"""Long things that stand out into a room, and benches far from their dumbbells.

What counts as poor is common practice, no source.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arranging.company import Company, has_company, is_long
from app.arranging.layout import Layout
from app.arranging.measures import with_backs
from app.model.kit import Piece
from app.model.plan import Plan
from app.placing.core import Core
from app.scene.build import build_scene
from tests.arranging.hand_made import placed_at
from tests.arranging.rooms import BY_HAND, ROOMS
from tests.arranging.test_score import scored
from tests.builders import make_plan, make_room, place, turned_plan
from tests.thinned import one_of


def belt(x: float, y: float, angle: float = 270) -> Piece:
    """A running machine of 850 x 1850 with its front to the wall x = 0 at 270 degrees."""
    return place("running-machine", x, y, angle, piece_id="belt")


def room_with(*pieces: Piece) -> Plan:
    return make_plan(*pieces, room=make_room(7000, 6000, 2700))


@pytest.mark.parametrize(
    ("y", "beside", "share"),
    [
        # it asks for 500 at its sides and 600 more let somebody pass: its side lies 425 off its
        # middle, so by a wall it is up to 1525 off
        (3000, (), 0.5),
        (1525, (), 1.0),
        (1530, (), 0.5),
        (4475, (), 1.0),
        # in a row with a bike, which is as long as half of it
        (3000, ("bike", 4000), 1.0),
        (3000, ("bike", 4900), 0.5),
        # about what is round one walks
        (3000, ("standing-bag", 4000), 0.5),
    ],
)
@pytest.mark.parametrize("turned", [0, 30])
def test_a_belt_that_stands_out_into_the_room_has_half_a_back(
    y: float, beside: tuple[str, float] | tuple[()], share: float, turned: float
) -> None:
    more = [place(beside[0], 700, beside[1], 270)] if beside else []
    scene = build_scene(turned_plan(room_with(belt(925, y), *more), turned))
    assert with_backs(Layout(scene, ()))["belt"] == share


def test_what_is_short_or_only_floor_or_round_is_not_long() -> None:
    kinds = ("bike", "running-machine", "rower", "mat-space", "standing-bag", "half-rack")
    scene = build_scene(room_with(*(place(kind, piece_id=kind) for kind in kinds)))
    assert {k for k in kinds if is_long(scene.placed[k])} == {"running-machine", "rower"}


@given(st.floats(600, 6400), st.floats(600, 5400), st.sampled_from((0, 90, 180, 270)))
def test_the_figures_of_many_places_are_those_of_one(x: float, y: float, turn: float) -> None:
    bike = place("bike", 3500, 3000, 90, piece_id="bike")
    chest = place("chest-freezer", 2000, 400, piece_id="chest", stays=True)
    before = build_scene(room_with(belt(925, 3000), bike, chest))
    layout = Core.of(before).layout(("belt", "bike"))
    (rough,) = Company(before, ("belt", "bike")).at("belt", turn, np.array([(x, y)]), layout)
    there = build_scene(room_with(belt(x, y, turn), bike, chest))
    assert rough == has_company(there, there.placed["belt"])


def test_a_bench_far_from_its_dumbbells_costs_more_than_the_mean() -> None:
    def near(x: float) -> float:
        bench = place("adjustable-bench", x, 1700)
        hands = place("dumbbell-rack-2", 750, 275, piece_id="hands")
        return scored(room_with(bench, hands, place("mat-space", 3500, 4500))).parts["near"]

    by_them, across = near(1900), near(6500)
    assert by_them == pytest.approx(1.0)
    # of two walks one is short: the mean is over a half, but the longest counts besides
    assert across < 0.5


def test_the_bench_in_a_rack_needs_no_dumbbells_where_another_stands_free() -> None:
    rack = (
        place("mid-rack", 1200, 775, piece_id="rack"),
        place("bar-20", 1200, 1288, carried_by="rack"),
        place("flat-bench", 1200, 875, carried_by="rack", piece_id="in-rack"),
    )
    hands = place("dumbbell-rack-2", 6700, 5000, 90, piece_id="hands")
    free = place("adjustable-bench", 5200, 5000, piece_id="free")
    assert scored(room_with(*rack, hands, free)).parts["near"] == pytest.approx(1.0)
    assert scored(room_with(*rack, hands)).parts["near"] < 0.2


@pytest.mark.parametrize(("turn", "share"), [(0, 1.0), (90, 1.0), (30, 0.5)])
def test_a_mat_that_lies_askew_in_the_room_counts_half(turn: float, share: float) -> None:
    plan = room_with(place("mat-space", 3500, 3000, turn))
    # of three quarters, for the longest walk is none
    assert scored(plan).parts["near"] == pytest.approx(0.75 * share + 0.25)


@pytest.mark.parametrize("name", one_of(3, tuple(BY_HAND)))
def test_a_layout_is_worth_the_same_however_the_room_lies_on_the_paper(name: str) -> None:
    plan = placed_at(ROOMS[name](), BY_HAND[name])
    straight, turned = scored(plan), scored(turned_plan(plan, 37))
    # a turned drawing is rounded to the millimetre: floor in a corner of an L is cut in slabs
    assert turned.parts == pytest.approx(straight.parts, abs=0.03)
