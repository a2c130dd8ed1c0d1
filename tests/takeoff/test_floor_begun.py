"""What is kept of a floor that is being laid, by hand: stock pieces of 1000 x 800."""

from __future__ import annotations

from typing import Any

import pytest

from app.model.flooring import Begun, FloorLaying, LaidPiece
from app.scene.build import build_scene
from app.takeoff.cutting_2d import CutRect
from app.takeoff.floor_begun import begun_with, factory_edges, in_hand, opened_size, row_place
from app.takeoff.floor_layout import lay_floor
from app.takeoff.floor_region import Start
from app.takeoff.guillotine import NO_EDGE, Edge
from tests.builders import make_plan, make_room

SIZE = (1000.0, 800.0)
SQUARE = ((0.0, 0.0), (100.0, 0.0), (0.0, 100.0))


def begun(**fields: Any) -> Begun:
    given: dict[str, Any] = {
        "points": ((0, 0), (0, 10_000)), "wall": "back", "long_mm": 4000, "from_right": False,
        "along": True, "joints": "straight", "stagger": 0, "rows_at": 0, "phases": (0,),
        "first_row": 1,
    }  # fmt: skip
    return Begun.model_validate({**given, **fields})


def lain(number: int, sheet: int, blank: Any, *left: Any, down: bool = True) -> LaidPiece:
    return LaidPiece(
        id=str(number), outline=SQUARE, sheet=sheet, rect=(0, 0, 100, 100), down=down,
        blank=blank, left=left,
    )  # fmt: skip


def roll(**fields: Any) -> FloorLaying:
    return FloorLaying.model_validate(
        {"id": "f", "kind": "roll", "by_metre": True, "begun": begun(), **fields}
    )


def test_where_a_cut_lies() -> None:
    assert CutRect(1, 10, 20, 300, 400, 0).bounds == (10, 20, 310, 420)


@pytest.mark.parametrize(
    ("ends", "place"),
    # rows of 600 from 100 on; half a millimetre past a joint is still that joint
    [(700, 1), (1300, 2), (1000, 2), (100, 0), (50, 0), (-500, -1), (700.5, 1), (702, 2)],
)
def test_a_row_is_told_by_where_it_ends(ends: float, place: int) -> None:
    assert row_place(ends, 100, 600) == place


@pytest.mark.parametrize(
    ("box", "edges"),
    [
        ((0, 0, 1000, 800), Edge.LEFT | Edge.TOP | Edge.RIGHT | Edge.BOTTOM),
        ((0, 100, 900, 700), Edge.LEFT),
        ((100, 0, 900, 700), Edge.TOP),
        ((100, 100, 1000, 700), Edge.RIGHT),
        ((100, 100, 900, 800), Edge.BOTTOM),
        ((100, 100, 900, 700), NO_EDGE),
        # half a millimetre is cut off
        ((0.5, 0.4, 999.5, 799.6), Edge.TOP | Edge.BOTTOM),
    ],
)
def test_which_edges_are_as_they_came(box: Any, edges: Edge) -> None:
    assert factory_edges(box, SIZE) == edges


def test_a_length_off_the_roll_reaches_to_the_step_of_the_shop() -> None:
    rects = [(0.0, 0.0, 2214.0, 800.0), (0.0, 0.0, 500.0, 700.0)]
    assert opened_size(roll(), rects, (10_000, 800)) == (2300, 800)
    across = roll(begun=begun(along=False))
    assert opened_size(across, [(0, 0, 800, 2214)], (800, 10_000)) == (800, 2300)
    # a millimetre over a step is that step
    assert opened_size(roll(), [(0, 0, 2301, 800)], (10_000, 800)) == (2300, 800)
    assert opened_size(roll(), [(0, 0, 2302, 800)], (10_000, 800)) == (2400, 800)
    # of what comes by the piece, and before it is begun, the size is as it is sold
    assert opened_size(roll(begun=None), rects, (10_000, 800)) == (10_000, 800)
    assert opened_size(roll(by_metre=False), rects, (10_000, 800)) == (10_000, 800)


def test_what_is_left_of_each_stock_piece() -> None:
    laying = FloorLaying(
        id="f",
        laid=(
            lain(1, 1, (0, 0, 1000, 800), (400, 0, 1000, 800)),
            lain(2, 1, (400, 0, 1000, 800), (400, 500, 1000, 800), (900, 0, 1000, 500)),
            lain(3, 2, (0, 0, 1000, 800)),
            lain(4, 3, (0, 0, 1000, 800), (0, 600, 1000, 800), down=False),
        ),
        spoiled=(lain(5, 4, (0, 0, 1000, 800), (300, 0, 1000, 800)),),
    )
    hand = in_hand(laying, dict.fromkeys(range(1, 5), SIZE))
    # nothing of the second, for it was laid whole; the third has not been opened
    assert [(one.sheet, one.box, one.factory) for one in hand] == [
        (1, (400, 500, 1000, 800), Edge.RIGHT | Edge.BOTTOM),
        (1, (900, 0, 1000, 500), Edge.TOP | Edge.RIGHT),
        (4, (300, 0, 1000, 800), Edge.TOP | Edge.RIGHT | Edge.BOTTOM),
    ]


