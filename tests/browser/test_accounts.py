"""Quantities and cost by mouse, by keys and on a phone: what the store keeps is what was typed."""

from io import BytesIO

import pypdf
import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import OpenPage, Watch
from tests.browser.matrix import LOOKED_AT
from tests.browser.rest import axe_faults
from tests.browser.rooms import workshop
from tests.browser.store import Data, PlanStore
from tests.thinned import one_of

REFUSED = r"status of 400"


@pytest.fixture
def plan_id(kept: PlanStore) -> str:
    """A room of 5.00 x 4.00 m, 2.30 m high, with a rack, its bar and bench, a box, a tree."""
    return kept.put(workshop())


def field(page: Page, edit: str, name: str) -> Locator:
    return page.locator(f'[id="{edit}-{name}"]')


def saved(page: Page, words: str) -> None:
    expect(page.locator("#saved")).to_have_text(f"saved: {words}")


def fit_out(kept: PlanStore, plan_id: str) -> Data:
    found: Data = kept.plan(plan_id)["fit_out"]
    return found


def money(kept: PlanStore, plan_id: str) -> Data:
    found: Data = kept.plan(plan_id)["money"]
    return found


def lay(page: Page, plan_id: str) -> None:
    page.goto(f"/plan/{plan_id}/quantities?of=floor")
    page.get_by_role("button", name="Rubber mat 1000 × 1000 × 20").click()
    saved(page, "add the Rubber mat 1000 × 1000 × 20")


@pytest.mark.long
def test_a_floor_is_laid_changed_and_undone(page: Page, kept: PlanStore, plan_id: str) -> None:
    lay(page, plan_id)
    assert fit_out(kept, plan_id)["floors"][0]["price_minor"] == 3400
    assert kept.plan(plan_id)["room"]["floor"]["covering"]["thickness_mm"] == 20
    expect(page.locator("#panel h2")).to_have_text("Rubber mat 1000 × 1000 × 20")
    expect(page.locator(".laid .lay-number").first).to_have_text("1")
    pieces = page.locator(".laid .lay").count()
    length = field(page, "floor.floor-1", "length")
    length.fill("2 m")
    length.press("Enter")
    saved(page, "the Rubber mat 1000 × 1000 × 20")
    assert fit_out(kept, plan_id)["floors"][0]["length_mm"] == 2000
    expect(length).to_have_value("2.00 m")
    assert page.locator(".laid .lay").count() < pieces
    page.get_by_role("button", name="Undo").click()
    expect(length).to_have_value("1.00 m")
    assert fit_out(kept, plan_id)["floors"][0]["length_mm"] == 1000


