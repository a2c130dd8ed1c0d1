"""Values that a household sets: each row of the register at nothing, below it and at its bounds."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.changes.commands import Change, Command, moves
from app.checks.run import run
from app.errors import PlanError
from app.forms.figure_edits import may_be_set
from app.model.base import LENGTH_LIMIT_MM, json_of
from app.model.kit import Pose
from app.model.plan import Override, Plan
from app.model.versions import load
from app.published.register import MOST_MM, all_rows, can_stand, overridden, published, row
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.usecases.files import read_plan
from app.usecases.plans import Elbowroom
from tests.web.building import door, plan_data, room, text

KEYS = tuple(found.key for found in all_rows() if may_be_set(found.key))
ONE_IN, ONE_IN_JUDGED = 12, 60
BROKE_ONCE = (
    "bag.user-mm",
    "lift.hands-at-most",
    "lift.box.high-cm",
    "lift.box.low-cm",
    "lift.guide-kg",
    "paint.loss.long-roller",
)


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Elbowroom]:
    house = Elbowroom(tmp_path / "plans")
    yield house
    house.close()


def values(key: str) -> tuple[float, ...]:
    return (0.0, -1.0, *row(key).bounds)


def plan_with(*settings: tuple[str, float]) -> Plan:
    own = [{"id": key, "value": value, "reason": "to see"} for key, value in settings]
    fit_out = {"floors": [{"id": "mats"}], "paint": [{"id": "p", "surface": "walls"}]}
    heavy = {"id": "heap", "type": "full-rack", "pose": {"x_mm": 2500, "y_mm": 900}}
    data = plan_data(overrides=own, fit_out=fit_out, room=room(openings=[door(800)]))
    data["pieces"].append(heavy)
    return read_plan(text(data))


def test_no_length_is_set_to_more_than_a_document_holds() -> None:
    lengths = [found.bounds for found in all_rows() if found.unit == "mm"]
    assert lengths
    assert max(max(-low, high) for low, high in lengths) == MOST_MM == LENGTH_LIMIT_MM


def test_a_row_is_used_within_its_bounds_and_passed_over_beyond() -> None:
    for key in (found.key for found in all_rows()):
        low, high = row(key).bounds
        assert low <= published(key) <= high, key
        for value in values(key):
            with overridden({key: value}):
                used = value if low <= value <= high else row(key).value
                assert published(key) == used, key
        # what is more than nothing is never set to nothing: it may be divided by. An hour of the
        # day (0 to 24) and a temperature are no sizes.
        no_size = row(key).unit == "C" or (row(key).unit, low, high) == ("h", 0, 24)
        assert row(key).value <= 0 or low > 0 or no_size, key


def test_each_row_is_judged_at_its_bounds(request: pytest.FixtureRequest) -> None:
    every = KEYS if request.config.getoption("--long") else (*KEYS[::ONE_IN_JUDGED], *BROKE_ONCE)
    for key in every:
        for value in row(key).bounds:
            scene = build_scene(plan_with((key, value)))
            run(scene)
            take_off(scene)


@pytest.mark.parametrize("key", BROKE_ONCE)
@pytest.mark.parametrize("value", [0.0, -1.0])
def test_a_plan_file_that_holds_what_cannot_be_opens_and_says_so(
    house: Elbowroom, key: str, value: float
) -> None:
    state = house.create(load(text(json_of(plan_with((key, value))))))
    verdict = house.verdict(state.plan_id)
    note = next(snag for snag in verdict["snags"] if snag["code"] == "values-unused")
    assert f"{key} ({value:g})" in note["sentence"]
    usual = house.verdict(house.create(plan_with()).plan_id)["snags"]
    assert [s for s in verdict["snags"] if s != note] == [
        {**s, "number": mine["number"]}
        for s, mine in zip(usual, (m for m in verdict["snags"] if m != note), strict=True)
    ]
    # and it goes on
    moved = house.do(state.plan_id, moves(state.plan, {"bench-1": Pose(x_mm=1300, y_mm=2000)}))
    assert moved.plan.overrides == state.plan.overrides
    assert house.copy(state.plan_id).plan.overrides == state.plan.overrides
    assert house.undo(state.plan_id).plan == state.plan


@pytest.mark.parametrize("key", KEYS[::ONE_IN])
def test_no_command_sets_a_row_to_what_it_cannot_be(house: Elbowroom, key: str) -> None:
    state = house.create(plan_with())
    low, high = row(key).bounds
    for value in (0.0, -1.0, low - 1, high * 1.01 + 1):
        own = Override(id=key, value=value, reason="to see")
        change = Change(path=("overrides", key), before=None, after=json_of(own))
        if can_stand(key, value):
            continue
        with pytest.raises(PlanError, match=r"cannot be: .* may be"):
            house.do(state.plan_id, Command(name="edit", changes=(change,)))
    assert house.open(state.plan_id) == state
