"""Glass beside a bag, at both bounds: 1500 before it, 600 round it (common practice, no source)."""

import pytest

from app.model.room import Opening, OpeningKind
from tests.builders import found, make_plan, make_room, place, turned_plan


def told(
    x: float, angle: float, sill: float = 300, kind: OpeningKind = "window", turn: float = 0
) -> list[float | None]:
    """How far the glass is in the left wall from a bag so far from it, by what is said."""
    pane = Opening(
        id="pane", wall="left", kind=kind, offset_mm=3000, width_mm=2000, height_mm=1000,
        sill_mm=sill, label="Window",
    )  # fmt: skip
    bag = place("standing-bag", x, 4000, angle, piece_id="bag")
    plan = make_plan(bag, room=make_room(8000, 8000, openings=(pane,)))
    said = found(turned_plan(plan, turn), "bag-at-glass")
    assert all(snag.severity == "note" and "the window" in snag.sentence for snag in said)
    return [snag.measured for snag in said]


@pytest.mark.parametrize("turn", [0, 37])
@pytest.mark.parametrize(
    ("angle", "gap", "seen"),
    [
        # 560 across; at 90 the boxer stands between it and the left wall, at 270 behind it
        (90, 1499, True),
        (90, 1499.6, False),
        (90, 1500, False),
        (270, 599, True),
        (270, 600, False),
    ],
)
def test_glass_where_one_boxes_or_the_bag_leans(
    angle: float, gap: float, seen: bool, turn: float
) -> None:
    assert told(280 + gap, angle, turn=turn) == ([pytest.approx(gap, abs=1)] if seen else [])


def test_glass_above_the_shoulders_or_a_door_without_any_is_none() -> None:
    assert len(told(800, 90, sill=1499)) == 1
    assert told(800, 90, sill=1500) == []
    assert told(800, 90, sill=0, kind="hinged") == []
