"""Names without a single gap wrap: nothing on any page is wider than the page."""

import pytest
from playwright.sync_api import Page

from app.model.plan import Plan
from tests.browser.conftest import OpenPage
from tests.browser.desk import Desk
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore

SHEETS = (
    "/people", "/room", "/together", "/quantities", "/cost", "/works", "/today", "/options",
    "/print", "/history", "/share",
)  # fmt: skip
WIDTHS = (390, 800, 1440)
TOO_WIDE = """() => {
    const most = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth <= most) return [];
    return [...document.body.querySelectorAll('*')]
        .filter((one) => one.getBoundingClientRect().right > most + 1)
        .map((one) => `${one.localName}.${one.className.baseVal ?? one.className}`)
        .slice(-6);
}"""


LONGEST = 120
"""As many letters as a name may have; of wide ones, as wide as some 200 of a usual name."""


def unbroken(field: str) -> str:
    return (field + "mWW" * LONGEST)[:LONGEST]


@pytest.fixture
def plan_id(kept: PlanStore) -> str:
    data = workshop(name=unbroken("Plan"), label=unbroken("Box")).model_dump(mode="json")
    for person in data["people"]:
        person["label"] = unbroken("Ada")
    data["drawn_for"] = unbroken("House")
    for piece in data["pieces"]:
        piece["note"] = unbroken("Note")
    return kept.put(Plan.model_validate(data))


def wide(page: Page) -> list[str]:
    found: list[str] = page.evaluate(TOO_WIDE)
    return found


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_wider_than_the_page(
    open_page: OpenPage, kept: PlanStore, plan_id: str, width: int
) -> None:
    page = open_page(width, 844, touch=width == 390)
    found = {}
    page.goto("/")
    found["/"] = wide(page)
    for sheet in SHEETS:
        page.goto(f"/plan/{plan_id}{sheet}")
        found[sheet] = wide(page)
    desk = Desk(page, kept, plan_id).open()
    found["desk"] = wide(page)
    desk.choose("box")
    found["card"] = wide(page)
    assert {where: parts for where, parts in found.items() if parts} == {}
