"""The picture kept as a photo: PNG by the browser's own canvas, with the ink of the drawing."""

import io
from pathlib import Path

import numpy as np
from PIL import Image
from playwright.sync_api import Page
from scipy import ndimage

from tests.browser.rooms import DOOR
from tests.browser.store import PlanStore
from tests.builders import make_person, make_plan, make_room, place

WIDE_PX = 2400
NEAR_PX = 3
"""Edges are grey, and a photo's rows are whole pixels where the page's are not."""


def grey(png: bytes) -> np.ndarray[tuple[int, int], np.dtype[np.uint8]]:
    return np.asarray(Image.open(io.BytesIO(png)).convert("L"))


def test_the_photo_is_2400_wide_and_its_ink_is_that_of_the_drawing(
    page: Page, kept: PlanStore, tmp_path: Path
) -> None:
    box, rack = place("jump-box", 3600, 2800), place("mid-rack", 1200, 1200)
    room = make_room(5000, 4000, openings=(DOOR,))
    plan = make_plan(box, rack, room=room, people=[make_person(1800)], name="Den")
    page.goto(f"/plan/{kept.put(plan)}/picture")
    with page.expect_download() as kept_file:
        page.get_by_role("button", name="Keep as a photo").click()
    assert kept_file.value.suggested_filename == "Den.png"
    path = tmp_path / "den.png"
    kept_file.value.save_as(path)
    with Image.open(path) as file:
        photo = file.copy()
        assert file.format == "PNG"
    _, _, wide, high = map(
        float, (page.locator(".room-picture").get_attribute("viewBox") or "").split()
    )
    assert photo.size == (WIDE_PX, round(WIDE_PX * high / wide))

    # the drawing itself, as the page shows it, laid out as wide as the photo
    page.set_viewport_size({"width": WIDE_PX, "height": photo.height})
    page.evaluate(
        """([wide, high]) => {
            const svg = document.querySelector('.room-picture');
            document.body.replaceChildren(svg.parentElement);
            const size = `width:${wide}px;height:${high}px`;
            svg.style.cssText = `position:fixed;left:0;top:0;${size};background:var(--paper)`;
        }""",
        [WIDE_PX, photo.height],
    )
    shown = grey(page.locator(".room-picture").screenshot())
    taken = grey(path.read_bytes())
    assert shown.shape == taken.shape
    size = 2 * NEAR_PX + 1
    for one, other in ((shown, taken), (taken, shown)):
        dark, near = one < 120, ndimage.grey_erosion(other, size=size) < 190
        assert dark.sum() > 10_000
        assert not (dark & ~near).any()
    # surfaces are as they are shown: colours come along, not lines alone
    assert np.abs(shown.astype(int) - taken.astype(int)).mean() < 1.5
