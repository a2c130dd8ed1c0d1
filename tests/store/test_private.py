"""What the program keeps is for the owner's account alone, whatever the umask of the machine."""

import os
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from app.store.backup import back_up, restore_backup
from app.store.plans import Store
from app.store.private import make_file_private, make_private
from app.store.single_instance import leave_note, take_lock
from tests.changes.test_commands import PLAN

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="rights are another matter there")


@pytest.fixture(params=[0o000, 0o022, 0o077], ids=oct)
def umask(request: pytest.FixtureRequest) -> Iterator[None]:
    before = os.umask(request.param)
    yield
    os.umask(before)


def rights(path: Path) -> str:
    return oct(path.stat().st_mode & 0o777)


@pytest.mark.usefixtures("umask")
def test_folder_files_and_backups_are_for_the_owner_alone(tmp_path: Path) -> None:
    data = tmp_path / "plans"
    lock = take_lock(data)
    assert lock is not None
    store = Store(data)
    store.create(PLAN)
    leave_note(data, "http://127.0.0.1:9/", "x")
    back_up(store.database, tmp_path / "b")
    assert rights(data) == "0o700"
    # the file, what SQLite writes beside it, the lock and the note
    assert {path.name: rights(path) for path in data.iterdir()} == {
        path.name: "0o600" for path in data.iterdir()
    }
    assert rights(tmp_path / "b") == "0o600"
    store.close()
    restored = restore_backup(tmp_path / "b", data)
    assert restored.aside is not None
    assert rights(restored.aside) == "0o600"
    assert {rights(path) for path in data.iterdir()} == {"0o600"}
    lock.close()


def test_what_is_ours_is_shut_at_once_in_a_folder_that_others_use_as_well(tmp_path: Path) -> None:
    # as a program before this one left it, with the household's own backup in it
    data = tmp_path / "plans"
    store = Store(data)
    store.create(PLAN)
    back_up(store.database, data / "my-backup")
    store.close()
    (data / "plans of the house.txt").write_text("walls")
    data.chmod(0o755)
    for path in data.iterdir():
        path.chmod(0o644)
    restore_backup(data / "my-backup", data)
    theirs = {"my-backup": "0o644", "plans of the house.txt": "0o644"}
    for _ in range(2):
        ours = {path.name: rights(path) for path in data.iterdir()}
        assert {name: ours.pop(name) for name in theirs} == theirs
        assert set(ours.values()) == {"0o600"}
        assert rights(data) == "0o755"
        Store(data).close()


def test_an_older_folder_is_shut_too(tmp_path: Path) -> None:
    data = tmp_path / "plans"
    Store(data).close()
    data.chmod(0o755)
    (data / "plans.sqlite3").chmod(0o644)
    Store(data).close()
    assert (rights(data), rights(data / "plans.sqlite3")) == ("0o700", "0o600")


def test_a_folder_that_holds_other_things_keeps_its_rights(tmp_path: Path) -> None:
    (tmp_path / "letters").mkdir()
    tmp_path.chmod(0o755)
    make_private(tmp_path)
    assert rights(tmp_path) == "0o755"


@pytest.mark.parametrize(
    ("names", "after"),
    [
        # ours alone, by all of their beginnings; nothing; one of somebody else's among ours
        (["plans.sqlite3", "plans.sqlite3-wal", "serving", ".restore-7"], "0o700"),
        ([], "0o700"),
        (["plans.sqlite3", "holiday.jpg"], "0o755"),
        (["my-plans"], "0o755"),
    ],
)
def test_a_folder_is_shut_where_all_in_it_is_ours(
    tmp_path: Path, names: list[str], after: str
) -> None:
    for name in names:
        (tmp_path / name).touch()
    tmp_path.chmod(0o755)
    make_private(tmp_path)
    assert rights(tmp_path) == after


def test_a_file_is_made_or_shut_and_keeps_what_is_in_it(tmp_path: Path) -> None:
    new, old = tmp_path / "new", tmp_path / "old"
    old.write_text("plans")
    old.chmod(0o666)
    for path in (new, old):
        make_file_private(path)
        assert rights(path) == "0o600"
    assert (new.read_text(), old.read_text()) == ("", "plans")
    # no folder, no file, no fault
    make_file_private(tmp_path / "none" / "file")
    assert not (tmp_path / "none").exists()
    made = tmp_path / "a" / "b"
    make_private(made)
    assert rights(made) == "0o700"
