"""The first half hour, by a hand that is counted: with a pointer, a finger, or by keys alone.

A garage out of square with a boiler, a freezer, two bicycles that stay and a car that is out while
people train: measured, told, furnished. Every value typed, choice, press and drag is one.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from playwright.sync_api import Page, expect

from app.units import Units
from tests.browser.desk import Desk
from tests.browser.rest import painted

FAR_TABS = 200
NEAR_TABS = 4
ON_SCREEN = """([x, y]) => {
    const to = document.querySelector('#overlay').getScreenCTM();
    const at = new DOMPoint(x, y).matrixTransform(to);
    return [at.x, at.y];
}"""
"""Where a place of the room lies on the screen."""
AWAY = """selector => {
    const here = document.activeElement, goal = document.querySelector(selector);
    const groups = new Set(), some = 'a[href], button, input, select, summary, [tabindex]';
    if (!goal || here === document.body || here.matches(selector)) return 0;
    const on = here.compareDocumentPosition(goal) & Node.DOCUMENT_POSITION_FOLLOWING;
    const [from, to] = on ? [here, goal] : [goal, here];
    let stops = 0;
    for (const one of document.querySelectorAll(some)) {
        if (one.tabIndex < 0 || one.disabled || !one.getClientRects().length) continue;
        if (!(from.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_FOLLOWING)) continue;
        if (!(one.compareDocumentPosition(to) & Node.DOCUMENT_POSITION_FOLLOWING)) continue;
        const group = one.type === 'radio' && one.name;
        if (group && groups.has(group)) continue;
        if (group) groups.add(group);
        stops += 1;
    }
    return on ? stops : -stops;
}"""
"""About how many stops of Tab lie between here and the first that a selector names."""


@dataclass(frozen=True)
class Tape:
    """What somebody measured, as they write it.

    `walls` in their order, `diagonals` and `heights` as the rows of the form; `door` is where it
    begins, its width and height; `along` where boiler, freezer, bicycles and car begin on
    their walls.
    """

    units: Units
    walls: Sequence[str]
    diagonals: Sequence[tuple[str, str, str]]
    heights: Sequence[tuple[str, str, str]]
    door: tuple[str, str, str]
    along: tuple[str, str, str, str]
    stature: str


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

    def pick(self, scope: str, name: str, value: str) -> None:
        """Choose a picture or a word of a group."""
        self.press(f'{scope} label:has([name="{name}"][value="{value}"])')

    def take(self, kind: str) -> None:
        """Take a thing from the shelf."""
        self.press(f'#shelf [data-kit="{kind}"]')

    def drag(self, desk: Desk, piece_id: str, x_mm: float, y_mm: float) -> None:
        """Drag a piece to a place of the room."""
        self.count += 1
        desk.drag(piece_id, x_mm, y_mm)

    def tick(self, selector: str) -> None:
        """Tick a box."""
        self.press(f"label:has({selector})")

    def point(self, x_mm: float, y_mm: float) -> None:
        """Press a place of the room on its drawing."""
        self.count += 1
        self.page.mouse.click(*self.page.evaluate(ON_SCREEN, [x_mm, y_mm]))


class Keys(Hand):
    """Somebody without a pointer: Tab goes on or back until it is there."""

    def to(self, selector: str) -> None:
        """Go by Tab, on or back, to what a selector names."""
        away = self.page.evaluate(AWAY, selector)
        key = "Shift+Tab" if away < 0 else "Tab"
        for _ in range(min(abs(away), FAR_TABS) - NEAR_TABS):
            self.page.keyboard.press(key)
        for _ in range(FAR_TABS):
            if self.page.evaluate("s => document.activeElement.matches(s)", selector):
                return
            self.page.keyboard.press(key)
        raise AssertionError(f"{selector} is not reached by Tab")

    def press(self, selector: str) -> None:
        self.count += 1
        self.to(selector)
        self.page.keyboard.press("Enter")

    def take(self, kind: str) -> None:
        self.count += 1
        self.to('#shelf [data-kit][tabindex="0"]')
        self.page.keyboard.press("Home")
        for _ in range(FAR_TABS):
            if self.page.evaluate("document.activeElement.dataset.kit") == kind:
                break
            self.page.keyboard.press("ArrowRight")
        self.page.keyboard.press("Enter")

    def type(self, selector: str, text: str) -> None:
        self.count += 1
        self.to(selector)
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)

    def choose(self, selector: str, at: int) -> None:
        self.count += 1
        self.to(selector)
        self.page.keyboard.press("Home")
        for _ in range(at):
            self.page.keyboard.press("ArrowDown")

    def pick(self, scope: str, name: str, value: str) -> None:
        self.count += 1
        self.to(f'{scope} [name="{name}"]')
        wanted = self.page.locator(f'{scope} [name="{name}"][value="{value}"]:checked')
        if not self.page.locator(f'{scope} [name="{name}"]:checked').count():
            self.page.keyboard.press("Space")
        for _ in range(12):
            if wanted.count():
                return
            self.page.keyboard.press("ArrowRight")
        raise AssertionError(f"{name} cannot be set to {value} by arrows")

    def tick(self, selector: str) -> None:
        self.count += 1
        self.to(selector)
        self.page.keyboard.press("Space")


class Finger(Hand):
    """Somebody with a phone: sheets are in its menu, kit is in a drawer."""

    def press(self, selector: str) -> None:
        self.count += 1
        if selector.startswith(".tabs "):
            menu = "details.menu:not(.sheets-menu)"
            self.page.locator(f"{menu} > summary >> visible=true").tap()
            self.count += 1
            selector = selector.replace(".tabs", menu, 1)
        self.page.locator(f"{selector} >> visible=true").first.tap()

    def take(self, kind: str) -> None:
        drawers = self.page.get_by_role("navigation", name="Drawers")
        drawers.get_by_role("button", name="Kit").tap()
        self.count += 1
        super().take(kind)

    def drag(self, desk: Desk, piece_id: str, x_mm: float, y_mm: float) -> None:
        self.count += 1
        devtools = self.page.context.new_cdp_session(self.page)
        (x, y), to = desk.screen(*desk.pose(piece_id)[:2]), desk.screen(x_mm, y_mm)
        steps = [(x + (to[0] - x) * i / 8, y + (to[1] - y) * i / 8) for i in range(9)]
        for i, (a, b) in enumerate(steps):
            kind = "touchMove" if i else "touchStart"
            devtools.send(
                "Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": a, "y": b}]}
            )
            painted(self.page, frames=1)
        devtools.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def walk(hand: Hand, tape: Tape) -> str:
    """Walk round the room and give the id of its plan."""
    hand.press('a[href="/walk"]')
    hand.page.wait_for_url("**/walk")
    hand.type("#name", "The garage")
    if tape.units == "feet":
        hand.pick(".walk-first", "units", "feet")
    for n, length in enumerate(tape.walls, 1):
        if not hand.page.locator(f"#length{n}").count():
            hand.press('[data-more="walls"]')
        hand.type(f"#length{n}", length)
    if tape.diagonals[0][0]:
        hand.tick("#back")
    for n, (start, end, length) in enumerate(tape.diagonals, 1):
        for name, text in (("from", start), ("to", end), ("diagonal", length)):
            if text:
                hand.type(f"#{name}{n}", text)
    for n, (wall, along, height) in enumerate(tape.heights, 1):
        for name, text in (("at", wall), ("along", along), ("height", height)):
            if text:
                hand.type(f"#{name}{n}", text)
    answer = hand.page.locator("#answer")
    low = tape.heights[0][0] or "B"
    expect(answer).to_contain_text(f"one slope, rising from wall {low}")
    expect(hand.page.locator(".walk-fall")).to_be_attached()
    hand.press("#use")
    hand.page.wait_for_url("**/room?of=house")
    return hand.page.url.split("/")[-2]


def saved(page: Page, words: str) -> None:
    """Wait until a change is kept."""
    expect(page.locator('form[data-step="undo"] button')).to_have_attribute(
        "title", f"Undo: {words}"
    )


def tell_of_the_house(hand: Hand) -> None:
    """Answer the three questions."""
    form = 'form[data-edit="house"]'
    for name, value in (("whose", "own"), ("drill", "yes"), ("heard", "neighbours"),
                        ("when", "day"), ("children", "no")):  # fmt: skip
        hand.pick(form, name, value)
        expect(hand.page.locator(f"#house-{name}-{value}")).to_be_checked()
    expect(hand.page.locator("#index a[data-of='house']")).not_to_contain_text("missing")


def tell_of_the_door(hand: Hand, tape: Tape) -> None:
    """Put the garage door into the last wall."""
    form = 'form[data-edit="add-opening"]'
    hand.press('#index a[data-of="openings"]')
    expect(hand.page.locator(form)).to_be_visible()
    hand.pick(form, "kind", "tracks")
    # the walk ends with the wall that has the door in it: that one is chosen already
    last = hand.page.locator(f'{form} select[name="wall"] option').last.get_attribute("value")
    expect(hand.page.locator(f'{form} select[name="wall"]')).to_have_value(last or "?")
    for name, text in zip(("offset", "width", "height"), tape.door, strict=True):
        hand.type(f'{form} input[name="{name}"]', text)
    hand.press(f"{form} .presses > button.btn")
    saved(hand.page, "add the garage door")


def tell_what_is_in_it(hand: Hand, tape: Tape) -> None:
    """Say how full it is, what stays (boiler, freezer, two bicycles), and a car that comes.

    Nobody has to say that the car is out while they train: a car usually is.
    """
    form = 'form[data-edit="add-found"]'
    hand.press('#index a[data-of="things"]')
    expect(hand.page.locator(form)).to_be_visible()
    hand.pick('form[data-edit="full"]', "full", "half")
    saved(hand.page, "how full the room is")
    boiler, freezer, bicycles, car = tape.along
    for kind, wall, along, count, words in (
        ("boiler", 1, boiler, "", "Boiler stays"),
        ("chest-freezer", 2, freezer, "", "Chest freezer stays"),
        ("bike-stored", 0, bicycles, "2", "Two bicycles stay"),
        ("car", 3, car, "", "Car is out while you train"),
    ):
        hand.pick(form, "kind", kind)
        hand.choose(f'{form} select[name="wall"]', wall + 1)
        hand.type(f'{form} input[name="along"]', along)
        if count:
            hand.type(f'{form} input[name="count"]', count)
        hand.press(f"{form} > button.btn:not(.plain-submit)")
        saved(hand.page, words)


def tell_who_trains(hand: Hand, tape: Tape) -> None:
    """Add one person."""
    hand.press('.tabs a[href$="/people"]')
    hand.page.wait_for_url("**/people")
    hand.type(".add-person [name='label']", "Ada")
    hand.type(".add-person [name='stature']", tape.stature)
    hand.press('.add-person button[value="add"]')
    expect(hand.page.get_by_role("heading", name="Ada", exact=True)).to_be_visible()
    hand.page.wait_for_load_state()


def go_on(hand: Hand, part: str) -> None:
    """Go on to the next step of the room."""
    hand.press(".next-step a")
    expect(hand.page.locator(f'#index a[data-of="{part}"][aria-current]')).to_be_visible()


def tell_the_room(hand: Hand) -> None:
    """Go through the steps of a room just walked, as one who has not seen them before.

    3.42 m at the garage door, 5.52 m up the left wall: doors and a window, what walls, ceiling and
    floor are made of, a boiler, a freezer and two bicycles that stay, a car that is out, three
    things to do to the room, what is known of its supply.
    """
    page = hand.page
    go_on(hand, "walls")
    hand.pick('form[data-edit="all-walls"]', "construction", "solid-brick")
    saved(page, "what all walls are made of")
    go_on(hand, "openings")
    form = 'form[data-edit="add-opening"]'
    for kind, wall, sizes, out in (
        ("tracks", 0, {"offset": "0.56", "width": "2.30", "height": "2.05"}, False),
        ("window", 2, {"offset": "1.20", "width": "0.90", "height": "0.80", "sill": "1.20"}, False),
        ("hinged", 3, {"offset": "0.70", "width": "0.83", "height": "1.98"}, True),
    ):
        expect(page.locator(f"{form} input[name=offset]")).to_have_value("")
        if kind != "hinged":
            hand.pick(form, "kind", kind)
        if wall:
            hand.press(f".pick.wall >> nth={wall - 1}")
            expect(page.locator(f"{form} select")).not_to_have_value("")
        for name, text in sizes.items():
            hand.type(f'{form} input[name="{name}"]', text)
        if out:
            hand.pick(form, "swing", "out")
        last = kind == "hinged"
        hand.press(f"{form} .presses button" + (":not([name])" if last else "[name='then']"))
        saved(page, f"add the {'garage door' if kind == 'tracks' else 'door' if last else kind}")
    go_on(hand, "ceiling")
    hand.pick('form[data-edit="ceiling"]', "construction", "solid-joists")
    saved(page, "the ceiling")
    go_on(hand, "floor")
    hand.pick('form[data-edit="floor"]', "construction", "ground-slab")
    saved(page, "the floor")
    go_on(hand, "things")
    hand.pick('form[data-edit="full"]', "full", "half")
    saved(page, "how full the room is")
    form = 'form[data-edit="add-found"]'
    for kind, count, at, words in (
        ("boiler", "", (600, -5400), "Boiler stays"),
        ("chest-freezer", "", (200, -4100), "Chest freezer stays"),
        ("bike-stored", "2", (200, -2000), "Two bicycles stay"),
        ("car", "", (2000, -2600), "Car is out while you train"),
    ):
        hand.pick(form, "kind", kind)
        if count:
            hand.type(f'{form} input[name="count"]', count)
        hand.point(*at)
        saved(page, words)
    hand.pick('form[data-edit="burns"]', "fuel", "yes")
    saved(page, "whether the boiler burns fuel here")
    go_on(hand, "will")
    for will in ("floor", "walls", "light"):
        hand.press(f'form[data-edit="will-{will}"] button')
        expect(page.locator(f'form[data-edit="will-{will}"]')).to_have_count(0)
    go_on(hand, "electricity")
    form = 'form[data-edit="electricity"]'
    hand.choose(f'{form} select[name="feed"]', 2)
    hand.pick(form, "protected", "yes")
    saved(page, "what feeds the room")
    go_on(hand, "way-in")
    hand.press(".next-step a")
    page.wait_for_url("**/people")


def tell_two_people(hand: Hand) -> None:
    """Add two, let the first want three movements, the second the same."""
    for name, stature in (("Ada", "1.70"), ("Bo", "1.84")):
        hand.type(".add-person [name='label']", name)
        hand.type(".add-person [name='stature']", stature)
        hand.press('.add-person button[value="add"]')
        expect(hand.page.get_by_role("heading", name=name, exact=True)).to_be_visible()
        hand.page.wait_for_load_state()
    first = hand.page.locator("section.card").first.get_attribute("id")
    for movement in ("squat", "bench-press", "pull-up"):
        hand.press(f'#{first} [data-of="{movement}"] button')
        expect(hand.page.locator("#saved")).to_have_text("saved")
    hand.press(".same-wishes:visible button")
    expect(hand.page.locator(".same-wishes:visible")).to_have_count(0)
    hand.page.wait_for_load_state()
