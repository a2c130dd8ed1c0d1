"""The desk as a hand uses it: places are given in mm of the room, presses land on the screen."""

from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Locator, Page, expect

from tests.browser.store import PlanStore

TO_SCREEN = """([x, y]) => {
    const svg = document.querySelector('.stage svg.figure');
    const at = new DOMPoint(x, y).matrixTransform(svg.getScreenCTM());
    return [at.x, at.y, svg.getScreenCTM().a];
}"""
COUNT_PATCHES = """() => {
    window.patches = 0;
    const list = document.querySelector('.slip');
    const count = (records) => { window.patches += records.length; };
    new MutationObserver(count).observe(list, {
        childList: true, subtree: true, characterData: true, attributes: true,
    });
}"""
SAVE_MS = 60_000


class Desk:
    """The desk of one plan, open in a page."""

    def __init__(self, page: Page, kept: PlanStore, plan_id: str) -> None:
        self.page = page
        self.kept = kept
        self.plan_id = plan_id
        self.slip = page.locator("#slip")
        self.card = page.locator("form.piece-card")
        self.stage = page.locator(".stage")

    def open(self) -> "Desk":
        """Go to the page, or load it anew, and wait until it is at work."""
        self.page.goto(f"/plan/{self.plan_id}")
        return self.ready()

    def ready(self) -> "Desk":
        """Wait until the scripts of the page are at work."""
        self.page.locator("body[data-ready]").wait_for()
        return self

    def with_shelf(self) -> "Desk":
        """Let the shelf be seen: it is folded where kit stands in the room already."""
        self.page.locator(".tools .shelf-fold").click()
        self.page.locator("#find-kit").wait_for()
        return self

    @property
    def revision(self) -> int:
        """The revision that the page shows."""
        return int(self.page.locator(".block-revision").text_content() or "")

    @contextmanager
    def one_command(self) -> Iterator[None]:
        """Wait for what the block does to be kept; it must be one command and no more."""
        before = self.revision
        yield
        self.at_revision(before + 1)
        assert self.kept.read(self.plan_id)["revision"] == before + 1

    def at_revision(self, revision: int) -> None:
        """Wait until the page shows this revision and has nothing left to save."""
        shown = self.page.locator(".block-revision")
        expect(shown).to_have_text(str(revision), timeout=SAVE_MS)
        expect(self.page.locator(".saved")).to_have_text("saved", timeout=SAVE_MS)

    def screen(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """Give where a place of the room is on the screen."""
        x, y, _ = self.page.evaluate(TO_SCREEN, [x_mm, y_mm])
        return x, y

    @property
    def mm_per_px(self) -> float:
        """The scale of the drawing."""
        return 1 / float(self.page.evaluate(TO_SCREEN, [0, 0])[2])

    def pose(self, piece_id: str) -> tuple[float, float, float]:
        """Give where the store has a piece: x and y in mm, angle in degrees."""
        return self.kept.pose(self.plan_id, piece_id)

    def shown(self, piece_id: str) -> str:
        """Give the transform that a piece is drawn with now."""
        return self.drawn(piece_id).get_attribute("transform") or ""

    def drawn(self, piece_id: str) -> Locator:
        """Give the drawing of a piece."""
        return self.page.locator(f'.stage g.piece[data-piece="{piece_id}"]')

    def choose(self, piece_id: str) -> None:
        """Take a piece into the hand by a click on its middle."""
        self.page.mouse.click(*self.screen(*self.pose(piece_id)[:2]))
        expect(self.drawn(piece_id)).to_have_attribute("aria-pressed", "true")

    def lift(self, piece_id: str) -> None:
        """Press on the middle of a piece and keep the button down."""
        self.page.mouse.move(*self.screen(*self.pose(piece_id)[:2]))
        self.page.mouse.down()

    def carry(self, x_mm: float, y_mm: float, steps: int = 8) -> None:
        """Move the pointer to a place of the room."""
        self.page.mouse.move(*self.screen(x_mm, y_mm), steps=steps)

    def drag(self, piece_id: str, x_mm: float, y_mm: float, free: bool = True) -> None:
        """Drag a piece by its middle to a place; ``free`` holds the key that lets walls go."""
        self.lift(piece_id)
        if free:
            self.page.keyboard.down("Shift")
        self.carry(x_mm, y_mm)
        self.page.mouse.up()
        if free:
            self.page.keyboard.up("Shift")

    def row(self, key: str) -> Locator:
        """Give the row of a snag."""
        return self.slip.locator(f'li.snag[data-key="{key}"]')

    def flag(self, key: str) -> Locator:
        """Give the flag of a snag."""
        return self.page.locator(f'.overlay g.flag[data-snag="{key}"]')

    def field(self, name: str) -> Locator:
        """Give a field of the card of the chosen piece."""
        return self.card.locator(f'[name="{name}"]')

    def type_into(self, name: str, text: str) -> None:
        """Type a value into a field of the card, exactly as a person does: once it takes it."""
        expect(self.card).not_to_have_attribute("inert", "")
        self.field(name).fill(text)
        self.field(name).press("Enter")

    def count_patches(self) -> None:
        """Count from now on what changes in the list of snags."""
        self.page.evaluate(COUNT_PATCHES)

    @property
    def patches(self) -> int:
        """How many changes there have been in the list of snags since the count began."""
        count: int = self.page.evaluate("window.patches")
        return count
