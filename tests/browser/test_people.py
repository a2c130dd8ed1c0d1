"""Who trains, by fields: what is kept is asked of the store."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import OpenPage
from tests.browser.desk import Desk
from tests.browser.matrix import LOOKED_AT
from tests.browser.rest import axe_faults
from tests.browser.rooms import workshop
from tests.browser.store import Data, PlanStore
from tests.thinned import one_of

PHONE = (390, 844)


@pytest.fixture
def plan_id(kept: PlanStore) -> str:
    return kept.put(workshop())


def people(kept: PlanStore, plan_id: str) -> dict[str, Data]:
    return {person["id"]: person for person in kept.plan(plan_id)["people"]}


def test_somebody_comes_changes_and_goes_and_undo_brings_them_back(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    page.goto(f"/plan/{plan_id}/people")
    fresh = page.locator(".add-person")
    fresh.get_by_label("Name").fill("Cy")
    fresh.get_by_label("Height, barefoot").fill("1,72")
    fresh.get_by_label("Trains").select_option("a")
    fresh.get_by_role("button", name="Add this person").click()
    expect(page.get_by_role("heading", name="Cy")).to_be_visible()
    added = people(kept, plan_id)["person-1"]
    assert (added["label"], added["stature_mm"], added["trains_with"]) == ("Cy", 1720, "a")

    card = page.locator('[data-person="person-1"]')
    card.get_by_text("Change or remove Cy").click()
    card.get_by_label("Reach, if measured").fill("215 cm")
    card.get_by_role("button", name="Keep these").click()
    expect(page.locator('[data-person="person-1"]')).to_contain_text("reach measured")
    assert people(kept, plan_id)["person-1"]["reach_mm"] == 2150

    page.get_by_text("Change or remove Cy").click()
    page.get_by_role("button", name="Remove Cy").click()
    expect(page.get_by_role("heading", name="Cy")).to_have_count(0)
    assert set(people(kept, plan_id)) == {"a", "b"}
    assert kept.read(plan_id)["revision"] == 3

    desk = Desk(page, kept, plan_id).open()
    with desk.one_command():
        page.get_by_role("button", name="Undo").click()
    assert people(kept, plan_id)["person-1"]["reach_mm"] == 2150


def test_what_was_typed_stays_beside_what_is_wrong(
    page: Page, kept: PlanStore, plan_id: str, watch: object
) -> None:
    watch.expect("400")  # type: ignore[attr-defined]
    page.goto(f"/plan/{plan_id}/people")
    card = page.locator('[data-person="a"]')
    card.locator("summary", has_text="Change or remove").click()
    card.get_by_label("Height, barefoot").fill("rather tall")
    card.get_by_role("button", name="Keep these").click()
    field = page.locator('[data-person="a"]').get_by_label("Height, barefoot")
    expect(field).to_be_visible()
    expect(field).to_have_value("rather tall")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_be_focused()
    expect(field).to_be_in_viewport()
    assert kept.read(plan_id)["revision"] == 0
    # A wish beside the form is still kept at once.
    page.locator('[data-person="b"] input[value="no"]').first.check()
    expect(page.locator("#saved")).to_have_text("saved")
    assert kept.read(plan_id)["revision"] == 1
    # And so is one for what has no figure: pressed twice it is what would be nice.
    also = page.locator('[data-person="b"] [data-of="machine-row"]')
    also.get_by_role("button").click()
    also.get_by_role("button").click()
    expect(also).to_have_attribute("data-wish", "nice")
    expect(page.locator("#saved")).to_have_text("saved")
    wishes = {one["movement"]: one["wish"] for one in people(kept, plan_id)["b"]["wishes"]}
    assert wishes["machine-row"] == "nice"


@pytest.mark.parametrize("scripts", one_of(2, [True, False]))
def test_a_refused_person_is_seen_and_a_kept_one_is_led_to(
    open_page: OpenPage, plan_id: str, watch: object, scripts: bool
) -> None:
    watch.expect("400")  # type: ignore[attr-defined]
    page = open_page(1440, 900, scripts=scripts)
    page.goto(f"/plan/{plan_id}/people")
    fresh = page.locator(".add-person")
    fresh.get_by_label("Height, barefoot").fill("big")
    fresh.get_by_role("button", name="Add this person").click()
    expect(fresh.get_by_role("alert")).to_be_in_viewport()
    expect(fresh.get_by_role("alert").get_by_role("link", name="Height")).to_be_visible()
    expect(fresh.get_by_label("Height, barefoot")).to_be_focused()
    fresh.get_by_label("Height, barefoot").fill("1.72 m")
    fresh.get_by_label("Name").fill("Cy")
    fresh.get_by_role("button", name="Add this person").click()
    expect(page.get_by_role("heading", name="Cy")).to_be_in_viewport()


@LOOKED_AT
def test_axe_finds_nothing_with_a_form_open(
    open_page: OpenPage, plan_id: str, size: tuple[int, int], dark: bool
) -> None:
    page = open_page(*size, dark=dark, touch=size == PHONE)
    page.goto(f"/plan/{plan_id}/people")
    page.locator("summary", has_text="Change or remove").first.click()
    assert axe_faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]


@pytest.mark.long
def test_steps_back_are_taken_at_once_by_keys_and_by_buttons(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    page.goto(f"/plan/{plan_id}/people")
    undo, redo = (page.get_by_role("button", name=name) for name in ("Undo", "Redo"))
    expect(undo).to_be_disabled()
    before = people(kept, plan_id)["b"]["wishes"]
    row = page.locator('[data-person="b"] [data-movement]').first
    movement = row.get_attribute("data-movement")
    row.locator('input[value="no"]').check()
    expect(page.locator("#saved")).to_have_text("saved")
    words = f"{(movement or '').replace('-', ' ')}: no"
    expect(undo).to_have_attribute("title", f"Undo: {words}")
    page.keyboard.press("Control+z")
    expect(page.locator("#saved")).to_have_text(f"taken back: {words}")
    expect(row.locator('input[value="no"]')).not_to_be_checked()
    assert people(kept, plan_id)["b"]["wishes"] == before
    expect(redo).to_have_attribute("title", f"Redo: {words}")
    page.keyboard.press("Control+y")
    expect(row.locator('input[value="no"]')).to_be_checked()
    undo.click()
    expect(row.locator('input[value="no"]')).not_to_be_checked()
    expect(undo).to_be_disabled()
    expect(page.get_by_role("heading", level=1)).to_be_focused()
    page.keyboard.press("Control+Shift+Z")
    expect(row.locator('input[value="no"]')).to_be_checked()
    fresh = {"movement": movement, "wish": "no"}
    assert fresh in people(kept, plan_id)["b"]["wishes"]


@pytest.mark.long
def test_what_is_typed_and_not_sent_is_not_lost(page: Page, kept: PlanStore, plan_id: str) -> None:
    page.goto(f"/plan/{plan_id}/people")
    fresh = page.locator(".add-person")
    fresh.get_by_label("Name").fill("Cy")
    fresh.get_by_label("Height, barefoot").fill("1,72")
    fresh.get_by_label("Trains").select_option("b")
    # a mark on a card is kept and taken back meanwhile
    page.locator('[data-person="b"] [data-movement]').first.locator('input[value="no"]').check()
    expect(page.locator("#saved")).to_have_text("saved")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#saved")).to_contain_text("taken back")
    expect(fresh.get_by_label("Name")).to_have_value("Cy")
    expect(fresh.get_by_label("Trains")).to_have_value("b")
    page.reload()
    expect(fresh.get_by_label("Name")).to_have_value("Cy")
    expect(page.locator("#saved")).to_contain_text("not kept yet")
    fresh.get_by_role("button", name="Add this person").click()
    expect(page.get_by_role("heading", name="Cy")).to_be_visible()
    assert people(kept, plan_id)["person-1"]["trains_with"] == "b"
    expect(fresh.get_by_label("Name")).to_have_value("")
