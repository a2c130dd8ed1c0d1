"""Pipes under a boiler that hangs with its underside at 1050; 300 below it, common practice."""

import pytest

from app.checks.boilers import boilers
from app.checks.snag import Snag
from app.model.kit import Piece
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place

BOILER = place("boiler", 2500, 175)


def judged(*pieces: Piece, covering: float = 0) -> list[Snag]:
    return list(boilers(build_scene(make_plan(BOILER, *pieces, room=make_room(covering=covering)))))


def box(height: float, x: float = 2500, y: float = 175, piece_id: str = "box") -> Piece:
    return place("other-thing", x, y, width=400, depth=300, height=height, piece_id=piece_id)


@pytest.mark.parametrize(
    ("height", "free"), [(700, None), (750, None), (752, 298), (900, 150), (1050, 0)]
)
def test_so_much_is_free_under_it(height: float, free: float | None) -> None:
    # 1050 less the height of what stands there; what reaches into it is said as a clash
    assert [snag.measured for snag in judged(box(height))] == ([] if free is None else [free])
    assert judged(box(1100)) == []


def test_the_covering_lifts_what_stands_and_not_what_hangs() -> None:
    assert [snag.measured for snag in judged(box(740), covering=20)] == [290]


def test_the_highest_of_what_stands_there_is_named_whatever_stands_beside() -> None:
    low, high = box(800, 2400, piece_id="low"), box(900, 2600, piece_id="high")
    for order in ((low, high), (high, low)):
        (snag,) = judged(*order, box(1000, 4000, piece_id="aside"))
        assert (snag.pieces, snag.measured) == (("boiler", "high"), 150)
        assert snag.where == pytest.approx((2562, 175), abs=2)


def test_a_boiler_with_nothing_under_it_hides_no_other() -> None:
    other = place("boiler", 1000, 175, piece_id="second")
    assert [s.pieces for s in judged(other, box(900, 1000))] == [("second", "box")]
    assert [s.pieces for s in judged(other, box(900))] == [("boiler", "box")]
