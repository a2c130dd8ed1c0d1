"""Windows that must open.

450 each way, 0.33 square metres and a sill at 1100 at most: Approved Document B, vol. 1, 3.6.
"""

from typing import Any

import pytest

from app.model.plan import Plan
from app.model.room import Opening
from tests.builders import (
    column,
    found,
    low_thing,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
    turned_point,
)

DOOR = Opening(id="d", wall="front", kind="hinged", offset_mm=0, width_mm=800, height_mm=2000)


def plan(*pieces: Any, door: bool = True, **fields: Any) -> Plan:
    told: dict[str, Any] = {
        "id": "w",
        "wall": "back",
        "kind": "window",
        "offset_mm": 2000,
        "width_mm": 1000,
        "height_mm": 900,
        "sill_mm": 900,
        "must_open": True,
    }
    window = Opening(**(told | fields))
    openings = (window, DOOR) if door else (window,)
    return make_plan(*pieces, room=make_room(openings=openings))


@pytest.mark.parametrize(
    ("x", "free"),
    # a shelf 900 wide and 450 deep at the back wall; its right side leaves 450, 449 or 440 free
    [(2100, None), (2101, 449), (2110, 440), (2500, 50)],
)
def test_a_shelf_before_the_window(x: float, free: int | None) -> None:
    snags = found(plan(place("shelving", x, 225)), "window-blocked")
    assert [(s.severity, s.measured) for s in snags] == ([] if free is None else [("care", free)])


def test_what_is_lower_than_the_sill_or_far_off_is_not_in_the_way() -> None:
    low = place("shelving", 2500, 225, height=899)
    far = place("shelving", 2500, 225 + 450)
    assert found(plan(low), "window-blocked") == []
    assert found(plan(far), "window-blocked") == []


def test_a_window_that_need_not_open_may_be_covered() -> None:
    assert found(plan(place("shelving", 2500, 225), must_open=False), "window-blocked") == []


def test_the_only_way_out_stops() -> None:
    (snag,) = found(plan(place("shelving", 2500, 225), door=False), "window-blocked")
    assert (snag.severity, snag.pieces) == ("stop", ("shelving",))
    assert "only way out" in snag.sentence


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({}, None),
        ({"sill_mm": 1100}, None),
        ({"sill_mm": 1200}, "its sill at 1200 mm"),
        ({"width_mm": 440}, "440 mm at its narrowest"),
        ({"width_mm": 500, "height_mm": 600}, "0.30 square metres of 0.33"),
    ],
)
def test_a_small_escape_window_is_told_where_it_is_the_only_way(
    fields: dict[str, Any], said: str | None
) -> None:
    snags = found(plan(door=False, **fields), "window-escape")
    assert [snag.severity for snag in snags] == ([] if said is None else ["note"])
    assert said is None or said in snags[0].sentence
    assert found(plan(**fields), "window-escape") == []


@pytest.mark.parametrize("turn", [30, 90, 137, 180, 270])
def test_the_stretch_before_a_window_does_not_hang_on_how_the_room_lies(turn: float) -> None:
    # a shelf at the wall as above, one that stands 450 off and leaves all free, one 400 off
    near, far = plan(place("shelving", 2110, 225)), plan(place("shelving", 2500, 225 + 450))
    (snag,) = found(turned_plan(near, turn), "window-blocked")
    assert snag.measured == pytest.approx(440, abs=1)
    assert found(turned_plan(far, turn), "window-blocked") == []
    closer = plan(place("shelving", 2850, 225 + 400))
    assert len(found(turned_plan(closer, turn), "window-blocked")) == 1


def test_two_things_before_a_window_are_both_named() -> None:
    # 2000 to 2400 and 2600 to 3000 are taken by two boxes of 500: 200 are left between them
    two = plan(
        place("jump-box", 2150, 300, piece_id="one", height=1200),
        place("jump-box", 2850, 300, piece_id="two", height=1200),
    )
    (snag,) = found(two, "window-blocked")
    assert (snag.measured, snag.required) == (200, 450)
    assert snag.pieces == ("one", "two")
    assert " are in the way" in snag.sentence


