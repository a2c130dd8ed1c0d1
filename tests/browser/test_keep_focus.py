"""Whoever goes by keys is never put back to the top of the page: the focus stays where one was."""

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.desk import Desk
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore
from tests.builders import place

IN_FRONT = "room-in-front-to-step-out|rack+bike|||"
SEARCH_MS = 60_000

# The key of the row of the list in which the focus is.
ROW = "document.activeElement.closest('[data-key]')?.dataset.key"
KEYS = "[...document.querySelectorAll('.snag-list [data-key]')].map(row => row.dataset.key)"

THREE_ROWS = """() => {
    const rows = [1, 2, 3].map((n) => `<li><a href="#${n}">${n}</a> <button>Out</button></li>`);
    const list = `<ol id="rows">${rows.join('')}</ol><button>Beyond</button>`;
    document.body.insertAdjacentHTML('afterbegin', list);
    document.querySelector('#rows').addEventListener('click', ({ target }) => {
        if (target.matches('button')) target.closest('li').remove();
    });
}"""


@pytest.fixture
def desk(page: Page, kept: PlanStore) -> Desk:
    """The workshop, with a bike put before the rack."""
    bike = place("bike", 1500, 2700, piece_id="bike")
    return Desk(page, kept, kept.put(workshop(bike))).open()


def press(button: Locator) -> None:
    """Press a button by its key, as a screen reader or a keyboard does."""
    button.focus()
    button.press("Enter")


def test_a_way_out_that_is_taken_leads_to_the_row_that_comes_next(desk: Desk) -> None:
    page = desk.page
    way_out = desk.row(IN_FRONT).locator("button.remedy")
    way_out.wait_for(timeout=SEARCH_MS)
    keys = page.evaluate(KEYS)
    with desk.one_command():
        press(way_out)
    expect(desk.row(IN_FRONT)).to_have_count(0)
    left = page.evaluate(KEYS)
    later = [key for key in keys[keys.index(IN_FRONT) :] if key in left]
    assert page.evaluate(ROW) == (later or left[-1:])[0]
    assert page.evaluate("document.activeElement.matches('.mark')")
    # what is undone last leaves the focus beside the button that can do no more
    undo = page.get_by_role("button", name="Undo")
    press(undo)
    expect(undo).to_be_disabled()
    expect(page.get_by_role("button", name="Redo")).to_be_focused()
    # who takes the pointer finds the focus where the pointer left it
    way_out.wait_for(timeout=SEARCH_MS)
    with desk.one_command():
        way_out.click()
    assert page.evaluate("document.activeElement === document.body")


def test_what_is_shut_gives_the_focus_back_to_what_opened_it(desk: Desk) -> None:
    opener = desk.page.get_by_role("button", name="Mend all")
    press(opener)
    expect(desk.page.locator(".mending .remedy")).to_be_focused(timeout=SEARCH_MS)
    desk.page.keyboard.press("Tab")
    expect(desk.page.get_by_role("button", name="Change nothing")).to_be_focused()
    desk.page.keyboard.press("Enter")
    expect(desk.page.locator(".mending")).to_be_hidden()
    expect(opener).to_be_focused()


def test_each_yes_leads_to_what_stands_in_its_place(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(workshop())
    page.goto(f"/plan/{plan_id}/room?of=will")
    count = page.locator("#panel li.will form").count()
    for _ in range(2):
        row = page.locator("#panel li.will:has(form)").first
        name = row.locator("b").text_content() or ""
        press(row.locator("form button"))
        chosen = page.locator("#panel li.will.is-chosen", has_text=name)
        expect(chosen.get_by_role("link")).to_be_focused()
    assert page.locator("#panel li.will form").count() <= count - 2


def test_what_is_added_leaves_the_focus_on_the_same_button(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(workshop())
    page.goto(f"/plan/{plan_id}/room?of=things")
    for known in (0, 1):
        page.locator('[id="add-found-kind-boiler"]').check()
        page.locator('[id="add-found-wall"]').select_option(index=1 + known)
        page.locator('[id="add-found-along"]').fill("1.2 m")
        press(page.get_by_role("button", name="Add it to the room"))
        expect(page.locator("#panel .thing-list a")).to_have_count(known + 1)
        expect(page.get_by_role("button", name="Add it to the room")).to_be_focused()


def test_of_alike_rows_the_one_that_comes_next_has_the_focus(page: Page) -> None:
    page.goto("/new")
    page.evaluate(THREE_ROWS)
    here = "document.activeElement.textContent"
    press(page.locator("#rows button").nth(1))
    assert page.evaluate(here) == "3"
    # after the last of them comes the one before, and after all of them what stands behind the list
    press(page.locator("#rows button").nth(1))
    assert page.evaluate(here) == "1"
    press(page.locator("#rows button"))
    assert page.evaluate(here) == "Beyond"
