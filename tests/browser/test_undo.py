"""Undo is shown at once, whatever it takes back, and the program's answers change nothing of it."""

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import Watch
from tests.browser.desk import Desk
from tests.browser.rest import painted
from tests.browser.rooms import HIGH, workshop
from tests.browser.store import PlanStore

BOX = "box"
FRAMES = 3

# Counts the frames that are painted between the key and the drawing that shows its work. Frames,
# not milliseconds: a busy machine paints fewer, and no more than these may pass.
FRAMES_TO = """([key, id, wanted]) => new Promise((done) => {
    const look = () => {
        const piece = document.querySelector(`g.piece[data-piece="${id}"]`);
        return wanted === null ? !piece : piece?.getAttribute('transform') === wanted;
    };
    let frames = 0;
    const count = () => {
        if (look()) done(frames);
        else if (frames++ > 300) done(frames);
        else requestAnimationFrame(count);
    };
    requestAnimationFrame(() => {
        const event = { key, ctrlKey: true, bubbles: true, cancelable: true };
        document.querySelector('.stage').dispatchEvent(new KeyboardEvent('keydown', event));
        requestAnimationFrame(count);
    });
})"""
WATCH_MOVES = """(id) => {
    window.seen = [];
    const look = () => {
        const piece = document.querySelector(`g.piece[data-piece="${id}"]`);
        const now = piece?.getAttribute('transform');
        if (now && now !== window.seen.at(-1)) window.seen.push(now);
        requestAnimationFrame(look);
    };
    look();
}"""


@pytest.fixture
def desk(page: Page, kept: PlanStore) -> Desk:
    return Desk(page, kept, kept.put(workshop(ceiling=HIGH))).open()


def frames_to(page: Page, key: str, piece_id: str, wanted: str | None) -> int:
    return int(page.evaluate(FRAMES_TO, [key, piece_id, wanted]))


def test_moves_and_removals_are_taken_back_within_three_frames(desk: Desk) -> None:
    first = desk.shown(BOX)
    with desk.one_command():
        desk.drag(BOX, 2500, 2500)
    second = desk.shown(BOX)
    assert second != first
    desk.choose(BOX)
    with desk.one_command():
        desk.page.keyboard.press("Delete")
    expect(desk.drawn(BOX)).to_have_count(0)
    assert frames_to(desk.page, "z", BOX, second) <= FRAMES
    assert frames_to(desk.page, "z", BOX, first) <= FRAMES
    assert frames_to(desk.page, "y", BOX, second) <= FRAMES
    assert frames_to(desk.page, "y", BOX, None) <= FRAMES
    desk.at_revision(6)
    expect(desk.drawn(BOX)).to_have_count(0)
    assert all(piece["id"] != BOX for piece in desk.kept.read(desk.plan_id)["plan"]["pieces"])


@pytest.mark.long
def test_after_a_reload_too_once_the_hand_has_rested(desk: Desk) -> None:
    first = desk.shown(BOX)
    with desk.one_command():
        desk.drag(BOX, 2500, 2500)
    with desk.page.expect_response(lambda reply: "/revisions/0" in reply.url) as before:
        desk.open()
    before.value.finished()
    painted(desk.page)
    assert frames_to(desk.page, "z", BOX, first) <= FRAMES


@pytest.mark.long
def test_quick_steps_do_not_flicker_while_the_answers_come(desk: Desk) -> None:
    shown = [desk.shown(BOX)]
    for x in (2300, 2500, 2700):
        with desk.one_command():
            desk.drag(BOX, x, 2500)
        shown.append(desk.shown(BOX))
    desk.page.evaluate(WATCH_MOVES, BOX)
    for wanted in (shown[2], shown[1], shown[0]):
        assert frames_to(desk.page, "z", BOX, wanted) <= FRAMES
    desk.at_revision(6)
    painted(desk.page)
    assert desk.page.evaluate("() => window.seen") == shown[::-1]


@pytest.mark.long
def test_a_step_that_the_program_does_not_make_is_shown_back(desk: Desk, watch: Watch) -> None:
    with desk.one_command():
        desk.drag(BOX, 2500, 2500)
    moved = desk.shown(BOX)

    def refuse(route: Route) -> None:
        route.fulfill(status=500, json={"ok": False, "error": {"code": "x", "message": "No."}})

    watch.expect("500")
    desk.page.route("**/undo", refuse)
    desk.page.keyboard.press("Control+z")
    expect(desk.page.locator(".saved")).to_contain_text("No.")
    expect(desk.drawn(BOX)).to_have_attribute("transform", moved)
    desk.page.unroute("**/undo")
    with desk.one_command():
        desk.page.keyboard.press("Control+z")
    assert desk.shown(BOX) != moved
