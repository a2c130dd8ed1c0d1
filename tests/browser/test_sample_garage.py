"""The job of the program: the sample garage cleared of every stop, by hand and by ways out."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.desk import Desk
from tests.browser.store import PlanStore

SEARCH_MS = 60_000
MOST_STEPS = 15


def open_stops(kept: PlanStore, plan_id: str) -> list[str]:
    snags = kept.read(plan_id)["verdict"]["snags"]
    return [s["key"] for s in snags if s["severity"] == "stop" and not s["settled"]]


def take_a_way_out(desk: Desk) -> None:
    """Take the first offered way out of a stop."""
    rows = desk.slip.locator("li.snag.stop:not(.is-settled)")
    button = rows.locator("button.remedy:visible").first
    expect(desk.page.locator(".is-seeking")).to_have_count(0, timeout=SEARCH_MS)
    button.wait_for(timeout=SEARCH_MS)
    before = desk.revision
    button.click()
    expect(desk.page.locator(".block-revision")).not_to_have_text(str(before), timeout=SEARCH_MS)
    expect(desk.page.locator(".saved")).to_have_text("saved", timeout=SEARCH_MS)


@pytest.mark.long
def test_cleared_of_every_stop_and_printed(page: Page, kept: PlanStore) -> None:
    page.goto("/")
    page.locator('form[action="/samples/double-garage"] button').click()
    page.wait_for_url("**/plan/*")
    plan_id = page.url.split("/")[-1]
    desk = Desk(page, kept, plan_id).ready()
    stops = open_stops(kept, plan_id)
    assert len(stops) >= 4
    fan = [key for key in stops if "fan-1" in key]
    assert fan, "the fan stands in the way of the side door"

    # by hand: the fan out of the door's way, seen to help before the button is up
    desk.lift("fan-1")
    desk.page.keyboard.down("Shift")
    desk.carry(3700, 4750)
    for key in fan:
        expect(desk.row(key)).to_have_count(0)
    with desk.one_command():
        desk.page.mouse.up()
    desk.page.keyboard.up("Shift")
    assert not [key for key in open_stops(kept, plan_id) if "fan-1" in key]

    for _ in range(MOST_STEPS):
        if not open_stops(kept, plan_id):
            break
        take_a_way_out(desk)
    assert open_stops(kept, plan_id) == []
    expect(desk.slip.locator("li.snag.stop:not(.is-settled)")).to_have_count(0)
    assert len(kept.pieces(plan_id)) >= 12

    page.get_by_role("link", name="Print sheet").click()
    page.wait_for_url("**/print*")
    with page.context.expect_page() as opening:
        page.get_by_role("link", name="Print sheet").click()
    sheet = opening.value
    sheet.wait_for_load_state()
    assert sheet.url.endswith("#print")
    # It asks for the printer's window itself, and what a person must answer is not printed
    # meanwhile: the same sheet is opened once more, as one that is only looked at.
    bare = sheet.url.removesuffix("#print")
    sheet.close()
    page.goto(bare)
    words = " ".join(page.locator("main.sheet svg").all_text_contents())
    assert "Double garage" in words
    assert "100 mm" in words
    assert page.pdf(prefer_css_page_size=True)[:5] == b"%PDF-"
