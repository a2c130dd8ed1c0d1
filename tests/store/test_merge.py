"""A command made on an older revision: brought to the plan as it is, or refused by name."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.changes.commands import Command, moves
from app.changes.merging import ClashError
from app.errors import ConflictError
from app.model.kit import Pose
from app.store.entries import State
from app.store.merge import beside
from app.store.plans import Store
from tests.builders import make_plan, place


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store(tmp_path)
    yield store
    store.close()


def move(state: State, piece: str, x_mm: float) -> Command:
    return moves(state.plan, {piece: Pose(x_mm=x_mm, y_mm=1000)})


@pytest.fixture
def made(store: Store) -> State:
    return store.create(
        make_plan(place("bike", 1000, 1000, piece_id="a"), place("bike", 3000, 1000, piece_id="b"))
    )


def test_what_touches_nothing_of_the_others_is_carried_over(store: Store, made: State) -> None:
    now = store.do(made.plan_id, move(made, "a", 1500), known=made)
    with store.database.reading() as db:
        command = beside(db, made.plan_id, now.plan, move(made, "b", 3500), made.revision)
    assert command is not None
    after = store.do(made.plan_id, command, known=now).plan
    assert (after.piece("a").pose.x_mm, after.piece("b").pose.x_mm) == (1500, 3500)


def test_what_was_done_already_comes_to_nothing(store: Store, made: State) -> None:
    command = move(made, "a", 1500)
    now = store.do(made.plan_id, command, known=made)
    with store.database.reading() as db:
        assert beside(db, made.plan_id, now.plan, command, made.revision) is None


def test_a_clash_names_who_made_the_other_version(store: Store, made: State) -> None:
    first = store.do(made.plan_id, move(made, "b", 3100), author="before", known=made)
    second = store.do(made.plan_id, move(first, "a", 1500), author="ben", known=first)
    third = store.do(made.plan_id, move(second, "a", 1600), author="anna", known=second)
    with store.database.reading() as db, pytest.raises(ClashError) as clash:
        beside(db, made.plan_id, third.plan, move(first, "a", 2000), first.revision)
    # by name, and none of those who wrote before
    assert clash.value.authors == ("anna", "ben")
    assert clash.value.revision == third.revision


def test_a_revision_that_is_gone_is_a_conflict(store: Store, made: State) -> None:
    with (
        store.database.reading() as db,
        pytest.raises(ConflictError, match="must be read anew"),
    ):
        beside(db, made.plan_id, made.plan, move(made, "a", 1500), made.revision + 7)
