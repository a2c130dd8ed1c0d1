"""Names that hold markup are shown as the text they are, on every page and in the sheet."""

from xml.etree import ElementTree

import pytest
from playwright.sync_api import Page, expect

from app.model.plan import Plan
from tests.browser.desk import Desk
from tests.browser.rooms import MARKUP, workshop
from tests.browser.store import PlanStore

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def plan_id(kept: PlanStore) -> str:
    """A plan in which everything that can be named is named so."""
    data = workshop(name=f"Plan {MARKUP}", label=f"Box {MARKUP}").model_dump(mode="json")
    for person in data["people"]:
        person["label"] = f"Ada {MARKUP}"
    data["drawn_for"] = f"House {MARKUP}"
    return kept.put(Plan.model_validate(data))


def shows(page: Page, words: str) -> None:
    """The words stand on the page as typed, nothing was made of them, nothing ran."""
    expect(page.get_by_text(f"{words} {MARKUP}").first).to_be_attached()
    expect(page.locator('img[src="x"], [onerror]')).to_have_count(0)
    assert page.title() != "1"


def test_on_every_page(page: Page, kept: PlanStore, plan_id: str) -> None:
    page.goto("/")
    shows(page, "Plan")
    page.goto(f"/plan/{plan_id}/people")
    shows(page, "Plan")
    shows(page, "Ada")
    page.goto(f"/plan/{plan_id}/print")
    shows(page, "Plan")
    desk = Desk(page, kept, plan_id).open()
    shows(page, "Plan")
    shows(page, "Box")
    shows(page, "House")
    desk.choose("box")
    expect(page.locator(".piece-name")).to_have_text(f"Box {MARKUP}")
    with desk.one_command():
        page.keyboard.press("ArrowLeft")
    shows(page, "Box")
    page.goto(f"/plan/{plan_id}/sheet")
    expect(page.locator('img[src="x"], [onerror]')).to_have_count(0)
    assert page.title() != "1"


def test_in_the_drawing_of_the_sheet(kept: PlanStore, plan_id: str) -> None:
    svg = ElementTree.fromstring(kept.ask(f"plan/{plan_id}/sheet.svg?paper=A3"))
    words = "".join(svg.itertext())
    assert "<img src=x" in words
    assert not [e for e in svg.iter() if e.tag.removeprefix(SVG) in ("img", "script", "image")]
    assert not [name for e in svg.iter() for name in e.attrib if name.startswith("on")]