def test_a_column_before_a_window_is_in_the_way_and_a_wall_is_not() -> None:
    room = plan().room
    barred = room.model_copy(update={"columns": (column(rectangle(2300, 100, 2700, 400)),)})
    (snag,) = found(make_plan(room=barred), "window-blocked")
    # 300 are left on both sides
    assert (snag.measured, snag.pieces) == (300, ())
    assert found(make_plan(room=room), "window-blocked") == []


def test_what_hangs_above_the_window_is_not_in_the_way() -> None:
    # the window ends at 1800: a beam at 1800 passes, one at 1790 reaches down before it
    for bottom, count in ((1800, 0), (1790, 1)):
        beam = low_thing(rectangle(2000, 0, 3000, 400), bottom)
        room = plan().room.model_copy(update={"low_things": (beam,)})
        assert len(found(make_plan(room=room), "window-blocked")) in (0, count)


def test_a_small_escape_window_is_shown_at_its_middle() -> None:
    # 1000 to 1440 along the back wall
    (note,) = found(plan(door=False, offset_mm=1000, width_mm=440), "window-escape")
    assert note.where == pytest.approx((1220, 0))


@pytest.mark.parametrize("turn", [0, 30, 90, 137])
def test_what_is_before_a_window_is_shown_at_the_middle_of_the_window(turn: float) -> None:
    # 2000 to 3000 along the back wall
    (snag,) = found(turned_plan(plan(place("shelving", 2500, 225)), turn), "window-blocked")
    assert snag.where == pytest.approx(turned_point((2500, 0), turn), abs=1)


def test_a_window_goes_by_its_label_and_says_what_is_in_its_way() -> None:
    (plain,) = found(plan(place("shelving", 2500, 225)), "window-blocked")
    assert plain.names == ("Window",)
    # the shelf is 900 of the 1000 wide, 50 are left at either side
    assert plain.sentence == (
        "It must open, and the shelving is in the way: 50 mm of its width are free above the sill. "
        "Allow 450, and 450 before it to stand in."
    )
    (snag,) = found(plan(place("shelving", 2500, 225), label="Street", door=False), "window-bl")
    assert snag.names == ("Street",)
    assert snag.sentence.endswith("before it to stand in: it is the only way out.")
    two = (place("shelving", 2000, 225), place("shelving", 3000, 225, piece_id="other"))
    (both,) = found(plan(*two), "window-blocked")
    assert " are in the way: " in both.sentence


@pytest.mark.parametrize(
    ("sills", "noted"), [((900, 1200), []), ((1200, 900), []), ((1200, 1300), ["window-escape-w"])]
)
def test_one_window_that_one_can_leave_by_is_enough(
    sills: tuple[int, int], noted: list[str]
) -> None:
    # a sill at 1100 at most; of two that are too high the first is told
    first = plan(door=False, sill_mm=sills[0])
    (window,) = first.room.openings
    other = window.model_copy(update={"id": "v", "wall": "left", "sill_mm": float(sills[1])})
    room = first.room.model_copy(update={"openings": (window, other)})
    both = first.model_copy(update={"room": room})
    assert [snag.code for snag in found(both, "window-escape")] == noted


@pytest.mark.parametrize(("bottom", "count"), [(1800, 0), (1799.5, 0), (1798, 1)])
def test_a_panel_above_the_window_is_in_nobodys_way(bottom: float, count: int) -> None:
    # from 900 to 1800 it is glass; a panel 30 thick over all of the place before it
    panel = place("radiant-panel", 2500, 225, width=1000, depth=450, height=bottom + 30)
    assert len(found(plan(panel), "window-blocked")) == count
