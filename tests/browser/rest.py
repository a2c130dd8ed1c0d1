"""When a page has come to rest: what a test waits for instead of for a time."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

FRAMES = """(frames) => new Promise((done) => {
    const next = () => (frames-- > 0 ? requestAnimationFrame(next) : done());
    next();
})"""
# What goes round for ever, such as the mark of a search, has no end to wait for.
TRANSITIONS = """() => Promise.allSettled(document.getAnimations()
    .filter((one) => Number.isFinite(one.effect?.getComputedTiming().endTime))
    .map((one) => one.finished)).then(() => true)"""
# No styles are fetched a second time for it: only rules that are not asked for would read them.
VIOLATIONS = """(rules) => axe.run({
    resultTypes: ['violations'], preload: false, ...(rules && {runOnly: rules}),
}).then((result) => result.violations)"""
OF_COLOUR = ["color-contrast", "link-in-text-block"]
"""The rules of axe that ask for colours: what another light may break on a page that stays."""
KEYS = """(keys) => {
    for (const [key, shiftKey] of keys) {
        const event = { key, shiftKey, bubbles: true, cancelable: true };
        document.activeElement.dispatchEvent(new KeyboardEvent('keydown', event));
    }
}"""


def painted(page: Page, frames: int = 2) -> None:
    """Wait until the page has painted: two frames after a change it is on the screen."""
    page.evaluate(FRAMES, frames)


def still(page: Page) -> None:
    """Wait until the page is painted and every transition that ends is over."""
    painted(page)
    page.evaluate(TRANSITIONS)


def in_one_go(page: Page, *keys: str) -> None:
    """Press keys with nothing between them, however busy the machine is; capitals with shift."""
    pressed = [(key.removeprefix("Shift+"), key.startswith("Shift+")) for key in keys]
    page.evaluate(KEYS, pressed)


def axe_faults(page: Page, only: list[str] | None = None) -> list[str]:
    """Return what axe has against the page at rest, each with where and why.

    `only` names the rules that are asked for, None asks for all. A page that is looked at again,
    in another light or another state, keeps the axe it has.
    """
    still(page)
    if page.evaluate("typeof axe === 'undefined'"):
        page.evaluate(Axe().axe_script)
    return [
        f"{v['id']}: {v['help']} ({v['nodes'][0]['target']}: {v['nodes'][0]['failureSummary']})"
        for v in page.evaluate(VIOLATIONS, only)
    ]
