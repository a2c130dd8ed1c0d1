"""The desk's room for the room: shelf and key give way to it, and no flag covers a name."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.desk import Desk
from tests.browser.store import PlanStore

LEAST_SHARE = 0.35
"""Of the window that the floor between its walls fills at 1440 by 900."""
SHARE = """() => {
    const floor = document.querySelector('.figure .floor').getBoundingClientRect();
    return floor.width * floor.height / innerWidth / innerHeight;
}"""
COVERED = """() => {
    const seen = (one) =>
        one.getBoundingClientRect().width && getComputedStyle(one).visibility !== 'hidden';
    const lettered = '.layer-dims text, .layer-notes text, .layer-kit .name text';
    const all = [...document.querySelectorAll(`.flag .head, ${lettered}`)].filter(seen);
    const named = (one) => one.textContent || `flag ${one.parentElement.textContent}`;
    return all.flatMap((one, i) => all.slice(0, i).flatMap((other) => {
        const [a, b] = [one.getBoundingClientRect(), other.getBoundingClientRect()];
        const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        return wide > 2 && high > 4 ? [`${named(one)} on ${named(other)}`] : [];
    }));
}"""


CROSSED = """() => {
    const lettered = '.layer-dims text, .layer-notes text, .layer-kit .name text';
    const names = [...document.querySelectorAll(lettered)].filter((one) =>
        one.getBoundingClientRect().width && getComputedStyle(one).visibility !== 'hidden');
    const told = new Set();
    for (const pole of document.querySelectorAll('.flag .pole')) {
        const long = pole.getTotalLength();
        for (let at = 0; at <= long; at += 1) {
            const {x, y} = pole.getPointAtLength(at).matrixTransform(pole.getScreenCTM());
            for (const name of names) {
                const box = name.getBoundingClientRect();
                if (x > box.left + 1 && x < box.right - 1 && y > box.top + 4 && y < box.bottom - 4)
                    told.add(`${pole.parentElement.textContent} through ${name.textContent}`);
            }
        }
    }
    return [...told];
}"""


def test_the_room_fills_a_third_of_the_window_and_nothing_covers_a_name(
    page: Page, kept: PlanStore
) -> None:
    Desk(page, kept, kept.sample("double-garage")).open()
    page.evaluate("() => document.fonts.ready")
    assert page.evaluate(SHARE) >= LEAST_SHARE
    for wide, high in ((1440, 900), (1024, 768), (390, 844)):
        page.set_viewport_size({"width": wide, "height": high})
        assert page.evaluate(COVERED) == []
        assert page.evaluate(CROSSED) == []
        words = page.locator("#tools span")
        if wide > 700:
            assert all(word.bounding_box()["width"] > 10 for word in words.all())  # type: ignore[index]


@pytest.mark.long
@pytest.mark.parametrize("fold", ["shelf", "key"])
def test_a_fold_stays_as_it_was_left(page: Page, kept: PlanStore, fold: str) -> None:
    desk = Desk(page, kept, kept.sample("double-garage")).open()
    shown = page.locator("#find-kit" if fold == "shelf" else ".key-list")
    opens = page.locator(".tools .shelf-fold" if fold == "shelf" else ".key summary")
    expect(shown).to_be_hidden()
    opens.click()
    expect(shown).to_be_visible()
    desk.open()
    expect(shown).to_be_visible()
