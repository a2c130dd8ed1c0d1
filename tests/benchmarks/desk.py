"""The desk in a browser: no long task in a drag of 60 pieces, opening a plan, undo in frames."""

import tempfile
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from tests.benchmarks.crowd import APART_MM, crowd
from tests.benchmarks.table import Row
from tests.browser.chromium import launch_arguments, make_sure
from tests.browser.desk import Desk
from tests.browser.running import RunningApp
from tests.browser.store import PlanStore

DRAGGED = 60
OPENED = 30
PIECE = "p0008"
STEPS = 120
FRAME_MS = 1000 / 60
LONGEST_TASK_MS = 50.0
TIMES = 5
WATCH = """() => {
    window.longest = 0;
    new PerformanceObserver((list) => {
        for (const entry of list.getEntries()) {
            window.longest = Math.max(window.longest, entry.duration);
        }
    }).observe({ type: 'longtask' });
}"""
PAINTED = """() => performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? null"""
UNDO = """() => new Promise((done) => {
    const piece = document.querySelector('g.piece[data-piece="%s"]');
    const before = piece.getAttribute('transform');
    const start = performance.now();
    document.querySelector('[data-act="undo"]').click();
    const look = () => {
        const now = document.querySelector('g.piece[data-piece="%s"]');
        if (now && now.getAttribute('transform') !== before) done(performance.now() - start);
        else requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
})"""


def opening_ms(browser: Browser, url: str, path: str) -> float:
    """Open a page in a fresh context and give how long it takes to its first drawing, in ms."""
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    page = context.new_page()
    page.goto(url + path)
    if path.startswith("plan/"):
        page.locator("g.piece").first.wait_for()
    while (drawn := page.evaluate(PAINTED)) is None:
        page.wait_for_timeout(50)
    context.close()
    return float(drawn)


def longest_task_ms(page: Page, desk: Desk, kept: PlanStore, plan_id: str) -> float:
    """Drag one piece to and fro among the others and give the longest task of the page in ms."""
    page.wait_for_timeout(4_000)
    x, y, _ = kept.pose(plan_id, PIECE)
    start, end = desk.screen(x, y), desk.screen(x + 1.5 * APART_MM, y + 0.5 * APART_MM)
    page.keyboard.down("Shift")
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(start[0] + 6, start[1] + 6)
    page.evaluate(WATCH)
    for i in range(STEPS):
        part = abs((i % 40) - 20) / 20
        page.mouse.move(
            start[0] + (end[0] - start[0]) * (1 - part), start[1] + (end[1] - start[1]) * (1 - part)
        )
        page.wait_for_timeout(FRAME_MS)
    longest = float(page.evaluate("() => window.longest"))
    page.mouse.up()
    page.keyboard.up("Shift")
    page.wait_for_timeout(1_500)
    return longest


def rows() -> list[Row]:
    """Give the longest task of a drag, opening beside an empty page, and undo in frames."""
    with (
        tempfile.TemporaryDirectory() as folder,
        RunningApp(Path(folder, "plans")) as running,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=make_sure(), args=launch_arguments())
        kept = PlanStore(running.url)
        plan_id = kept.put(crowd(DRAGGED))
        page = browser.new_page(base_url=running.url, viewport={"width": 1440, "height": 900})
        desk = Desk(page, kept, plan_id).open()
        longest = longest_task_ms(page, desk, kept, plan_id)
        undone = float(page.evaluate(UNDO % (PIECE, PIECE)))
        page.close()
        opened = kept.put(crowd(OPENED))
        first = [opening_ms(browser, running.url, f"plan/{opened}") for _ in range(TIMES)]
        empty = [opening_ms(browser, running.url, "cautions") for _ in range(TIMES)]
        browser.close()
    return [
        (
            f"longest task of a drag, {DRAGGED} pieces",
            longest,
            LONGEST_TASK_MS,
            longest / LONGEST_TASK_MS,
            "1",
        ),
        (
            f"opening a plan of {OPENED} pieces to its first drawing, beside an empty page",
            min(first),
            min(empty),
            min(first) / min(empty),
            "3",
        ),
        ("undo of a move, in frames of a 60th", undone, FRAME_MS, undone / FRAME_MS, "3"),
    ]
