"""Lists on a phone, where a tick without a signal waits; a yes to what will be done."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from app.model.flooring import FloorLaying
from tests.browser.conftest import OpenPage, Watch
from tests.browser.rest import axe_faults
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore
from tests.builders import make_plan, make_room

PHONE = (390, 844)


@pytest.fixture
def plan_id(kept: PlanStore) -> str:
    return kept.put(workshop())


def test_a_tick_without_a_signal_is_kept_and_sent_later(
    open_page: OpenPage, kept: PlanStore, plan_id: str, watch: Watch
) -> None:
    watch.expect(r"ERR_INTERNET_DISCONNECTED")
    page = open_page(*PHONE, touch=True)
    page.goto(f"/plan/{plan_id}/shopping")
    assert axe_faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0]
    left = page.locator("#left b")
    before = int(left.inner_text())
    tick = page.locator(".errand .tick-box").first
    page.context.set_offline(True)
    tick.tap()
    expect(tick).to_have_attribute("aria-pressed", "true")
    expect(left).to_have_text(str(before - 1))
    assert kept.plan(plan_id)["money"]["entries"] == []
    page.context.set_offline(False)
    expect(page.locator(".is-waiting")).to_have_count(0)
    (entry,) = kept.plan(plan_id)["money"]["entries"]
    assert entry["standing"] == "bought"
    page.get_by_role("button", name="Have it").first.tap()
    expect(left).to_have_text(str(before - 2))


def test_a_yes_to_what_will_be_done_is_said_by_keys_alone(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    page.goto(f"/plan/{plan_id}/room?of=will")
    assert axe_faults(page) == []
    page.get_by_role("button", name=re.compile("Yes.*Lay a floor")).focus()
    page.keyboard.press("Enter")
    expect(page.locator(".will.is-chosen")).to_contain_text("Yes: Rubber mat")
    assert len(kept.plan(plan_id)["fit_out"]["floors"]) == 1


def test_a_piece_that_lies_without_a_signal_is_kept_and_the_next_one_is_shown(
    open_page: OpenPage, kept: PlanStore, watch: Watch
) -> None:
    watch.expect(r"ERR_INTERNET_DISCONNECTED")
    mats = FloorLaying(id="f", joints="straight")
    plan = make_plan(room=make_room(2430, 1730))
    fit = plan.fit_out.model_copy(update={"floors": (mats,)})
    plan_id = kept.put(plan.model_copy(update={"fit_out": fit}))
    page = open_page(*PHONE, touch=True)
    page.goto(f"/plan/{plan_id}/lay?of=f", wait_until="networkidle")
    page.context.set_offline(True)
    for number in (1, 2):
        expect(page.locator(".here")).to_contain_text(f"Piece {number} of 6")
        page.get_by_role("button", name="It is down", exact=True).tap()
    expect(page.locator(".here")).to_contain_text("Piece 3 of 6")
    expect(page.locator("[data-waits]")).to_contain_text("pieces 1, 2 are kept here as laid")
    assert kept.plan(plan_id)["fit_out"]["floors"][0]["laid"] == []
    page.context.set_offline(False)
    expect(page.locator(".lay-count")).to_have_text("2 laid")
    laid = kept.plan(plan_id)["fit_out"]["floors"][0]["laid"]
    assert [piece["id"] for piece in laid if piece["down"]] == ["1", "2"]
    assert axe_faults(page) == []
    page.get_by_role("button", name="This one is spoiled: take another").tap()
    expect(page.locator("article").nth(1)).to_contain_text("1 piece spoiled")
