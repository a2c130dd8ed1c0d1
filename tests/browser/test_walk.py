"""The walk by keys and by mouse: from a list of tape measurements to a plan, and into a plan."""

import math

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import OpenPage
from tests.browser.matrix import LOOKED_AT
from tests.browser.rest import axe_faults
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore

TARGET_PX = 24
# an L of 6 x 5 m with 2.5 x 2 m cut out of it, a garage whose corner 2 is out of square
WALLS = (("6.00", "in"), ("3 m", "in"), ("250cm", "out"), ("2000", "in"), ("3,50", "in"))


def drawn(page: Page, count: int) -> None:
    expect(page.locator("#answer .walk-wall")).to_have_count(count)


@pytest.mark.long
def test_an_l_by_keyboard_alone(page: Page, kept: PlanStore) -> None:
    page.goto("/walk")
    expect(page.locator("#length1")).to_be_focused()
    for n, (length, turn) in enumerate(WALLS, 1):
        expect(page.locator(f"#length{n}")).to_be_focused()
        page.keyboard.type(length)
        if turn == "out":
            page.keyboard.press("Tab")
            page.keyboard.press("ArrowLeft")
        page.keyboard.press("Enter")
        drawn(page, n)
    page.keyboard.type("5.00")
    drawn(page, 6)
    expect(page.locator("#walk-status")).to_contain_text("the last wall meets the start")
    # on to the diagonals: turn, drop, another wall, back, measured with
    page.locator("#from1").focus()
    for text in ("1", "3", "6.708"):
        page.keyboard.type(text)
        page.keyboard.press("Tab")
    page.locator("#height1").focus()
    page.keyboard.type("2.31")
    expect(page.locator("#answer")).to_contain_text("flat at 2.31 m")
    page.locator("#use").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/room?of=house")
    plan_id = page.url.split("/")[-2]
    room = kept.plan(plan_id)["room"]
    corners = [(wall["x_mm"], wall["y_mm"]) for wall in room["walls"]]
    # the first wall goes up the paper, so that the last, with the door, lies below
    expected = [(0, 0), (0, -6000), (3000, -6000), (3000, -3500), (5000, -3500), (5000, 0)]
    for corner, place in zip(corners, expected, strict=True):
        assert math.dist(corner, place) < 2
    assert [step["typed"] for step in room["walk"]["steps"]][2] == "250cm"
    page.goto(f"/plan/{plan_id}/walk")
    expect(page.locator("#length3")).to_have_value("250cm")
    expect(page.locator("#diagonal1")).to_have_value("6.708")


def test_a_turn_pressed_with_the_mouse_brings_the_next_wall(page: Page) -> None:
    page.goto("/walk")
    page.locator("#length1").fill("4 m")
    page.locator('input[name="turn1"][value="out"]').click()
    expect(page.locator("#length2")).to_be_focused()
    page.locator("#length2").fill("2 m")
    page.locator('input[name="turn2"][value="in"]').click()
    page.locator("#length3").fill("1 m")
    page.get_by_role("button", name="Take wall B out").click()
    expect(page.locator("#length2")).to_have_value("1 m")
    # of the four walls that a room has at least one is taken out
    expect(page.locator("#walls li")).to_have_count(3)
    expect(page.locator('input[name="turn1"][value="out"]')).to_be_checked()
    drawn(page, 2)


def test_what_is_wrong_is_said_beside_its_field(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(workshop())
    page.goto(f"/plan/{plan_id}/walk")
    drawn(page, 4)
    for name, text in (("from1", "1"), ("to1", "3"), ("diagonal1", "9.4")):
        page.locator(f"#{name}").fill(text)
    page.locator("#from2").focus()
    fault = page.locator("#diagonal1-fault")
    expect(fault).to_contain_text("cannot be: wall A and wall B are only 9.00 m together")
    expect(page.locator("#diagonal1")).to_have_attribute("aria-invalid", "true")
    page.locator("#diagonal1").fill("6.45")
    page.locator("#from2").focus()
    expect(fault).to_be_hidden()
    expect(page.locator("#answer")).to_contain_text("The lengths fix every corner")
    page.locator("#use").click()
    page.wait_for_url("**/room")
    told = kept.read(plan_id)
    assert told["undo_says"] == "the outline as walked round"
    assert told["plan"]["room"]["openings"][0]["offset_mm"] == 2900


@LOOKED_AT
def test_nothing_for_axe_and_all_targets_large_enough(
    open_page: OpenPage, kept: PlanStore, size: tuple[int, int], dark: bool
) -> None:
    page = open_page(*size, dark)
    for address in ("/walk", f"/plan/{kept.put(workshop())}/walk"):
        page.goto(address)
        with page.expect_response("**/api/walk") as answer:
            page.locator("#length1").fill("5.01")
        answer.value.finished()
        assert axe_faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
        small = page.locator(".walk button:visible, .walk .turn, .walk .choice label").evaluate_all(
            "(all, least) => all.map((one) => one.getBoundingClientRect())"
            ".filter((box) => box.width > 1 && Math.min(box.width, box.height) < least).length",
            TARGET_PX,
        )
        assert small == 0
