"""What is remembered is bounded by bytes: after many drops and many rooms, with large plans too."""

from pathlib import Path

from app.library.own import KITS, KITS_BYTES, kits_of
from app.model.own_kit import OwnKit
from app.model.plan import Plan
from app.scene.build import build_scene
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
from tests.builders import make_plan
from tests.scene.test_bytes_held import boxes

MOST_BYTES = NEWEST_BYTES + PAST_BYTES + STATES_BYTES
DROPS = 300


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
