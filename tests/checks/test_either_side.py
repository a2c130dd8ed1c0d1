"""One free side is enough to get on: where none is free one row tells of both."""

from app.checks.run import run
from app.checks.snag import Snag
from app.scene.build import build_scene
from tests.builders import judge, make_plan, make_room, place, turned_plan

# 600 where one gets on: EN ISO 20957-1
SIDES = [(350, 400), (400, 350), (599, 100), (0, 1), (1, 0)]


def rows(left: float, right: float, angle: float = 0.0) -> list[Snag]:
    """Return what is said of a bike, 560 wide, between two chests."""
    plan = make_plan(
        place("bike", 3000, 3000, piece_id="bike"),
        place("other-thing", 3000 - 280 - left - 250, 3000, width=500, depth=500, piece_id="one"),
        place("other-thing", 3000 + 280 + right + 250, 3000, width=500, depth=500, piece_id="two"),
        room=make_room(width=6000, depth=6000),
    )
    return [s for s in run(build_scene(plan)) if s.code.startswith("room-to-get-on")]


def test_both_sides_and_both_figures_stand_in_one_row() -> None:
    for left, right in SIDES:
        (row,) = rows(left, right)
        assert row.sentence == (
            f"On the left {left} mm to the other thing, on the right {right} mm to the other "
            "thing. Allow 600 on one side."
        )
        assert (row.severity, row.measured, row.need) == ("care", max(left, right), 600)
        assert row.pieces == ("bike", "one", "two")
        # the row stays the same row whichever side has more room
        assert row.code == "room-to-get-on-left"


def test_one_free_side_is_enough() -> None:
    assert rows(100, 600) == []
    assert rows(600, 100) == []


def test_a_turned_bike_is_told_the_same() -> None:
    plan = make_plan(
        place("bike", 3000, 3000, piece_id="bike"),
        place("other-thing", 3000 - 880, 3000, width=500, depth=500, piece_id="one"),
        place("other-thing", 3000 + 930, 3000, width=500, depth=500, piece_id="two"),
        room=make_room(width=6000, depth=6000),
    )
    (row,) = (s for s in judge(turned_plan(plan, 37)) if s.code.startswith("room-to-get-on"))
    # 880 - 280 - 250 = 350 and 930 - 280 - 250 = 400
    assert row.sentence.startswith("On the left 350 mm to the other thing, on the right 400 mm")


def test_an_empty_room_has_no_such_row() -> None:
    assert [s for s in judge(make_plan()) if s.code.startswith("room-")] == []
