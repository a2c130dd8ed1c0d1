"""Chalk lines on the desk: kept with the plan, seen elsewhere, undone, rubbed out."""

from playwright.sync_api import Page, expect

from tests.browser.desk import Desk
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore

LINES = ".overlay .chalk-line[data-chalk]"


def test_a_chalk_line_belongs_to_the_plan(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(workshop())
    desk = Desk(page, kept, plan_id).open()
    desk.stage.focus()
    page.keyboard.press("l")
    expect(page.locator(".tool-says")).to_contain_text("Chalk line")
    # a place where nothing is near enough to hold to; the second point says upright
    page.mouse.click(*desk.screen(2600, 2400))
    with desk.one_command():
        page.mouse.click(*desk.screen(2610, 3000))
    (line,) = kept.plan(plan_id)["chalk"]
    assert line["way"] == "x"
    assert abs(line["at_mm"] - 2600) <= 2 * desk.mm_per_px
    page.keyboard.press("Escape")
    desk.open()
    expect(page.locator(LINES)).to_have_count(1)
    with desk.one_command():
        page.keyboard.press("Control+z")
    expect(page.locator(LINES)).to_have_count(0)
    with desk.one_command():
        page.keyboard.press("Control+y")
    expect(page.locator(LINES)).to_have_count(1)
    desk.stage.focus()
    page.keyboard.press("l")
    with desk.one_command():
        page.mouse.click(*desk.screen(line["at_mm"], 2700))
    assert kept.plan(plan_id)["chalk"] == []
    expect(page.locator(LINES)).to_have_count(0)
