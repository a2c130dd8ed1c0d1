"""What is remembered is bounded by bytes: after many drops and many rooms, with large plans too."""

from functools import partial

import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.checks.open_floor import open_floor
from app.model.plan import Plan
from app.recent import Recent
from app.scene.build import MEMO_BYTES, build_scene
from app.scene.room import ROOMS, ROOMS_BYTES, room_bytes, room_shape
from app.scene.shapes import SHAPES, SHAPES_BYTES
from app.scene.weight import BYTES_A_GEOMETRY, weight
from app.store.entries import State
from app.usecases.judged import (
    BYTES_A_PIECE,
    NEWEST_BYTES,
    PAST_AT_MOST,
    PAST_BYTES,
    STATES_BYTES,
    Findings,
    InUse,
    Judged,
    findings_bytes,
)
from tests.builders import make_plan, make_room, place

MOST_BYTES = NEWEST_BYTES + PAST_BYTES + STATES_BYTES
DROPS = 300
ROOMS_TRIED = 80


def boxes(count: int, at: float = 1000) -> Plan:
    return make_plan(
        *(place("jump-box", at + i % 20, 1000 + i // 20, piece_id=f"b{i}") for i in range(count))
    )


def drop(used: InUse, plan_id: str, number: int, findings: Findings) -> None:
    state = State(plan_id, findings.scene.plan, number, None, None)
    used.arrived(state)
    used.keep(Judged(state, findings, {}))


def test_300_drops_in_several_large_plans_hold_so_many_bytes_and_no_more() -> None:
    used = InUse()
    scene = build_scene(boxes(500))
    one = findings_bytes(Findings(scene, ()))
    assert one >= 500 * BYTES_A_PIECE
    # by their count alone, 24 newest and 40 earlier ones, they would be far over it
    assert 40 * one > 3 * MOST_BYTES
    for number in range(DROPS):
        drop(used, f"plan-{number % 8}", number, Findings(scene, ()))
        assert used.held_bytes <= MOST_BYTES
    # the last is there, and its neighbours in time as far as they go
    last = used.newest(f"plan-{(DROPS - 1) % 8}")
    assert last is not None
    assert last.state.revision == DROPS - 1
    assert used.held_bytes > one


def test_plans_of_a_household_are_held_as_many_as_before() -> None:
    used = InUse()
    scene = build_scene(boxes(30))
    for number in range(PAST_AT_MOST):
        drop(used, "garage", number, Findings(scene, ()))
    states = [State("garage", scene.plan, number, None, None) for number in range(PAST_AT_MOST)]
    assert all(used.alike(state) is not None for state in states)


def test_a_plan_larger_than_the_bound_is_held_alone() -> None:
    used = InUse()
    huge = Findings(build_scene(boxes(2800)), ())
    assert findings_bytes(huge) > PAST_BYTES
    for number in range(3):
        drop(used, f"hall-{number}", number, huge)
    assert [used.newest(f"hall-{number}") is not None for number in range(3)] == [
        False,
        False,
        True,
    ]


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


@given(texts=st.lists(st.text(max_size=30), max_size=20))
def test_more_weighs_more(texts: list[str]) -> None:
    assert weight((*texts, "x")) > weight(tuple(texts)) >= sum(map(len, texts))
    assert weight(dict(enumerate(texts))) >= sum(map(len, texts))
    assert weight(Recent[int, str](1)) == 0
