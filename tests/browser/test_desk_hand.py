"""The hand on the desk: typing while dragging, kit from the shelf by keyboard, orders in words."""

import re

import pytest
from playwright.sync_api import Page, Route, expect

from app.model.kit import Piece
from tests.browser.desk import Desk
from tests.browser.rooms import DOOR, RACK
from tests.browser.store import PlanStore
from tests.builders import make_plan, make_room, place

# 500 x 600, its middle at 3600, 2800 of 5000 x 4000
BOX = place("jump-box", 3600, 2800, piece_id="box")


def opened(page: Page, kept: PlanStore, *pieces: Piece) -> Desk:
    plan = make_plan(*pieces, room=make_room(5000, 4000, openings=(DOOR,)))
    return Desk(page, kept, kept.put(plan)).open()


def test_what_is_typed_in_a_drag_goes_to_the_nearest_tape_and_ends_it_as_one_step(
    page: Page, kept: PlanStore
) -> None:
    desk = opened(page, kept, BOX)
    desk.choose("box")
    desk.lift("box")
    # in front 4000 - 2400 - 300 = 1300 are left, less than on the left: 1800 - 250 = 1550
    desk.carry(1800, 2400)
    field = page.get_by_label("Length of this tape")
    with desk.one_command():
        page.keyboard.type("1.5")
        expect(field).to_have_value("1.5")
        page.keyboard.press("Enter")
    # 4000 - 300 - 1500 = 2200
    assert desk.pose("box")[1] == 2200
    page.mouse.move(*desk.screen(4000, 3000))
    page.mouse.up()
    with desk.one_command():
        page.get_by_role("button", name="Undo").click()
    assert desk.pose("box") == (3600, 2800, 0)


@pytest.mark.long
def test_tab_leads_to_the_tape_of_the_other_way_and_escape_gives_the_drag_up(
    page: Page, kept: PlanStore
) -> None:
    desk = opened(page, kept, BOX)
    desk.choose("box")
    desk.lift("box")
    desk.carry(1800, 2400)
    field = page.get_by_label("Length of this tape")
    with desk.one_command():
        page.keyboard.type("700")
        page.keyboard.press("Tab")
        expect(field).not_to_have_value("700")
        page.keyboard.type("900")
        page.keyboard.press("Enter")
    page.mouse.up()
    # 700 in front of it: 4000 - 300 - 700; 900 to its left: 250 + 900
    assert desk.pose("box") == (1150, 3000, 0)
    desk.lift("box")
    desk.carry(3000, 2000)
    page.keyboard.type("4")
    expect(field).to_have_value("4")
    page.keyboard.press("Escape")
    expect(field).to_be_hidden()
    page.mouse.up()
    assert desk.pose("box") == (1150, 3000, 0)


def test_what_is_typed_on_a_tape_counts_when_one_presses_elsewhere(
    page: Page, kept: PlanStore
) -> None:
    desk = opened(page, kept, BOX).with_shelf()
    desk.choose("box")
    page.locator('.overlay [data-tape="left"] .tape-figure').click()
    field = page.get_by_label("Length of this tape")
    with desk.one_command():
        field.fill("2000")
        page.get_by_role("searchbox", name="Find kit").click()
    assert desk.pose("box") == (2250, 2800, 0)
    page.locator('.overlay [data-tape="left"] .tape-figure').click()
    field.fill("far")
    page.get_by_role("searchbox", name="Find kit").click()
    expect(page.locator(".message")).to_contain_text("It is left where it was.")
    assert desk.pose("box") == (2250, 2800, 0)


