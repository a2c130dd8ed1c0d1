"""A scene may be asked by several threads at once, as a server does from its first question on."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
# in a process of its own: what goes wrong between threads in the geometry library ends the process
ASKED_AT_ONCE = """
import threading
from app.arrange.offer import fits
from app.checks.run import run
from app.model.versions import load
from app.resources import folder
from app.scene.build import build_scene
from app.scene.room import ROOMS, room_shape

plan = load((folder("sample_rooms") / "upstairs-room.json").read_bytes())
found = []
for _ in range(ROUNDS):
    ROOMS.clear()
    scene = build_scene(plan)
    asked = [threading.Thread(target=fits, args=(scene, 600, 700, 800)) for _ in range(3)]
    asked += [
        threading.Thread(target=lambda: found.append([s.key for s in run(scene)]))
        for _ in range(3)
    ]
    for thread in asked:
        thread.start()
    for thread in asked:
        thread.join()
assert len(found) == 3 * ROUNDS
assert all(keys == found[0] for keys in found)
"""


@pytest.mark.long
def test_threads_that_ask_a_new_room_at_once_all_get_the_same_answer() -> None:
    code = ASKED_AT_ONCE.replace("ROUNDS", "6")
    done = subprocess.run(
        [sys.executable, "-X", "faulthandler", "-c", code],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert done.returncode == 0, done.stderr[-2000:]
