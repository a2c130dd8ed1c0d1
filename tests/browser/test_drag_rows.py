"""What a step of a drag sends: the rows that changed, put in as the whole verdict has them."""

import json
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Page, Response

from app.usecases.verdict import changed_rows
from tests.browser.desk import Desk
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore

PUT_IN = """async ([before, changed]) => {
    const { changedTo } = await import('/static/js/model/changed.js');
    return changedTo(before, changed);
}"""
IS_SHOWN = """(expected) => JSON.stringify(expected) === JSON.stringify(
    [...document.querySelectorAll('.snag-list li.snag')].map((row) => [
        row.dataset.key,
        row.querySelector('.mark').textContent,
        row.querySelector('.sentence').textContent,
    ]),
)"""
ROWS = st.lists(
    st.fixed_dictionaries({"key": st.sampled_from("abcdefgh"), "measured": st.integers(0, 2)}),
    max_size=8,
    unique_by=lambda row: row["key"],
)


def moves_of(answer: Response) -> dict[str, Any]:
    """Return where the pieces in the hand stood when a step was judged."""
    moves: dict[str, Any] = json.loads(answer.request.post_data or "")["moves"]
    return moves


def test_the_page_puts_changes_in_as_they_are_meant(page: Page, kept: PlanStore) -> None:
    page.goto("/cautions")

    @settings(max_examples=60, deadline=None)
    @given(before=ROWS, after=ROWS)
    def law(before: list[dict[str, Any]], after: list[dict[str, Any]]) -> None:
        was = {"plan": "A room", "counts": {"stop": len(before)}, "snags": before}
        now = {"plan": "A room", "counts": {"stop": len(after)}, "snags": after}
        assert page.evaluate(PUT_IN, [was, changed_rows(was, now)]) == now

    law()


def test_a_step_sends_what_changed_and_the_list_is_that_of_the_whole_verdict(
    page: Page, kept: PlanStore
) -> None:
    desk = Desk(page, kept, kept.put(workshop())).open()
    answers: list[Response] = []
    page.on("response", lambda r: answers.append(r) if r.url.endswith("/try") else None)
    desk.lift("box")
    page.keyboard.down("Shift")
    for i in range(12):
        desk.carry(3300 - 150 * i, 3400 - 75 * i, steps=1)
    reach = 2 * desk.mm_per_px

    def is_last(answer: Response) -> bool:
        return answer.url.endswith("/try") and abs(moves_of(answer)["box"]["x_mm"] - 900) < reach

    with page.expect_response(is_last) as last:
        desk.carry(900, 2700, steps=4)
    answers.append(last.value)
    assert [sorted(answer.json()) for answer in answers] == [["changed", "ok"]] * len(answers)
    whole = kept.tried(desk.plan_id, moves_of(last.value))
    assert len(last.value.body()) < len(json.dumps(whole)) / 2
    expected = [
        [snag["key"], str(snag["number"]), "" if snag["lines"] else snag["sentence"]]
        for snag in whole["snags"]
    ]
    page.wait_for_function(IS_SHOWN, arg=expected)
    page.keyboard.press("Escape")
    page.mouse.up()
