"""A whole plan without a pointer: room, wishes, kit, moving, a way out, the sheet."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.desk import Desk
from tests.browser.store import PlanStore

MOST_TABS = 120
SEARCH_MS = 60_000


def tab_to(page: Page, selector: str, back: bool = False) -> None:
    """Press Tab until what has the focus matches."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Shift+Tab" if back else "Tab")
        if page.evaluate("s => document.activeElement.matches(s)", selector):
            return
    raise AssertionError(f"{selector} is not reached by Tab")


def type_at(page: Page, name: str, text: str) -> None:
    tab_to(page, f'[name="{name}"]')
    page.keyboard.type(text)


def choose_at(page: Page, name: str, value: str) -> None:
    """Go to a group of radio buttons and along it by arrows."""
    tab_to(page, f'[name="{name}"]')
    wanted = f'[name="{name}"][value="{value}"]:checked'
    for _ in range(12):
        if page.locator(wanted).count():
            return
        page.keyboard.press("ArrowRight")
    raise AssertionError(f"{name} cannot be set to {value} by arrows")


@pytest.mark.long
def test_a_whole_plan_by_keyboard_alone(page: Page, kept: PlanStore) -> None:
    page.goto("/")
    tab_to(page, 'a[href="/new"]')
    page.keyboard.press("Enter")
    page.wait_for_url("**/new")
    expect(page.locator("#name")).to_be_focused()
    page.keyboard.type("By keys")
    for name, text in (("width", "4.2 m"), ("depth", "3.9 m"), ("height", "2.35 m")):
        type_at(page, name, text)
    choose_at(page, "covering", "bare")
    choose_at(page, "door", "none")
    type_at(page, "person1_stature", "1.88 m")
    page.keyboard.press("Enter")
    page.wait_for_url("**/people")
    plan_id = page.url.split("/")[-2]
    assert kept.plans()[plan_id] == "By keys"

    tab_to(page, '[data-movement="standing-press"] input')
    wanted = page.locator('[data-movement="standing-press"] input[value="want"]:checked')
    for _ in range(4):
        if not wanted.count():
            page.keyboard.press("ArrowLeft")
    expect(wanted).to_have_count(1)
    expect(page.locator("#saved")).to_have_text("saved")
    wishes = kept.plan(plan_id)["people"][0]["wishes"]
    assert [w["wish"] for w in wishes if w["movement"] == "standing-press"] == ["want"]
    tab_to(page, f'a[href="/plan/{plan_id}"]')
    page.keyboard.press("Enter")
    desk = Desk(page, kept, plan_id).ready()

    tab_to(page, '#shelf [name="find"]')
    page.keyboard.type("flat bench")
    page.keyboard.press("Enter")
    with desk.one_command():
        page.keyboard.press("Enter")
    bench = desk.drawn("flat-bench-1")
    expect(bench).to_be_focused()
    x, y, angle = desk.pose("flat-bench-1")
    with desk.one_command():
        page.keyboard.press("ArrowRight")
    with desk.one_command():
        page.keyboard.press("Shift+ArrowDown")
    assert desk.pose("flat-bench-1") == (x + 10, y + 100, angle)
    with desk.one_command():
        page.keyboard.press("r")
    assert desk.pose("flat-bench-1")[2] % 360 == (angle + 90) % 360
    page.keyboard.press("Enter")
    expect(desk.field("left")).to_be_focused()
    page.keyboard.type("900")
    with desk.one_command():
        page.keyboard.press("Enter")
    # the bench is 620 wide and 1220 long: as it lies now, half of that is left of its middle
    middle = 900 + (1220 if desk.pose("flat-bench-1")[2] % 180 == 90 else 620) / 2
    assert desk.pose("flat-bench-1")[0] == middle
    page.keyboard.press("Escape")
    expect(bench).to_be_focused()
    with desk.one_command():
        page.keyboard.press("Control+z")
    with desk.one_command():
        page.keyboard.press("Control+y")
    assert desk.pose("flat-bench-1")[0] == middle

    press = next(key for key in kept.snags(plan_id) if "standing-press" in key)
    # ways out are offered for the plan as it stands now, not for the one before the last key
    expect(page.locator(".is-seeking")).to_have_count(0, timeout=SEARCH_MS)
    desk.row(press).locator("button.remedy").wait_for(timeout=SEARCH_MS)
    tab_to(page, f'li.snag[data-key="{press}"] button.mark')
    page.keyboard.press("Enter")
    expect(desk.row(press).locator(".mark")).to_have_attribute("aria-pressed", "true")
    expect(page.locator(".is-seeking")).to_have_count(0, timeout=SEARCH_MS)
    tab_to(page, f'li.snag[data-key="{press}"] button.remedy')
    with desk.one_command():
        page.keyboard.press("Enter")
    assert press not in kept.snags(plan_id)

    tab_to(page, "a.print-link", back=True)
    page.keyboard.press("Enter")
    page.wait_for_url("**/print*")
    tab_to(page, "#print-it")
    with page.context.expect_page() as opening:
        page.keyboard.press("Enter")
    opening.value.wait_for_load_state()
    expect(opening.value.locator("main.sheet svg").first).to_be_visible()


def test_the_focus_is_seen_on_every_kind_of_thing(page: Page, kept: PlanStore) -> None:
    Desk(page, kept, kept.sample("basement")).open()
    for selector in ("a.home", ".stage g.piece", "li.snag button", "#shelf [data-kit]"):
        if selector.startswith("#shelf"):
            # the sign that leads to the shelf unfolds it
            page.locator(".stage").focus()
            page.keyboard.press("/")
        tab_to(page, selector)
        seen = page.evaluate(
            """() => {
                const style = getComputedStyle(document.activeElement);
                const inner = document.activeElement.querySelector('*');
                const own = style.outlineStyle !== 'none' && style.outlineWidth !== '0px';
                const focused = inner && getComputedStyle(inner).stroke;
                return own || style.boxShadow !== 'none' || Boolean(focused);
            }"""
        )
        assert seen, selector
    # the shelf is one stop of Tab: arrows go along it, and Tab comes back to where one was
    here = "document.activeElement.dataset.kit"
    first = page.evaluate(here)
    page.keyboard.press("ArrowRight")
    second = page.evaluate(here)
    assert (first, second) == tuple(page.evaluate(
        "[...document.querySelectorAll('#shelf [data-kit]')].slice(0, 2).map(k => k.dataset.kit)"
    ))  # fmt: skip
    page.keyboard.press("ArrowDown")
    below = page.evaluate("document.activeElement.closest('section').getAttribute('aria-label')")
    assert below == page.locator("#shelf .kit-group").nth(1).get_attribute("aria-label")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Tab")
    assert page.evaluate(here) is None
    page.keyboard.press("Shift+Tab")
    assert page.evaluate(here) == second
    page.keyboard.press("End")
    page.keyboard.press("ArrowRight")
    assert page.evaluate(here) == page.locator("#shelf [data-kit]").last.get_attribute("data-kit")
