"""Options in a browser: copied, chosen, renamed, found again; the plan as of now."""

import json

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import OpenPage, Watch
from tests.browser.desk import Desk
from tests.browser.matrix import LOOKED_AT
from tests.browser.rest import axe_faults
from tests.browser.rooms import HIGH, workshop
from tests.browser.store import Data, PlanStore
from tests.thinned import one_of

PHONE = (390, 844)


@pytest.fixture
def plan_id(kept: PlanStore) -> str:
    return kept.put(workshop(name="Shed", ceiling=HIGH))


def options(kept: PlanStore, plan_id: str) -> list[Data]:
    told: list[Data] = json.loads(kept.ask(f"api/plans/{plan_id}/options"))["options"]
    return told


def copied(kept: PlanStore, page: Page, plan_id: str, name: str = "") -> str:
    page.goto(f"/plan/{plan_id}/options")
    page.get_by_label("Name of the copy").fill(name)
    page.get_by_role("button", name="Copy as option").click()
    page.wait_for_url(lambda url: plan_id not in url)
    return options(kept, plan_id)[-1]["id"]  # type: ignore[no-any-return]


def test_an_option_is_copied_changed_chosen_and_renamed(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    desk = Desk(page, kept, plan_id).open()
    page.get_by_role("link", name="Options").click()
    other = copied(kept, page, plan_id)
    assert [(o["letter"], o["name"]) for o in options(kept, plan_id)] == [
        ("A", "Shed"),
        ("B", "Shed, option B"),
    ]
    desk = Desk(page, kept, other).open()
    desk.choose("tree")
    with desk.one_command():
        page.keyboard.press("Delete")
    # The other one lies under this one and was not touched.
    page.get_by_role("link", name="Option A, Shed").click()
    desk = Desk(page, kept, plan_id).ready()
    expect(desk.drawn("tree")).to_be_visible()
    assert set(kept.pieces(plan_id)) - set(kept.pieces(other)) == {"tree"}

    page.get_by_role("link", name="Options").click()
    expect(page.locator(".option-card .figure")).to_have_count(2)
    page.get_by_role("button", name="Choose option B").click()
    expect(page.locator(".letter .chosen")).to_have_count(1)
    assert [o["chosen"] for o in options(kept, plan_id)] == [False, True]

    page.locator('summary[aria-label="Rename option A"]').click()
    page.get_by_label("New name").and_(page.locator("#name-A")).fill("Tree <b>stays</b>")
    page.locator("#name-A + button").click()
    expect(page.locator("#name-of-A")).to_have_text("Tree <b>stays</b>")
    assert kept.plan(plan_id)["name"] == "Tree <b>stays</b>"

    page.goto("/")
    row = page.locator(".plan-list li", has=page.locator(f'a[href="/plan/{other}"]'))
    expect(row).to_have_count(1)
    expect(row.locator(".option-tab")).to_have_text(["A", "B"])
    expect(row.locator(".plan-name")).to_have_text("Shed, option B")


@pytest.mark.long
def test_a_name_that_is_refused_stays_typed(
    page: Page, kept: PlanStore, plan_id: str, watch: Watch
) -> None:
    watch.expect("400")
    page.goto(f"/plan/{plan_id}/options")
    page.get_by_label("Name of the copy").fill("x" * 201)
    page.get_by_role("button", name="Copy as option").click()
    expect(page.get_by_role("alert")).to_contain_text("200 is the most")
    expect(page.get_by_label("Name of the copy")).to_have_value("x" * 201)
    assert len(options(kept, plan_id)) == 1


@pytest.mark.long
def test_now_shows_less_than_all(page: Page, kept: PlanStore, plan_id: str) -> None:
    desk = Desk(page, kept, plan_id).open()
    expect(page.locator(".as-of-now")).to_be_hidden()
    desk.choose("box")
    with desk.one_command():
        page.get_by_role("button", name="Buy later").click()
    page.get_by_role("link", name="As of now").click()
    expect(page.locator('.now [data-piece="box"]')).to_have_count(0)
    expect(page.locator(".now .title-line").first).to_contain_text("Jump box")
    # The box of 80 is for later; of the rest rack 520, bar 180, bench 190 and tree 60 are now.
    expect(page.locator(".now-side .measures")).to_contain_text("€950.00")
    expect(page.locator(".now-side .measures")).to_contain_text("€80.00")
    page.get_by_role("link", name="with all of it").click()
    expect(Desk(page, kept, plan_id).ready().drawn("box")).to_be_visible()


LETTERING = """() => [...document.querySelectorAll('.drawn > svg.figure')].map((svg) => {
  const shown = svg.getBoundingClientRect(), view = svg.viewBox.baseVal;
  const scale = Math.min(shown.width / view.width, shown.height / view.height);
  return Math.min(...[...svg.querySelectorAll('text')]
    .filter((text) => text.getBoundingClientRect().width)
    .map((text) => parseFloat(getComputedStyle(text).fontSize) * scale));
})"""


@pytest.mark.parametrize("size", one_of(2, [PHONE, (1440, 900)]))
def test_lettering_in_the_pictures_is_as_high_as_that_of_the_page(
    open_page: OpenPage, kept: PlanStore, plan_id: str, size: tuple[int, int]
) -> None:
    page = open_page(*size)
    copied(kept, page, plan_id)
    # 12 px are the least that is read without effort: a rule of this house
    expect(page.locator(".option-card svg.figure[style]")).to_have_count(2)
    heights = page.evaluate(LETTERING)
    assert len(heights) == 2
    assert all(11.9 <= height <= 13 for height in heights)


@LOOKED_AT
def test_axe_finds_nothing_and_nothing_runs_off_the_page(
    open_page: OpenPage,
    kept: PlanStore,
    plan_id: str,
    size: tuple[int, int],
    dark: bool,
    request: pytest.FixtureRequest,
) -> None:
    page = open_page(*size, dark=dark, touch=size == PHONE)
    copied(kept, page, plan_id)
    # how axe likes a desk is asked in `test_accessibility.py` each time
    desk = ("",) if request.config.getoption("--long") else ()
    for path in ("/options", "/now", *desk):
        page.goto(f"/plan/{plan_id}{path}")
        assert axe_faults(page) == [], path
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0], path
