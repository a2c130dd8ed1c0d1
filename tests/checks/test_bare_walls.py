"""What counts as a bare wall beside a belt. Common practice, no source, but for glass by a door."""

import pytest

from app.model.room import Opening, OpeningKind
from tests.builders import found, make_plan, make_room, place, turned_plan


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(
    ("sill_mm", "expected"), [(1500, []), (1499, ["care"]), (300, ["care"]), (None, ["care"])]
)
def test_a_wall_with_a_window_above_the_shoulders_is_bare_below_it(
    sill_mm: float | None, expected: list[str], angle: float
) -> None:
    """300 to a bare wall on one side; a door, or glass below 1500, wants 500 like all else."""
    kind: OpeningKind = "hinged" if sill_mm is None else "window"
    opening = Opening(
        id="hole",
        wall="left",
        kind=kind,
        offset_mm=6200,
        width_mm=800,
        height_mm=400 if sill_mm is not None else 1981,
        sill_mm=sill_mm or 0,
        swing="out",
    )
    # the left wall runs up from the front: the hole is beside the belt
    belt = place("running-machine", 425 + 300, 1500, piece_id="belt")
    plan = turned_plan(make_plan(belt, room=make_room(6000, 8000, openings=[opening])), angle)
    beside = found(plan, "room-beside-the-belt-left")
    assert [snag.severity for snag in beside] == expected