def test_a_bar_from_the_shelf_by_keyboard_hangs_on_the_only_rack(
    page: Page, kept: PlanStore
) -> None:
    desk = opened(page, kept, RACK).with_shelf()
    bar = page.locator('[data-kit="bar-20"]')
    with desk.one_command():
        bar.focus()
        page.keyboard.press("Enter")
        expect(page.locator(".message")).to_have_text("Looking for a place for Bar 20 kg.")
    assert desk.kept.pieces(desk.plan_id)["bar-20-1"]["carried_by"] == "rack"
    expect(page.locator(".message")).to_have_text("Bar 20 kg is used with Mid rack now.")
    expect(desk.drawn("bar-20-1")).to_be_focused()


def test_a_piece_that_finds_its_place_late_leaves_the_hand_where_it_is(
    page: Page, kept: PlanStore
) -> None:
    desk = opened(page, kept)
    late: list[Route] = []
    page.route("**/fits", lambda route: late.append(route))
    with desk.one_command():
        with page.expect_request("**/fits"):
            page.locator('[data-kit="plate-tree"]').focus()
            page.keyboard.press("Enter")
        page.get_by_role("searchbox", name="Find kit").focus()
        for route in late:
            route.continue_()
    expect(page.get_by_role("searchbox", name="Find kit")).to_be_focused()
    expect(page.locator(".message")).to_have_text("Plate tree is in the room.")


@pytest.mark.parametrize(
    ("count", "gaps", "places"),
    [(3, True, False), pytest.param(2, False, True, marks=pytest.mark.long)],
)
def test_only_what_as_many_can_do_is_offered(
    page: Page, kept: PlanStore, count: int, gaps: bool, places: bool
) -> None:
    row = [place("plate-tree", 800 + 1200 * i, 1000, piece_id=f"tree-{i}") for i in range(count)]
    opened(page, kept, *row)
    page.locator(".stage").focus()
    page.keyboard.press("Control+a")
    share = page.get_by_role("group", name="Share the room out")
    equal = share.get_by_role("button", name="equal gaps, left to right")
    swap = share.get_by_role("button", name="let the two change places")
    assert (equal.is_enabled(), swap.is_enabled()) == (gaps, places)


def test_links_lead_past_the_head_to_drawing_snags_and_shelf(page: Page, kept: PlanStore) -> None:
    opened(page, kept, BOX)
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the drawing")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator(".stage")).to_be_focused()
    page.get_by_role("link", name="To the shelf").press("Enter")
    expect(page.get_by_role("searchbox", name="Find kit")).to_be_focused()
    page.get_by_role("link", name="To the snags").press("Enter")
    expect(page.locator("#snags")).to_be_focused()


@pytest.mark.long
def test_a_piece_says_that_it_is_pinned_down_and_for_later(page: Page, kept: PlanStore) -> None:
    desk = opened(page, kept, BOX.model_copy(update={"pinned": True, "later": True}))
    words = re.compile("^Jump box, 3.35 m from the left wall, pinned down, for later, ")
    expect(desk.drawn("box")).to_have_attribute("aria-label", words)


def test_what_is_wrong_with_a_figure_stands_beside_it_till_it_is_put_right(
    page: Page, kept: PlanStore
) -> None:
    desk = opened(page, kept, BOX)
    desk.choose("box")
    height, fault = desk.card.locator('[name="height_mm"]'), page.locator("#card-fault")
    # as high as the box of the library is; the card is filled in a moment after it is shown
    usual = "750"
    expect(height).to_have_value(usual)
    height.fill("words")
    height.press("Enter")
    expect(fault).to_contain_text("“words” cannot be read as a length")
    expect(height).to_have_attribute("aria-describedby", "card-fault")
    # nothing typed stands for the usual size of such kit, which is shown again
    height.fill("")
    height.press("Enter")
    expect(height).to_have_value(usual)
    expect(fault).to_be_hidden()
    price = desk.card.locator('[name="price_minor"]')
    price.fill("12 13")
    price.press("Enter")
    expect(fault).to_have_text("“12 13” is not one sum of money, such as 250.")
    with desk.one_command():
        price.fill("1 213,50")
        price.press("Enter")
    expect(fault).to_be_hidden()
    expect(price).to_have_value("1213.50")
