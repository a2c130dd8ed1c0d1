"""What one start is laid on, by hand: rooms with 8 mm all round, mats of 1000 x 600."""

from __future__ import annotations

from typing import Any

import pytest

from app.errors import PlanError
from app.model.flooring import FloorLaying
from app.model.room import Opening
from app.scene.build import build_scene
from app.takeoff.floor import floor_layout
from app.takeoff.floor_region import Start
from app.takeoff.floor_site import Site, check, is_sawn, least_strip, lost_mm, piece_lies, site_of
from tests.builders import column, make_plan, make_room, rectangle

LEFT = Start("back", False, True, "straight")


def mat(**fields: Any) -> FloorLaying:
    return FloorLaying.model_validate({"id": "f", "length_mm": 1000, "width_mm": 600, **fields})


def site(laying: FloorLaying, start: Start = LEFT, width: float = 3016, **room: Any) -> Site:
    return site_of(build_scene(make_plan(room=make_room(width, 2016, **room))), laying, start)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"length_mm": 0.99}, "without length or width"),
        ({"width_mm": 0.99}, "without length or width"),
        ({"kerf_mm": -0.01}, "the width of the cut is less than nothing"),
        ({"kerf_mm": 10.5}, "the cut is wider than any knife or saw makes it"),
        ({"thickness_mm": 0}, "without thickness"),
        ({"least_strip_mm": -1}, "the least strip must be 0 or more"),
        ({"first_mm": -1}, "the first piece is less than nothing"),
        ({"first_row_mm": -1}, "the first row is less than nothing"),
        ({"kind": "roll", "width_mm": 149}, "a roll narrower than the narrowest strip"),
    ],
)
def test_sizes_that_make_no_sense_are_named(fields: dict[str, Any], words: str) -> None:
    with pytest.raises(PlanError, match=words):
        check(mat(**fields))
    with pytest.raises(PlanError, match=words):
        site(mat(**fields))


@pytest.mark.parametrize(
    "fields",
    [
        {"length_mm": 1}, {"width_mm": 1}, {"kerf_mm": 0}, {"thickness_mm": 0.01},
        {"least_strip_mm": 0}, {"first_mm": 0, "first_row_mm": 0},
        {"kind": "roll", "width_mm": 150}, {"kind": "mat", "width_mm": 100},
        {"kind": "roll", "width_mm": 100, "least_strip_mm": 100},
        {"mass_kg": 0.5}, {"density_kg_m3": 0.5},
    ],
)  # fmt: skip
def test_sizes_on_the_limit_will_do(fields: dict[str, Any]) -> None:
    check(mat(**fields))


def test_how_a_piece_lies() -> None:
    # the long side along the wall, however it was typed; a roll is unrolled by its length
    assert piece_lies(mat(), True) == (1000, 600)
    assert piece_lies(mat(), False) == (600, 1000)
    turned = mat(length_mm=600, width_mm=1000)
    assert piece_lies(turned, True) == (1000, 600)
    assert piece_lies(turned.model_copy(update={"kind": "roll"}), True) == (600, 1000)
    assert piece_lies(turned.model_copy(update={"kind": "roll"}), False) == (1000, 600)


def test_the_narrowest_strip_is_half_a_piece_at_the_most() -> None:
    assert (least_strip(mat()), least_strip(mat(least_strip_mm=80))) == (150, 80)
    plain = site(mat()).grid
    assert (plain.length, plain.depth, plain.least, plain.door_least) == (1000, 600, 150, 150)
    across = site(mat(), Start("back", False, False, "straight")).grid
    assert (across.length, across.depth) == (600, 1000)
    narrow = site(mat(width_mm=200)).grid
    assert (narrow.least, narrow.door_least) == (100, 100)
    typed = site(mat(least_strip_mm=80)).grid
    # at a door it is the register's all the same
    assert (typed.least, typed.door_least) == (80, 150)


