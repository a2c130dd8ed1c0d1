"""What is remembered of scenes, shapes and rooms is bounded by bytes, by measures that grow."""

from functools import partial

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.checks.open_floor import open_floor
from app.library.kit import kit_types
from app.model.plan import Plan
from app.model.room import Joists
from app.recent import Recent
from app.scene.build import build_scene
from app.scene.memory import MEMO_BYTES, MEMO_BYTES_A_PIECE, memo_bytes, new_memo, new_table
from app.scene.room import ROOMS, ROOMS_BYTES, room_bytes, room_shape
from app.scene.shapes import SHAPES, SHAPES_BYTES, shape_bytes, shape_of
from app.scene.weight import BYTES_A_GEOMETRY, weight
from tests.builders import column, low_thing, make_plan, make_room, place, rectangle

ROOMS_TRIED = 80


def boxes(count: int, at: float = 1000) -> Plan:
    return make_plan(
        *(place("jump-box", at + i % 20, 1000 + i // 20, piece_id=f"b{i}") for i in range(count))
    )


def test_80_rooms_hold_so_many_bytes_and_no_more() -> None:
    for number in range(ROOMS_TRIED):
        plan = make_plan(room=make_room(4000 + number, 5000))
        open_floor(build_scene(plan), "squat")
        assert ROOMS.held_bytes <= ROOMS_BYTES
    assert room_bytes(room_shape(make_room(4000, 5000))) >= 4000
    assert ROOMS.held_bytes >= 4000


def test_shapes_at_many_angles_hold_so_many_bytes_and_no_more() -> None:
    for angle in range(360):
        build_scene(make_plan(place("mid-rack", 2000, 2000, angle)))
    assert 0 < SHAPES.held_bytes <= SHAPES_BYTES


def test_the_answers_on_one_plan_hold_so_many_bytes_and_no_more() -> None:
    scene = build_scene(make_plan())
    disc = shapely.Point(0, 0).buffer(1)
    made: list[int] = []

    def many(number: int) -> tuple[object, ...]:
        made.append(number)
        return (disc,) * 1000

    each = weight(many(0))
    assert each > 1000 * BYTES_A_GEOMETRY
    for number in range(2 * MEMO_BYTES // each):
        scene.memo(("many", number), partial(many, number))
    made.clear()
    for number in (2 * MEMO_BYTES // each - 1, 0):
        scene.memo(("many", number), partial(many, number))
    # the newest was held, the oldest had gone
    assert made == [0]


@given(texts=st.lists(st.text("aé€", max_size=30), max_size=20))
def test_more_weighs_more(texts: list[str]) -> None:
    assert weight((*texts, "x")) > weight(tuple(texts)) >= sum(map(len, texts))
    assert weight(dict(enumerate(texts))) >= sum(map(len, texts))
    assert weight(Recent[int, str](1)) == 0


def test_what_a_large_plan_asks_again_and_again_is_held() -> None:
    hall = build_scene(boxes(2000))
    made: list[str] = []
    # as many as a hall once judged has: one of all its pieces, a few of each
    answers = [("all", tuple(hall.placed))] + [
        (f"{piece_id}-{number}", (1.0,) * 20) for piece_id in hall.placed for number in range(3)
    ]
    assert sum(weight(answer) for _, answer in answers) > MEMO_BYTES
    for _ in range(2):
        for name, answer in answers:

            def make(name: str = name, answer: tuple[object, ...] = answer) -> tuple[object, ...]:
                made.append(name)
                return answer

            hall.memo((name,), make)
    assert made == [name for name, _ in answers]


@given(pieces=st.integers(0, 3000))
def test_all_that_is_answered_on_a_plan_together_is_within_its_share(pieces: int) -> None:
    own = new_memo(pieces)
    table: Recent[tuple[object, ...], tuple[float, ...]] = new_table(pieces, 500)
    table.put_all([(number,) for number in range(20_000)], [(1.0,)] * 20_000)
    assert memo_bytes(pieces) == max(MEMO_BYTES, pieces * MEMO_BYTES_A_PIECE)
    for number in range(60):
        # each alone is a tenth of it
        own.put((number,), (b"x" * (memo_bytes(pieces) // 10),))
    assert len(own) <= 5
    assert own.held_bytes + 2 * table.held_bytes <= memo_bytes(pieces)


def test_a_room_weighs_more_with_all_that_is_in_it() -> None:
    bare = room_bytes(room_shape(make_room(4000, 5000)))
    beam = low_thing(rectangle(0, 0, 4000, 100), 2200)
    nib = column(rectangle(0, 0, 200, 200))
    joists = Joists(direction_deg=0, spacing_mm=500, width_mm=50, depth_mm=100, first_mm=250)
    for fields in ({"low_things": [beam]}, {"columns": [nib]}, {"joists": joists}):
        assert room_bytes(room_shape(make_room(4000, 5000, **fields))) > bare > 0


def test_a_shape_weighs_by_its_polygons() -> None:
    """Measured over 40 kinds of kit a polygon holds 540 bytes; twice, for each has its core."""
    for key in ("flat-bench", "mid-rack", "hung-bag"):
        shape = shape_of(place(key), 7, kit_types()[key])
        polygons = 2 * len(shape.polygons) + 2 * len(shape.spaces) + 1
        assert 540 * polygons <= shape_bytes(shape) <= 2 * 540 * polygons


def test_bits_of_an_answer_weigh() -> None:
    assert weight(shapely.Point(0, 0)) == BYTES_A_GEOMETRY
    assert weight(shapely.box(0, 0, 1, 1)) * 3 <= weight((shapely.box(0, 0, 1, 1),) * 3)
    assert weight([1.0] * 100) > weight([1.0] * 10) > 0
    assert weight({"a": "x" * 1000}) > 1000
    assert 0 < weight(None) < weight("x" * 100) < weight(object())
    numbers = shapely.get_coordinates(shapely.box(0, 0, 1, 1))
    assert weight(numbers) == numbers.nbytes

    shapes = np.array([shapely.box(0, 0, 1, 1)] * 5, dtype=object)
    assert weight(shapes) == shapes.nbytes + 5 * BYTES_A_GEOMETRY


def test_a_table_outlives_all_answers_that_come_after_it() -> None:
    memo = new_memo(1)
    table: Recent[tuple[object, ...], tuple[float, ...]] = new_table(1, 500)
    assert memo.table(("table",), lambda: table) is table
    for number in range(2 * MEMO_BYTES // 10_000):
        memo.put((number,), b"x" * 10_000)
    assert memo.get((0,)) is None
    assert memo.table(("table",), lambda: new_table(1, 500)) is table
