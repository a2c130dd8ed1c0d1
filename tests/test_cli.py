"""The command line: exit codes, JSON, one sentence for what is wrong, one server for one folder."""

import http.client
import json
import os
import queue
import re
import socket
import subprocess
import sys
import threading
import urllib.request
from collections.abc import Callable
from pathlib import Path
from urllib.parse import urlsplit
from xml.etree import ElementTree

import pytest

from app.cli import main
from app.drawing.picture_sheet import SIDES
from app.store.single_instance import NOTE_NAME, take_lock
from app.usecases.plans import Elbowroom
from tests.browser.running import ROOT, RunningApp
from tests.builders import make_plan, make_room, place
from tests.web.building import BAD_FILES, plan_data, text

# Nothing takes this long, on however busy a machine; what never ends fails all the same.
END_SECONDS = 60.0


@pytest.fixture
def good(tmp_path: Path) -> Path:
    """A room with one bench and nobody in it: nothing can stop it."""
    data = plan_data(people=[])
    data["pieces"] = data["pieces"][:1]
    data["pieces"][0]["pose"] = {"x_mm": 2500, "y_mm": 2000}
    file = tmp_path / "good.json"
    file.write_bytes(text(data))
    return file


@pytest.fixture
def bad(tmp_path: Path) -> Path:
    """Two benches in one another: a stop."""
    data = plan_data(name="<b>Room</b>")
    data["pieces"][1]["pose"] = {"x_mm": 1250, "y_mm": 2000}
    file = tmp_path / "bad.json"
    file.write_bytes(text(data))
    return file


def test_no_open_stop_is_0(good: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(good)]) == 0
    assert capsys.readouterr().out.startswith("Room: 0 stops, ")


def test_an_open_stop_is_1(bad: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(bad)]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("<b>Room</b>: ")
    assert lines[1].startswith("  1 stop ")


def test_the_verdict_as_json(bad: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(bad), "--json"]) == 1
    verdict = json.loads(capsys.readouterr().out)
    assert verdict["plan"] == "<b>Room</b>"
    assert verdict["counts"]["stop"] >= 1
    clash = next(s for s in verdict["snags"] if s["code"] == "clash")
    assert clash["pieces"] == ["bench-1", "bench-2"]
    assert clash["where"].keys() == {"x", "y"}
    assert all(s.keys() == {"key", "title", "clause", "status"} for s in clash["sources"])