@pytest.mark.long
def test_another_product_is_laid_from_the_comparison(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    lay(page, plan_id)
    page.get_by_role("button", name="Lay Foam tile 600 × 600 × 12, locking").click()
    saved(page, "lay Foam tile 600 × 600 × 12, locking instead")
    assert fit_out(kept, plan_id)["floors"][0]["material"] == "foam"


@pytest.mark.long
def test_what_is_wrong_stands_beside_the_field_and_what_was_typed_stays(
    page: Page, kept: PlanStore, plan_id: str, watch: Watch
) -> None:
    watch.expect(REFUSED)
    lay(page, plan_id)
    pack = field(page, "floor.floor-1", "pack")
    pack.fill("0")
    pack.press("Tab")
    expect(page.locator('[id="floor.floor-1-pack-fault"]')).to_have_text(
        "a pack holds a whole number of pieces, 1 or more"
    )
    expect(pack).to_have_value("0")
    expect(pack).to_have_attribute("aria-invalid", "true")
    assert fit_out(kept, plan_id)["floors"][0]["pack"] == 1
    pack.fill("4")
    pack.press("Enter")
    saved(page, "the Rubber mat 1000 × 1000 × 20")
    expect(page.locator('[id="floor.floor-1-pack-fault"]')).to_be_hidden()
    assert fit_out(kept, plan_id)["floors"][0]["pack"] == 4


def test_every_line_opens_to_its_working_by_keys(page: Page, plan_id: str) -> None:
    page.goto(f"/plan/{plan_id}/quantities?of=paint")
    entry = page.locator("tbody.entry").first
    summary = entry.locator("summary")
    summary.focus()
    page.keyboard.press("Enter")
    expect(entry.locator(".steps")).to_be_visible()
    expect(entry.locator(".steps tr").first.locator("td").first).not_to_be_empty()
    assert page.locator("tbody.entry").count() == page.locator("tbody.entry summary").count()


def test_paint_is_chosen_by_keys_alone(page: Page, kept: PlanStore, plan_id: str) -> None:
    page.goto(f"/plan/{plan_id}/quantities?of=floor")
    page.get_by_role("link", name="Paint", exact=True).focus()
    page.keyboard.press("Enter")
    expect(page.locator("#panel h2")).to_be_focused()
    for _ in range(2):
        page.keyboard.press("Tab")
    page.keyboard.type("white")
    page.get_by_role("button", name="Add it to the plan").focus()
    page.keyboard.press("Enter")
    saved(page, "add paint on the walls")
    (job,) = fit_out(kept, plan_id)["paint"]
    assert (job["surface"], job["colour"]) == ("walls", "white")
    expect(page.locator("#panel h2")).to_be_focused()
    assert "is-assumed" not in (page.locator('[id="line-paint.emulsion-white"]')
                                .get_attribute("class") or "")  # fmt: skip
    page.locator("#panel h2").click()
    page.keyboard.press("Control+z")
    expect(page.locator("#saved")).to_have_text("undo done")
    assert fit_out(kept, plan_id)["paint"] == []


def test_prices_are_typed_in_the_list(
    page: Page, kept: PlanStore, plan_id: str, watch: Watch
) -> None:
    watch.expect(REFUSED)
    page.goto(f"/plan/{plan_id}/cost")
    price = field(page, "entry.piece.box", "whole")
    price.fill("12 GBP")
    price.press("Tab")
    expect(page.locator('[id="entry.piece.box-whole-fault"]')).to_contain_text("is in GBP")
    expect(price).to_have_value("12 GBP")
    assert money(kept, plan_id)["entries"] == []
    price.fill("79,90")
    price.press("Enter")
    saved(page, "where jump box stands")
    expect(page.locator('[id="cost-piece.box"] .cost-sum')).to_have_text("€79.90")
    assert money(kept, plan_id)["entries"][0]["minor"] == 7990
    field(page, "entry.piece.box", "standing").select_option("owned")
    expect(page.locator('[id="cost-piece.box"] .cost-sum')).to_have_text("owned")
    assert money(kept, plan_id)["entries"][0]["standing"] == "owned"
    page.get_by_role("link", name="Tax and budget").click()
    budget = field(page, "terms", "budget")
    budget.fill("100")
    budget.press("Enter")
    saved(page, "tax, contingency and budget")
    expect(page.locator("#budget-says")).to_contain_text("The budget of €100.00 is broken by")
    assert money(kept, plan_id)["budget_minor"] == 10000


@pytest.mark.long
def test_a_price_of_a_pack_reaches_the_list(page: Page, kept: PlanStore, plan_id: str) -> None:
    page.goto(f"/plan/{plan_id}/cost")
    row = page.locator('[id="cost-paint.brush-63"]')
    row.get_by_role("textbox").first.fill("7.25")
    row.get_by_role("textbox").first.press("Enter")
    # a brush for each coating: primer of the bare ceiling, stabiliser, paint
    expect(row.locator(".times")).to_have_text("3 × brush")
    expect(row.locator(".cost-sum")).to_have_text("€21.75")
    (price,) = money(kept, plan_id)["prices"]
    assert price["minor"] == 725


@pytest.mark.parametrize("sheet", one_of(2, ["floor:floor-1", "quantities"]))
def test_each_sheet_prints_on_one_page(page: Page, plan_id: str, sheet: str) -> None:
    lay(page, plan_id)
    page.goto(f"/plan/{plan_id}/sheet?sheet={sheet}&paper=A3")
    pdf = page.pdf(prefer_css_page_size=True, print_background=True)
    pages = pypdf.PdfReader(BytesIO(pdf)).pages
    # a list that is longer goes on over further sheets, and says which of how many each is
    count = page.locator("main.sheet > div").count()
    assert len(pages) == count > 0
    for i, printed in enumerate(pages):
        assert f"{i + 1} of {count}" in printed.extract_text()
        sides = sorted((float(printed.mediabox.width), float(printed.mediabox.height)))
        # A3 is 297 x 420 mm; a point is 1/72 in
        assert sides == pytest.approx([841.9, 1190.6], abs=2)


SMALL_LETTERS = """() => [...document.querySelectorAll('#account *')]
  .filter((one) => !one.closest('svg') && !one.children.length && one.textContent.trim()
    && one.getClientRects().length && parseFloat(getComputedStyle(one).fontSize) < 12)
  .map((one) => one.outerHTML.slice(0, 80))"""
LOW_TARGETS = """() => [...document.querySelectorAll(
    '#account :is(a, button, summary, select, label.tick, input:not([type]))')]
  .filter((one) => { const box = one.getBoundingClientRect();
    return box.height && (box.height < 23.5 || box.width < 23.5); })
  .map((one) => one.outerHTML.slice(0, 80))"""
PLACES = ("quantities?of=paint", "quantities?of=floor:floor-1", "cost?of=sums", "cost?of=terms")


@LOOKED_AT
def test_axe_finds_nothing(
    open_page: OpenPage,
    plan_id: str,
    size: tuple[int, int],
    dark: bool,
    request: pytest.FixtureRequest,
) -> None:
    """The short run looks at every other place."""
    whole = request.config.getoption("--long")
    page = open_page(*size, dark=dark, touch=size[0] < 400)
    lay(page, plan_id)
    for number, place in enumerate(PLACES):
        if not whole and number % 2 != dark:
            continue
        page.goto(f"/plan/{plan_id}/{place}")
        assert axe_faults(page) == [], place
        # nothing runs out of the side, lettering is 12 px or more, what is pressed 24 px
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0], place
        assert page.evaluate(SMALL_LETTERS) == []
        assert page.evaluate(LOW_TARGETS) == []


