"""The desk of a program that was started with ``--only-me``, from its first address on."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Response, expect

from app.web.opening import leave_page
from tests.browser.desk import SAVE_MS
from tests.browser.running import RunningApp


@pytest.mark.long
def test_a_plan_is_opened_renamed_and_followed_under_the_word(
    browser: Browser, tmp_path: Path
) -> None:
    with RunningApp(tmp_path / "plans", "--only-me") as running:
        page = browser.new_page()
        answers: list[Response] = []
        page.on("response", lambda answer: answers.append(answer))
        # as a start opens it: by a file of this account, which leads on
        page.goto(leave_page(tmp_path, running.url))
        page.wait_for_url(running.url)
        page.locator("form[action*='/samples/'] button").first.click()
        page.locator("body[data-ready]").wait_for()
        expect(page.locator(".saved")).to_have_text("saved", timeout=SAVE_MS)
        page.locator(".plan-name").click()
        page.locator(".rename input").fill("Our cellar")
        page.keyboard.press("Enter")
        expect(page.locator(".plan-name")).to_have_text("Our cellar", timeout=SAVE_MS)
        # the kit of the shelf, the remedies and the news come by requests of their own
        page.wait_for_function(
            "() => ['/shelf/', '/remedies'].every((part) => performance"
            ".getEntriesByType('resource').some((entry) => entry.name.includes(part)))"
        )
        assert {answer.status for answer in answers} <= {200, 303, 304}
        strange = [answer.url for answer in answers if not answer.url.startswith(running.url)]
        assert [url for url in strange if not url.startswith(("data:", "blob:", "file:"))] == []
        page.locator("a.home").click()
        expect(page.get_by_role("link", name="Our cellar", exact=True)).to_be_visible()
        page.close()
