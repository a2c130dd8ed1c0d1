"""Options of one plan in the store: letters, the chosen one, what deleting does."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.changes.commands import moves
from app.errors import CommandError, NotFoundError
from app.model.kit import Pose
from app.model.plan import Plan
from app.store.families import OPTIONS_LIMIT, OptionVote
from app.store.plans import Store
from tests.changes.test_commands import PLAN


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store(tmp_path)
    yield store
    store.close()


def named(name: str) -> Plan:
    return PLAN.model_copy(update={"name": name})


def told(store: Store, plan_id: str) -> list[tuple[str, str, bool]]:
    return [(o.letter, o.name, o.chosen) for o in store.families.options(plan_id)]


def test_a_plan_alone_is_its_only_option(store: Store) -> None:
    plan_id = store.create(named("Garage")).plan_id
    assert told(store, plan_id) == [("A", "Garage", False)]
    assert store.families.all() == {}


def test_options_share_a_family_whichever_they_were_copied_from(store: Store) -> None:
    first = store.create(named("Garage")).plan_id
    second = store.families.add(first, lambda letter: named(f"Option {letter}"), "owner").plan_id
    third = store.families.add(second, lambda letter: named(f"Option {letter}"), "owner").plan_id
    everything = [("A", "Garage", False), ("B", "Option B", False), ("C", "Option C", False)]
    for plan_id in (first, second, third):
        assert told(store, plan_id) == everything
    assert store.read(second).revision == 0
    assert {len(plan_id) for plan_id in (first, second, third)} == {12}
    assert {family for family, _ in store.families.all().values()} == {first}


def test_at_most_one_is_chosen(store: Store) -> None:
    first = store.create(named("Garage")).plan_id
    second = store.families.add(first, named, "owner").plan_id
    other = store.create(named("Loft")).plan_id
    store.families.choose(first)
    store.families.choose(second)
    assert [option.chosen for option in store.families.options(first)] == [False, True]
    assert [option.chosen for option in store.families.options(other)] == [False]


def test_a_deleted_option_goes_and_its_letter_is_not_given_out_again(store: Store) -> None:
    first = store.create(named("Garage")).plan_id
    second = store.families.add(first, named, "owner").plan_id
    store.delete(second)
    assert [letter for letter, _, _ in told(store, first)] == ["A"]
    store.families.add(first, named, "owner")
    assert [letter for letter, _, _ in told(store, first)] == ["A", "C"]
    store.restore(second)
    assert [letter for letter, _, _ in told(store, first)] == ["A", "B", "C"]


def test_the_letters_have_an_end_and_then_nothing_is_kept(store: Store) -> None:
    first = store.create(named("Garage")).plan_id
    for _ in range(OPTIONS_LIMIT - 1):
        store.families.add(first, named, "owner")
    assert told(store, first)[-1][0] == "Z"
    with pytest.raises(CommandError, match="at most 26"):
        store.families.add(first, named, "owner")
    assert len(store.entries()) == 26


def test_what_is_not_there_has_no_options(store: Store) -> None:
    gone = store.create(named("Garage")).plan_id
    store.delete(gone)
    for act in (
        lambda: store.families.options(gone),
        lambda: store.families.choose(gone),
        lambda: store.families.add(gone, named, "owner"),
        lambda: store.families.options("none"),
    ):
        with pytest.raises(NotFoundError):
            act()


def test_a_voice_is_for_one_option_as_it_stood(store: Store) -> None:
    first = store.create(named("Garage"))
    second = store.families.add(first.plan_id, named, "owner")
    moved = moves(second.plan, {"rack-1": Pose(x_mm=2000, y_mm=900)})
    store.do(second.plan_id, moved, known=second)
    assert store.families.votes(first.plan_id) == ()
    store.families.vote(first.plan_id, "A", "voice-1", "Ada")
    store.families.vote(first.plan_id, "B", "voice-2", "Bo")
    ada, bo = OptionVote("voice-1", "Ada", "A", 0), OptionVote("voice-2", "Bo", "B", 1)
    for plan_id in (first.plan_id, second.plan_id):
        assert set(store.families.votes(plan_id)) == {ada, bo}
    # asked from the other option: what that voice said before is replaced
    store.families.vote(second.plan_id, "B", "voice-1", "Ada M.")
    assert set(store.families.votes(first.plan_id)) == {OptionVote("voice-1", "Ada M.", "B", 1), bo}
    # a deleted option has no votes, and a plan deleted is asked for none
    store.delete(second.plan_id)
    assert store.families.votes(first.plan_id) == ()
    with pytest.raises(NotFoundError):
        store.families.votes(second.plan_id)
    with pytest.raises(NotFoundError):
        store.families.vote(second.plan_id, "A", "voice-1", "Ada")


def test_there_is_a_vote_only_where_there_is_a_choice(store: Store) -> None:
    alone = store.create(named("Garage")).plan_id
    with pytest.raises(CommandError, match="no such option"):
        store.families.vote(alone, "A", "voice-1", "Ada")
    store.families.add(alone, named, "owner")
    for letter in ("C", "a", ""):
        with pytest.raises(CommandError, match="no such option"):
            store.families.vote(alone, letter, "voice-1", "Ada")
    assert store.families.votes(alone) == ()


def test_a_letter_that_was_never_given_out_shuts_nobody_out(store: Store) -> None:
    plan_id = store.create(named("Garage")).plan_id
    with store.database.writing() as db:
        db.execute("UPDATE plans SET letter = ?", (2**62 - 1,))
    assert told(store, plan_id) == [("?", "Garage", False)]
