"""A program that ends and is started anew: open pages say so, come back and lose nothing."""

import json
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Route

from tests.browser.desk import Desk
from tests.browser.household import Household
from tests.browser.rooms import HIGH, workshop
from tests.browser.running import RunningApp
from tests.browser.test_company import AWAY, LATE_PARTS, remove, wait_saved

ENDED = rf"{AWAY}|CONNECTION_REFUSED|CONNECTION_RESET|EMPTY_RESPONSE|INCOMPLETE_CHUNKED|503"


def closed(home: Household) -> None:
    """Close all browsers once the last program has ended, which they say as well."""
    # what pages say last comes while they are closed
    while home.contexts:
        home.contexts.pop().close()
    home.expect(ENDED)
    home.close()


def renamed(home: Household, name: str) -> None:
    """Rename the plan past every page."""
    home.kept.ask(f"api/plans/{home.plan_id}/name", json.dumps({"name": name}).encode())


def starts(data: Path, running: ExitStack) -> Callable[[RunningApp], RunningApp]:
    """A way to end a program and start it anew where it was."""

    def anew(first: RunningApp) -> RunningApp:
        port = urlsplit(first.url).port
        first.stop()
        return running.enter_context(RunningApp(data, "--port", str(port)))

    return anew


@pytest.mark.long
def test_pages_say_that_the_program_has_ended_and_come_back_with_the_next(
    browser: Browser, tmp_path: Path
) -> None:
    data = tmp_path / "plans"
    with ExitStack() as running:
        first = running.enter_context(RunningApp(data))
        home = Household(browser, first, workshop(ceiling=HIGH))
        running.callback(closed, home)
        desk = home.owners_desk()
        wait_saved(desk, "saved")
        desk.page.wait_for_function(LATE_PARTS, arg=["piece_actions.js", "piece.js", "tape.js"])
        first.stop()
        wait_saved(desk, "out of reach: what you see may be old")
        remove(desk, "tree")
        wait_saved(desk, "not saved: 1 change waits until the program answers")
        starts(data, running)(first)
        desk.at_revision(1)
        wait_saved(desk, "saved")
        # and it hears again of what others do
        renamed(home, "Another name")
        desk.at_revision(2)


@pytest.mark.long
@pytest.mark.parametrize("part", ["main.js", "company.js", "live-worker.js", "stream"])
def test_a_program_started_anew_while_the_page_loads_is_followed(
    browser: Browser, tmp_path: Path, part: str
) -> None:
    data = tmp_path / "plans"
    with ExitStack() as running:
        first = running.enter_context(RunningApp(data))
        home = Household(browser, first, workshop(ceiling=HIGH))
        running.callback(closed, home)
        anew, once = starts(data, running), [first]

        def end_first(route: Route) -> None:
            if once:
                anew(once.pop())
            route.continue_()

        home.owner.route(f"**/{part}*", end_first)
        desk = Desk(home.owner.new_page(), home.kept, home.plan_id).open()
        wait_saved(desk, "saved")
        assert part in ("live-worker.js", "stream") or not once
        renamed(home, "Another name")
        desk.at_revision(1)
