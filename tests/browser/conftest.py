"""A browser, the running program, and pages that forgive nothing."""

import re
from collections.abc import Iterator
from typing import Protocol

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Error,
    Page,
    Request,
    expect,
    sync_playwright,
)

from tests.browser.chromium import launch_arguments, make_sure
from tests.browser.running import RunningApp
from tests.browser.store import PlanStore

# Long enough for a machine that does three other things: what never comes still fails.
ACTION_MS = 30_000
expect.set_options(timeout=ACTION_MS)
DESK = (1440, 900)
OWN_SCHEMES = ("data:", "blob:", "about:")


class Watch:
    """What went wrong on the pages of one test: errors, and requests to anywhere else."""

    def __init__(self, origin: str) -> None:
        self.origin = origin
        self.faults: list[str] = []
        self._expected: list[str] = []

    def expect(self, pattern: str) -> None:
        """Let faults that match the regular expression pass; each pattern must come up."""
        self._expected.append(pattern)

    def over(self, context: BrowserContext) -> None:
        """Watch every page of the context, those it opens later too."""
        context.on("weberror", lambda error: self._fault(f"page error: {error.error}"))
        context.on("console", self._heard)
        context.on("request", self._asked)

    def verdict(self) -> list[str]:
        """Return the faults that nobody expected, and the expectations that did not come up."""
        bad = [f for f in self.faults if not any(re.search(p, f) for p in self._expected)]
        absent = [p for p in self._expected if not any(re.search(p, f) for f in self.faults)]
        return bad + [f"expected but did not happen: {pattern}" for pattern in absent]

    def _fault(self, text: str) -> None:
        self.faults.append(text)

    def _heard(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self._fault(f"console: {message.text} ({message.location.get('url', '')})")

    def _asked(self, request: Request) -> None:
        if not request.url.startswith((self.origin, *OWN_SCHEMES)):
            self._fault(f"request to elsewhere: {request.url}")


class OpenPage(Protocol):
    """Open an empty page of a size in CSS pixels.

    ``touch`` makes it a phone or tablet; without ``scripts`` it runs none.
    """

    def __call__(
        self,
        width: int,
        height: int,
        dark: bool = False,
        touch: bool = False,
        scripts: bool = True,
    ) -> Page: ...


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One browser for all tests; what a test leaves behind goes with its context."""
    program = make_sure()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=launch_arguments())
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def live_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningApp]:
    """The program on a free port; all tests of one worker share it and its data folder."""
    with RunningApp(tmp_path_factory.mktemp("data") / "plans") as running:
        yield running


@pytest.fixture
def kept(live_server: RunningApp) -> PlanStore:
    """What the program keeps, asked past the pages."""
    return PlanStore(live_server.url)


@pytest.fixture
def watch(live_server: RunningApp) -> Iterator[Watch]:
    """Gather what goes wrong on any page and fail the test for it at the end."""
    watch = Watch(live_server.url)
    yield watch
    assert watch.verdict() == []


@pytest.fixture
def open_page(browser: Browser, live_server: RunningApp, watch: Watch) -> Iterator[OpenPage]:
    """A way to open pages of other sizes; relative addresses go to the running program."""
    contexts: list[BrowserContext] = []

    def open_one(
        width: int, height: int, dark: bool = False, touch: bool = False, scripts: bool = True
    ) -> Page:
        context = browser.new_context(
            base_url=live_server.url,
            viewport={"width": width, "height": height},
            color_scheme="dark" if dark else "light",
            has_touch=touch,
            is_mobile=touch,
            java_script_enabled=scripts,
            locale="en-GB",
        )
        contexts.append(context)
        context.set_default_timeout(ACTION_MS)
        watch.over(context)
        return context.new_page()

    yield open_one
    for context in contexts:
        try:
            context.close()
        except Error as fault:
            watch.faults.append(f"closing: {fault}")


@pytest.fixture
def page(open_page: OpenPage) -> Page:
    """A page of the size of a desk."""
    return open_page(*DESK)