def test_the_floor_lies_in_the_frame_of_its_wall() -> None:
    plain = site(mat())
    assert plain.region.bounds == pytest.approx((8, 8, 3008, 2008))
    assert plain.covered.bounds == pytest.approx((8, 8, 3008, 2008))
    assert plain.middles == ((), ())
    # with one's face to the right wall: along its 2016, into the room 3016
    right = site(mat(), Start("right", False, True, "straight"))
    assert right.region.bounds == pytest.approx((8, 8, 2008, 3008))
    # a column in the middle of a mat, 266 with its gap
    nib = column(rectangle(1400, 900, 1650, 1150))
    held = site(mat(), columns=[nib])
    assert [*held.middles[0], *held.middles[1]] == pytest.approx([1525, 1025])


def test_far_too_many_pieces_are_refused() -> None:
    # 3000 x 2000 in pieces of 50 x 30: 4,000 will do, of 50 x 29.9 they are more
    assert site(mat(length_mm=50, width_mm=30)).grid.length == 50
    with pytest.raises(PlanError, match="at most 4,000 are laid out one by one"):
        site(mat(length_mm=50, width_mm=29.9))


def door(kind: str) -> Opening:
    place = {"wall": "back", "offset_mm": 300, "width_mm": 900, "height_mm": 2000}
    return Opening.model_validate({"id": "d", "kind": kind, **place})


def at_door(opening: Opening, **fields: Any) -> list[float]:
    """The bounds of the doorway in the frame, none of a window."""
    doorways = site(mat(**fields), openings=[opening]).grid.doors
    return [end for bounds in doorways for end in bounds]


def test_pieces_at_a_door_lie_within_its_width_up_to_the_gap() -> None:
    # 8 and two millimetres of tolerance
    assert at_door(door("hinged")) == pytest.approx([300, 0, 1200, 10])
    assert at_door(door("hinged"), gap_mm=20) == pytest.approx([300, 0, 1200, 22])
    assert at_door(door("window")) == []
    # a window beside it hides no door
    window = Opening.model_validate({**door("window").model_dump(), "id": "a", "offset_mm": 1500})
    both = site(mat(), openings=[window, door("hinged")]).grid.doors
    assert [end for bounds in both for end in bounds] == pytest.approx([300, 0, 1200, 10])
    # before a garage door the floor stops 50 short of it, 100 for the ramp of 20 mm, or as typed;
    # never nearer than the gap
    assert at_door(door("canopy"), thickness_mm=10) == pytest.approx([300, 0, 1200, 52])
    assert at_door(door("canopy")) == pytest.approx([300, 0, 1200, 102])
    assert at_door(door("canopy"), door_stop_mm=200) == pytest.approx([300, 0, 1200, 202])
    assert at_door(door("canopy"), door_stop_mm=0) == pytest.approx([300, 0, 1200, 10])
    far = site(mat(door_stop_mm=200), openings=[door("canopy")])
    assert far.region.bounds == pytest.approx((8, 200, 3008, 2008))


@pytest.mark.parametrize(
    ("material", "typed", "lost"),
    [("rubber", 0, 0), ("rubber", 1, 1), ("timber", 0, 3), ("timber", 2, 2), ("vinyl", 0, 0)],
)
def test_a_saw_turns_some_to_dust_and_a_knife_nothing(
    material: str, typed: float, lost: float
) -> None:
    # a blade takes 2 to 4 mm (common practice, no source)
    laying = mat(material=material, kerf_mm=typed)
    assert lost_mm(laying) == lost
    assert is_sawn(laying) == (material == "timber")


@pytest.mark.parametrize(("material", "boards"), [("rubber", 6), ("timber", 8)])
def test_two_halves_come_out_of_a_board_only_where_nothing_is_lost(
    material: str, boards: int
) -> None:
    # four rows of 1 m and half a metre: 4 whole, and of the halves 2 or 1 come out of each
    laying = FloorLaying.model_validate(
        {
            "id": "f", "kind": "board", "length_mm": 1000, "width_mm": 250,
            "material": material, "joints": "straight", "start_wall": "back", "along": True,
            "start_end": "left", "first_mm": 1000, "first_row_mm": 250, "turns": False,
        }
    )  # fmt: skip
    layout = floor_layout(build_scene(make_plan(room=make_room(1516, 1016))), laying, compare=False)
    assert layout.to_buy == boards
    assert ("3 mm lost at each" in layout.sentence) == (material == "timber")
