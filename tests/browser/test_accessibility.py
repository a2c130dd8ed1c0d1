"""axe finds nothing on any page, wide, middling and narrow, by day and by night."""

from typing import Literal

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import OpenPage
from tests.browser.desk import Desk
from tests.browser.rest import OF_COLOUR, axe_faults
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore

MIDDLE, NARROW = (1024, 768), (390, 844)
DAY: Literal["light"] = "light"
NIGHT: Literal["dark"] = "dark"

# Each group of pages is one test, so that workers can share them out.
PAGES = {
    "of all plans": ("/", "/new", "/cautions"),
    "of paper": ("/plan/{plan}/works?of=contents", "/plan/{plan}/today", "/plan/{plan}/print"),
    "of people": ("/plan/{plan}/people", "/plan/{plan}/together"),
    "of figures": ("/plan/{plan}/figures", "/plan/{plan}/figures?q=glass&of=flight.swing-mm"),
    "of money": ("/plan/{plan}/works?of=diary", "/plan/{plan}/months", "/plan/{plan}/second-hand"),
}
EACH_TIME = ("of all plans", "of paper")
"""At people `test_people.py` looks on a phone each time; figures and money are lists and forms."""
AT_NIGHT = ("/", "/plan/{plan}/people", "/plan/{plan}/works?of=contents")


class Looks:
    """What axe has against a page, by what was looked at and by its light.

    The page stays loaded while its light changes: only colours hang on it.
    """

    def __init__(self, page: Page) -> None:
        self.page = page
        self.faults: dict[tuple[str, str], list[str]] = {}

    def at(self, what: str, *lights: Literal["light", "dark"]) -> None:
        """Look at the page as it is, in each of the lights: in the second at colours alone."""
        for light in lights:
            self.page.emulate_media(color_scheme=light)
            faults = axe_faults(self.page, None if light == lights[0] else OF_COLOUR)
            if faults:
                self.faults[what, light] = faults


def choose(desk: Desk) -> None:
    desk.drawn("box").focus()
    expect(desk.drawn("box")).to_have_attribute("aria-pressed", "true")
    expect(desk.card).to_be_visible()


def open_why(desk: Desk) -> None:
    snags = desk.page.get_by_role("navigation", name="Drawers").get_by_role("button", name="Snags")
    if snags.is_visible():
        snags.click()
    row = desk.slip.locator("li.snag").first
    row.get_by_role("button", name="Why").click()
    row.locator(".mark").click()
    expect(row.locator(".sources")).to_be_visible()


def open_films(page: Page) -> None:
    page.locator(".films summary").click()
    page.get_by_role("checkbox", name="Routes").check()
    page.get_by_role("combobox", name="Headroom of").select_option(index=1)
    expect(page.locator(".room-key")).to_be_visible()
    expect(page.get_by_role("list", name="Ways on foot")).to_be_visible()


@pytest.fixture
def plan_id(kept: PlanStore) -> str:
    return kept.put(workshop())


@pytest.mark.parametrize(
    "group",
    [pytest.param(one, marks=() if one in EACH_TIME else pytest.mark.long) for one in PAGES],
)
def test_wide(page: Page, plan_id: str, group: str) -> None:
    looks = Looks(page)
    for path in PAGES[group]:
        page.goto(path.format(plan=plan_id))
        looks.at(path, DAY, *([NIGHT] if path in AT_NIGHT else []))
    assert looks.faults == {}


def test_the_desk_wide(page: Page, kept: PlanStore, plan_id: str) -> None:
    looks, desk = Looks(page), Desk(page, kept, plan_id).open()
    choose(desk)
    looks.at("a piece chosen", DAY, NIGHT)
    assert looks.faults == {}


@pytest.mark.long
def test_the_desk_wide_at_rest_and_with_a_reason_open(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    looks, desk = Looks(page), Desk(page, kept, plan_id).open()
    looks.at("at rest", DAY)
    open_why(desk)
    looks.at("why open", DAY, NIGHT)
    assert looks.faults == {}


@pytest.mark.long
def test_the_offer_and_the_films(page: Page, kept: PlanStore, plan_id: str) -> None:
    looks = Looks(page)
    Desk(page, kept, plan_id).open().with_shelf()
    offer = page.get_by_role("dialog", name="Will this one fit?")
    page.get_by_role("button", name="Will this one fit?").click()
    expect(offer).to_be_visible()
    looks.at("the offer", DAY)
    page.keyboard.press("Escape")
    expect(offer).to_be_hidden()
    open_films(page)
    looks.at("films", NIGHT)
    assert looks.faults == {}


@pytest.mark.long
def test_middling_by_night(open_page: OpenPage, kept: PlanStore, plan_id: str) -> None:
    page = open_page(*MIDDLE, dark=True)
    looks = Looks(page)
    for path in ("/new", f"/plan/{plan_id}/print"):
        page.goto(path)
        looks.at(path, NIGHT)
    Desk(page, kept, plan_id).open()
    looks.at("desk", NIGHT)
    assert looks.faults == {}


def test_on_a_phone(open_page: OpenPage, kept: PlanStore, plan_id: str) -> None:
    page = open_page(*NARROW, touch=True)
    looks = Looks(page)
    page.goto("/")
    looks.at("/", DAY)
    desk = Desk(page, kept, plan_id).open()
    looks.at("desk", DAY)
    open_why(desk)
    looks.at("why open", DAY)
    assert looks.faults == {}
