"""What paint is put on with, counted by hand in a room of 5 x 4 x 2.4 m with one door of 0.9 x 2.

Walls 2 x (5 + 4) x 2.4 - 1.8 = 41.4 m2, floor and ceiling 20 m2; rates of use are common practice.
"""

from typing import Any

import pytest

from app.model.room import Opening, Room
from app.takeoff.line import TakeOff
from tests.builders import make_room
from tests.checks.hanging import room_of
from tests.takeoff.making import counted
from tests.takeoff.test_paint import with_walls

DOOR = Opening(id="door", wall="back", kind="hinged", offset_mm=1000, width_mm=900, height_mm=2000)
ROOM = make_room(5000, 4000, 2400, openings=[DOOR])
WALLS = {"id": "walls", "surface": "walls"}
FLOOR = {"id": "floor", "surface": "floor", "coating": "floor-paint"}
CEILING = {"id": "ceiling", "surface": "ceiling", "colour": "White"}


def took(*jobs: dict[str, Any], room: Room = ROOM, **walls: Any) -> TakeOff:
    return counted(room=with_walls(room, **{"finish": "plaster", **walls}), paint=list(jobs))


def nets(found: TakeOff) -> dict[str, float]:
    """What is bought but paint: net by key."""
    return {line.key: line.net for line in found.lines if "m2/L" not in str(line.working)}


def test_walls_and_floor_in_two_coats() -> None:
    found = took(WALLS, FLOOR)
    expected = {
        # 82.8 m2 rolled and 40 m2 to the sleeve; the floor of 40 m2 rolled has a pile of its own
        "paint.sleeve-3-6": 3,
        "paint.sleeve-10-13": 1,
        "paint.roller-set": 1,
        "paint.brush-63": 2,
        # floor and ceiling 18 m each, round the door 5.8
        "paint.masking-tape-50m": 41.8,
        "paint.dust-sheet-12m2": 20,
        # a kilo of filler and a litre of cleaner to 30 m2 of wall, a litre to 15 m2 of floor
        "paint.filler-1kg": 1.38,
        "paint.wall-cleaner-1l": 1.38,
        "small.degreaser-1l": 4 / 3,
        "protection.masks-5": 5,
        "paint.gloves-10": 10,
        "paint.abrasive-5": 5,
    }
    assert {key: net for key, net in nets(found).items() if key in expected} == pytest.approx(
        expected
    )
    # a tenth more of what is torn off, no more of what is counted
    wastes = {line.key: line.waste for line in found.lines if line.key in expected}
    assert {key: waste for key, waste in wastes.items() if waste} == pytest.approx(
        {"paint.masking-tape-50m": 4.18, "paint.dust-sheet-12m2": 2}
    )
    assert "paint.spray-hire-day" not in wastes


@pytest.mark.parametrize(
    ("walls_m2", "bags"),
    # a kilo to 30 m2; guide prices 5.00, 8.00 and 15.00
    [(29, {1: 1}), (32.7, {2: 1}), (82, {2: 1, 1: 1}), (121, {5: 1})],
)
def test_filler_is_bought_in_the_cheapest_bags(walls_m2: float, bags: dict[int, int]) -> None:
    # a square room without openings: round it 4 sides, 2.5 m high
    side = walls_m2 / 10 * 1000
    line = took(WALLS, room=make_room(side, side, 2500)).line("paint.filler-1kg")
    assert line.net == pytest.approx(walls_m2 / 30)
    assert {round(pack.size): pack.count for pack in line.bought} == bags


def test_a_ceiling_alone_needs_no_filler_and_no_degreaser() -> None:
    keys = nets(took(CEILING)).keys()
    assert {"paint.roller-set", "paint.brush-63", "protection.masks-5"} <= keys
    assert not {"paint.filler-1kg", "small.degreaser-1l", "paint.spray-hire-day"} & keys


def test_nothing_to_paint_needs_nothing() -> None:
    assert not [key for key in nets(took()) if key.startswith("paint.")]


def test_what_is_sprayed_needs_the_sprayer_for_a_day_and_no_roller() -> None:
    found = nets(took({**WALLS, "tool": "spray"}))
    assert found["paint.spray-hire-day"] == 1
    assert not [key for key in found if key.startswith(("paint.sleeve", "paint.roller"))]


def test_two_colours_of_one_surface_take_a_brush_and_a_sleeve_each() -> None:
    # 12 - 1.8 = 10.2 m2 and 31.2 m2, twice: 20.4 and 62.4 m2, so one sleeve and two
    red = {**WALLS, "id": "red", "walls": ["back"], "colour": "Red"}
    rest = {**WALLS, "walls": ["left", "right", "front"], "colour": "White"}
    found = nets(took(red, rest))
    assert (found["paint.brush-63"], found["paint.sleeve-3-6"]) == (2, 3)
    assert found["paint.filler-1kg"] == pytest.approx(1.38)


@pytest.mark.parametrize(("height", "told"), [(2400, False), (3600, True)])
def test_much_rough_wall_is_worth_a_thought_of_a_sprayer(height: int, told: bool) -> None:
    # 18 x 2.4 - 1.8 = 41.4 m2 are less than 60 m2, 18 x 3.6 - 1.8 = 63 m2 are more
    room = make_room(5000, 4000, height, openings=[DOOR])
    block = took(WALLS, room=room, construction="hollow-block", finish="bare")
    said = [each for each in block.says if "rough wall" in each]
    assert [each.split(" m²")[0] for each in said] == ["63"] * told
    assert not [each for each in took(WALLS, room=room).says if "rough wall" in each]


@pytest.mark.parametrize(("jobs", "assumed"), [([], True), ([CEILING], False)])
def test_tools_are_assumed_only_where_all_that_is_painted_is(
    jobs: list[dict[str, Any]], assumed: bool
) -> None:
    # nothing chosen: walls and ceiling are counted as usual; a ceiling is chosen beside them
    found = counted(room=with_walls(ROOM, finish="plaster"), paint=jobs, nothing_assumed=False)
    assert found.line("paint.brush-63").assumed is assumed


@pytest.mark.parametrize(
    ("second", "wool"), [({}, False), ({"coating": "oil-paint", "walls": ["left"]}, True)]
)
def test_of_one_pile_a_coat_with_solvent_asks_for_wool(second: dict[str, Any], wool: bool) -> None:
    walls = {**WALLS, "walls": ["back", "front"]}
    other = {**WALLS, "id": "other", "walls": ["left"], **second}
    lines = {line.key: line for line in took(walls, other).lines}
    assert bool(lines["paint.sleeve-3-6"].notes) is wool
    assert lines["paint.sleeve-3-6"].waste == 0
    # rags that took up solvent lie in a can
    assert {"paint.rags-10", "paint.lidded-can"} <= lines.keys() or not wool
    assert ("paint.lidded-can" in lines) is ("paint.rags-10" in lines) is wool


@pytest.mark.parametrize(
    ("wall", "item"),
    [
        ("solid-brick", "Roller sleeve, long pile 19 to 32 mm"),
        (None, "Roller sleeve, short or middle pile 3 to 6 mm"),
    ],
)
def test_block_and_brick_ask_for_a_long_pile(wall: str | None, item: str) -> None:
    # from 19 mm (3/4 in) on, as trade pages agree
    lines = took(WALLS).lines if wall is None else counted(room=room_of(wall), paint=[WALLS]).lines
    assert [line.item for line in lines if line.key.startswith("paint.sleeve")] == [item]
