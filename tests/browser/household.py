"""Two browsers on one plan: the owner's desk, and a guest who came by a link over the network."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from html import unescape

from playwright.sync_api import Browser, BrowserContext, Page

from app.model.plan import Plan
from tests.browser.conftest import ACTION_MS, Watch, motion
from tests.browser.desk import Desk
from tests.browser.running import RunningApp
from tests.browser.store import PlanStore

PHONE = (390, 844)
WIDE = (1440, 900)


class Household:
    """The owner and the guests of one plan. Whatever goes wrong on any page is gathered."""

    def __init__(self, browser: Browser, running: RunningApp, plan: Plan) -> None:
        self.browser = browser
        self.running = running
        self.kept = PlanStore(running.url)
        self.plan_id = self.kept.put(plan)
        self.contexts: list[BrowserContext] = []
        self.watches: list[Watch] = []
        self.owner = self.context(running.url, WIDE)

    def context(self, url: str, size: tuple[int, int]) -> BrowserContext:
        """Give a browser of its own; `url` tells where all its requests must go."""
        root = re.match(r"https?://[^/]+/", url)
        assert root is not None
        phone = size == PHONE
        context = self.browser.new_context(
            base_url=url,
            viewport={"width": size[0], "height": size[1]},
            has_touch=phone,
            is_mobile=phone,
            locale="en-GB",
            reduced_motion=motion(phone),
        )
        context.set_default_timeout(ACTION_MS)
        watch = Watch(root[0])
        watch.over(context)
        self.contexts.append(context)
        self.watches.append(watch)
        return context

    def invite(self, name: str, rights: str) -> str:
        """Make a link on the owner's page and give its address."""
        page = self.owner.new_page()
        page.goto(f"/plan/{self.plan_id}/share")
        page.get_by_label("For whom").fill(name)
        page.locator(f'input[name="rights"][value="{rights}"]').check()
        page.get_by_role("button", name="Make the link").click()
        row = page.locator("li.link", has_text=name)
        assert row.locator("svg.qr").is_visible()
        address = row.locator(".url a").text_content() or ""
        page.close()
        return address

    def link(self, name: str, rights: str) -> str:
        """Make a link past the pages, by what the form on the owner's page sends."""
        shared = f"plan/{self.plan_id}/share"
        shown = self.kept.send_form(
            f"{shared}/links", {"name": name, "rights": rights, "hours": "168"}
        )
        found = re.search(r'class="url"><a href="([^"]+)"', shown)
        assert found is not None, shown
        return unescape(found[1])

    def owners_desk(self) -> Desk:
        """Open the owner's desk."""
        return Desk(self.owner.new_page(), self.kept, self.plan_id).open()

    def guests_desk(self, address: str, size: tuple[int, int] = WIDE) -> Desk:
        """Open the desk in a browser of a guest who may edit."""
        page = self.context(address, size).new_page()
        page.goto(f"{address}plan/{self.plan_id}")
        return Desk(page, self.kept, self.plan_id).ready()

    def guests_page(self, address: str, size: tuple[int, int] = PHONE) -> Page:
        """Open the guest's page."""
        page = self.context(address, size).new_page()
        page.goto(address)
        page.locator("body[data-ready]").wait_for()
        return page

    def expect(self, pattern: str) -> None:
        """Let faults that match pass on every page."""
        for watch in self.watches:
            watch.faults = [f for f in watch.faults if not re.search(pattern, f)]

    def close(self) -> None:
        """Close all browsers; what went wrong and was not expected fails the test."""
        for context in self.contexts:
            context.close()
        faults = [fault for watch in self.watches for fault in watch.faults]
        assert faults == [], faults


@contextmanager
def away(page: Page) -> Iterator[None]:
    """Take the network from a browser for a while."""
    page.context.set_offline(True)
    yield
    page.context.set_offline(False)
