"""Glass beside the plates of a bar in its rack, at both bounds: 450 is ample (common practice)."""

import pytest

from app.checks.plates_at_glass import plates_at_glass
from app.checks.snag import Snag
from app.model.room import Opening, OpeningKind
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan


def told(x: float, sill: float = 900, turn: float = 0, kind: OpeningKind = "window") -> list[Snag]:
    """A rack with its middle so far from the left wall, in which there is a window."""
    pane = Opening(
        id="pane", wall="left", kind=kind, offset_mm=3000, width_mm=1500, height_mm=1000,
        sill_mm=sill, label="Window",
    )  # fmt: skip
    rack = place("mid-rack", x, 775, piece_id="rack")
    bar = place("bar-20", x, 1437, piece_id="bar", carried_by="rack")
    plan = make_plan(rack, bar, room=make_room(openings=(pane,)))
    return list(plates_at_glass(build_scene(turned_plan(plan, turn))))


@pytest.mark.parametrize("turn", [0, 40])
@pytest.mark.parametrize(("gap", "count"), [(448, 1), (452, 0), (200, 1)])
def test_beyond_the_end_of_a_bar(gap: float, count: int, turn: float) -> None:
    # half of a bar of 2200
    found = told(1100 + gap, turn=turn)
    assert [(s.code, s.severity, s.pieces) for s in found] == [
        ("plates-at-glass-left", "note", ("bar",))
    ] * count
    assert [s.measured for s in found] == [pytest.approx(gap, abs=1)] * count


def test_glass_above_the_plates_or_a_door_without_any_is_none() -> None:
    # on the highest hooks the plates reach 1500 + 225
    assert len(told(1400, sill=1720)) == 1
    assert told(1400, sill=1730) == []
    assert told(1400, sill=0, kind="hinged") == []
