"""axe finds nothing on any page, wide, middling and narrow, by day and by night."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import OpenPage
from tests.browser.desk import Desk
from tests.browser.rest import axe_faults
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore

WIDE, MIDDLE, NARROW = (1440, 900), (1024, 768), (390, 844)
# A page is what it shows at rest, or after something was opened on it.
State = Callable[[Page, PlanStore, str], None]


def goes(path: str) -> State:
    def state(page: Page, kept: PlanStore, plan_id: str) -> None:
        page.goto(path.format(plan=plan_id))

    return state


def at_rest(page: Page, kept: PlanStore, plan_id: str) -> None:
    Desk(page, kept, plan_id).open()


def chosen(page: Page, kept: PlanStore, plan_id: str) -> None:
    desk = Desk(page, kept, plan_id).open()
    desk.drawn("box").focus()
    expect(desk.drawn("box")).to_have_attribute("aria-pressed", "true")


def why_open(page: Page, kept: PlanStore, plan_id: str) -> None:
    desk = Desk(page, kept, plan_id).open()
    snags = page.get_by_role("navigation", name="Drawers").get_by_role("button", name="Snags")
    if snags.is_visible():
        snags.click()
    row = desk.slip.locator("li.snag").first
    row.get_by_role("button", name="Why").click()
    row.locator(".mark").click()
    expect(row.locator(".sources")).to_be_visible()


def offer_open(page: Page, kept: PlanStore, plan_id: str) -> None:
    Desk(page, kept, plan_id).open().with_shelf()
    page.get_by_role("button", name="Will this one fit?").click()
    expect(page.get_by_role("dialog", name="Will this one fit?")).to_be_visible()


def films_open(page: Page, kept: PlanStore, plan_id: str) -> None:
    Desk(page, kept, plan_id).open()
    page.locator(".films summary").click()
    page.get_by_role("checkbox", name="Routes").check()
    page.get_by_role("combobox", name="Headroom of").select_option(index=1)
    expect(page.locator(".room-key")).to_be_visible()
    expect(page.get_by_role("list", name="Ways on foot")).to_be_visible()


PAGES: dict[str, State] = {
    "home": goes("/"),
    "new": goes("/new"),
    "people": goes("/plan/{plan}/people"),
    "together": goes("/plan/{plan}/together"),
    "figures": goes("/plan/{plan}/figures"),
    "figures, one searched": goes("/plan/{plan}/figures?q=glass&of=flight.swing-mm"),
    "desk": at_rest,
    "desk, a piece chosen": chosen,
    "desk, why open": why_open,
    "works": goes("/plan/{plan}/works?of=contents"),
    "today": goes("/plan/{plan}/today"),
    "print": goes("/plan/{plan}/print"),
    "cautions": goes("/cautions"),
}


def check(page: Page, state: State, kept: PlanStore, plan_id: str) -> None:
    state(page, kept, plan_id)
    assert axe_faults(page) == []


@pytest.fixture
def plan_id(kept: PlanStore) -> str:
    return kept.put(workshop())


@pytest.mark.parametrize("name", PAGES)
def test_wide_by_day(page: Page, kept: PlanStore, plan_id: str, name: str) -> None:
    check(page, PAGES[name], kept, plan_id)


def test_the_offer(page: Page, kept: PlanStore, plan_id: str) -> None:
    check(page, offer_open, kept, plan_id)


def test_films_by_night(open_page: OpenPage, kept: PlanStore, plan_id: str) -> None:
    check(open_page(*WIDE, dark=True), films_open, kept, plan_id)


@pytest.mark.parametrize(
    "name", ["home", "people", "works", "desk, a piece chosen", "desk, why open"]
)
def test_wide_by_night(open_page: OpenPage, kept: PlanStore, plan_id: str, name: str) -> None:
    check(open_page(*WIDE, dark=True), PAGES[name], kept, plan_id)


@pytest.mark.parametrize("name", ["new", "desk", "print"])
def test_middling_by_night(open_page: OpenPage, kept: PlanStore, plan_id: str, name: str) -> None:
    check(open_page(*MIDDLE, dark=True), PAGES[name], kept, plan_id)


@pytest.mark.parametrize("name", ["home", "people", "desk", "desk, why open"])
def test_on_a_phone(open_page: OpenPage, kept: PlanStore, plan_id: str, name: str) -> None:
    check(open_page(*NARROW, touch=True), PAGES[name], kept, plan_id)
