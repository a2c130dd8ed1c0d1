"""What hangs flat on a wall over the front of a machine, and what only comes into an end of the
room beside one.

Sizes are those of the library's rows: a screen hangs with its lower edge 540 below its top, a
running machine is 850 x 1850, a bike 560 x 1120. That 100 at the end of a lane is nobody's loss and
that plug and air lie lower than 600 is common practice, no source; so is it that the air of what
stands on the floor is not taken by what hangs above it.
"""

import pytest

from app.checks.snag import Snag
from app.model.kit import Piece
from tests.builders import judge, make_plan, make_room, place, turned_plan

ROOM = make_room(8000, 8000)
DEPTHS = {"running-machine": 1850, "bike": 1120, "rower": 2450, "bike-lying": 1600}


def rows(*pieces: Piece, angle: float = 0) -> list[Snag]:
    plan = turned_plan(make_plan(*pieces, room=ROOM), angle, (100, -50))
    return [one for one in judge(plan) if one.space is not None]


def screen(top: float = 1770) -> Piece:
    return place("screen", 3000, 30, width=1400, height=top)


@pytest.mark.parametrize("angle", [0, 37, 90])
@pytest.mark.parametrize("kit", sorted(DEPTHS))
@pytest.mark.parametrize("turn", [0, 180])
@pytest.mark.parametrize(("gap", "top"), [(0, 1770), (40, 1770), (40, 1500)])
def test_a_screen_on_the_wall_takes_no_room_of_what_stands_under_it(
    kit: str, turn: float, gap: float, top: float, angle: float
) -> None:
    machine = place(kit, 3000, gap + DEPTHS[kit] / 2, turn)
    # who falls off a belt towards the wall falls towards what hangs there too
    falling = {"room-behind-the-belt", "room-behind-leaning-back"}
    told = [one for one in rows(machine, screen(top), angle=angle) if one.code not in falling]
    assert not [one for one in told if "screen" in one.pieces]
    alone = {one.code for one in rows(machine, angle=angle)}
    assert {one.code for one in told} == alone - falling


@pytest.mark.parametrize("angle", [0, 37])
@pytest.mark.parametrize(
    ("lower_edge", "in_the_way"), [(598, True), (600, False), (1230, False), (300, True)]
)
def test_plug_and_air_lie_low(lower_edge: float, in_the_way: bool, angle: float) -> None:
    machine = place("running-machine", 3000, 150 + 1850 / 2)
    told = rows(machine, screen(lower_edge + 540), angle=angle)
    (row,) = [one for one in told if one.code == "room-plug-and-air"]
    assert ("screen" in row.pieces) == in_the_way
    assert row.measured == (90 if in_the_way else 150)


@pytest.mark.parametrize("angle", [0, 37, 90])
@pytest.mark.parametrize(
    ("ends", "told"),
    [
        # how far a box comes into the room of 1850 beside the belt: at its back, at its front
        ((100, -600), False),
        ((102, -600), True),
        ((-600, 100), False),
        ((-600, 102), True),
        ((50, 50), False),
        ((60, 42), True),
        ((0, 0), False),
    ],
)
def test_what_comes_into_an_end_of_the_room_beside_a_belt(
    ends: tuple[float, float], told: bool, angle: float
) -> None:
    machine = place("running-machine", 3000, 4000)
    back, front = 4000 - 925, 4000 + 925
    boxes = (
        place("other-thing", 2250, back + ends[0] - 300, piece_id="behind"),
        place("other-thing", 2250, front - ends[1] + 300, piece_id="before"),
    )
    found = rows(machine, *boxes, angle=angle)
    beside = [one for one in found if one.code == "room-beside-the-belt-left"]
    assert bool(beside) == told
    if told:
        # the machine's side lies at 3000 - 425, that of the boxes at 2550
        assert beside[0].measured == 25


@pytest.mark.parametrize(("into", "told"), [(100, False), (102, True)])
def test_a_narrow_piece_keeps_the_whole_of_its_side(into: float, told: bool) -> None:
    # a bike of 1120 is got on from either side; a dryer of 250 has none of its air to spare
    bike = place("bike", 3000, 4000)
    both = [
        place("other-thing", x, 4000 - 560 + into - 300, piece_id=f"box-{x}") for x in (2410, 3590)
    ]
    found = rows(bike, *both)
    assert any(one.code == "room-to-get-on-left" for one in found) == told
    dryer = place("dehumidifier", 3000, 4000)
    side = place("other-thing", 3000 - 185 - 300, 4000 - 125 + 20 - 300, piece_id="box")
    assert any(one.code == "room-for-the-air-left" for one in rows(dryer, side))


@pytest.mark.parametrize(("lower_edge", "in_the_way"), [(748, True), (750, False)])
def test_ahead_of_a_bike_is_before_its_wheel_not_before_its_bar(
    lower_edge: float, in_the_way: bool
) -> None:
    # its row: the wheel's case up to 750, console and bar 210 and 340 behind its nose
    told = rows(place("bike", 3000, 100 + 560), screen(lower_edge + 540))
    ahead = [one for one in told if one.code == "room-ahead"]
    assert [("screen" in one.pieces) for one in ahead] == [in_the_way]


@pytest.mark.parametrize(("lower_edge", "in_the_way"), [(648, True), (650, False)])
def test_air_behind_a_fan_is_as_high_as_the_fan(lower_edge: float, in_the_way: bool) -> None:
    fan = place("fan", 3000, 60 + 100 + 125)
    told = rows(fan, screen(lower_edge + 540))
    behind = [one for one in told if one.code == "room-behind-for-the-air"]
    assert [("screen" in one.pieces) for one in behind] == [in_the_way]