def test_what_two_took_from_one_offcut_is_nobodys() -> None:
    laying = FloorLaying(
        id="f",
        laid=(
            lain(1, 1, (0, 0, 1000, 800), (400, 0, 1000, 800)),
            lain(2, 1, (0, 0, 1000, 800), (500, 0, 1000, 800)),
            lain(3, 2, (0, 0, 1000, 800), (600, 0, 1000, 800)),
        ),
    )
    hand = in_hand(laying, {1: SIZE, 2: SIZE})
    assert [(one.sheet, one.box) for one in hand] == [(2, (600, 0, 1000, 800))]


def test_where_the_joints_run_is_kept() -> None:
    # 3016 x 2016 with 8 all round, mats of 1000 x 600 from the left end of the back wall
    scene = build_scene(make_plan(room=make_room(3016, 2016)))
    laying = FloorLaying(id="f", length_mm=1000, width_mm=600)
    start = Start("back", False, True, "staggered", 8.0, (8.0, 508.0, 8.0, 508.0))
    kept = begun_with(scene, lay_floor(scene, laying, start))
    assert (kept.points[0], kept.points[1]) == ((0, 0), (0, 10_000))
    assert (kept.wall, kept.long_mm, kept.from_right, kept.along) == ("back", 3016, False, True)
    assert (kept.rows_at, kept.phases, kept.first_row) == (8.0, (8.0, 508.0, 8.0, 508.0), 1)
    assert (kept.joints, kept.stagger) == ("staggered", 0.5)


def test_a_first_row_of_a_kilometre_is_kept_as_a_place_in_the_room() -> None:
    scene = build_scene(make_plan(room=make_room(3016, 2016)))
    laying = FloorLaying(id="f", length_mm=1000, width_mm=600)
    start = Start("back", False, True, "straight", 1_000_108.0, (-1_000_092.0,) * 5)
    kept = begun_with(scene, lay_floor(scene, laying, start))
    # 1,000,108 less 1,666 rows of 600, and -1,000,092 and 1,001 mats of 1000
    assert kept.rows_at == pytest.approx(508)
    assert kept.phases == pytest.approx((908,) * 5)


@pytest.mark.parametrize(
    ("wall", "corner", "inward"),
    # with one's face to a wall its left end is where the frame begins
    [
        ("back", (0, 0), (0, 1)),
        ("right", (3016, 0), (-1, 0)),
        ("front", (3016, 2016), (0, -1)),
        ("left", (0, 2016), (1, 0)),
    ],
)
def test_a_frame_is_kept_by_its_corner_and_a_point_straight_off_its_wall(
    wall: str, corner: tuple[float, float], inward: tuple[float, float]
) -> None:
    scene = build_scene(make_plan(room=make_room(3016, 2016)))
    laying = FloorLaying(id="f", length_mm=1000, width_mm=600)
    kept = begun_with(scene, lay_floor(scene, laying, Start(wall, False, True, "straight")))
    (x, y), far = kept.points
    assert (x, y) == pytest.approx(corner)
    assert far == pytest.approx((x + 10_000 * inward[0], y + 10_000 * inward[1]))
    assert kept.long_mm == (3016 if inward[0] == 0 else 2016)


def test_balanced_joints_are_kept_by_their_equal_cuts() -> None:
    # 3300 and 2000 inside the gap: 300 over three of 1000 are two cuts of 650, 200 over three of
    # 600 two of 400; joints at 8 + 650 and 8 + 400
    scene = build_scene(make_plan(room=make_room(3316, 2016)))
    laying = FloorLaying(id="f", length_mm=1000, width_mm=600, joints="balanced")
    start = Start("back", False, True, "balanced")
    kept = begun_with(scene, lay_floor(scene, laying, start))
    assert kept.rows_at == pytest.approx(408)
    assert kept.phases == pytest.approx((658,) * 4)
    assert kept.first_row == 0
    # less than one piece each way: it is begun at its corner
    small = build_scene(make_plan(room=make_room(816, 516)))
    kept = begun_with(small, lay_floor(small, laying, start))
    assert (kept.rows_at, *kept.phases) == pytest.approx((8, 8))
