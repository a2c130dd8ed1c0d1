"""Starting from a set in a browser: from an empty desk to kit in the room, one step to undo."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import OpenPage
from tests.browser.desk import Desk
from tests.browser.matrix import LOOKED_AT
from tests.browser.rest import axe_faults
from tests.browser.store import PlanStore
from tests.builders import make_person, make_plan, make_room

PHONE = (390, 844)
SEARCH_MS = 60_000


@pytest.fixture
def plan_id(kept: PlanStore) -> str:
    return kept.put(make_plan(room=make_room(4000, 3500, 2500), people=(make_person(1700),)))


@pytest.mark.long
def test_an_empty_desk_leads_to_a_set_that_is_one_step(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    page.set_default_timeout(SEARCH_MS)
    desk = Desk(page, kept, plan_id).open()
    page.get_by_role("link", name="see what to buy for this room").click()
    page.locator('a[href$="set=heart-first"]').click()
    expect(page.locator(".start-shown .figure .piece")).to_have_count(3)
    assert kept.pieces(plan_id) == {}
    # Bike 420, rope 15, mat 30.
    expect(page.locator('a[href$="set=heart-first"] .set-sum')).to_have_text("about €465")
    page.get_by_role("button", name="Put these in").click()
    desk.ready()
    assert {p["type"] for p in kept.pieces(plan_id).values()} == {
        "bike",
        "skipping-space",
        "mat-space",
    }
    assert kept.read(plan_id)["revision"] == 1
    assert kept.stops(plan_id) == 0
    expect(page.locator(".nothing-yet")).to_have_count(0)
    with desk.one_command():
        page.get_by_role("button", name="Undo").click()
    assert kept.pieces(plan_id) == {}


@LOOKED_AT
def test_axe_finds_nothing_and_nothing_runs_off_the_page(
    open_page: OpenPage, plan_id: str, size: tuple[int, int], dark: bool
) -> None:
    page = open_page(*size, dark=dark, touch=size == PHONE)
    page.set_default_timeout(SEARCH_MS)
    for path in ("", "/start?set=heart-first", "/start?list=1&for=heart&sum=500"):
        page.goto(f"/plan/{plan_id}{path}", timeout=SEARCH_MS)
        assert axe_faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
