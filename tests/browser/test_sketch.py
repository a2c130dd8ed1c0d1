"""A photo of a sketch under the drawing: laid, scaled by two clicked points, seen on the desk."""

from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.desk import Desk
from tests.browser.rest import axe_faults
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore


def test_a_sketch_is_laid_scaled_and_seen(page: Page, kept: PlanStore, tmp_path: Path) -> None:
    plan_id = kept.put(workshop())
    photo = tmp_path / "sketch.png"
    Image.new("RGB", (1000, 800), (120, 160, 200)).save(photo)
    page.goto(f"/plan/{plan_id}/room?of=picture")
    page.locator("#sketch-file").set_input_files(photo)
    page.get_by_role("button", name="Lay it under the drawing").click()
    image = page.locator("#underlay image.sketch")
    expect(image).to_be_visible()
    # the room of 5.00 x 4.00 m under a picture of 1000 x 800 px
    assert kept.plan(plan_id)["picture"]["mm_per_px"] == 5
    assert axe_faults(page) == []
    page.get_by_role("button", name="Click two points").click()
    box = image.bounding_box()
    assert box is not None
    middle = box["y"] + box["height"] / 2
    page.mouse.click(box["x"] + box["width"] * 0.2, middle)
    page.mouse.click(box["x"] + box["width"] * 0.6, middle)
    expect(page.locator('[id="picture-scale-known"]')).to_be_focused()
    page.keyboard.type("2m20")
    page.keyboard.press("Enter")
    expect(page.locator("#saved")).to_have_text("saved: the picture scaled to 2.20 m")
    # 0.4 of 5 m are 2 m; they are 2.20 m apart, so each pixel is 5.5 mm
    assert abs(kept.plan(plan_id)["picture"]["mm_per_px"] - 5.5) < 0.05

    desk = Desk(page, kept, plan_id).open()
    seen = page.locator(".underlay image.sketch")
    expect(seen).to_be_visible()
    width = page.evaluate(
        "async (href) => (await createImageBitmap(await (await fetch(href)).blob())).width",
        seen.get_attribute("href"),
    )
    assert width == 1000
    with desk.one_command():
        page.keyboard.press("Control+z")
    with desk.one_command():
        page.keyboard.press("Control+z")
    expect(seen).to_have_count(0)


@pytest.mark.long
def test_a_picture_too_large_is_told_before_it_is_sent(
    page: Page, kept: PlanStore, tmp_path: Path
) -> None:
    plan_id = kept.put(workshop())
    large, right = tmp_path / "large.png", tmp_path / "right.png"
    Image.new("RGB", (40, 30), (90, 90, 90)).save(right)
    large.write_bytes(right.read_bytes() + bytes(41_000_000))
    page.goto(f"/plan/{plan_id}/room?of=picture")
    page.locator("#sketch-file").set_input_files(large)
    told = page.locator("#panel .form-fault:visible")
    expect(told).to_contain_text("The picture has 41.0 MB; at most 40 MB are taken.")
    page.get_by_role("button", name="Lay it under the drawing").click()
    expect(told).to_be_visible()
    assert kept.plan(plan_id)["picture"] is None
    page.locator("#sketch-file").set_input_files(right)
    expect(told).to_have_count(0)
    page.get_by_role("button", name="Lay it under the drawing").click()
    expect(page.locator("#underlay image.sketch")).to_be_visible()
