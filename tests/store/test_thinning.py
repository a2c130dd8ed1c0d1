"""Of what is long past one revision a day remains, every milestone, and the plan as it was."""

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.changes.commands import moves
from app.changes.difference import difference
from app.errors import ConflictError, NotFoundError
from app.model.base import json_of
from app.model.kit import Pose
from app.model.plan import Plan
from app.store.entries import State
from app.store.pictures import drop_unshown
from app.store.plans import Store
from app.store.thinning import WHOLE_COUNT, thin
from tests.changes.test_commands import PLAN

NOW = datetime(2026, 6, 30, 12, tzinfo=UTC)
Old = tuple[Store, str, dict[int, Plan]]
A_DAY = 10
DAYS = 60
COUNT = A_DAY * DAYS
SEEN_ONE_IN = 7
"""No divisor of ten and none of two hundred: folded and whole revisions are seen alike."""


@pytest.fixture(scope="module")
def of_sixty_days(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, dict[int, Plan]]:
    """A folder with a plan that was changed ten times a day; each test takes a copy of it."""
    folder = tmp_path_factory.mktemp("old")
    store = Store(folder)
    plan_id, seen = lived(store)
    store.close()
    return folder, plan_id, seen


@pytest.fixture
def old(of_sixty_days: tuple[Path, str, dict[int, Plan]], tmp_path: Path) -> Iterator[Old]:
    folder, plan_id, seen = of_sixty_days
    shutil.copytree(folder, tmp_path / "copy")
    store = Store(tmp_path / "copy")
    yield store, plan_id, seen
    store.close()


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store(tmp_path)
    yield store
    store.close()


def put(store: Store, state: State, x_mm: float, author: str = "owner") -> State:
    move = moves(state.plan, {"rack-1": Pose(x_mm=x_mm, y_mm=900)})
    return store.do(state.plan_id, move, author, known=state)


def lived(store: Store, count: int = COUNT, a_day: int = A_DAY) -> tuple[str, dict[int, Plan]]:
    """A plan changed `a_day` times a day, the last of them on NOW's day."""
    state = store.create(PLAN)
    seen = {0: PLAN}
    for number in range(1, count + 1):
        state = put(store, state, 1000 + number, "ada" if number % 2 else "bo")
        seen[number] = state.plan
    dated(store, state.plan_id, count, a_day)
    return state.plan_id, seen