def test_a_settled_stop_does_not_count(bad: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", str(bad), "--json"])
    verdict = json.loads(capsys.readouterr().out)
    data = json.loads(bad.read_text())
    data["settled"] = [
        {
            "id": s["key"],
            "reason": "looked at",
            "on": "2024-03-14",
            "measured": s["measured"],
            "required": s["required"],
        }
        for s in verdict["snags"]
        if s["severity"] == "stop"
    ]
    bad.write_bytes(text(data))
    assert main(["check", str(bad), "--json"]) == 0
    again = json.loads(capsys.readouterr().out)
    assert again["counts"]["stop"] == 0
    assert len(again["snags"]) == len(verdict["snags"])


@pytest.mark.parametrize("command", ["check", "draw"])
@pytest.mark.parametrize(("make", "words"), BAD_FILES.values(), ids=BAD_FILES.keys())
def test_a_bad_file_is_2_and_one_sentence(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    make: Callable[[], bytes],
    words: str,
    command: str,
) -> None:
    file = tmp_path / "plan.json"
    file.write_bytes(make())
    assert main([command, str(file)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert words in said.err
    assert str(file) in said.err
    assert said.err.count("\n") == 1


@pytest.mark.parametrize("command", ["check", "draw"])
def test_a_missing_file_is_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    for path in (tmp_path / "none.json", tmp_path):
        assert main([command, str(path)]) == 2
        said = capsys.readouterr().err
        assert str(path) in said
        assert "cannot be read" in said


def test_a_control_sign_in_a_name_does_not_reach_the_console(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "plan.json"
    file.write_bytes(text(plan_data(name="a\x1b[2Jb\nc", people=[])))
    main(["check", str(file)])
    assert capsys.readouterr().out.startswith("a\\x1b[2Jb\\nc: ")


def test_a_sheet_is_drawn_to_a_file(bad: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "plan.svg"
    asked = ["--sheet", "plan", "--paper", "A3", "--scale", "25", "-o", str(sheet)]
    assert main(["draw", str(bad), *asked]) == 0
    root = ElementTree.parse(sheet).getroot()
    # ISO 216: A3 is 297 x 420 mm
    assert {root.get("width"), root.get("height")} == {"297mm", "420mm"}
    assert "<b>" not in sheet.read_text(encoding="utf-8")


def test_a_sheet_is_printed_at_the_largest_scale(
    good: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert main(["draw", str(good), "--paper", "a4"]) == 0
    root = ElementTree.fromstring(capfdbinary.readouterr().out)
    # ISO 216: A4 is 210 x 297 mm
    assert {root.get("width"), root.get("height")} == {"210mm", "297mm"}


def test_a_picture_is_drawn_over_any_corner_of_the_plan(bad: Path, tmp_path: Path) -> None:
    drawn = {}
    for number, corner in enumerate(("lower-left", "upper-left", "upper-right", "lower-right")):
        to = tmp_path / f"{corner}.svg"
        asked = ["draw", str(bad), "--sheet", "picture", "--corner", corner, "-o", str(to)]
        assert main(asked) == 0
        drawn[corner] = to.read_text()
        assert f"Seen over the {SIDES[number]} corner" in drawn[corner]
    assert len(set(drawn.values())) == len(drawn)
    left_out = tmp_path / "left-out.svg"
    assert main(["draw", str(bad), "--sheet", "picture", "-o", str(left_out)]) == 0
    assert left_out.read_text() == drawn["lower-left"]


def test_a_list_over_several_sheets_is_drawn_to_a_file_each(
    tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    jobs = [{"id": f"job-{i}", "surface": "walls", "colour": f"shade {i}"} for i in range(60)]
    plan = tmp_path / "plan.json"
    plan.write_bytes(text(plan_data(fit_out={"paint": jobs})))
    asked = ["draw", str(plan), "--sheet", "quantities", "--paper", "A4"]
    assert main([*asked, "-o", str(tmp_path / "list.svg")]) == 0
    names = sorted(file.name for file in tmp_path.glob("*.svg"))
    count = len(names)
    assert count > 1
    assert names == sorted(["list.svg", *(f"list-sheet-{i}.svg" for i in range(2, count + 1))])
    told = capfdbinary.readouterr().err.decode()
    assert [line.split(":")[0] for line in told.splitlines()] == [
        f"sheet {i} of {count}" for i in range(2, count + 1)
    ]
    assert main([*asked, "--page", "2"]) == 0
    second = capfdbinary.readouterr().out.decode()
    assert second == (tmp_path / "list-sheet-2.svg").read_text(encoding="utf-8")
    assert main([*asked, "--page", "2", "-o", str(tmp_path / "only.svg")]) == 0
    assert (tmp_path / "only.svg").read_text(encoding="utf-8") == second
    assert main(asked) == 0
    printed = capfdbinary.readouterr()
    assert printed.out.decode() == (tmp_path / "list.svg").read_text(encoding="utf-8")
    assert printed.err.decode() == f"sheet 1 of {count}; --page 2 gives the next\n"


@pytest.mark.parametrize("page", ["0", "9", "-1"])
def test_a_sheet_that_is_not_there_is_2(
    good: Path, capsys: pytest.CaptureFixture[str], page: str
) -> None:
    assert main(["draw", str(good), "--page", page]) == 2
    assert f"no sheet {page}" in capsys.readouterr().err


@pytest.mark.parametrize("asked", [["--paper", "B9"], ["--scale", "7"]])
def test_a_sheet_that_cannot_be_is_2(
    good: Path, capsys: pytest.CaptureFixture[str], asked: list[str]
) -> None:
    assert main(["draw", str(good), *asked]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_scale_too_large_gives_way_to_one_that_fits_and_says_so(
    good: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    asked = ["--paper", "A4", "--scale", "10", "-o", str(tmp_path / "x.svg")]
    assert main(["draw", str(good), *asked]) == 0
    told = capsys.readouterr().err
    assert "at 1:10 the room does not fit on A4" in told
    assert re.search(r"; at 1:2[05] it takes [2-4] sheets of A4", told)


def test_a_sheet_that_cannot_be_written_is_2(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["draw", str(good), "-o", str(tmp_path / "none" / "x.svg")]) == 2
    assert "cannot be written" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["p.png", "p", "plan.svg.gz"])
def test_a_sheet_is_not_written_as_what_its_name_does_not_say(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    assert main(["draw", str(good), "--sheet", "picture", "-o", str(tmp_path / name)]) == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert ".svg" in told
    assert ".pdf" in told
    assert not (tmp_path / name).exists()


def test_the_schema_is_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema"]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert "room" in schema["properties"]
    assert schema["additionalProperties"] is False


@pytest.mark.parametrize("asked", [["fly"], ["check"], ["--port", "x"]])
def test_a_wrong_command_line_is_2(asked: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(asked)
    assert ended.value.code == 2
    assert "usage" in capsys.readouterr().err


def start(data: Path, *more: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "app", "--no-browser", "--data", data, *more],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


def test_a_second_start_gives_the_address_of_the_first(tmp_path: Path) -> None:
    with RunningApp(tmp_path / "plans") as running:
        second = start(tmp_path / "plans", "--port", "0")
        assert second.returncode == 0
        assert second.stdout.splitlines() == [
            f"Elbowroom is at {running.url}",
            f"Plans are kept in {tmp_path / 'plans'}",
        ]
        assert second.stderr == ""


@pytest.mark.long
def test_the_note_of_a_start_that_was_killed_is_no_hindrance(tmp_path: Path) -> None:
    data = tmp_path / "plans"
    data.mkdir()
    note = {"address": "http://127.0.0.1:9/", "secret": "gone"}
    (data / NOTE_NAME).write_text(json.dumps(note))
    with RunningApp(data) as running:
        with urllib.request.urlopen(f"{running.url}api/hello", timeout=60) as reply:
            told = json.load(reply)
        written = json.loads((data / NOTE_NAME).read_text())
        assert written["address"] == running.url
        assert written["secret"] not in told["mark"]
        if os.name == "posix":
            assert (data / NOTE_NAME).stat().st_mode & 0o077 == 0
    assert not (data / NOTE_NAME).exists()


@pytest.mark.long
def test_a_start_while_another_is_ending_waits_for_it_and_serves(tmp_path: Path) -> None:
    """The first one is played by this process: it holds the lock and answers nowhere."""
    data = tmp_path / "plans"
    lock = take_lock(data)
    assert lock is not None
    letting_go = threading.Timer(2.0, lock.close)
    letting_go.start()
    with RunningApp(data) as running:
        assert lock.closed
        with urllib.request.urlopen(f"{running.url}api/hello", timeout=60) as reply:
            assert json.load(reply)["name"] == "elbowroom"
    letting_go.join()


@pytest.mark.long
def test_stopped_and_started_at_once_it_serves_again(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "app", "--no-browser", "--port", "0", "--data", str(tmp_path)]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as first:
        assert first.stdout is not None
        old = first.stdout.readline()
        first.terminate()
        with RunningApp(tmp_path) as running:
            assert running.url not in old
            assert first.wait(END_SECONDS) == 0


def test_it_ends_at_once_while_ways_out_are_sought(tmp_path: Path) -> None:
    # 30 racks into one another: seconds of search, and the server would wait 5 s for its answers
    crowd = [
        place("full-rack", 700 + i % 6 * 900, 700 + i // 6 * 900, piece_id=f"rack-{i}")
        for i in range(30)
    ]
    house = Elbowroom(tmp_path)
    plan_id = house.create(make_plan(*crowd, room=make_room(6000, 6000))).plan_id
    house.close()
    with RunningApp(tmp_path) as running:
        api = f"{running.url}api/plans/{plan_id}"
        with urllib.request.urlopen(api, timeout=60) as reply:
            assert json.load(reply)["ok"]
        search = http.client.HTTPConnection(urlsplit(running.url).netloc, timeout=60)
        search.request("GET", f"/api/plans/{plan_id}/mending")
        # Questions are taken up in the order they come: once a later one is answered this one is
        # at work.
        urllib.request.urlopen(f"{running.url}api/plans", timeout=60).close()
        running.stop()
        # The answer says that the program is ending. A search that went on would have found
        # its ways out, or been cut off without an answer.
        reply = search.getresponse()
        assert (reply.status, json.load(reply)["error"]["code"]) == (503, "ending")
        search.close()


def test_starts_at_the_same_moment_serve_once(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "app", "--no-browser", "--port", "0", "--data", str(tmp_path)]
    starts = [
        subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) for _ in range(3)
    ]
    lines = []
    for one in starts:
        assert one.stdout is not None
        lines.append(one.stdout.readline())
    assert len(set(lines)) == 1
    assert lines[0].startswith("Elbowroom is at http://127.0.0.1:")
    ended: queue.Queue[int] = queue.Queue()
    waiting = [threading.Thread(target=lambda o=one: ended.put(o.wait())) for one in starts]
    for thread in waiting:
        thread.start()
    # two end by themselves, one goes on until it is asked
    assert [ended.get(timeout=END_SECONDS) for _ in range(2)] == [0, 0]
    (serving,) = (one for one in starts if one.poll() is None)
    serving.terminate()
    for one, thread in zip(starts, waiting, strict=True):
        thread.join(END_SECONDS)
        assert one.returncode is not None
        assert one.stdout is not None
        one.stdout.close()


def test_a_port_in_use_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        assert main(["--no-browser", "--data", str(tmp_path), "--port", port]) == 2
    said = capsys.readouterr().err
    assert f"The port {port} is not free" in said
    assert said.count("\n") == 1


def test_a_folder_that_cannot_be_used_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("in the way")
    assert main(["--no-browser", "--data", str(tmp_path / "file")]) == 2
    said = capsys.readouterr().err
    assert "cannot be written to" in said
    assert said.count("\n") == 1


def test_a_file_of_plans_that_is_none_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "plans.sqlite3").write_bytes(b"my tax papers " * 1000)
    assert main(["--no-browser", "--data", str(tmp_path), "--port", "0"]) == 2
    said = capsys.readouterr().err
    assert "damaged or is no file of plans" in said
    assert said.count("\n") == 1


@pytest.mark.long
def test_a_relative_folder_is_printed_whole(tmp_path: Path) -> None:
    relative = os.path.relpath(tmp_path / "plans", ROOT)
    with RunningApp(tmp_path / "plans"):
        second = start(Path(relative), "--port", "0")
    assert second.stdout.splitlines()[1] == f"Plans are kept in {tmp_path / 'plans'}"


def test_a_folder_that_cannot_be_made_names_data(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("")
    assert main(["--no-browser", "--data", str(tmp_path / "file" / "plans")]) == 2
    assert "--data" in capsys.readouterr().err


WITHOUT_CONSOLE = """
import sys
sys.stdout = sys.stderr = None
from pathlib import Path
from app.cli import main
from app.web.serving import greet
done = main(["schema"]) + main(["check", "none.json"])
greet("http://127.0.0.1:9/", Path("plans"), False)
sys.exit(done)
"""


def test_without_a_console_nothing_is_printed_and_nothing_fails() -> None:
    command = [sys.executable, "-c", WITHOUT_CONSOLE]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, timeout=60, check=False)
    # 0 for the schema and 2 for the file that is not there
    assert (done.returncode, done.stdout, done.stderr) == (2, b"", b"")
