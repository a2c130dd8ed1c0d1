"""The film of the ways on foot: switched by keyboard, told in words, and it follows the plan."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import OpenPage
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
    expect(page.locator(".ways [role=status]")).to_have_text(
        "Every way is as wide as it should be."
    )
    film = page.locator(".overlay .way-layer")
    expect(film.locator("polyline.way-run.ok")).not_to_have_count(0)
    expect(film.locator("text.way-width")).to_have_text("1359 mm")
    desk.choose("box")
    with desk.one_command():
        page.keyboard.press("Shift+ArrowRight")
    # the box is 100 further right: hypot(880, 1113) = 1419, wider than the door's own corner
    expect(film.locator("text.way-width")).not_to_have_text("1359 mm")
    page.locator(".films summary").press("Enter")
    page.get_by_role("checkbox", name="Routes").press("Space")
    expect(film.locator("*")).to_have_count(0)
    expect(ways).to_be_hidden()


@pytest.mark.long
def test_the_list_closes_by_escape_and_by_a_press_elsewhere(page: Page, kept: PlanStore) -> None:
    desk = Desk(page, kept, kept.put(workshop())).open()
    summary = page.locator(".films summary")
    routes = page.get_by_role("checkbox", name="Routes")
    summary.press("Enter")
    expect(routes).to_be_visible()
    routes.press("Escape")
    expect(routes).to_be_hidden()
    expect(summary).to_be_focused()
    summary.click()
    expect(routes).to_be_visible()
    desk.choose("box")
    expect(routes).to_be_hidden()


@pytest.mark.long
def test_without_a_wish_the_headroom_film_says_why_there_is_none(
    page: Page, kept: PlanStore
) -> None:
    plan = workshop()
    Desk(page, kept, kept.put(plan.model_copy(update={"people": ()}))).open()
    page.locator(".films summary").click()
    expect(page.get_by_role("combobox", name="Headroom of")).to_be_disabled()
    expect(page.locator(".no-wish")).to_contain_text("Nobody has chosen movements yet")


def test_the_menu_of_a_phone_closes_by_escape_a_press_elsewhere_and_for_a_drawer(
    open_page: OpenPage, kept: PlanStore
) -> None:
    page = open_page(390, 844, touch=True)
    Desk(page, kept, kept.put(workshop())).open()
    menu = page.locator(".desk-head details.menu:not(.sheets-menu)")
    links = menu.get_by_role("link", name="The room")
    menu.locator("summary").tap()
    expect(links).to_be_visible()
    page.keyboard.press("Escape")
    expect(links).to_be_hidden()
    expect(menu.locator("summary")).to_be_focused()
    menu.locator("summary").tap()
    expect(links).to_be_visible()
    page.touchscreen.tap(60, 500)
    expect(links).to_be_hidden()
    menu.locator("summary").tap()
    page.get_by_role("button", name="Tools").tap()
    expect(links).to_be_hidden()


def test_words_stand_beside_the_drawing_and_no_figure_on_another(
    page: Page, kept: PlanStore
) -> None:
    Desk(page, kept, kept.sample("double-garage")).open()
    page.locator(".films summary").click()
    page.get_by_role("checkbox", name="Routes").press("Space")
    figures = page.locator(".way-layer text.way-width:not(.is-off)")
    expect(figures.first).to_be_visible()
    boxes = [figure.bounding_box() for figure in figures.all()]
    places = [(box["x"], box["y"], box["width"], box["height"]) for box in boxes if box]
    assert len(places) > 1
    for i, (x, y, wide, high) in enumerate(places):
        for a, b, across, tall in places[:i]:
            assert x >= a + across or a >= x + wide or y >= b + tall or b >= y + high
    words, stage = page.locator(".film-words").bounding_box(), page.locator(".stage").bounding_box()
    assert words is not None
    assert stage is not None
    assert words["x"] >= stage["x"] + stage["width"]
