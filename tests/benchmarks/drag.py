"""From the pointer handler's first line to the changed list, beside an echo of the same size."""

import json
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import quantiles

from playwright.sync_api import Browser, Page, Response, sync_playwright

from tests.benchmarks.crowd import APART_MM, crowd
from tests.benchmarks.table import Row
from tests.browser.chromium import launch_arguments, make_sure
from tests.browser.desk import Desk
from tests.browser.running import ROOT, RunningApp
from tests.browser.store import PlanStore

PIECES = 30
PIECE = "p0008"
STEPS = 240
REST_MS = 16
LIMIT = "3"
TARGET_P95_MS = 10
SOUGHT = """performance.getEntriesByType('resource')
    .some((entry) => entry.name.includes('/remedies') && entry.responseEnd > 0)"""
ENTRIES = "performance.getEntriesByName('drag:verdict').map((entry) => entry.duration)"


def drag(browser: Browser, url: str, plan_id: str, kept: PlanStore) -> tuple[Page, list[float]]:
    """Drag one piece to and fro, let it go, and give what each verdict took in ms."""
    page = browser.new_page(base_url=url, viewport={"width": 1440, "height": 900})
    desk = Desk(page, kept, plan_id).open()
    while not page.evaluate(SOUGHT):
        page.wait_for_timeout(500)
    x, y, _ = kept.pose(plan_id, PIECE)
    start, end = desk.screen(x, y), desk.screen(x + 1.5 * APART_MM, y + 0.5 * APART_MM)
    page.keyboard.down("Shift")
    page.mouse.move(*start)
    page.mouse.down()
    for i in range(STEPS):
        part = abs((i % 80) - 40) / 40
        page.mouse.move(
            start[0] + (end[0] - start[0]) * (1 - part), start[1] + (end[1] - start[1]) * (1 - part)
        )
        page.wait_for_timeout(REST_MS)
    page.wait_for_timeout(300)
    taken = [float(ms) for ms in page.evaluate(ENTRIES)]
    page.keyboard.press("Escape")
    page.mouse.up()
    return page, taken


@contextmanager
def echoing(real: str, answers: list[bytes]) -> Iterator[str]:
    """An echo of a program as a process of its own; gives its address."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "answers.jsonl")
        file.write_bytes(b"\n".join(answers))
        command = [sys.executable, "-m", "tests.benchmarks.echo", real, str(file)]
        with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as process:
            try:
                assert process.stdout is not None
                yield process.stdout.readline().strip()
            finally:
                process.terminate()


def rows() -> list[Row]:
    """Give median and 95th percentile of a drag among 30 pieces, beside those of the echo."""
    with (
        tempfile.TemporaryDirectory() as folder,
        RunningApp(Path(folder, "plans")) as running,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=make_sure(), args=launch_arguments())
        kept = PlanStore(running.url)
        plan_id = kept.put(crowd(PIECES))
        answers = recorded(browser, running.url, plan_id, kept)
        page, real = drag(browser, running.url, plan_id, kept)
        page.close()
        moves = {"moves": {PIECE: kept.pieces(plan_id)[PIECE]["pose"]}}
        whole = len(kept.ask(f"api/plans/{plan_id}/try", json.dumps(moves).encode())) / 1000
        with echoing(running.url, answers) as url:
            page, echo = drag(browser, url, plan_id, kept)
            page.close()
        browser.close()
    found: list[Row] = []
    size = sum(map(len, answers)) / len(answers) / 1000
    for name, part in (("median", 49), ("95th percentile", 94)):
        ms, base = (quantiles(taken, n=100)[part] for taken in (real, echo))
        title = f"drag, {PIECES} pieces, {size:.1f} kB an answer, {len(real)} steps, {name}"
        found.append((title, ms, base, ms / base, LIMIT))
    p95 = found[-1][1]
    found.append(("kB of a step's answer, beside the full verdict", size, whole, size / whole, "1"))
    found.append(("drag, 95th percentile to its target", p95, TARGET_P95_MS, p95 / 10, ""))
    return found


def recorded(browser: Browser, url: str, plan_id: str, kept: PlanStore) -> list[bytes]:
    """Drag once and keep every answer as the program gave it."""
    page = browser.new_page(base_url=url, viewport={"width": 1440, "height": 900})
    answers: list[Response] = []
    page.on("response", lambda r: answers.append(r) if r.url.endswith("/try") else None)
    desk = Desk(page, kept, plan_id).open()
    x, y, _ = kept.pose(plan_id, PIECE)
    desk.lift(PIECE)
    for i in range(40):
        desk.carry(x + 1.5 * APART_MM * i / 40, y + 0.5 * APART_MM * i / 40, steps=1)
        page.wait_for_timeout(60)
    texts = [answer.body() for answer in answers]
    page.keyboard.press("Escape")
    page.mouse.up()
    page.close()
    assert texts
    return texts
