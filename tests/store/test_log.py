"""Looking back: pages of the log, the plan at any revision, milestones."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.changes.commands import apply, moves
from app.changes.difference import difference
from app.errors import NotFoundError, PlanError
from app.model.kit import Pose
from app.model.plan import Plan
from app.store.log import MILESTONE_LIMIT
from app.store.plans import Store
from tests.changes.test_commands import PLAN, commands


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store(tmp_path)
    yield store
    store.close()


def push(store: Store, plan_id: str, x_mm: float, author: str = "owner") -> Plan:
    """Move the rack along x and give the plan."""
    state = store.read(plan_id)
    pose = Pose(x_mm=x_mm, y_mm=900)
    return store.do(plan_id, moves(state.plan, {"rack-1": pose}), author, known=state).plan


def test_the_log_comes_in_pages_the_newest_first(store: Store) -> None:
    plan_id = store.create(PLAN).plan_id
    for x in range(7):
        push(store, plan_id, 2000 + x, f"guest {x}")
    page = store.log.page(plan_id, None, 3)
    assert [(r.number, r.author, r.kind) for r in page] == [
        (7, "guest 6", "do"),
        (6, "guest 5", "do"),
        (5, "guest 4", "do"),
    ]
    assert [r.number for r in store.log.page(plan_id, 5, 3)] == [4, 3, 2]
    assert [r.number for r in store.log.page(plan_id, 2, 3)] == [1, 0]
    assert store.log.page(plan_id, 0, 3) == ()
    assert store.log.page(plan_id, 1, 3)[0].command is None


@settings(max_examples=15)
@given(st.data())
def test_every_revision_can_be_seen_as_it_was(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    store = Store(tmp_path_factory.mktemp("plans"))
    state = store.create(PLAN)
    seen = {0: PLAN}
    for _ in range(data.draw(st.integers(1, 8))):
        state = store.do(state.plan_id, data.draw(commands(state.plan)), known=state)
        seen[state.revision] = state.plan
    for number, plan in seen.items():
        assert store.log.revision(state.plan_id, number)[1] == plan
    store.close()


@given(st.data())
def test_the_difference_leads_exactly_from_one_plan_to_another(data: st.DataObject) -> None:
    before = apply(PLAN, data.draw(commands(PLAN)))
    after = apply(before, data.draw(commands(before)))
    command = difference(PLAN, after, "edit")
    assert (PLAN if command is None else apply(PLAN, command)) == after


def test_the_difference_knows_every_field_of_a_plan() -> None:
    # A field that is not compared would be lost by going back to a revision.
    data = PLAN.model_dump(mode="json")
    changed = {
        "name": "Other",
        "drawn_for": "Ada",
        "drawn": "as-turned",
        "quarter_turns": 3,
        "units": "feet",
        "currency": "GBP",
        "people": [],
        "pieces": [],
        "settled": [{"id": "a", "reason": "b", "on": "2024-03-14"}],
        "way_in": [{"id": "gate", "kind": "door", "width_mm": 800}],
        "situations": [{"id": "car-in"}],
        "overrides": [{"id": "a.b", "value": 1, "reason": "c"}],
        "fit_out": {"floors": [{"id": "mats"}]},
        "money": {"tax_percent": 19},
        "own_kit": [
            {
                "id": "own-1",
                "name": "Sled",
                "group": "Machines",
                "width_mm": 700,
                "depth_mm": 1000,
                "height_mm": 900,
                "mass_kg": 40,
            }
        ],
        "chalk": [{"id": "line-1", "way": "x", "at_mm": 1000}],
        "layout_wishes": [{"id": "a", "piece": "rack", "relation": "faces"}],
        "phasing": {**data["phasing"], "months": 12},
        "works": {**data["works"], "first_time": False},
        "picture": {"id": "0" * 32, "width_px": 10, "height_px": 10, "mm_per_px": 5},
    }
    room = {**data["room"], "tape_error_mm": 5}
    other = Plan.model_validate({**data, **changed, "room": room})
    assert {*changed, "room"} == Plan.model_fields.keys() - {"format", "version"}
    command = difference(PLAN, other, "edit")
    assert command is not None
    assert apply(PLAN, command) == other


def test_a_milestone_names_a_revision(store: Store) -> None:
    plan_id = store.create(PLAN).plan_id
    push(store, plan_id, 2000)
    store.log.name_milestone(plan_id, 1, "  Before \n the party ")
    store.log.name_milestone(plan_id, 0, "First")
    assert [(m.number, m.name) for m in store.log.milestones(plan_id)] == [
        (1, "Before the party"),
        (0, "First"),
    ]
    store.log.name_milestone(plan_id, 1, "After")
    assert store.log.revision(plan_id, 1)[0].milestone == "After"
    store.log.drop_milestone(plan_id, 1)
    assert [m.name for m in store.log.milestones(plan_id)] == ["First"]
    assert store.log.revision(plan_id, 1)[0].milestone is None
    assert store.read(plan_id).revision == 1


@pytest.mark.parametrize("name", ["", "   ", "x" * 201, "\ud800"])
def test_a_milestone_needs_a_name(store: Store, name: str) -> None:
    plan_id = store.create(PLAN).plan_id
    with pytest.raises(PlanError, match="name"):
        store.log.name_milestone(plan_id, 0, name)
    assert store.log.milestones(plan_id) == ()


@pytest.mark.parametrize("number", [-1, 1, 10**30])
def test_what_is_not_there_is_not_found(store: Store, number: int) -> None:
    plan_id = store.create(PLAN).plan_id
    with pytest.raises(NotFoundError, match="no such revision"):
        store.log.revision(plan_id, number)
    with pytest.raises(NotFoundError, match="no such revision"):
        store.log.name_milestone(plan_id, number, "x")
    with pytest.raises(NotFoundError):
        store.log.page("nowhere", None, 5)


def test_there_are_not_too_many_milestones(store: Store) -> None:
    plan_id = store.create(PLAN).plan_id
    at = "2026-01-01T00:00:00+00:00"
    with store.database.writing() as db:
        db.executemany(
            "INSERT INTO revisions (plan_id, number, kind, author, at) VALUES (?, ?, 'do', '', ?)",
            [(plan_id, n, at) for n in range(1, MILESTONE_LIMIT + 1)],
        )
        db.executemany(
            "INSERT INTO milestones VALUES (?, ?, 'm', ?)",
            [(plan_id, n, at) for n in range(MILESTONE_LIMIT)],
        )
    with pytest.raises(PlanError, match="at most 500 milestones"):
        store.log.name_milestone(plan_id, MILESTONE_LIMIT, "one too many")
    store.log.name_milestone(plan_id, 0, "named anew")


def test_a_milestone_has_200_letters_at_the_most(store: Store) -> None:
    plan_id = store.create(PLAN).plan_id
    store.log.name_milestone(plan_id, 0, "n" * 200)
    with pytest.raises(PlanError, match="1 to 200 letters, not 201"):
        store.log.name_milestone(plan_id, 0, "n" * 201)
    assert store.log.milestones(plan_id)[0].name == "n" * 200
    assert not store.log.page(plan_id, None, 10)[0].unreadable


def test_the_milestones_of_no_plan_are_not_none_but_not_found(store: Store) -> None:
    store.create(PLAN)
    with pytest.raises(NotFoundError):
        store.log.milestones("a-plan-that-nobody-made")
