"""A process that saves is killed at random: whatever it said to have kept is there."""

import random
import re
import shutil
import sqlite3
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from app.store.database import FILE_NAME
from app.store.plans import Store
from tests.browser.running import ROOT
from tests.changes.test_commands import PLAN

KILLS, KILLS_LONG = 6, 200
LONGEST_S = 0.25
# Every second time so many must have been kept, so that a slow disk is killed in its work too.
AT_LEAST = 3
PATIENCE_S = 60.0
SAVER = (sys.executable, "-m", "tests.store.saver")


def kept_until_killed(folder: Path, plan_id: str, seconds: float, at_least: int) -> int:
    """Let a process save for a while and so many times, kill it; give the last it said to keep."""
    saver = subprocess.Popen(
        [*SAVER, str(folder), plan_id, "1000000"], cwd=ROOT, stdout=subprocess.PIPE
    )
    assert saver.stdout is not None
    try:
        assert saver.stdout.readline() == b"ready\n"
        said: list[bytes] = []

        def listen() -> None:
            for line in saver.stdout or ():
                said.append(line)

        reader = threading.Thread(target=listen)
        reader.start()
        time.sleep(seconds)
        end = time.monotonic() + PATIENCE_S
        while len(said) < at_least and time.monotonic() < end:
            time.sleep(0.001)
    finally:
        saver.kill()
        saver.wait()
    reader.join()
    saver.stdout.close()
    whole = [line for line in said if line.endswith(b"\n")]
    return int(whole[-1].split()[1]) if whole else -1


def test_nothing_that_was_kept_is_lost(tmp_path: Path, request: pytest.FixtureRequest) -> None:
    kills = KILLS_LONG if request.config.getoption("--long") else KILLS
    store = Store(tmp_path)
    plan_id = store.create(PLAN).plan_id
    store.close()
    draw = random.Random(4711)
    reached = 0
    for number in range(kills):
        seconds = draw.uniform(0, LONGEST_S)
        said = kept_until_killed(tmp_path, plan_id, seconds, number % 2 * AT_LEAST)
        db = sqlite3.connect(tmp_path / FILE_NAME)
        assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        numbers = [n for (n,) in db.execute("SELECT number FROM revisions ORDER BY number")]
        db.close()
        newest = numbers[-1]
        # One more may have been kept that it had no time to tell of.
        assert max(said, reached) <= newest <= max(said, reached) + 1
        assert numbers == list(range(newest + 1))
        store = Store(tmp_path)
        state = store.read(plan_id)
        assert state.revision == newest
        assert state.plan.piece("rack-1").pose.x_mm == (newest or 1000)
        store.close()
        reached = newest
    assert reached > kills


def test_each_kept_revision_has_reached_the_disk_first(tmp_path: Path) -> None:
    strace = shutil.which("strace")
    if strace is None:
        pytest.skip("strace is not installed here")
    store = Store(tmp_path)
    plan_id = store.create(PLAN).plan_id
    store.close()
    seen = tmp_path / "calls"
    calls = "trace=fsync,fdatasync,write,pwrite64"
    done = subprocess.run(
        [strace, "-f", "-y", "-s", "20", "-e", calls, "-o", seen, *SAVER, tmp_path, plan_id, "25"],
        cwd=ROOT,
        capture_output=True,
        check=False,
    )
    if done.returncode and b"ptrace" in done.stderr.lower():
        pytest.skip("this machine does not let strace look on")
    assert done.returncode == 0, done.stderr
    order = ""
    for line in seen.read_text(encoding="utf-8").splitlines():
        if re.search(r"f(data)?sync\(\d+<[^>]*plans\.sqlite3-wal>\) += 0", line):
            order += "s"
        elif re.search(r"pwrite64\(\d+<[^>]*plans\.sqlite3-wal>", line):
            order += "w"
        elif re.search(r'write\(1[^,]*, "kept ', line):
            order += "k"
    # Each time: written to the log beside the file, brought to the disk, and only then told.
    assert order.count("k") == 25
    parts = order.split("k")[:-1]
    assert all(re.search("ws$", part) for part in parts), order
