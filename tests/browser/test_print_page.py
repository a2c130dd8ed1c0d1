"""From the desk to a sheet: what is chosen on the way is what opens."""

from playwright.sync_api import Page, expect

from tests.browser.desk import Desk
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore


def choose(page: Page, name: str, value: str) -> None:
    """Choose on the page, which then shows the sheet anew."""
    page.locator(f'label:has([name="{name}"][value="{value}"])').click()
    page.wait_for_url(f"**{name}={value}*")


def test_one_click_from_the_desk_to_a_sheet(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(workshop())
    Desk(page, kept, plan_id).open()
    page.locator(".sheets-menu summary").click()
    page.get_by_role("link", name="Walls from inside").click()
    page.wait_for_url("**/print?sheet=walls")
    # who comes back without naming a sheet finds the one looked at last
    page.goto(f"/plan/{plan_id}/print")
    page.wait_for_url("**/print?sheet=walls")
    choose(page, "sheet", "plan")
    choose(page, "paper", "A4")
    choose(page, "scale", "50")
    choose(page, "flags", "1")
    picture = page.get_by_alt_text("The sheet as it will be printed").first
    assert picture.evaluate("img => img.decode().then(() => img.naturalWidth > 0)")
    with page.context.expect_page() as opening:
        page.get_by_role("link", name="Print sheet").click()
    sheet = opening.value
    sheet.wait_for_load_state()
    assert "scale=50" in sheet.url
    assert sheet.url.endswith("#print")
    # ISO 216: A4 is 210 x 297
    assert sheet.locator("main.sheet svg").first.get_attribute("width") in ("297mm", "210mm")


def test_a_scale_that_does_not_fit_is_said_and_gives_way_to_the_next(
    page: Page, kept: PlanStore
) -> None:
    page.goto(f"/plan/{kept.put(workshop())}/print?paper=A4&scale=10&flags=1")
    # 5 m at 1:10 are 500 mm, and A4 is 297 long
    said = page.locator("form").get_by_role("status")
    expect(said).to_contain_text("1:10")
    expect(page.get_by_role("link", name="Print sheet")).to_have_count(1)