@pytest.mark.long
def test_what_is_typed_and_not_sent_is_not_lost(page: Page, plan_id: str) -> None:
    page.goto(f"/plan/{plan_id}/quantities?of=floor")
    page.get_by_text("Another product, or only a zone").click()
    name = field(page, "add-floor", "label")
    name.fill("Cork tile")
    field(page, "add-floor", "kind").select_option("tile")
    # another part, and back
    page.get_by_role("link", name="Paint", exact=True).click()
    expect(page.locator("#panel h2")).to_have_text("Paint and sealers")
    page.get_by_role("link", name="Floor", exact=True).click()
    expect(name).to_have_value("Cork tile")
    expect(field(page, "add-floor", "kind")).to_have_value("tile")
    expect(page.locator("#saved")).to_contain_text("not kept yet")
    # another page, and back
    page.goto("/")
    page.goto(f"/plan/{plan_id}/quantities?of=floor")
    expect(name).to_have_value("Cork tile")
    # something else that is kept
    page.get_by_role("button", name="Rubber mat 1000 × 1000 × 20").click()
    saved(page, "add the Rubber mat 1000 × 1000 × 20")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#saved")).to_have_text("undo done")
    page.goto(f"/plan/{plan_id}/quantities?of=floor")
    expect(name).to_have_value("Cork tile")
