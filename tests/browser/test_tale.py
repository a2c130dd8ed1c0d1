"""The first half hour: a garage out of square with a boiler, a freezer and two bicycles that stay.

Measured, told, furnished, moved, priced and printed by a hand that is counted: every value typed,
choice, press and drag is one.
"""

import math
import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.desk import Desk
from tests.browser.store import Data, PlanStore

# nothing is parallel: walls and both diagonals as taped
WALLS = ("5.32", "5.18", "5.20", "5.10")
DIAGONALS = (("1", "3", "7.30"), ("2", "4", "7.42"))
# at wall, along it, how high: from wall to wall, lower at wall A
HEIGHTS = (("A", "1.10", "2.31"), ("C", "0.40", "2.463"))
KIT = ("mid-rack", "flat-bench", "bar-20", "step")
ENOUGH = 100
"""How many values, choices, presses and drags such a tale may take."""


class Hand:
    """Somebody at the page who counts what they do."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.count = 0

    def press(self, selector: str) -> None:
        """Press what a selector names."""
        self.count += 1
        self.page.locator(selector).first.click()

    def type(self, selector: str, text: str) -> None:
        """Type a value."""
        self.count += 1
        self.page.locator(selector).fill(text)

    def choose(self, selector: str, at: int) -> None:
        """Choose from a list by its place."""
        self.count += 1
        self.page.locator(selector).select_option(index=at)

    def picture(self, form: str, name: str, value: str) -> None:
        """Choose a picture or a word of a form."""
        self.press(f'form[data-edit="{form}"] label:has([name="{name}"][value="{value}"])')


def walk(hand: Hand) -> None:
    hand.press('a[href="/new"]')
    hand.press('a[href="/walk"]')
    hand.type("#name", "The garage")
    for n, length in enumerate(WALLS, 1):
        if not hand.page.locator(f"#length{n}").count():
            hand.press('[data-more="walls"]')
        hand.type(f"#length{n}", length)
    hand.press('label:has([name="back"])')
    for n, (start, end, length) in enumerate(DIAGONALS, 1):
        if not hand.page.locator(f"#diagonal{n}").count():
            hand.press('[data-more="diagonals"]')
        for name, text in (("from", start), ("to", end), ("diagonal", length)):
            hand.type(f"#{name}{n}", text)
    for n, (wall, along, height) in enumerate(HEIGHTS, 1):
        if not hand.page.locator(f"#height{n}").count():
            hand.press('[data-more="heights"]')
        for name, text in (("at", wall), ("along", along), ("height", height)):
            hand.type(f"#{name}{n}", text)
    expect(hand.page.locator("#answer")).to_contain_text("one slope, rising from wall A")
    expect(hand.page.locator(".walk-fall")).to_be_attached()
    hand.press("#use")
    hand.page.wait_for_url("**/room?of=house")


def saved(page: Page, words: str) -> None:
    expect(page.locator('form[data-step="undo"] button')).to_have_attribute(
        "title", f"Undo: {words}"
    )


def tell_of_the_house(hand: Hand) -> None:
    for name, value in (("whose", "own"), ("drill", "yes"), ("heard", "neighbours"),
                        ("when", "day"), ("children", "no")):  # fmt: skip
        hand.picture("house", name, value)
        expect(hand.page.locator(f"#house-{name}-{value}")).to_be_checked()
    expect(hand.page.locator("#index a[data-of='house']")).not_to_contain_text("missing")


def tell_of_the_door(hand: Hand) -> None:
    hand.press('#index a[data-of="openings"]')
    hand.picture("add-opening", "kind", "tracks")
    hand.choose('form[data-edit="add-opening"] select[name="wall"]', 3)
    for name, text in (("offset", "0.40"), ("width", "4.20"), ("height", "2.10")):
        hand.type(f'form[data-edit="add-opening"] input[name="{name}"]', text)
    hand.press('form[data-edit="add-opening"] > button.btn:not(.plain-submit)')
    saved(hand.page, "add the garage door")


def tell_what_is_in_it(hand: Hand) -> None:
    hand.press('#index a[data-of="things"]')
    hand.picture("full", "full", "half")
    saved(hand.page, "how full the room is")
    for kind, wall, along, count, words in (
        ("boiler", 1, "0.60", "", "Boiler stays"),
        ("chest-freezer", 2, "0.30", "", "Freezer stays"),
        ("bike-stored", 0, "0.40", "2", "2 × bicycle stay"),
    ):
        hand.picture("add-found", "kind", kind)
        hand.choose('form[data-edit="add-found"] select[name="wall"]', wall + 1)
        hand.type('form[data-edit="add-found"] input[name="along"]', along)
        if count:
            hand.type('form[data-edit="add-found"] input[name="count"]', count)
        hand.press('form[data-edit="add-found"] > button.btn:not(.plain-submit)')
        saved(hand.page, words)


def tell_who_trains(hand: Hand) -> None:
    hand.press('.tabs a[href$="/people"]')
    hand.type(".add-person [name='label']", "Ada")
    hand.type(".add-person [name='stature']", "1.78 m")
    hand.press('.add-person button[value="add"]')
    expect(hand.page.get_by_role("heading", name="Ada", exact=True)).to_be_visible()
    hand.page.wait_for_load_state()


def ceiling_at(plan: Data, corner: tuple[float, float]) -> float:
    (plane,) = plan["room"]["ceiling"]["planes"]
    dx, dy = corner[0] - plane["at"][0], corner[1] - plane["at"][1]
    return float(plane["height_mm"] + (plane["rise_x"] * dx + plane["rise_y"] * dy) / 1000)


def test_the_first_half_hour(page: Page, kept: PlanStore) -> None:
    hand = Hand(page)
    page.goto("/")
    walk(hand)
    plan_id = page.url.split("/")[-2]
    tell_of_the_house(hand)
    tell_of_the_door(hand)
    tell_what_is_in_it(hand)
    tell_who_trains(hand)
    plan = kept.plan(plan_id)

    # the walk began at wall A, the door came into wall D: it is drawn below
    corners = [(wall["x_mm"], wall["y_mm"]) for wall in plan["room"]["walls"]]
    (door,) = plan["room"]["openings"]
    assert door["wall"] == plan["room"]["walls"][3]["id"]
    assert min(corners[3][1], corners[0][1]) > max(corners[1][1], corners[2][1])

    # level along wall A, up from it square: by hand from the corners, the heights and no code
    (ax, ay), (bx, by) = corners[0], corners[1]
    long = math.dist(corners[0], corners[1])
    into = (-(by - ay) / long, (bx - ax) / long)
    away = [(x - ax) * into[0] + (y - ay) * into[1] for x, y in corners]
    cx, cy = corners[2]
    share = 400 / math.dist(corners[2], corners[3])
    at_c = (cx + (corners[3][0] - cx) * share, cy + (corners[3][1] - cy) * share)
    far = (at_c[0] - ax) * into[0] + (at_c[1] - ay) * into[1]
    expected = [2310 + (2463 - 2310) * each / far for each in away]
    assert [ceiling_at(plan, corner) for corner in corners] == pytest.approx(expected, abs=0.5)

    hand.press(f'a[href="/plan/{plan_id}"]')
    desk = Desk(page, kept, plan_id).ready()
    for kind in KIT:
        with desk.one_command():
            hand.press(f'#shelf [data-kit="{kind}"]')
    step = next(key for key, piece in kept.pieces(plan_id).items() if piece["type"] == "step")
    x, y, _ = desk.pose(step)
    with desk.one_command():
        hand.count += 1
        desk.drag(step, x, y - 200 if y > 2600 else y + 200)

    # what was there costs nothing; the rest is its guide price
    hand.press('.tabs a[href$="/cost"]')
    page.wait_for_url("**/cost")
    for name in ("Wall boiler", "Chest freezer", "Stored bicycle"):
        row = page.locator("tr, li", has_text=re.compile(name)).first
        expect(row).to_contain_text("owned")
    hand.press('.tabs a[href$="/history"]')
    page.wait_for_url("**/history")
    way = "to the boiler wall" if y > 2600 else "towards the garage door"
    expect(page.locator("main")).to_contain_text(way)
    hand.press('.tabs a[href$="/print"]')
    page.wait_for_url("**/print")
    assert hand.count < ENOUGH
