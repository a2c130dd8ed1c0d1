"""What is remembered is bounded by bytes: after many drops and many rooms, with large plans too."""

from functools import partial
from pathlib import Path

import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.checks.open_floor import open_floor
from app.library.own import KITS, KITS_BYTES, kits_of
from app.model.own_kit import OwnKit
from app.model.plan import Plan
from app.recent import Recent
from app.scene.build import build_scene
from app.scene.memory import MEMO_BYTES, MEMO_BYTES_A_PIECE, memo_bytes, new_memo, new_table
from app.scene.room import ROOMS, ROOMS_BYTES, room_bytes, room_shape
from app.scene.shapes import SHAPES, SHAPES_BYTES
from app.scene.weight import BYTES_A_GEOMETRY, weight
from app.store.entries import State
from app.usecases.accounts import ACCOUNTS_BYTES, account_of
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
from app.usecases.plans import Elbowroom
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


def test_own_kit_is_held_by_its_bytes() -> None:
    for number in range(40):
        rows = tuple(
            OwnKit(
                id=f"own-{number}-{i}",
                name="Box",
                group="Conditioning",
                width_mm=500,
                depth_mm=500,
                height_mm=500,
                mass_kg=20,
            )
            for i in range(50)
        )
        plan = Plan.model_validate({**make_plan().model_dump(mode="json"), "own_kit": rows})
        assert len(kits_of(plan)) > len(rows)
        assert KITS.held_bytes <= KITS_BYTES
    assert KITS.held_bytes > KITS_BYTES / 4


def test_accounts_and_starter_sets_are_held_by_their_bytes(tmp_path: Path) -> None:
    house = Elbowroom(tmp_path)
    hall = house.create(boxes(600)).plan_id
    other = house.create(boxes(600, 3000)).plan_id
    for plan_id in (hall, other):
        account_of(house, plan_id)
    accounts = house.memory("accounts", 1, 1, len)
    assert 0 < accounts.held_bytes <= ACCOUNTS_BYTES
    # by their count alone both would be there
    assert (accounts.get(hall) is None, accounts.get(other) is None) == (True, False)
    house.close()
