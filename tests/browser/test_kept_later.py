"""What cannot be kept now is not lost, and nothing that is not so is said in the head of a page."""

import json
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect

from app.store.database import FILE_NAME
from tests.browser.desk import SAVE_MS, Desk
from tests.browser.household import Household, away
from tests.browser.rooms import HIGH, workshop
from tests.browser.running import RunningApp
from tests.browser.test_company import AWAY, LATE_PARTS, wait_saved
from tests.browser.test_restart import closed, renamed
from tests.store.test_disk import fill, tiny_disk

__all__ = ["tiny_disk"]

OUT_OF_REACH = "out of reach: what you see may be old"
FULL = "The disk is full: the change was not kept."


@pytest.fixture
def home(browser: Browser, live_server: RunningApp) -> Iterator[Household]:
    home = Household(browser, live_server, workshop(ceiling=HIGH))
    yield home
    home.close()


def desk_at_rest(home: Household) -> Desk:
    desk = home.owners_desk()
    desk.page.wait_for_function(LATE_PARTS, arg=["piece_actions.js", "piece.js", "tape.js"])
    wait_saved(desk, "saved")
    return desk


def use_up(home: Household) -> None:
    """Keep changes until the program says that there is no room for one more."""

    def go_on() -> None:
        for number in range(1000):
            renamed(home, f"{'x' * 100}{number}")

    with pytest.raises(AssertionError, match="disk is full"):
        go_on()


def stored(page: Page) -> int:
    """Count what waits in this tab, a reload outlived."""
    kept = "() => Object.entries(sessionStorage).find(([key]) => key.startsWith('waiting'))"
    found = page.evaluate(kept)
    return len(json.loads(found[1])) if found else 0


def wait_begins(page: Page, words: str) -> None:
    expect(page.locator(".saved")).to_contain_text(words, timeout=SAVE_MS)


@pytest.mark.long
def test_what_waited_and_meets_a_full_disk_waits_on_and_is_kept_once_there_is_room(
    browser: Browser, tiny_disk: Path
) -> None:
    with RunningApp(tiny_disk / "plans") as running:
        home = Household(browser, running, workshop(ceiling=HIGH))
        desk = desk_at_rest(home)
        stood = desk.shown("tree")
        with away(desk.page):
            desk.drag("tree", 3900, 900)
            wait_saved(desk, "not saved: 1 change waits until the program answers")
            fill(tiny_disk)
            use_up(home)
        wait_begins(desk.page, f"not saved: 1 change waits: {FULL}")
        assert desk.shown("tree") != stood
        assert stored(desk.page) == 1
        # what is done on it now waits as well, and is listed
        moved = desk.shown("tree")
        desk.drag("box", 2700, 3400)
        wait_begins(desk.page, f"not saved: 2 changes wait: {FULL}")
        assert desk.page.locator("details.waits li").count() == 2
        (tiny_disk / "ballast").unlink()
        wait_saved(desk, "saved")
        assert desk.shown("tree") == moved
        assert desk.pose("tree")[:2] == pytest.approx((3900, 900), abs=20)
        assert desk.pose("box")[:2] == pytest.approx((2700, 3400), abs=20)
        assert stored(desk.page) == 0
        home.expect(rf"{AWAY}|503")
        home.close()
    assert (tiny_disk / "plans" / FILE_NAME).exists()


@pytest.mark.long
def test_why_something_that_waited_was_refused_stays_to_be_read(home: Household) -> None:
    desk = desk_at_rest(home)
    # what a page left waiting, and what no plan has a place for
    change = {"path": ["nowhere"], "before": None, "after": 1}
    command = {"name": "edit", "says": "put it nowhere", "changes": [change]}
    waits = json.dumps([{"id": 1, "command": command, "seen": 0}])
    key = f"waiting /api/plans/{home.plan_id}"
    desk.page.evaluate("([key, waits]) => sessionStorage.setItem(key, waits)", [key, waits])
    desk.page.reload()
    desk.ready()
    wait_begins(desk.page, "not saved: ")
    refused = desk.page.locator(".saved").text_content() or ""
    assert "nowhere" in refused
    assert stored(desk.page) == 0
    # what others do meanwhile is shown, and does not wipe it off
    renamed(home, "Another name")
    expect(desk.page.locator(".plan-name")).to_have_text("Another name", timeout=SAVE_MS)
    wait_saved(desk, refused)
    desk.drag("box", 2700, 3400)
    wait_saved(desk, "saved")
    home.expect("status of 4")


@pytest.mark.long
def test_nothing_waits_once_the_last_change_is_taken_back_without_a_network(
    home: Household,
) -> None:
    desk = desk_at_rest(home)
    with away(desk.page):
        desk.drag("tree", 3900, 900)
        wait_saved(desk, "not saved: 1 change waits until the program answers")
        with desk.page.expect_event("requestfailed"):
            desk.page.locator('[data-act="undo"]').click()
        wait_saved(desk, OUT_OF_REACH)
    wait_saved(desk, "saved")
    home.expect(AWAY)


@pytest.mark.long
def test_a_worker_that_the_browser_ends_leaves_nobody_deaf(
    browser: Browser, home: Household
) -> None:
    desk = desk_at_rest(home)
    devtools = browser.new_browser_cdp_session()
    with desk.page.expect_request("**/stream", timeout=SAVE_MS):
        targets = devtools.send("Target.getTargets")["targetInfos"]
        ended = [t["targetId"] for t in targets if home.plan_id in t["url"]]
        workers = {t["targetId"] for t in targets if t["type"] == "shared_worker"}
        for target in workers.intersection(ended):
            devtools.send("Target.closeTarget", {"targetId": target})
        assert workers.intersection(ended)
    devtools.detach()
    renamed(home, "Another name")
    desk.at_revision(1)


@pytest.mark.long
def test_a_line_that_never_broke_is_not_called_broken(home: Household) -> None:
    desk = desk_at_rest(home)
    page = desk.page
    page.evaluate(
        """() => {
            const head = document.querySelector('.saved');
            window.said = [];
            new MutationObserver(() => window.said.push(head.textContent))
                .observe(head, { childList: true, subtree: true, characterData: true });
        }"""
    )
    page.evaluate("window.dispatchEvent(new Event('online'))")
    page.wait_for_function("() => window.said.length > 1")
    assert page.evaluate("window.said") == [OUT_OF_REACH, "saved"]
    renamed(home, "Another name")
    desk.at_revision(1)


@pytest.mark.long
def test_the_page_of_the_room_says_that_the_program_has_ended(
    browser: Browser, tmp_path: Path
) -> None:
    data = tmp_path / "plans"
    with RunningApp(data) as running:
        home = Household(browser, running, workshop(ceiling=HIGH))
        page = home.owner.new_page()
        page.add_init_script("delete globalThis.SharedWorker")
        with page.expect_response("**/stream"):
            page.goto(f"/plan/{home.plan_id}/room")
        said = page.locator("#saved")
        expect(said).to_have_text("")
    expect(said).to_have_text(OUT_OF_REACH, timeout=SAVE_MS)
    with RunningApp(data, "--port", str(urlsplit(running.url).port)):
        expect(said).to_have_text("", timeout=SAVE_MS)
        closed(home)
