"""A disk that is really full, and a folder that may only be read: a sentence, and nothing lost."""

import json
import os
import shutil
import sqlite3
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.changes.commands import moves
from app.cli import main
from app.errors import StoreError
from app.model.kit import Pose
from app.model.plan import Plan
from app.model.versions import from_data
from app.store.backup import back_up, restore_backup
from app.store.database import FILE_NAME
from app.store.entries import State
from app.store.migrations import MIGRATIONS
from app.store.plans import Store
from app.store.reserve import NAME as RESERVE
from app.usecases.history import back_up_folder
from tests.browser.running import ROOT, RunningApp
from tests.changes.test_commands import PLAN
from tests.web.building import plan_data

DISK_KB = 768


@pytest.fixture
def tiny_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of less than a megabyte of its own."""
    place = tmp_path / "disk"
    place.mkdir()
    if sys.platform != "linux" or os.geteuid() != 0:
        pytest.skip("only the administrator of a Linux machine may mount a small disk")
    options = ["-t", "tmpfs", "-o", f"size={DISK_KB}k", "tmpfs", str(place)]
    mounted = subprocess.run(["mount", *options], capture_output=True, check=False)
    if mounted.returncode:
        pytest.skip("this machine does not let a small disk be mounted")
    yield place
    subprocess.run(["umount", "-l", place], check=True)


def step(store: Store, state: State, piece_id: str = "rack-1") -> State:
    pose = Pose(x_mm=state.revision + 1, y_mm=0)
    return store.do(state.plan_id, moves(state.plan, {piece_id: pose}), known=state)


def fill(folder: Path) -> None:
    """Leave no room at all."""
    with open(folder / "ballast", "wb", buffering=0) as file:
        try:
            while file.write(bytes(4096)):
                pass
        except OSError:
            pass


def until_full(store: Store, state: State, piece_id: str = "rack-1") -> State:
    kept = [state]

    def go_on_for_ever() -> None:
        while True:
            kept[0] = step(store, kept[0], piece_id)

    with pytest.raises(StoreError, match="disk is full: the change was not kept"):
        go_on_for_ever()
    return kept[0]


def test_a_full_disk_loses_nothing_that_was_kept(tiny_disk: Path) -> None:
    store = Store(tiny_disk)
    kept = until_full(store, store.create(PLAN))
    assert kept.revision > 20
    assert store.read(kept.plan_id) == kept
    store.close()
    again = Store(tiny_disk)
    assert again.read(kept.plan_id) == kept
    again.close()


def test_when_there_is_room_again_it_goes_on(tiny_disk: Path) -> None:
    store = Store(tiny_disk)
    state = step(store, store.create(PLAN))
    fill(tiny_disk)
    kept = until_full(store, state)
    (tiny_disk / "ballast").unlink()
    assert step(store, kept).revision == kept.revision + 1
    assert store.undo(kept.plan_id).plan == kept.plan
    store.close()


def test_a_backup_that_does_not_fit_leaves_nothing_behind(tiny_disk: Path, tmp_path: Path) -> None:
    store = Store(tmp_path / "plans")
    state = store.create(PLAN)
    for _ in range(100):
        state = step(store, state)
    fill(tiny_disk)
    with pytest.raises(StoreError):
        back_up(store.database, tiny_disk / "b")
    assert [path.name for path in tiny_disk.iterdir()] == ["ballast"]
    back_up(store.database, tmp_path / "b")
    store.close()
    with pytest.raises(StoreError):
        restore_backup(tmp_path / "b", tiny_disk)
    assert [path.name for path in tiny_disk.iterdir()] == ["ballast"]


def get(address: str) -> bytes:
    with urllib.request.urlopen(address, timeout=60) as reply:
        assert reply.status == 200
        body: bytes = reply.read()
    return body


def refusal(address: str, body: bytes = b"") -> bytes:
    """Post and give what the program says, which must be that it cannot keep anything now."""
    asked = urllib.request.Request(address, body, method="POST")
    asked.add_header("Content-Type", "application/json")
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(asked, timeout=60)
    assert refused.value.code == 503
    said: bytes = refused.value.read()
    refused.value.close()
    return said


PAGES = ("", "/room", "/people", "/print", "/sheet", "/quantities", "/cost", "/history")
WHAT_DIFFERS = ("", "/history")
"""Of the pages those that read what a store keeps in other ways; the rest show the same plan."""


def see_shown(running: RunningApp, plan_id: str, name: str, pages: tuple[str, ...] = PAGES) -> None:
    """See that a plan is shown, printed and exported."""
    page = f"{running.url}plan/{plan_id}"
    assert name.encode() in get(running.url)
    for part in pages:
        assert name.encode() in get(page + part), part
    assert get(f"{page}/sheet.svg").lstrip().startswith(b"<")
    assert from_data(json.loads(get(f"{running.url}api/plans/{plan_id}/export"))).name == name


def test_on_a_full_disk_plans_are_shown_printed_exported_and_deleted(tiny_disk: Path) -> None:
    store = Store(tiny_disk)
    other = store.create(PLAN)
    state = step(store, store.create(from_data(plan_data())), "bench-1")
    fill(tiny_disk)
    kept = until_full(store, state, "bench-1")
    store.close()
    fill(tiny_disk)
    with RunningApp(tiny_disk) as running:
        see_shown(running, kept.plan_id, kept.plan.name, WHAT_DIFFERS)
        for change in (f"api/plans/{kept.plan_id}/undo", "samples/double-garage"):
            said = refusal(f"{running.url}{change}", b"{}")
            assert b"disk is full: the change was not kept" in said
        for gone in (other, kept):
            asked = urllib.request.Request(
                f"{running.url}plan/{gone.plan_id}/delete", method="POST"
            )
            urllib.request.urlopen(asked, timeout=60).close()
            assert f"Deleted: {gone.plan.name}".encode() in get(running.url)


def test_on_a_full_disk_links_are_shut_and_plans_deleted_one_after_another(
    tiny_disk: Path,
) -> None:
    store = Store(tiny_disk)
    states = [store.create(PLAN) for _ in range(5)]
    for state in states:
        store.sharing.make_link(state.plan_id, "Bo", "edit", datetime.now(UTC) + timedelta(days=1))
    fill(tiny_disk)
    kept = until_full(store, states[0])
    for state in states:
        (link,) = store.sharing.links(state.plan_id)
        store.sharing.withdraw(state.plan_id, link.id)
        assert not store.sharing.link(link.id).lives()
        # what was laid by is for nothing else
        until_full(store, store.read(kept.plan_id))
    for state in states:
        store.delete(state.plan_id)
    assert store.entries() == ()
    store.close()
    again = Store(tiny_disk)
    assert {one.id for one in again.entries(deleted=True)} == {s.plan_id for s in states}
    # and it lays by anew, so the next full disk finds it again
    assert (tiny_disk / RESERVE).stat().st_size > 0
    again.close()


@pytest.fixture
def read_only(tiny_disk: Path) -> Callable[[], None]:
    """Makes the small disk one that may only be read, as a card with its lock set."""

    def shut() -> None:
        subprocess.run(["mount", "-o", "remount,ro", str(tiny_disk)], check=True)

    return shut


@pytest.mark.parametrize("ended", ["closed", "killed"])
def test_a_medium_that_may_only_be_read_is_shown_printed_and_exported_from(
    tiny_disk: Path, tmp_path: Path, read_only: Callable[[], None], ended: str
) -> None:
    """Killed, the last changes lie beside the file only: they are shown too."""
    store = Store(tmp_path / "plans" if ended == "killed" else tiny_disk)
    state = store.create(from_data(plan_data()))
    for _ in range(3):
        state = step(store, state, "bench-1")
    if ended == "killed":
        for file in (tmp_path / "plans").iterdir():
            shutil.copyfile(file, tiny_disk / file.name)
        assert (tiny_disk / f"{FILE_NAME}-wal").stat().st_size > 0
    store.close()
    before = {file.name: file.read_bytes() for file in tiny_disk.iterdir()}
    read_only()
    with RunningApp(tiny_disk) as running:
        assert "can only be read" in running.output
        pages = PAGES if ended == "killed" else WHAT_DIFFERS
        see_shown(running, state.plan_id, state.plan.name, pages)
        told = json.loads(get(f"{running.url}api/plans/{state.plan_id}"))
        assert told["revision"] == 3
        pose = next(one["pose"] for one in told["plan"]["pieces"] if one["id"] == "bench-1")
        assert pose["x_mm"] == 3
        for said in (
            refusal(f"{running.url}api/plans/{state.plan_id}/undo", b"{}"),
            refusal(f"{running.url}plan/{state.plan_id}/delete"),
            refusal(f"{running.url}samples/double-garage"),
        ):
            assert b"cannot be written to: the change was not kept" in said
    assert {file.name: file.read_bytes() for file in tiny_disk.iterdir()} == before
    back_up_folder(tiny_disk, tmp_path / "b")
    restore_backup(tmp_path / "b", tmp_path / "again")
    again = Store(tmp_path / "again")
    assert again.read(state.plan_id).plan == state.plan
    again.close()


def test_plans_of_an_older_version_are_shown_from_a_medium_that_may_only_be_read(
    tiny_disk: Path, read_only: Callable[[], None]
) -> None:
    with closing(sqlite3.connect(tiny_disk / FILE_NAME, isolation_level=None)) as db:
        db.execute("CREATE TABLE migrations (name TEXT PRIMARY KEY, applied_at TEXT NOT NULL)")
        name, statements = MIGRATIONS[0]
        for statement in statements:
            db.execute(statement)
        db.execute("INSERT INTO migrations VALUES (?, '2024-03-14')", (name,))
    read_only()
    store = Store(tiny_disk)
    assert store.entries() == ()
    store.close()


def test_a_medium_that_may_only_be_read_and_holds_no_plans_names_data(
    tiny_disk: Path, read_only: Callable[[], None], capsys: pytest.CaptureFixture[str]
) -> None:
    read_only()
    assert main(["--no-browser", "--data", str(tiny_disk)]) == 2
    assert "Choose another one with --data" in capsys.readouterr().err


READ_ONLY = """
import os, sys
from pathlib import Path
from app.errors import StoreError
from app.changes.commands import moves
from app.model.kit import Pose
from app.store.plans import Store

