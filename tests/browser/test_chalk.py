"""Chalk lines on the desk: kept with the plan, seen elsewhere, undone, rubbed out."""

from playwright.sync_api import Page, expect

from tests.browser.desk import Desk
from tests.browser.rooms import HIGH, workshop
from tests.browser.store import PlanStore

LINES = ".overlay .chalk-line[data-chalk]"


def test_a_chalk_line_belongs_to_the_plan(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(workshop(ceiling=HIGH))
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


def test_a_tool_takes_keys_of_the_drawing_only(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(workshop(ceiling=HIGH))
    desk = Desk(page, kept, plan_id).open().with_shelf()
    says = page.locator(".tool-says")
    # a menu opens by Enter, and no point is put; Escape shuts the menu first, then ends the tool
    _take_chalk(page, desk)
    films = page.locator("details.films")
    films.locator("summary").focus()
    page.keyboard.press("Enter")
    expect(films).to_have_attribute("open", "")
    expect(says).to_contain_text("click a point")
    page.keyboard.press("Escape")
    expect(films).not_to_have_attribute("open", "")
    expect(says).to_be_visible()
    page.keyboard.press("Escape")
    expect(says).to_be_hidden()
    # a field with words in it is emptied first
    _take_chalk(page, desk)
    find = page.locator('#shelf [name="find"]')
    find.fill("flat bench")
    page.keyboard.press("Escape")
    expect(find).to_have_value("")
    expect(says).to_be_visible()
    page.keyboard.press("Escape")
    expect(says).to_be_hidden()
    # kit from the shelf lays the tool down
    _take_chalk(page, desk)
    page.locator('#shelf [data-kit="flat-bench"]').focus()
    page.keyboard.press("Escape")
    expect(says).to_be_hidden()
    _take_chalk(page, desk)
    page.locator('#shelf [data-kit="flat-bench"]').focus()
    with desk.one_command():
        page.keyboard.press("Enter")
    expect(says).to_be_hidden()
    # a link is followed
    _take_chalk(page, desk)
    page.locator("a.print-link").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/print*")
    assert kept.plan(plan_id)["chalk"] == []


def _take_chalk(page: Page, desk: Desk) -> None:
    desk.stage.focus()
    page.keyboard.press("l")
    expect(page.locator(".tool-says")).to_contain_text("Chalk line")
