"""Plans on a medium that can only be read: the file as it stands, or a copy of it."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from app.store.medium import FILE_NAME, copied_where_needed, may_only_be_read, unchanging
from app.store.plans import Store
from tests.builders import make_plan


def kept(folder: Path) -> Path:
    """Return a file of plans with one plan, shut in good order."""
    store = Store(folder)
    store.create(make_plan(name="Kept"))
    store.close()
    with closing(sqlite3.connect(folder / FILE_NAME)) as db:
        db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return folder / FILE_NAME


def plans_in(folder: Path) -> int:
    with closing(sqlite3.connect(folder / FILE_NAME)) as db:
        (count,) = db.execute("SELECT count(*) FROM plans").fetchone()
    return int(count)


def test_what_may_be_written_and_what_is_not_there_is_no_such_medium(tmp_path: Path) -> None:
    assert not may_only_be_read(tmp_path)
    kept(tmp_path)
    assert not may_only_be_read(tmp_path)


def test_a_file_that_nobody_writes_is_read_and_never_written(tmp_path: Path) -> None:
    file = kept(tmp_path)
    before = file.read_bytes()
    with closing(sqlite3.connect(unchanging(file), uri=True)) as db:
        assert db.execute("SELECT count(*) FROM plans").fetchone() == (1,)
        with pytest.raises(sqlite3.OperationalError, match="readonly"):
            db.execute("DELETE FROM plans")
    assert file.read_bytes() == before
    assert sorted(each.name for each in tmp_path.iterdir() if "-" in each.name) == []


def test_a_whole_file_of_this_version_needs_no_copy(tmp_path: Path) -> None:
    assert copied_where_needed(kept(tmp_path)) is None


def test_an_older_file_is_copied(tmp_path: Path) -> None:
    file = kept(tmp_path)
    with closing(sqlite3.connect(file)) as db, db:
        db.execute("DELETE FROM migrations WHERE name = (SELECT max(name) FROM migrations)")
    with closing(sqlite3.connect(file)) as db:
        db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    made = copied_where_needed(file)
    assert made is not None
    with made as folder:
        assert Path(folder, FILE_NAME).read_bytes() == file.read_bytes()


def test_what_was_kept_beside_the_file_comes_along(tmp_path: Path) -> None:
    # a program that was ended hard leaves its last words in a file of their own
    file = kept(tmp_path / "ended")
    with closing(sqlite3.connect(file)) as db:
        db.execute("PRAGMA journal_mode = WAL")
        db.execute("UPDATE plans SET name = 'Last words'")
        db.commit()
        (tmp_path / "left").mkdir()
        for each in file.parent.glob(f"{FILE_NAME}*"):
            if not each.name.endswith("-shm"):
                shutil.copyfile(each, tmp_path / "left" / each.name)
    made = copied_where_needed(tmp_path / "left" / FILE_NAME)
    assert made is not None
    with made as folder, closing(sqlite3.connect(Path(folder, FILE_NAME))) as db:
        assert db.execute("SELECT name FROM plans").fetchone() == ("Last words",)
