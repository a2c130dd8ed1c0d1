"""The shopping list on a phone, where a tick without a signal waits; a yes to what will be done."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import OpenPage, Watch
from tests.browser.rest import axe_faults
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore

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
