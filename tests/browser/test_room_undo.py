"""On the page of the room undo is shown at once, and what is typed and not kept is not lost."""

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import Watch
from tests.browser.rest import painted
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore

FRAMES = 3
LENGTH = "#wall-length-length"

# Counts the frames that are painted between the press and the field and drawing that show its work.
FRAMES_TO = """([step, wanted, figure]) => new Promise((done) => {
    const look = () => document.querySelector('#wall-length-length')?.value === wanted
        && document.querySelector('#drawing').textContent.includes(figure);
    let frames = 0;
    const count = () => {
        if (look() || frames++ > 300) done(frames);
        else requestAnimationFrame(count);
    };
    requestAnimationFrame(() => {
        document.querySelector(`form[data-step="${step}"] button`).click();
        requestAnimationFrame(count);
    });
})"""
WATCH_LENGTH = """() => {
    window.seen = [];
    const look = () => {
        const now = document.querySelector('#wall-length-length')?.value;
        if (now !== window.seen.at(-1)) window.seen.push(now);
        requestAnimationFrame(look);
    };
    look();
}"""


@pytest.fixture
def plan_id(kept: PlanStore) -> str:
    """A room of 5.00 x 4.00 m, 2.30 m high, a door in its right wall."""
    return kept.put(workshop())


def show(page: Page, plan_id: str, of: str) -> None:
    page.goto(f"/plan/{plan_id}/room?of={of}")
    expect(page.locator("#panel h2")).to_be_visible()


def make_long(page: Page, typed: str, kept: str) -> None:
    page.locator(LENGTH).fill(typed)
    page.locator(LENGTH).press("Enter")
    expect(page.locator("#saved")).to_have_text(f"saved: wall A to {kept}")
    expect(page.locator(LENGTH)).to_have_value(kept)


def at_revision(page: Page, revision: int) -> None:
    expect(page.locator(".room-desk")).to_have_attribute("data-revision", str(revision))


def frames_to(page: Page, step: str, wanted: str, figure: str) -> int:
    return int(page.evaluate(FRAMES_TO, [step, wanted, figure]))


def test_undo_and_redo_show_within_three_frames_and_do_not_flicker(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    with page.expect_response(lambda reply: "/room?of=" in reply.url and "at=0" in reply.url):
        show(page, plan_id, "wall:back")
    make_long(page, "5.5 m", "5.50 m")
    make_long(page, "6 m", "6.00 m")
    page.evaluate(WATCH_LENGTH)
    assert frames_to(page, "undo", "5.50 m", "5500") <= FRAMES
    assert frames_to(page, "undo", "5.00 m", "5000") <= FRAMES
    assert frames_to(page, "redo", "5.50 m", "5500") <= FRAMES
    assert frames_to(page, "redo", "6.00 m", "6000") <= FRAMES
    # the two changes, and four steps behind what is shown
    at_revision(page, 6)
    painted(page)
    assert page.evaluate("() => window.seen") == ["6.00 m", "5.50 m", "5.00 m", "5.50 m", "6.00 m"]
    assert kept.plan(plan_id)["room"]["walls"][1]["x_mm"] == 6000


@pytest.mark.long
def test_after_a_reload_too_once_the_hand_has_rested(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    show(page, plan_id, "wall:back")
    make_long(page, "5.5 m", "5.50 m")
    with page.expect_response(lambda reply: "at=0" in reply.url) as before:
        show(page, plan_id, "wall:back")
    before.value.finished()
    painted(page)
    assert frames_to(page, "undo", "5.00 m", "5000") <= FRAMES


def test_a_step_that_is_refused_is_shown_back(
    page: Page, kept: PlanStore, plan_id: str, watch: Watch
) -> None:
    with page.expect_response(lambda reply: "at=0" in reply.url):
        show(page, plan_id, "wall:back")
    make_long(page, "5.5 m", "5.50 m")

    def refuse(route: Route) -> None:
        if route.request.method != "POST":
            route.continue_()
            return
        route.fulfill(status=500, json={"ok": False, "error": {"code": "x", "message": "No."}})

    watch.expect("500")
    page.route("**/api/plans/*/room", refuse)
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#saved")).to_have_text("No.")
    expect(page.locator(LENGTH)).to_have_value("5.50 m")
    expect(page.locator("#drawing")).to_contain_text("5500")
    page.unroute("**/api/plans/*/room")
    page.get_by_role("button", name="Undo").click()
    at_revision(page, 2)
    expect(page.locator(LENGTH)).to_have_value("5.00 m")


def test_what_is_typed_and_not_sent_stands_there_again(page: Page, plan_id: str) -> None:
    show(page, plan_id, "openings")
    width, offset = page.locator("#add-opening-width"), page.locator("#add-opening-offset")
    width.fill("900 mm")
    offset.fill("1 m")
    page.locator("label:has(#add-opening-kind-window)").click()
    page.locator('#index a[data-of="walls"]').click()
    expect(page.locator("#panel h2")).to_have_text("Walls")
    page.locator('#index a[data-of="openings"]').click()
    expect(width).to_have_value("900 mm")
    expect(page.locator("#add-opening-kind-window")).to_be_checked()
    expect(page.locator("#saved")).to_contain_text("not kept yet")
    page.goto("/")
    show(page, plan_id, "openings")
    expect(width).to_have_value("900 mm")
    expect(offset).to_have_value("1 m")
    page.locator("#add-opening-height").fill("1 m")
    page.locator("#add-opening-sill").fill("900")
    page.locator("#add-opening-wall").select_option(index=1)
    page.get_by_role("button", name="Add it to the room").click()
    expect(page.locator("#saved")).to_contain_text("saved: ")
    show(page, plan_id, "openings")
    expect(width).to_have_value("")
    expect(page.locator("#add-opening-kind-hinged")).to_be_checked()
