"""Windows that must open.

450 each way, 0.33 square metres and a sill at 1100 at most: Approved Document B, vol. 1, 3.6.
"""

from typing import Any

import pytest

from app.model.plan import Plan
from app.model.room import Opening
from tests.builders import found, make_plan, make_room, place

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
    [(2100, None), (2101, None), (2110, 440), (2500, 50)],
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
