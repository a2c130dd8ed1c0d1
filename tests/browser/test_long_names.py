"""Names without a single gap wrap: nothing on any page is wider than the page."""

import pytest
from playwright.sync_api import Page

from app.model.base import json_of
from app.model.plan import Plan
from tests.arranging.hand_made import sample
from tests.browser.conftest import OpenPage
from tests.browser.desk import Desk
from tests.browser.rest import painted
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore
from tests.thinned import one_of

SHEETS = (
    "/people", "/room", "/together", "/quantities", "/cost", "/works", "/today", "/options",
    "/print", "/history", "/share", "/start", "/picture", "/months", "/kit", "/lay", "/fits",
    "/arrange", "/shopping", "/second-hand", "/now", "/walk", "/figures", "/ask", "/measuring",
)  # fmt: skip
PHONE, HEIGHT = 390, 844
# A page is loaded once for all the widths of a window, and once more as a phone has it.
WIDTHS = ((PHONE,), (1440, 1024, 800))
TOO_WIDE = """() => {
    const most = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth <= most) return [];
    return [...document.body.querySelectorAll('*')]
        .filter((one) => one.getBoundingClientRect().right > most + 1)
        .map((one) => `${one.localName}.${one.className.baseVal ?? one.className}`)
        .slice(-6);
}"""


LONGEST = 200
"""As many letters as a name may have; of wide ones, as wide as some 330 of a usual name."""


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


@pytest.mark.parametrize("widths", one_of(2, WIDTHS), ids=["phone", "wider"])
@pytest.mark.long
def test_nothing_is_wider_than_the_page(
    open_page: OpenPage, kept: PlanStore, plan_id: str, widths: tuple[int, ...]
) -> None:
    page = open_page(widths[0], HEIGHT, touch=widths[0] == PHONE)
    found: dict[tuple[str, int], list[str]] = {}

    def look(where: str) -> None:
        for width in widths:
            page.set_viewport_size({"width": width, "height": HEIGHT})
            painted(page)
            found[where, width] = wide(page)

    for path in ("/", *(f"/plan/{plan_id}{sheet}" for sheet in SHEETS)):
        page.goto(path)
        look(path)
    desk = Desk(page, kept, plan_id).open()
    look("desk")
    desk.choose("box")
    look("card")
    assert {where: parts for where, parts in found.items() if parts} == {}


def test_a_page_of_kit_is_no_wider_than_its_window(open_page: OpenPage, plan_id: str) -> None:
    page = open_page(PHONE, HEIGHT)
    page.goto(f"/plan/{plan_id}/kit")
    found = {}
    for width in (PHONE, 1024, 1440):
        page.set_viewport_size({"width": width, "height": HEIGHT})
        found[width] = wide(page)
    assert found == {PHONE: [], 1024: [], 1440: []}


SPILLS = """() => [...document.querySelectorAll(
    '.arrange-card, .arrange-large, .arrange-foot, .chip')]
    .filter((one) => one.offsetParent && [...one.querySelectorAll('*')].some((inner) =>
        !inner.closest('svg') && !inner.closest('.unseen') && inner.offsetParent &&
        inner.getBoundingClientRect().right > one.getBoundingClientRect().right + 1))
    .map((one) => one.className)"""
"""What is wider than the card, paper or row that it stands in."""
CUT_OFF = """() => ['.arrange-card.is-chosen', '.worth th.best'].filter((part) => {
    const one = [...document.querySelectorAll(part)].pop();
    if (!one) return false;
    const [own, strip] = [one, one.closest('.arrange-cards, .table-scroll')]
        .map((each) => each.getBoundingClientRect());
    return own.left < strip.left - 1 || own.right > strip.right + 1;
})"""
"""What the page is about, pushed out of sight in the strip or table that it lies in."""
LOOK = """() => fetch(location.href, {method: 'POST', body: new URLSearchParams(
    {edit: 'begin', steps: '6', 'wish-piece-0': 'rack-1', 'wish-how-0': 'far',
     'wish-to-0': 'piece:rower-1'})}).then((reply) => reply.status)"""


@pytest.mark.long
def test_layouts_of_kit_with_long_names_stay_on_their_cards(
    open_page: OpenPage, kept: PlanStore
) -> None:
    data = json_of(sample("single-garage"))
    data["name"] = unbroken("Plan")
    for piece in data["pieces"]:
        piece["label"] = unbroken(piece["id"])
    plan_id = kept.put(Plan.model_validate(data))
    page = open_page(PHONE, HEIGHT, touch=True)
    page.goto(f"/plan/{plan_id}/arrange")
    assert page.evaluate(LOOK) == 200
    page.goto(f"/plan/{plan_id}/arrange")
    page.wait_for_selector(".arrange:not([data-running]) .arrange-card[data-key]", timeout=60_000)
    cards = page.locator(".arrange-card[data-key]")
    assert cards.count() >= 2
    # who opens the page of a search that is over has before them what it speaks of
    page.reload()
    painted(page)
    assert page.evaluate(CUT_OFF) == []
    found = {}
    for width in (PHONE, 800, 1440):
        page.set_viewport_size({"width": width, "height": HEIGHT})
        for number in range(cards.count()):
            cards.nth(number).locator(".look-at").click()
            painted(page)
            found[width, number] = wide(page) + page.evaluate(SPILLS)
    assert {where: parts for where, parts in found.items() if parts} == {}