folder, plan_id, user = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
if user:
    os.setgid(user)
    os.setuid(user)
try:
    store = Store(folder)
    state = store.read(plan_id)
    store.do(plan_id, moves(state.plan, {"rack-1": Pose(x_mm=1, y_mm=1)}))
    print("kept")
except StoreError as error:
    print(error.sentence)
"""
NOBODY = 65534


def test_a_folder_that_may_only_be_read_says_so(tmp_path: Path) -> None:
    if sys.platform == "win32":
        pytest.skip("rights of folders are another matter on Windows")
    folder = tmp_path / "plans"
    store = Store(folder)
    plan_id = store.create(PLAN).plan_id
    store.close()
    before = (folder / FILE_NAME).read_bytes()
    # The administrator may write everywhere, so the process goes on as nobody.
    user = NOBODY if os.geteuid() == 0 else 0
    for path in (folder, *folder.iterdir()):
        path.chmod(0o555 if path.is_dir() else 0o444)
    opened = [p for p in (tmp_path, *tmp_path.parents) if p.stat().st_uid == os.geteuid()]
    rights = {p: p.stat().st_mode for p in opened if p != Path("/")}
    try:
        for path, mode in rights.items():
            path.chmod(mode | 0o011)
        done = subprocess.run(
            [sys.executable, "-c", READ_ONLY, folder, plan_id, str(user)],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=False,
        )
    finally:
        for path, mode in rights.items():
            path.chmod(mode)
        for path in (folder, *folder.iterdir()):
            path.chmod(0o755 if path.is_dir() else 0o644)
    assert done.returncode == 0, done.stderr
    said = done.stdout.strip()
    assert str(folder / FILE_NAME) in said
    assert "cannot be written to" in said or "cannot be opened" in said
    assert (folder / FILE_NAME).read_bytes() == before
    again = Store(folder)
    assert again.read(plan_id).plan == Plan.model_validate(PLAN.model_dump())
    again.close()


def test_a_restore_without_room_names_the_plans_and_no_file_that_comes_and_goes(
    tiny_disk: Path, tmp_path: Path
) -> None:
    store = Store(tmp_path / "here")
    plan_id = store.create(PLAN).plan_id
    store.sharing.make_link(plan_id, "Bo", "edit", datetime.now(UTC) + timedelta(days=3))
    file = tmp_path / "b"
    back_up(store.database, file)
    store.close()
    data = tiny_disk / "plans"
    data.mkdir()
    # the copy finds room, what is written while it is brought in order does not
    room = tiny_disk / "room"
    room.write_bytes(bytes(file.stat().st_size + 24_576))
    fill(tiny_disk)
    room.unlink()
    with pytest.raises(StoreError) as refused:
        restore_backup(file, data)
    assert ".restore-" not in refused.value.sentence
    assert str(data / FILE_NAME) in refused.value.sentence
    assert list(data.iterdir()) == []
