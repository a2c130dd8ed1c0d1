"""What lies or stands across the way in: a mat from wall to wall, a piece before the open floor."""

import pytest

from app.arranging.across import (
    leads_to_the_floor,
    over_mats,
    stands_between,
    stands_in_a_door,
    straight_in,
    used_in_a_door,
)
from app.arranging.layout import Layout
from app.arranging.measures_around import garage_door
from app.model.kit import Piece
from app.model.room import Opening
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan

DOOR = Opening(
    id="door", wall="front", kind="hinged", offset_mm=700, width_mm=800, height_mm=2000,
    swing="out", way_out=True,
)  # fmt: skip
# at the back wall of 2.3 x 5 m, the door in the wall before it
BIKE = place("bike", 1150, 710, piece_id="bike")


def layout(*pieces: Piece) -> Layout:
    return Layout(build_scene(make_plan(*pieces, room=make_room(2300, 5000, openings=(DOOR,)))), ())


@pytest.mark.parametrize(
    # 2300 wide: beside a mat of 2090 half a body of 600 has its 300, 100 of them on its edge;
    # beside one of 2110 it has not
    ("wide", "share"),
    [(1000, 0.0), (2090, 0.0), (2110, 1.0), (2300, 1.0)],
)
def test_a_mat_is_walked_over_where_there_is_no_way_beside_it(wide: float, share: float) -> None:
    mat = place("mat-space", wide / 2, 3000, width=wide, depth=1000, piece_id="mat")
    assert over_mats(layout(BIKE, mat)) == share


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    # a freezer 640 deep at the right wall is opened from before it, half a person off: its places
    # lie 225 before it, the one nearest to the end of a mat at 1000 - 950 / 3; 100 are its edge
    ("low", "share"),
    [(1000 - 950 / 3 - 102, 1.0), (1000 - 950 / 3 - 98, 0.0)],
)
def test_what_stays_is_opened_from_before_it(low: float, share: float, turned: float) -> None:
    freezer = place("chest-freezer", 4000 - 320, 1000, 90, piece_id="freezer", stays=True)
    mat = place("mat-space", 2835, low + 1000, width=1000, depth=2000, piece_id="mat")
    assert over_mats(by_the_door(freezer, mat, turned=turned)) == share


def test_what_stands_on_this_side_of_a_mat_is_got_at_without_it() -> None:
    mat = place("mat-space", 1150, 2500, width=2300, depth=1000, piece_id="mat")
    box = place("jump-box", 300, 4000, 270, piece_id="box")
    assert over_mats(layout(BIKE, mat)) == 1.0
    assert over_mats(layout(BIKE, box, mat)) == 0.5
    assert over_mats(layout(BIKE, box)) == 0.0


@pytest.mark.parametrize(
    # a row of 2300 less a gap between the door and the rest: a body is 600 wide
    ("gap", "leads"),
    [(590, False), (610, True)],
)
def test_the_open_floor_is_got_to_by_a_gap_as_wide_as_a_body(gap: float, leads: bool) -> None:
    wide = 2300 - gap
    row = place("step", wide / 2, 4000, width=wide, depth=400, piece_id="row")
    mat = place("mat-space", 1150, 1500, width=1000, depth=2000, piece_id="mat")
    one = layout(row, mat)
    assert one.floor is not None
    assert one.floor.middle[1] < 3800
    assert leads_to_the_floor(one) is leads
    # as the way that is measured says it
    assert (one.main_way[0] >= 600) is leads


def test_a_mat_in_the_door_is_trodden_on_by_whoever_comes_in() -> None:
    # beside both mats there is a way; the one lies on the 600 that one sets foot on first
    ways = [
        straight_in(
            layout(BIKE, place("mat-space", 1150, 5000 - off - 1000, piece_id="mat", depth=2000))
        )
        for off in (590, 610)
    ]
    assert ways == [0.4, 1.0]


def test_what_stands_before_the_open_floor_is_in_the_way() -> None:
    # 1600 behind the bike are open; a box in the line to it, or beside that line
    before, beside = (
        layout(place("step", x, 4550, width=700, depth=500, piece_id="step"), BIKE)
        for x in (1150, 350)
    )
    assert (stands_between(before), stands_between(beside)) == (True, False)


INWARDS = Opening(
    id="door", wall="front", kind="hinged", offset_mm=700, width_mm=800, height_mm=2000,
    swing="in", way_out=True,
)  # fmt: skip


def by_the_door(*pieces: Piece, door: Opening = DOOR, turned: float = 0) -> Layout:
    """A room of 4 x 5 m with a door from 2500 to 3300 in the wall y = 5000."""
    plan = make_plan(*pieces, room=make_room(4000, 5000, openings=(door,)))
    return Layout(build_scene(turned_plan(plan, turned)), ())


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    # a step 400 deep: the mouth is as deep as the door is wide, 800 from the wall at 5000
    ("y", "inside"),
    [(5000 - 798 - 200, True), (5000 - 802 - 200, False)],
)
def test_nothing_stands_in_the_mouth_of_a_door(y: float, inside: bool, turned: float) -> None:
    step = place("step", 2900, y, piece_id="step")
    layout = by_the_door(step, turned=turned)
    assert stands_in_a_door(layout) is inside
    assert garage_door(layout) == (0.5 if inside else 1.0)
    # what stays is how it is
    stays = place("step", 2900, y, piece_id="step", stays=True)
    assert not stands_in_a_door(by_the_door(stays, turned=turned))


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    # dumbbells with their front to the door's swing: who takes one stands 225 before them, with as
    # much of a body before that; the door swings over all from 2500 to 3300 where it opens inwards
    ("off", "inside"),
    [(448, True), (452, False)],
)
def test_nobody_stands_where_a_door_opens_into_their_back(
    off: float, inside: bool, turned: float
) -> None:
    rack = place("dumbbell-rack-2", 2500 - off - 275, 4250, 270, piece_id="rack")
    layout = by_the_door(rack, door=INWARDS, turned=turned)
    assert used_in_a_door(layout) is inside
    assert not stands_in_a_door(layout)
    assert straight_in(layout) == (0.5 if inside else 1.0)
