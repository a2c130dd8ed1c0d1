"""The history in a browser: what changed, milestones, one day laid over another, back."""

import json
import sqlite3
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from app.changes.commands import moves
from app.model.base import json_of
from app.model.kit import Pose
from tests.browser.conftest import OpenPage
from tests.browser.desk import Desk
from tests.browser.matrix import LOOKED_AT
from tests.browser.rest import axe_faults, painted
from tests.browser.rooms import BOX, TREE, workshop
from tests.browser.store import PlanStore

PHONE = (390, 844)


@pytest.fixture
def changed(kept: PlanStore) -> str:
    """A workshop in which the box was moved 240 mm left and then into the plate tree."""
    plan = workshop(name="Changed")
    plan_id = kept.put(plan)
    x, y = BOX.pose.x_mm, BOX.pose.y_mm
    for at in (
        Pose(x_mm=x - 240, y_mm=y, angle_deg=180),
        Pose(x_mm=TREE.pose.x_mm, y_mm=TREE.pose.y_mm, angle_deg=180),
    ):
        command = json_of(moves(plan, {"box": at}))
        told = json.loads(
            kept.ask(f"api/plans/{plan_id}/commands", json.dumps({"command": command}).encode())
        )
        plan = type(plan).model_validate(told["plan"])
    return plan_id


def lines(page: Page) -> list[str]:
    return page.locator(".revision .change > p:first-child").all_inner_texts()


@pytest.mark.long
def test_the_history_is_reached_from_the_desk_and_tells_what_changed(
    page: Page, kept: PlanStore, changed: str
) -> None:
    Desk(page, kept, changed).open()
    page.get_by_role("link", name="History").click()
    expect(page.get_by_role("heading", name="History")).to_be_visible()
    told = lines(page)
    assert told[1:] == ["Jump box moved 240 mm left", "The plan as it was made"]
    # Nothing stands on anything else.
    for row in page.locator(".revision .change").all():
        what, when = (row.locator("p").nth(n).bounding_box() for n in (0, -1))
        assert what
        assert when
        assert what["y"] + what["height"] <= when["y"] + 1
    assert told[0].startswith("Jump box moved 1.14 m right and 2.80 m to the back")


@pytest.mark.long
def test_a_revision_becomes_a_milestone_and_stops_being_one(
    page: Page, kept: PlanStore, changed: str
) -> None:
    page.goto(f"/plan/{changed}/history")
    page.locator('summary[aria-label="Name revision 1"]').click()
    page.get_by_label("Milestone").and_(page.locator("#name-1")).fill("Before the <b>party</b>")
    page.locator("#r1").get_by_role("button", name="Keep the name").click()
    expect(page.locator("#r1 .milestone")).to_have_text("Before the <b>party</b>")
    expect(page.locator(".milestones li")).to_have_count(1)
    told = json.loads(kept.ask(f"api/plans/{changed}/history"))
    assert [m["name"] for m in told["milestones"]] == ["Before the <b>party</b>"]
    page.get_by_role("button", name="Take the name").click()
    expect(page.locator(".milestones li")).to_have_count(0)


@pytest.mark.long
def test_a_day_is_laid_over_today_in_one_drawing(page: Page, changed: str) -> None:
    page.goto(f"/plan/{changed}/history")
    page.get_by_role("link", name="Lay revision 0 over today's plan").click()
    expect(page.get_by_role("heading", name="Then and today")).to_be_visible()
    # the heading is there before what moves it: styles, and days told as they are told here
    page.wait_for_load_state()
    painted(page)
    now, then = page.locator(".laid .figure").all()
    one, other = now.bounding_box(), then.bounding_box()
    assert one == other
    # of then only the box is shown, and it is where it was: 900 mm right of and below the tree
    assert then.locator(".piece:visible").evaluate_all("all => all.map(p => p.dataset.piece)") == [
        "box"
    ]
    box = '.piece[data-piece="box"] .thing'
    was, stands = (drawn.locator(box).first.bounding_box() for drawn in (then, now))
    assert was
    assert stands
    scale = one["height"] / float((now.get_attribute("viewBox") or "").split()[3]) if one else 0
    moved = (was["x"] - stands["x"]) / scale
    assert moved == pytest.approx(BOX.pose.x_mm - TREE.pose.x_mm, rel=0.1)
    pale = "e => getComputedStyle(e).opacity"
    tree = now.locator('.piece[data-piece="tree"] > :not(text)').first
    assert (tree.evaluate(pale), now.locator(box).first.evaluate(pale)) == ("0.4", "1")
    letters = now.locator(".layer-kit text").first
    assert letters.evaluate("e => e.getBoundingClientRect().height") >= 11
    expect(page.locator(".told li")).to_have_count(1)
    expect(page.locator(".come .snags li").first).to_contain_text("ump box")
    expect(page.locator(".summary")).to_contain_text("new")
    page.get_by_text("with another day").click()
    page.get_by_label("Lay revision 0 over").select_option("1")
    page.get_by_role("button", name="Lay over").click()
    expect(page.get_by_role("heading", name="Two days of the plan")).to_be_visible()
    expect(page.locator(".told li")).to_have_text("Jump box moved 240 mm left")


def test_going_back_asks_first_and_can_be_undone(page: Page, kept: PlanStore, changed: str) -> None:
    page.goto(f"/plan/{changed}/history")
    page.once("dialog", lambda dialog: dialog.dismiss())
    page.get_by_role("button", name="Go back to revision 0").click()
    assert kept.read(changed)["revision"] == 2
    page.once("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Go back to revision 0").click()
    page.wait_for_url(f"**/plan/{changed}")
    assert kept.read(changed)["revision"] == 3
    assert kept.pose(changed, "box") == (BOX.pose.x_mm, BOX.pose.y_mm, 180)
    desk = Desk(page, kept, changed)
    desk.ready()
    with desk.one_command():
        page.get_by_role("button", name="Undo").click()
    assert kept.pose(changed, "box")[0] == TREE.pose.x_mm


def test_all_plans_are_backed_up_by_a_button(
    page: Page, kept: PlanStore, changed: str, tmp_path: Path
) -> None:
    page.goto("/")
    with page.expect_download() as coming:
        page.get_by_role("button", name="Back up all plans").click()
    assert coming.value.suggested_filename.startswith("elbowroom-")
    coming.value.save_as(tmp_path / "b")
    db = sqlite3.connect(tmp_path / "b")
    ids = [plan_id for (plan_id,) in db.execute("SELECT id FROM plans")]
    db.close()
    assert changed in ids


@LOOKED_AT
def test_axe_finds_nothing_and_nothing_runs_off_the_page(
    open_page: OpenPage, changed: str, size: tuple[int, int], dark: bool
) -> None:
    page = open_page(*size, dark=dark, touch=size == PHONE)
    for path in ("history", "history/compare?from=0&to=2"):
        page.goto(f"/plan/{changed}/{path}")
        assert axe_faults(page) == [], path
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0], path
