"""A browser, the running program, and pages that forgive nothing."""

import re
from collections.abc import Iterator
from typing import Literal, Protocol

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Error,
    Page,
    Request,
    WebError,
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
KEPT_BY_PAGES = "local_storage,indexeddb,cache_storage,service_workers"
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
        context.on("weberror", self._broke)
        context.on("console", self._heard)
        context.on("request", self._asked)

    def leave(self, context: BrowserContext) -> None:
        """Watch the context no longer: the next test has a watch of its own."""
        context.remove_listener("weberror", self._broke)
        context.remove_listener("console", self._heard)
        context.remove_listener("request", self._asked)

    def verdict(self) -> list[str]:
        """Return the faults that nobody expected, and the expectations that did not come up."""
        bad = [f for f in self.faults if not any(re.search(p, f) for p in self._expected)]
        absent = [p for p in self._expected if not any(re.search(p, f) for f in self.faults)]
        return bad + [f"expected but did not happen: {pattern}" for pattern in absent]

    def _fault(self, text: str) -> None:
        self.faults.append(text)

    def _broke(self, error: WebError) -> None:
        self._fault(f"page error: {error.error}")

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


class Windows:
    """Windows of a browser, by their size and kind, one after another for all tests of a worker.

    Only the first fetches and compiles styles and scripts. What pages keep in the browser is
    cleared before a window is lent again; what a tab keeps goes with the tab.
    """

    def __init__(self, browser: Browser, url: str) -> None:
        self.browser = browser
        self.url = url
        self._made: dict[tuple[object, ...], BrowserContext] = {}

    def lend(self, *kind: *tuple[int, int, bool, bool, bool]) -> BrowserContext:
        """Return a window without pages: width, height, dark, touch, scripts."""
        if kind not in self._made:
            width, height, dark, touch, scripts = kind
            self._made[kind] = self.browser.new_context(
                base_url=self.url,
                viewport={"width": width, "height": height},
                color_scheme="dark" if dark else "light",
                has_touch=touch,
                is_mobile=touch,
                java_script_enabled=scripts,
                locale="en-GB",
                reduced_motion=motion(touch),
            )
            self._made[kind].set_default_timeout(ACTION_MS)
        return self._made[kind]

    def empty_page(self, context: BrowserContext) -> Page:
        """Return a new page of a window in which nothing is kept from before."""
        page = context.new_page()
        if len(context.pages) == 1:
            devtools = context.new_cdp_session(page)
            every = {"origin": self.url.rstrip("/"), "storageTypes": KEPT_BY_PAGES}
            devtools.send("Storage.clearDataForOrigin", every)
            devtools.detach()
        return page

    def take_back(self, context: BrowserContext) -> None:
        """Close the pages of a window, those that pages have opened too."""
        for page in context.pages:
            page.close()
        context.set_offline(False)

    def close(self) -> None:
        """Close all windows."""
        for context in self._made.values():
            context.close()


def motion(touch: bool) -> Literal["no-preference", "reduce"]:
    """Return whether a window asks for less motion: wide ones do, phones have all of it.

    What slides in slides on phones alone. On the desk only the mark of a search moves, and paints
    the page sixty times a second for as long as a test looks at it.
    """
    return "no-preference" if touch else "reduce"


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One browser for all tests of a worker."""
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


@pytest.fixture(scope="session")
def every_window(browser: Browser) -> Iterator[dict[str, Windows]]:
    """The windows on each program that runs, by its address."""
    every: dict[str, Windows] = {}
    yield every
    for windows in every.values():
        windows.close()


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
def open_page(
    browser: Browser, every_window: dict[str, Windows], live_server: RunningApp, watch: Watch
) -> Iterator[OpenPage]:
    """A way to open pages of other sizes; relative addresses go to the running program."""
    windows = every_window.setdefault(live_server.url, Windows(browser, live_server.url))
    lent: list[BrowserContext] = []

    def open_one(
        width: int, height: int, dark: bool = False, touch: bool = False, scripts: bool = True
    ) -> Page:
        context = windows.lend(width, height, dark, touch, scripts)
        if context not in lent:
            lent.append(context)
            watch.over(context)
        return windows.empty_page(context)

    yield open_one
    for context in lent:
        try:
            windows.take_back(context)
        except Error as fault:
            watch.faults.append(f"closing: {fault}")
        watch.leave(context)


@pytest.fixture
def page(open_page: OpenPage) -> Page:
    """A page of the size of a desk."""
    return open_page(*DESK)
