"""Every sheet is a page that follows the plan: what another tab changes is drawn anew."""

import json

import pytest
from playwright.sync_api import Page

from app.model.plan import Plan
from app.usecases.drawing_set import SET, names_of
from app.usecases.files import samples
from tests.browser.store import PlanStore
from tests.thinned import one_of

UPSTAIRS = next(one.plan for one in samples() if one.key == "upstairs-room")


def rename(kept: PlanStore, plan_id: str, name: str) -> None:
    """Change what stands in every title block."""
    change = {"path": ["name"], "before": kept.plan(plan_id)["name"], "after": name}
    command = {"name": "edit", "changes": [change]}
    kept.ask(f"api/plans/{plan_id}/commands", json.dumps({"command": command}).encode())


DRAWN_AS = """
async (name) => {
    const shown = document.querySelector('.print-preview img');
    return !!shown && (await (await fetch(shown.src)).text()).includes(`>${name}<`);
}
"""


@pytest.mark.parametrize(
    "which", one_of(8, ["section", *(key for key, _ in names_of(UPSTAIRS) if key != "section")])
)
def test_a_sheet_follows_what_another_tab_does(page: Page, kept: PlanStore, which: str) -> None:
    plan_id = kept.sample("upstairs-room")
    page.goto(f"/plan/{plan_id}/print?sheet={which}")
    before = kept.plan(plan_id)["name"]
    page.wait_for_function(DRAWN_AS, arg=before)
    rename(kept, plan_id, "Under the slates")
    page.wait_for_function(DRAWN_AS, arg="Under the slates")


@pytest.mark.long
def test_the_whole_set_follows_too(page: Page, kept: PlanStore) -> None:
    plan_id = kept.sample("upstairs-room")
    page.goto(f"/plan/{plan_id}/print?sheet={SET}&of=plan&of=picture")
    rename(kept, plan_id, "Under the slates")
    page.wait_for_function(DRAWN_AS, arg="Under the slates")


def test_the_picture_follows_what_another_tab_does(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(Plan.model_validate(UPSTAIRS.model_dump()))
    page.goto(f"/plan/{plan_id}/picture")
    shown = page.locator(".room-picture")
    before = shown.inner_html()
    rack = kept.pieces(plan_id)["bench-1"]["pose"]
    change = {
        "path": ["pieces", "bench-1", "pose"],
        "before": rack,
        "after": {**rack, "x_mm": rack["x_mm"] + 300},
    }
    command = {"name": "move", "changes": [change]}
    kept.ask(f"api/plans/{plan_id}/commands", json.dumps({"command": command}).encode())
    page.wait_for_function(
        "before => document.querySelector('.room-picture').innerHTML !== before", arg=before
    )
