"""The picture beside the plan: it opens, follows the hand at once and stays as it was left."""

from playwright.sync_api import Page, expect

from tests.browser.desk import Desk
from tests.browser.rooms import DOOR
from tests.browser.store import PlanStore
from tests.builders import make_plan, make_room, place

BOX = place("jump-box", 3600, 2800, piece_id="box")
RACK = place("mid-rack", 1200, 1200, piece_id="rack")
PATHS = (
    "[...document.querySelectorAll('.beside [data-owner=box] path')].map(p => p.outerHTML).join()"
)


def test_the_picture_follows_the_hand_and_is_drawn_where_it_was_let_go(
    page: Page, kept: PlanStore
) -> None:
    plan = make_plan(BOX, RACK, room=make_room(5000, 4000, openings=(DOOR,)))
    desk = Desk(page, kept, kept.put(plan)).open()
    summary = page.get_by_text("Picture of the room", exact=True)
    summary.focus()
    with page.expect_response("**/picture-now") as first:
        page.keyboard.press("Enter")
    whole = first.value.json()
    assert {"whole", "box", "words"} <= set(whole)
    box = page.locator(".beside [data-owner=box]").first
    expect(box).to_be_attached()
    before = page.evaluate(PATHS)
    desk.choose("box")
    desk.lift("box")
    with page.expect_response("**/picture-now") as step:
        desk.carry(2600, 2800)
    told = step.value.json()
    assert "whole" not in told
    assert len(told["drawn"]) < len(whole["whole"]) / 2
    with desk.one_command():
        page.mouse.up()
    page.wait_for_function(f"{PATHS} !== {before!r}")
    expect(page.locator(".beside [data-owner][transform]")).to_have_count(0)
    seen = page.get_by_text("Seen over the lower left corner")
    expect(seen).to_be_visible()
    page.get_by_role("button", name="Turn a quarter to the right").click()
    expect(page.get_by_text("Seen over the upper left corner")).to_be_visible()
    page.reload()
    expect(page.locator(".beside [data-owner=rack]").first).to_be_attached()
