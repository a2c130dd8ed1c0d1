"""What the desk loads, in kB of scripts and styles, and whether any request leaves the machine."""

import tempfile
from pathlib import Path

from playwright.sync_api import Request, Response, sync_playwright

from tests.benchmarks.crowd import crowd
from tests.benchmarks.table import Row
from tests.browser.chromium import launch_arguments, make_sure
from tests.browser.desk import Desk
from tests.browser.running import RunningApp
from tests.browser.store import PlanStore

MOST_KB = 150.0
DESK_PIECES = 30
DESK_KB = 120.0
"""Of HTML, unpacked."""
OWN = ("data:", "blob:", "about:")


def rows() -> list[Row]:
    """Give the weight of the desk with all that it fetches later, and the requests elsewhere."""
    loaded: list[Response] = []
    asked: list[Request] = []
    with (
        tempfile.TemporaryDirectory() as folder,
        RunningApp(Path(folder, "plans")) as running,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=make_sure(), args=launch_arguments())
        page = browser.new_page(base_url=running.url)
        page.on("response", lambda response: loaded.append(response))
        page.on("request", lambda request: asked.append(request))
        kept = PlanStore(running.url)
        Desk(page, kept, kept.put(crowd(10))).open().with_shelf()
        page.get_by_role("button", name="Will this one fit?").click()
        page.get_by_role("dialog", name="Will this one fit?").wait_for()
        page.wait_for_timeout(4_000)
        desk_kb = len(kept.ask(f"plan/{kept.put(crowd(DESK_PIECES))}")) / 1000
        files = [r for r in loaded if r.url.endswith((".js", ".css"))]
        unpacked = sum(len(r.body()) for r in files) / 1000
        kb = sum(r.request.sizes()["responseBodySize"] for r in files) / 1000
        elsewhere = [r.url for r in asked if not r.url.startswith((running.url, *OWN))]
        browser.close()
    away = float(len(elsewhere))
    return [
        (f"kB of HTML of the desk, {DESK_PIECES} pieces", desk_kb, DESK_KB, desk_kb / DESK_KB, "1"),
        ("kB of scripts and styles on the desk, as sent", kb, MOST_KB, kb / MOST_KB, "1"),
        ("the same, unpacked", unpacked, MOST_KB, unpacked / MOST_KB, ""),
        ("requests that leave the machine", away, 0.0, away, "0"),
    ]
