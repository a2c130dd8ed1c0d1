"""Links, remarks and votes as the file keeps them."""

import sqlite3
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.changes.commands import moves
from app.errors import NotFoundError, PlanError
from app.model.kit import Pose
from app.store.plans import Store
from app.store.sharing import LINKS_LIMIT, REMARKS_LIMIT, digest_of
from tests.builders import make_plan, place


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path)


@pytest.fixture
def plan_id(store: Store) -> str:
    return store.create(make_plan(place("bike", 1000, 1000, piece_id="bike"))).plan_id


def soon(seconds: float = 3600) -> datetime:
    return datetime.now(UTC) + timedelta(seconds=seconds)


def test_a_secret_opens_its_link_and_no_other_does(store: Store, plan_id: str) -> None:
    link, secret = store.sharing.make_link(plan_id, "Anna", "comment", soon())
    assert store.sharing.opened_by(secret) == link
    assert (link.plan_id, link.name, link.rights) == (plan_id, "Anna", "comment")
    for other in ("", secret[:-1], secret + "A", secret.swapcase(), link.id, "\ud800"):
        assert store.sharing.opened_by(other) is None


def test_a_secret_has_192_bits_and_only_its_digest_is_kept(store: Store, plan_id: str) -> None:
    secrets = [store.sharing.make_link(plan_id, f"N{i}", "look", soon())[1] for i in range(20)]
    # base64 holds 6 bits a letter
    assert {len(secret) * 6 for secret in secrets} == {192}
    assert len(set(secrets)) == 20
    store.close()
    raw = b"".join(p.read_bytes() for p in store.database.path.parent.glob("plans.sqlite3*"))
    assert digest_of(secrets[0]) in raw
    assert [s for s in secrets if s.encode() in raw] == []


def test_a_link_ends(store: Store, plan_id: str) -> None:
    link, secret = store.sharing.make_link(plan_id, "Anna", "look", soon(0.2))
    _, other = store.sharing.make_link(plan_id, "Ben", "look", soon())
    assert link.lives(link.ends - timedelta(microseconds=1))
    while datetime.now(UTC) < link.ends:
        time.sleep(0.01)
    assert store.sharing.opened_by(other) is not None
    assert store.sharing.opened_by(secret) is None
    assert not store.sharing.link(link.id).lives()


def test_a_withdrawn_link_opens_nothing(store: Store, plan_id: str) -> None:
    link, secret = store.sharing.make_link(plan_id, "Anna", "edit", soon())
    _, other = store.sharing.make_link(plan_id, "Ben", "edit", soon())
    store.sharing.withdraw(plan_id, link.id)
    assert store.sharing.opened_by(secret) is None
    assert store.sharing.opened_by(other) is not None


def test_a_link_is_withdrawn_by_its_own_plan_only(store: Store, plan_id: str) -> None:
    link, secret = store.sharing.make_link(plan_id, "Anna", "edit", soon())
    another = store.create(make_plan()).plan_id
    with pytest.raises(NotFoundError):
        store.sharing.withdraw(another, link.id)
    assert store.sharing.opened_by(secret) is not None


@pytest.mark.parametrize(
    ("name", "rights", "seconds", "field"),
    [
        ("", "look", 60, "name"),
        ("x" * 61, "look", 60, "name"),
        ("Owner", "look", 60, "name"),
        ("\ud800", "look", 60, "name"),
        ("Anna", "all", 60, "rights"),
        ("Anna", "look", -1, "ends"),
        ("Anna", "look", 400 * 86400, "ends"),
    ],
)
def test_a_link_that_does_not_do_is_refused(
    store: Store, plan_id: str, name: str, rights: str, seconds: float, field: str
) -> None:
    with pytest.raises(PlanError) as caught:
        store.sharing.make_link(plan_id, name, rights, soon(seconds))
    assert [fault.field for fault in caught.value.faults] == [field]
    assert store.sharing.links(plan_id) == ()


def test_remarks_get_letters_in_order_and_keep_them(store: Store, plan_id: str) -> None:
    first = store.sharing.add_remark(plan_id, 100, 200, "could the bike  face it?", "l", "Anna")
    second = store.sharing.add_remark(plan_id, 300, 400, "too loud", "owner", "owner")
    store.sharing.reply(plan_id, first, "yes", "owner", "owner")
    store.sharing.settle_remark(plan_id, second, True, "Anna")
    a, b = store.sharing.remarks(plan_id)
    assert (a.letter, b.letter) == (0, 1)
    assert [(line.author, line.text) for line in a.lines] == [
        ("Anna", "could the bike face it?"),
        ("owner", "yes"),
    ]
    assert (a.settled_by, b.settled_by) == (None, "Anna")
    store.sharing.settle_remark(plan_id, second, False, "Anna")
    assert store.sharing.remarks(plan_id)[1].settled is None


