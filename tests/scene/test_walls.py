"""Walls with linings and thickness, their corners mitred; by hand."""

import pytest

from app.errors import PlanError
from app.scene.room import room_shape
from app.scene.walls import moved_faces, wall_shapes
from tests.builders import make_room, rectangle

SQUARE = rectangle(0, 0, 4000, 3000)


def flat(corners: list[tuple[float, float]]) -> list[float]:
    return [value for corner in corners for value in corner]


def test_each_side_moves_by_its_own_distance() -> None:
    # back 100, right 200, front 300, left 400 inwards
    moved = moved_faces(SQUARE, [100, 200, 300, 400])
    assert flat(moved) == pytest.approx([400, 100, 3800, 100, 3800, 2700, 400, 2700])
    # outwards where negative; the same drawn the other way round
    moved = moved_faces(SQUARE, [-100] * 4)
    assert flat(moved) == pytest.approx([-100, -100, 4100, -100, 4100, 3100, -100, 3100])
    back = moved_faces(tuple(reversed(SQUARE)), [50] * 4)
    assert flat(back) == pytest.approx([50, 2950, 3950, 2950, 3950, 50, 50, 50])


def test_a_slanting_corner_is_mitred() -> None:
    # a triangle with legs of 1000: its slanting side moved in by 100 runs x + y = 1000 - 141.42
    moved = moved_faces(((0, 0), (1000, 0), (0, 1000)), [0, 100, 0])
    assert flat(moved) == pytest.approx([0, 0, 858.58, 0, 0, 858.58], abs=0.01)


def test_walls_in_one_line_are_joined_at_the_greater_move() -> None:
    corners = ((0, 0), (2000, 0), (4000, 0), (4000, 3000), (0, 3000))
    moved = moved_faces(corners, [50, 80, 0, 0, 0])
    assert flat(moved)[2:4] == pytest.approx([2000, 80])
    outward = moved_faces(corners, [-50, -80, 0, 0, 0])
    assert flat(outward)[2:4] == pytest.approx([2000, -80])
    # the other way round the room lies on the other side
    other = moved_faces(tuple(reversed(corners)), [0, 0, 80, 50, 0])
    assert [round(y) for _, y in other if _ == 2000] == [80]


def test_a_wall_knows_its_faces() -> None:
    room = make_room(4000, 3000, lining=40)
    thick = room.walls[0].thickness_mm
    back, right, front, left = wall_shapes(room)
    assert (*back.start, *back.end) == pytest.approx((40, 40, 3960, 40))
    assert back.outer_start == pytest.approx((-thick, -thick))
    assert [wall.inward for wall in (back, right, front, left)] == [
        pytest.approx((0, 1)),
        pytest.approx((-1, 0)),
        pytest.approx((0, -1)),
        pytest.approx((1, 0)),
    ]
    assert right.along == pytest.approx((0, 1))
    # the wall from above: 3920 inside and 4000 + 2 thick outside, thick + 40 deep
    deep = thick + 40
    assert back.polygon.area == pytest.approx((3920 + 4000 + 2 * thick) / 2 * deep)


def test_linings_that_leave_no_floor_are_refused() -> None:
    with pytest.raises(PlanError, match="make them thinner"):
        room_shape(make_room(1000, 900, lining=500))
    assert room_shape(make_room(1000, 900, lining=300)).free.area == pytest.approx(400 * 300)


@pytest.mark.parametrize(
    ("point", "off"),
    [
        ((2000, 700), 700),
        ((2000, -50), 50),
        ((0, 0), 0),
        # beyond its ends from the end itself: 3, 4, 5
        ((-300, 400), 500),
        ((5300, -400), 500),
    ],
)
def test_how_far_a_point_is_off_a_wall(point: tuple[float, float], off: float) -> None:
    back, right, *_ = wall_shapes(make_room(5000, 4000))
    assert back.off_mm(point) == pytest.approx(off)
    # the same of a wall that runs across: 5000 off, its ends at 0 and 4000
    across = (5000 - point[1], point[0] * 0.8)
    beyond = max(-across[1], across[1] - 4000, 0)
    assert right.off_mm(across) == pytest.approx(((point[1]) ** 2 + beyond**2) ** 0.5)