def dated(store: Store, plan_id: str, count: int, a_day: int) -> None:
    with store.database.writing() as db:
        for number in range(count + 1):
            day = NOW - timedelta(days=(count - number) // a_day)
            at = day.isoformat(timespec="milliseconds")
            db.execute(
                "UPDATE revisions SET at = ? WHERE plan_id = ? AND number = ?",
                (at, plan_id, number),
            )


def numbers(store: Store, plan_id: str) -> list[int]:
    return sorted(r.number for r in store.log.page(plan_id, None, 10_000))


def test_one_a_day_remains_and_the_last_thirty_days_whole(old: Old) -> None:
    store, plan_id, seen = old
    assert thin(store.database, NOW) > 0
    kept = numbers(store, plan_id)
    # 600 is of today; 10 a day: 300 is the last one of 30 days ago, 290 the last of 31 days ago.
    whole = list(range(290, COUNT + 1))
    assert kept == [0, *range(10, 290, 10), *whole]
    for number in kept[::SEEN_ONE_IN]:
        assert store.log.revision(plan_id, number)[1] == seen[number]


def test_what_was_folded_is_counted_and_told(old: Old) -> None:
    store, plan_id, _ = old
    thin(store.database, NOW)
    page = store.log.page(plan_id, None, 10_000)
    assert sum(r.folded for r in page) == COUNT + 1
    folded = store.log.revision(plan_id, 20)[0]
    assert (folded.folded, folded.author, folded.kind) == (10, "ada, bo", "do")
    assert folded.command is not None
    assert [c.path for c in folded.command.changes] == [("pieces", "rack-1", "pose")]


def test_milestones_are_never_thinned(old: Old) -> None:
    store, plan_id, seen = old
    store.log.name_milestone(plan_id, 33, "To remember")
    thin(store.database, NOW)
    kept = numbers(store, plan_id)
    assert [n for n in kept if 30 <= n <= 40] == [30, 33, 40]
    assert store.log.revision(plan_id, 33)[1] == seen[33]
    assert [(m.number, m.name) for m in store.log.milestones(plan_id)] == [(33, "To remember")]
    with pytest.raises(NotFoundError, match="thinned"):
        store.log.revision(plan_id, 34)


def test_the_last_two_hundred_stay_however_old(store: Store) -> None:
    plan_id, _ = lived(store, 260, a_day=1000)
    thin(store.database, NOW + timedelta(days=3650))
    assert numbers(store, plan_id) == [0, *range(260 - WHOLE_COUNT, 261)]


def test_thinning_twice_is_thinning_once(old: Old) -> None:
    store, plan_id, seen = old
    thin(store.database, NOW)
    once = numbers(store, plan_id)
    assert thin(store.database, NOW) == 0
    assert numbers(store, plan_id) == once
    thin(store.database, NOW + timedelta(days=5))
    later = numbers(store, plan_id)
    assert later == [0, *range(10, 340, 10), *range(340, COUNT + 1)]
    assert all(store.log.revision(plan_id, n)[1] == seen[n] for n in later[::SEEN_ONE_IN])


def test_undo_reaches_back_as_far_as_the_log_is_whole(old: Old) -> None:
    store, plan_id, seen = old
    thin(store.database, NOW)
    for number in range(COUNT - 1, 289, -1):
        assert store.undo(plan_id).plan == seen[number]
    with pytest.raises(ConflictError, match="nothing to undo"):
        store.undo(plan_id)
    assert store.redo(plan_id).plan == seen[291]


def test_what_was_undone_long_ago_can_no_longer_be_redone(store: Store) -> None:
    plan_id, _ = lived(store, 250, a_day=1)
    for _ in range(3):
        store.undo(plan_id)
    with store.database.writing() as db:
        db.execute("UPDATE revisions SET at = '2020-01-01T00:00:00.000+00:00'")
        # The undone commands lie before the line, the undos after it.
        db.execute("UPDATE plans SET thinned_to = 0")
    state = store.read(plan_id)
    for x in range(4):
        state = put(store, state, 9000 + x)
    dated(store, plan_id, 257, a_day=1)
    thin(store.database, NOW)
    state = store.read(plan_id)
    assert state.plan.piece("rack-1").pose.x_mm == 9003
    back = state
    while back.can_undo:
        back = store.undo(plan_id, known=back)
    while back.can_redo:
        back = store.redo(plan_id, known=back)
    assert store.read(plan_id).plan == back.plan == state.plan


def test_what_came_to_nothing_keeps_its_place(store: Store) -> None:
    state = store.create(PLAN)
    plan_id = state.plan_id
    for number in range(1, 301):
        state = put(store, state, 1001 if number % 2 else 1000)
    dated(store, plan_id, 300, a_day=1000)
    with store.database.writing() as db:
        db.execute("UPDATE revisions SET at = '2026-01-01T00:00:00.000+00:00' WHERE number <= 50")
        db.execute("UPDATE revisions SET at = '2026-01-02T00:00:00.000+00:00' WHERE number > 50")
    thin(store.database, NOW)
    found, plan = store.log.revision(plan_id, 50)
    assert (found.command, found.folded, plan) == (None, 50, PLAN)
    assert store.read(plan_id).plan == PLAN


def test_a_young_plan_is_left_alone(store: Store) -> None:
    plan_id, _ = lived(store, 30, a_day=1)
    assert thin(store.database, NOW) == 0
    assert numbers(store, plan_id) == list(range(31))


def photographed(store: Store, state: State, *photos: str) -> State:
    notes = [{"id": "ask", "photos": list(photos)}]
    data = json_of(state.plan)
    then = Plan.model_validate({**data, "works": {**data["works"], "tasks": notes}})
    command = difference(state.plan, then, "edit")
    assert command is not None
    return store.do(state.plan_id, command, known=state)


def test_a_photo_goes_when_no_revision_shows_it_any_more(store: Store) -> None:
    past, shown, young = "a" * 32, "b" * 32, "c" * 32
    for one in (past, shown, young):
        store.pictures.keep(one, one.encode())
    state = photographed(store, store.create(PLAN), past, shown)
    state = photographed(store, state, shown)
    month = datetime.now(UTC) + timedelta(days=31)
    with store.database.writing() as db:
        db.execute("UPDATE pictures SET kept_at = ? WHERE id = ?", (month.isoformat(), young))
    # undo still has it
    assert drop_unshown(store.database, month) == 0
    for number in range(WHOLE_COUNT + 5):
        state = put(store, state, 2000 + number)
    store.delete(state.plan_id)
    thin(store.database, month)
    assert drop_unshown(store.database, month) == 1
    assert not store.pictures.holds(past)
    # what a deleted plan shows, and what was kept a moment ago, stays
    assert store.pictures.read(shown) == shown.encode()
    assert store.pictures.holds(young)
    assert drop_unshown(store.database, month) == 0
