"""A door that opens to where somebody falls off a belt. Common practice, no source.

A belt of 850 x 1850 at (2500, 1200): its run-off of 1000 x 2000 (EN 957-6) ends at y = 4125.
"""

from __future__ import annotations

from typing import Any

import pytest

from app.model.plan import Plan
from app.model.room import Opening
from tests.builders import found, make_plan, make_room, place, turned_plan


def plan(depth: float, **door: Any) -> Plan:
    fields = {"kind": "hinged", "swing": "in", "offset_mm": 2100, "width_mm": 800}
    opening = Opening.model_validate(
        {"id": "door", "wall": "front", "height_mm": 2000, "label": "Side door", **fields, **door}
    )
    return make_plan(
        place("running-machine", 2500, 1200), room=make_room(5000, depth, openings=[opening])
    )


@pytest.mark.parametrize("angle", [0, 37])
@pytest.mark.parametrize(("depth", "count"), [(4927, 0), (4923, 1), (4200, 1)])
def test_a_leaf_that_swings_into_the_run_off_is_told(
    depth: float, count: int, angle: float
) -> None:
    rows = found(turned_plan(plan(depth), angle), "door-behind-")
    assert [row.severity for row in rows] == ["note"] * count
    for row in rows:
        assert row.opening == "door"
        assert row.sentence.startswith("The side door opens to where somebody steps or falls off")


@pytest.mark.parametrize(
    "door", [{"swing": "out"}, {"offset_mm": 100}, {"kind": "side-sliding"}, {"kind": "tracks"}]
)
def test_one_that_opens_out_elsewhere_or_aside_is_not(door: dict[str, Any]) -> None:
    assert found(plan(4200, **door), "door-behind-") == []


def test_kit_that_no_door_opens_onto_hides_none_behind_it_in_the_plan() -> None:
    door = Opening.model_validate(
        {"id": "door", "wall": "front", "kind": "hinged", "swing": "in", "offset_mm": 2100,
         "width_mm": 800, "height_mm": 2000, "label": "Side door"}
    )  # fmt: skip
    rack = place("mid-rack", 2500, 2500, piece_id="rack")
    others = [place("bike", 700, 700), place("plate-tree", 4400, 700)]
    for pieces in ([*others, rack], [rack, *others]):
        rows = found(make_plan(*pieces, room=make_room(5000, 5000, openings=[door])), "door-into-")
        assert [row.pieces[0] for row in rows] == ["rack"]