def test_a_remark_is_reached_by_its_own_plan_only(store: Store, plan_id: str) -> None:
    remark = store.sharing.add_remark(plan_id, 0, 0, "here", "l", "Anna")
    another = store.create(make_plan()).plan_id
    with pytest.raises(NotFoundError):
        store.sharing.reply(another, remark, "there", "l", "Anna")
    with pytest.raises(NotFoundError):
        store.sharing.settle_remark(another, remark, True, "Anna")
    with pytest.raises(NotFoundError):
        store.sharing.reply(plan_id, 2**70, "there", "l", "Anna")


def test_a_voice_has_one_vote_on_the_plan_as_it_stands(store: Store, plan_id: str) -> None:
    store.sharing.vote(plan_id, "l", "Anna", "against")
    plan = store.read(plan_id).plan
    store.do(plan_id, moves(plan, {"bike": Pose(x_mm=2000, y_mm=1000)}))
    store.sharing.vote(plan_id, "l", "Anna", "for")
    store.sharing.vote(plan_id, "owner", "owner", "for")
    votes = store.sharing.votes(plan_id)
    assert [(v.author, v.choice, v.revision) for v in votes] == [
        ("Anna", "for", 1),
        ("owner", "for", 1),
    ]
    with pytest.raises(PlanError):
        store.sharing.vote(plan_id, "l", "Anna", "maybe")


def test_a_deleted_plan_is_shut_with_all_that_was_said(store: Store, plan_id: str) -> None:
    store.delete(plan_id)
    for ask in (store.sharing.remarks, store.sharing.votes, store.sharing.links):
        with pytest.raises(NotFoundError):
            ask(plan_id)


def test_a_file_of_before_gets_the_tables(tmp_path: Path) -> None:
    store = Store(tmp_path)
    plan_id = store.create(make_plan()).plan_id
    store.close()
    with sqlite3.connect(tmp_path / "plans.sqlite3") as db:
        for table in ("links", "remark_lines", "remarks", "votes"):
            db.execute(f"DROP TABLE {table}")
        db.execute("DELETE FROM migrations WHERE name = '0004-links-remarks-votes'")
    db.close()
    again = Store(tmp_path)
    assert again.sharing.remarks(plan_id) == ()
    again.close()


def test_a_plan_that_is_none_has_nothing_of_all_this(store: Store) -> None:
    sharing = store.sharing
    for ask in (
        lambda: sharing.make_link("nowhere", "Anna", "look", soon()),
        lambda: sharing.links("nowhere"),
        lambda: sharing.remarks("nowhere"),
        lambda: sharing.add_remark("nowhere", 0, 0, "Here?", "v", "Anna"),
        lambda: sharing.votes("nowhere"),
        lambda: sharing.vote("nowhere", "v", "Anna", "for"),
    ):
        with pytest.raises(NotFoundError):
            ask()


def test_a_deleted_plan_takes_no_remark_and_no_vote(store: Store, plan_id: str) -> None:
    store.delete(plan_id)
    with pytest.raises(NotFoundError):
        store.sharing.add_remark(plan_id, 0, 0, "Here?", "v", "Anna")
    with pytest.raises(NotFoundError):
        store.sharing.vote(plan_id, "v", "Anna", "for")
    store.restore(plan_id)
    assert store.sharing.remarks(plan_id) == ()
    assert store.sharing.votes(plan_id) == ()


@pytest.mark.parametrize(("x", "y"), [(1e9, 0), (0, 1e9), (-1e9, 0), (0, -1e9)])
def test_a_remark_far_outside_is_refused(store: Store, plan_id: str, x: float, y: float) -> None:
    with pytest.raises(PlanError, match="far outside"):
        store.sharing.add_remark(plan_id, x, y, "Here?", "v", "Anna")
    assert store.sharing.remarks(plan_id) == ()


