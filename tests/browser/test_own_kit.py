"""Kit of one's own in a browser: entered, placed from the shelf, changed, kept from removal."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import OpenPage, Watch
from tests.browser.desk import Desk
from tests.browser.matrix import LOOKED_AT
from tests.browser.rest import axe_faults
from tests.browser.rooms import workshop
from tests.browser.store import Data, PlanStore

PHONE = (390, 844)


@pytest.fixture
def plan_id(kept: PlanStore) -> str:
    return kept.put(workshop())


def own(kept: PlanStore, plan_id: str) -> dict[str, Data]:
    return {row["id"]: row for row in kept.plan(plan_id)["own_kit"]}


@pytest.mark.long
def test_what_is_entered_stands_on_the_shelf_and_in_the_room(
    page: Page, kept: PlanStore, plan_id: str, watch: Watch
) -> None:
    Desk(page, kept, plan_id).open().with_shelf()
    page.get_by_role("link", name="Kit of my own").click()
    page.get_by_text("Or enter it by its sizes").click()
    fresh = page.locator(".start-kit .kit-form")
    for label, typed in (
        ("Name", "Sled"),
        ("Width", "70 cm"),
        ("Depth", "1,00 m"),
        ("Height", "900"),
        ("Mass, kg", "40"),
        ("Price, EUR", "123.45"),
        ("Recommended, in front", "1.5"),
    ):
        fresh.get_by_label(label, exact=True).fill(typed)
    fresh.get_by_role("button", name="Put it on the shelf").click()
    row = own(kept, plan_id)["own-1"]
    assert (row["width_mm"], row["depth_mm"], row["height_mm"]) == (700, 1000, 900)
    assert (row["price_minor"], row["spaces"][0]["recommended_mm"]) == (12345, 1500)

    desk = Desk(page, kept, plan_id).open()
    with desk.one_command():
        page.locator('#shelf [data-kit="own-1"]').click()
    placed = kept.pieces(plan_id)["own-1-1"]
    assert placed["type"] == "own-1"
    expect(desk.drawn("own-1-1")).to_be_visible()

    watch.expect("400")
    page.goto(f"/plan/{plan_id}/kit")
    page.get_by_role("button", name="Remove Sled").click()
    expect(page.get_by_role("alert")).to_contain_text("One piece on the plan")
    assert "own-1" in own(kept, plan_id)
    desk.open()
    with desk.one_command():
        page.get_by_role("button", name="Undo").click()
    page.goto(f"/plan/{plan_id}/kit")
    page.get_by_role("button", name="Remove Sled").click()
    expect(page.locator(".own-row")).to_have_count(0)
    assert own(kept, plan_id) == {}


def test_a_copy_opens_filled_in_and_keeps_what_was_typed(
    page: Page, kept: PlanStore, plan_id: str, watch: Watch
) -> None:
    watch.expect("400")
    page.goto(f"/plan/{plan_id}/kit")
    page.get_by_label("Copy from the library").select_option("rower")
    page.get_by_role("button", name="Copy and change").click()
    form = page.locator("#own-1 .kit-form")
    expect(form.get_by_label("Depth", exact=True)).to_have_value("2.45 m")
    form.get_by_label("Depth", exact=True).fill("long")
    form.get_by_label("Name", exact=True).fill("Water rower")
    form.get_by_role("button", name="Keep these").click()
    form = page.locator("#own-1 .kit-form")
    expect(form.get_by_label("Depth", exact=True)).to_have_value("long")
    expect(form.get_by_label("Name", exact=True)).to_have_value("Water rower")
    assert own(kept, plan_id)["own-1"]["name"] == "My rower"
    form.get_by_label("Depth", exact=True).fill("2.20")
    form.get_by_role("button", name="Keep these").click()
    expect(page.locator("#own-1-title")).to_have_text("Water rower")
    row = own(kept, plan_id)["own-1"]
    assert (row["name"], row["like"], row["depth_mm"], row["spaces"]) == (
        "Water rower",
        "rower",
        2200,
        [],
    )


@LOOKED_AT
def test_axe_finds_nothing_and_nothing_runs_off_the_page(
    open_page: OpenPage, kept: PlanStore, plan_id: str, size: tuple[int, int], dark: bool
) -> None:
    page = open_page(*size, dark=dark, touch=size == PHONE)
    page.goto(f"/plan/{plan_id}/kit")
    page.get_by_role("button", name="Copy and change").click()
    page.locator("#own-1").wait_for()
    page.get_by_text("Or enter it by its sizes").click()
    assert axe_faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
