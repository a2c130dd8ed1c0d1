"""Months renew themselves while a better order is looked for, and leave the hand where it is."""

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from app.model.base import json_of
from app.model.plan import Plan
from app.usecases.files import samples
from app.usecases.plans import Elbowroom
from tests.web.test_months import LOOKING, PROVEN, Held
from tests.web.test_searches_end import served


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Elbowroom]:
    """A program whose searches in the background stand still."""
    with closing(Elbowroom(tmp_path / "plans")) as one:
        held = Held(one.board, one.open)
        held.hold()
        one.waiting = held
        yield one
        one.board.close()
        held.goes_on.set()


def saving(house: Elbowroom) -> str:
    plan = next(one.plan for one in samples() if one.key == "single-garage")
    phasing = {**json_of(plan.phasing), "put_by_minor": 90_000, "a_month_minor": 30_000}
    return house.create(Plan.model_validate({**json_of(plan), "phasing": phasing})).plan_id


@pytest.mark.long
def test_the_page_renews_itself_and_what_is_typed_stays(browser: Browser, house: Elbowroom) -> None:
    plan_id, held = saving(house), house.waiting
    assert isinstance(held, Held)
    with served(house) as port, closing(browser.new_context()) as context:
        page = context.new_page()
        page.goto(f"http://127.0.0.1:{port}/plan/{plan_id}/months?of=purse")
        status = page.locator(".proof [role=status]")
        expect(status).to_contain_text(LOOKING)
        expect(page.get_by_role("link", name="Look again")).to_be_hidden()
        page.locator("[name=a_month]").focus()
        page.keyboard.press("Control+A")
        page.keyboard.type("45")
        held.goes_on.set()
        expect(status).to_contain_text(PROVEN)
        expect(page.locator("#account[data-looking]")).to_have_count(0)
        # the hand is where it was, and what was typed goes on from there
        page.keyboard.type("0")
        expect(page.locator("[name=a_month]")).to_have_value("450")
