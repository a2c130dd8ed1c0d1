"""One program for one folder: the lock, and the note by which a later start finds the first."""

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from app.errors import StoreError
from app.store.single_instance import (
    NOTE_NAME,
    first_address,
    leave_note,
    mark_of,
    take_lock,
    take_note_away,
)


@contextmanager
def answering(answer: object) -> Iterator[str]:
    """A server of this machine that says one thing at api/hello; gives its address."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200 if self.path == "/api/hello" else 404)
            self.end_headers()
            self.wfile.write(json.dumps(answer).encode())

        def log_message(self, format: str, *args: object) -> None:
            """Say nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    serving = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
    serving.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        serving.join()
        server.server_close()


def test_a_lock_is_held_once(tmp_path: Path) -> None:
    folder = tmp_path / "plans" / "deep"
    first = take_lock(folder)
    assert first is not None
    assert take_lock(folder) is None
    first.close()
    again = take_lock(folder)
    assert again is not None
    again.close()


def test_a_folder_that_is_a_file_cannot_be_locked(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(StoreError, match="cannot be written to"):
        take_lock(tmp_path / "file")


def test_the_note_is_for_its_owner_only_and_goes_away(tmp_path: Path) -> None:
    leave_note(tmp_path, "http://127.0.0.1:1/", "first")
    leave_note(tmp_path, "http://127.0.0.1:2/", "secret")
    note = tmp_path / NOTE_NAME
    assert json.loads(note.read_text()) == {"address": "http://127.0.0.1:2/", "secret": "secret"}
    assert note.stat().st_mode & 0o777 == 0o600
    assert list(tmp_path.iterdir()) == [note]
    take_note_away(tmp_path)
    take_note_away(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_note_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="cannot be written"):
        leave_note(tmp_path / "nowhere", "http://127.0.0.1:1/", "secret")


def test_the_first_program_is_found_by_what_only_it_knows(tmp_path: Path) -> None:
    # SHA-256 of "abc" (FIPS 180-2, appendix B.1)
    mark = mark_of("abc")
    assert mark == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    with answering({"mark": mark}) as address:
        leave_note(tmp_path, address, "abc")
        assert first_address(tmp_path) == address
        leave_note(tmp_path, address, "another")
        assert first_address(tmp_path) is None


@pytest.mark.parametrize("answer", [{}, [], 3, {"mark": None}])
def test_whatever_else_answers_there_is_not_it(tmp_path: Path, answer: object) -> None:
    with answering(answer) as address:
        leave_note(tmp_path, address, "abc")
        assert first_address(tmp_path) is None


@pytest.mark.parametrize(
    "note",
    [
        "",
        "no json",
        "[]",
        '{"address": "http://127.0.0.1:1/"}',
        '{"address": "http://127.0.0.1:1/", "secret": 5}',
        '{"address": "http://192.0.2.1:1/", "secret": "abc"}',
    ],
)
def test_a_note_that_is_none_finds_nobody(tmp_path: Path, note: str) -> None:
    assert first_address(tmp_path) is None
    (tmp_path / NOTE_NAME).write_text(note)
    assert first_address(tmp_path) is None


def test_a_note_that_cannot_take_its_place_leaves_nothing_behind(tmp_path: Path) -> None:
    (tmp_path / NOTE_NAME / "in the way").mkdir(parents=True)
    with pytest.raises(StoreError, match="cannot be written"):
        leave_note(tmp_path, "http://127.0.0.1:1/", "secret")
    assert [path.name for path in tmp_path.iterdir()] == [NOTE_NAME]