def test_so_many_links_and_remarks_and_no_more(store: Store, plan_id: str) -> None:
    sharing = store.sharing
    for number in range(LINKS_LIMIT):
        link, _ = sharing.make_link(plan_id, f"N{number}", "look", soon())
    with pytest.raises(PlanError, match="at most 100 links"):
        sharing.make_link(plan_id, "one more", "look", soon())
    # one that is withdrawn makes room
    sharing.withdraw(plan_id, link.id)
    sharing.make_link(plan_id, "one more", "look", soon())
    for number in range(REMARKS_LIMIT):
        sharing.add_remark(plan_id, 0, 0, f"R{number}", "v", "Anna")
    with pytest.raises(PlanError, match="at most 500 remarks"):
        sharing.add_remark(plan_id, 0, 0, "one more", "v", "Anna")


def test_a_link_allows_no_more_than_it_says(store: Store, plan_id: str) -> None:
    plain, _ = store.sharing.make_link(plan_id, "Anna", "look", soon())
    assert (plain.ticks, plain.money) == (False, False)
    ticking, _ = store.sharing.make_link(plan_id, "Ben", "look", soon(), ticks=True)
    assert (ticking.ticks, ticking.money) == (True, False)
    paying, _ = store.sharing.make_link(plan_id, "Cara", "look", soon(), money=True)
    assert (paying.ticks, paying.money) == (False, True)
    assert store.sharing.link(paying.id) == paying
    assert {len(one.id) for one in store.sharing.links(plan_id)} == {12}
    with pytest.raises(PlanError, match="look, comment or edit"):
        store.sharing.make_link(plan_id, "Dan", "own", soon())


def test_how_long_names_and_remarks_may_be(store: Store, plan_id: str) -> None:
    link, _ = store.sharing.make_link(plan_id, " N" * 30, "look", soon())
    assert link.name == " ".join("N" * 30)
    store.sharing.make_link(plan_id, "n" * 60, "look", soon())
    with pytest.raises(PlanError, match="1 to 60 letters, not 61"):
        store.sharing.make_link(plan_id, "n" * 61, "look", soon())
    remark = store.sharing.add_remark(plan_id, 1_000_000, -1_000_000, "t" * 1000, "v", "Anna")
    with pytest.raises(PlanError, match="1 to 1000 letters, not 1,001"):
        store.sharing.reply(plan_id, remark, "t" * 1001, "v", "Anna")
    with pytest.raises(PlanError, match="far outside"):
        store.sharing.add_remark(plan_id, 1_000_001, 0, "Here?", "v", "Anna")


def test_a_remark_has_a_hundred_lines(store: Store, plan_id: str) -> None:
    remark = store.sharing.add_remark(plan_id, 0, 0, "first", "v", "Anna")
    with store.database.writing() as db:
        db.executemany(
            "INSERT INTO remark_lines VALUES (?, ?, 'v', 'Anna', 'more', '2026-01-01T00:00Z')",
            [(remark, number) for number in range(1, 99)],
        )
    store.sharing.reply(plan_id, remark, "the hundredth", "v", "Ben")
    with pytest.raises(PlanError, match="at most 100 lines"):
        store.sharing.reply(plan_id, remark, "one more", "v", "Ben")
    (seen,) = store.sharing.remarks(plan_id)
    assert (len(seen.lines), seen.lines[-1].text) == (100, "the hundredth")


def test_a_remark_is_settled_and_opened_again_by_name(store: Store, plan_id: str) -> None:
    remark = store.sharing.add_remark(plan_id, 0, 0, "Here?", "v", "Anna")
    store.sharing.settle_remark(plan_id, remark, True, "Ben")
    (seen,) = store.sharing.remarks(plan_id)
    assert seen.settled is not None
    assert seen.settled_by == "Ben"
    store.sharing.settle_remark(plan_id, remark, False, "Ben")
    (seen,) = store.sharing.remarks(plan_id)
    assert (seen.settled, seen.settled_by) == (None, None)
    with pytest.raises(NotFoundError):
        store.sharing.settle_remark(plan_id, -1, True, "Ben")


def test_a_link_lasts_a_year_and_a_day_at_the_most(store: Store, plan_id: str) -> None:
    now = datetime.now(UTC)
    store.sharing.make_link(plan_id, "Anna", "look", now + timedelta(days=366))
    for ends in (now + timedelta(days=366, hours=1), now - timedelta(seconds=1)):
        with pytest.raises(PlanError, match="at most a year"):
            store.sharing.make_link(plan_id, "Ben", "look", ends)


def test_a_remark_of_a_deleted_plan_is_told_as_that(store: Store, plan_id: str) -> None:
    remark = store.sharing.add_remark(plan_id, 0, 0, "here", "l", "Anna")
    store.delete(plan_id)
    with pytest.raises(NotFoundError, match="plan"):
        store.sharing.reply(plan_id, remark, "there", "l", "Anna")
