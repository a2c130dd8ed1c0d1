"""What is typed into a form that is sent as a whole outlives a reload, and the way back."""

from playwright.sync_api import Page, expect

GIVEN_BACK = "What you typed here before stands in its fields again."
LENGTHS = ("6.00", "3 m", "250cm", "2000", "3,50")


def test_a_walk_stands_there_again_after_a_reload(page: Page) -> None:
    page.goto("/walk")
    page.locator("#name").fill("Ours")
    for n, text in enumerate(LENGTHS, 1):
        if n > page.locator("#walls li").count():
            page.get_by_role("button", name="Another wall").click()
        page.locator(f"#length{n}").fill(text)
    page.locator('label:has([name="turn3"][value="out"])').click()
    page.locator("#diagonal1").fill("6.708")
    page.reload()
    expect(page.locator(".typed-before")).to_contain_text(GIVEN_BACK)
    assert [page.locator(f"#length{n}").input_value() for n in range(1, 6)] == list(LENGTHS)
    expect(page.locator('[name="turn3"][value="out"]')).to_be_checked()
    expect(page.locator("#diagonal1")).to_have_value("6.708")
    expect(page.locator("#answer .walk-wall")).to_have_count(5)
    page.get_by_role("button", name="Begin anew").click()
    expect(page.locator("#name")).to_have_value("")
    expect(page.locator("#length5")).to_have_count(0)
    expect(page.locator('[name="turn3"][value="in"]')).to_be_checked()
    expect(page.locator(".typed-before")).to_have_count(0)
    expect(page.locator("#length1")).to_be_focused()


def test_what_was_sent_comes_back_to_who_goes_back_alone(page: Page) -> None:
    page.goto("/new")
    typed = {"width": "4.2 m", "depth": "3.9", "height": "2.35", "person1_stature": "1.8"}
    for name, text in typed.items():
        page.locator(f'[name="{name}"]').fill(text)
    page.locator('label:has([name="door"][value="none"])').click()
    page.get_by_role("button", name="See what this ceiling allows").click()
    page.wait_for_url("**/people")
    page.go_back()
    expect(page.locator('[name="width"]')).to_have_value("4.2 m")
    expect(page.locator('[name="door"][value="none"]')).to_be_checked()
    # whoever comes for another room finds an empty form
    page.goto("/")
    page.goto("/new")
    expect(page.locator('[name="width"]')).to_have_value("")
    expect(page.locator(".typed-before")).to_have_count(0)
