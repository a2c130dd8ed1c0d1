"""Whatever is asked of a plan that is not there, or that was deleted, is refused by name."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from app.errors import NotFoundError
from app.store.plans import Store
from tests.changes.test_commands import PLAN

ASKED: dict[str, Callable[[Store, str], object]] = {
    "read": lambda store, plan: store.read(plan),
    "revision": lambda store, plan: store.revision(plan),
    "at": lambda store, plan: store.at(plan, 0),
    "undo": lambda store, plan: store.undo(plan, "owner"),
    "redo": lambda store, plan: store.redo(plan, "owner"),
    "delete": lambda store, plan: store.delete(plan),
    "choose": lambda store, plan: store.families.choose(plan),
    "option": lambda store, plan: store.families.add(plan, lambda _: PLAN, "owner"),
    "options": lambda store, plan: store.families.options(plan),
    "vote for one": lambda store, plan: store.families.vote(plan, "A", "voice", "owner"),
    "withdraw": lambda store, plan: store.sharing.withdraw(plan, "link"),
    "renew": lambda store, plan: store.sharing.renew(plan, "link"),
    "vote": lambda store, plan: store.sharing.vote(plan, "voice", "owner", "for"),
    "reply": lambda store, plan: store.sharing.reply(plan, 1, "text", "voice", "owner"),
    "settle": lambda store, plan: store.sharing.settle_remark(plan, 1, True, "owner"),
}


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store(tmp_path)
    yield store
    store.close()


@pytest.mark.parametrize("asked", ASKED)
def test_of_a_plan_that_is_not_there(store: Store, asked: str) -> None:
    store.create(PLAN)
    deleted = store.create(PLAN).plan_id
    store.delete(deleted)
    for plan in ("nobody", deleted):
        with pytest.raises(NotFoundError):
            ASKED[asked](store, plan)
    # nothing has come of it
    assert len(store.entries()) == len(store.entries(deleted=True)) == 1
