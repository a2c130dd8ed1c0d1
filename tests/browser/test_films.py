"""The film of the ways on foot: switched by keyboard, told in words, and it follows the plan."""

from playwright.sync_api import Page, expect

from tests.browser.desk import Desk
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore


def test_the_film_of_ways_follows_the_plan(page: Page, kept: PlanStore) -> None:
    desk = Desk(page, kept, kept.put(workshop())).open()
    page.locator(".films summary").press("Enter")
    page.get_by_role("checkbox", name="Routes").press("Space")
    ways = page.get_by_role("list", name="Ways on foot")
    # from the plates' corner (2270, 1987) to the box's (3050, 3100): hypot(780, 1113) = 1359
    to_rack = (
        "Door to the mid rack: 1359 mm at its narrowest, between the bar 20 kg and the jump box."
    )
    expect(ways.get_by_role("listitem").filter(has_text="to the mid rack")).to_have_text(to_rack)
    expect(page.locator(".ways [role=status]")).to_have_text("Every way is as wide as is wanted.")
    film = page.locator(".overlay .way-layer")
    expect(film.locator("polyline.way-run.ok")).not_to_have_count(0)
    expect(film.locator("text.way-width")).to_have_text("1359 mm")
    desk.choose("box")
    with desk.one_command():
        page.keyboard.press("Shift+ArrowRight")
    # the box is 100 further right: hypot(880, 1113) = 1419, wider than the door's own corner
    expect(film.locator("text.way-width")).not_to_have_text("1359 mm")
    page.get_by_role("checkbox", name="Routes").press("Space")
    expect(film.locator("*")).to_have_count(0)
    expect(ways).to_be_hidden()
