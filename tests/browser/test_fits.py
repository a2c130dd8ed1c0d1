"""What fits at a spot: pointed at on the drawing or typed, the same answer."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.rest import axe_faults
from tests.browser.store import PlanStore
from tests.builders import make_plan, make_room, place


@pytest.mark.long
def test_a_click_on_the_drawing_asks_what_typing_asks(page: Page, kept: PlanStore) -> None:
    tree = place("plate-tree", 1700, 300, piece_id="tree")
    plan_id = kept.put(make_plan(tree, room=make_room(2000, 1400, 2150)))
    page.goto(f"/plan/{plan_id}/fits")
    page.get_by_label("From the left of the drawing").fill("500 mm")
    page.get_by_label("From the top of the drawing").fill("0.7")
    page.get_by_role("button", name="What fits there").press("Enter")
    # what takes least to find is there before the rest is
    expect(page.get_by_text("Height at this spot")).to_be_visible(timeout=20_000)
    expect(page.get_by_text("kinds of kit were tried.")).to_be_visible(timeout=60_000)
    typed = page.locator("#fits").inner_text()
    assert "Jump box" in typed
    assert axe_faults(page) == []
    mark = page.locator(".fits-mark circle").bounding_box()
    assert mark is not None
    page.get_by_role("link", name="The whole room").click()
    # the page of the spot takes no click any more
    page.wait_for_url(re.compile(r"/fits(?!.*across=)"))
    page.mouse.click(mark["x"] + mark["width"] / 2, mark["y"] + mark["height"] / 2)
    page.wait_for_url(re.compile(r"across="))
    expect(page.get_by_text("kinds of kit were tried.")).to_be_visible(timeout=60_000)
    left = page.get_by_label("From the left of the drawing").input_value()
    assert abs(int(left.split()[0]) - 500) <= 20
    assert page.locator("#fits").inner_text() == typed
