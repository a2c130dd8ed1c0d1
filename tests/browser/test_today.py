"""The page of the day in a hand: ticks stay, hours by a thumb, a photo goes small and is kept."""

import io
import json

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.conftest import OpenPage
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore

LEAST_TARGET_PX = 44


def photo() -> bytes:
    """A large photo with the device in it, as noise does not come smaller than it is."""
    exif = Image.Exif()
    exif[0x010F] = "maker of phones"
    written = io.BytesIO()
    Image.effect_noise((3000, 2000), 60).convert("RGB").save(written, "JPEG", quality=90, exif=exif)
    return written.getvalue()


@pytest.fixture
def today(open_page: OpenPage, kept: PlanStore) -> tuple[Page, str]:
    plan_id = kept.put(workshop())
    page = open_page(390, 844, touch=True)
    page.goto(f"/plan/{plan_id}/today")
    return page, plan_id


def test_an_evening_is_ticked_photographed_and_done(
    today: tuple[Page, str], kept: PlanStore
) -> None:
    page, plan_id = today
    card = page.locator("article.tonight").first
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    step = card.get_by_role("checkbox").first
    step.focus()
    page.keyboard.press("Space")
    page.reload()
    expect(card.get_by_role("checkbox").first).to_be_checked()
    # every press is as large as a thumb
    for target in card.locator("button:visible, .photo-field .btn, .tick-list label").all():
        box = target.bounding_box()
        assert box is not None
        assert box["height"] >= LEAST_TARGET_PX, target.inner_text()
    hours = card.get_by_label("it took, h")
    before = float(hours.input_value())
    card.get_by_role("button", name="It took longer").tap()
    assert float(hours.input_value()) == before + 0.25
    large = photo()
    card.locator('input[type="file"]').set_input_files(
        {"name": "IMG_1.jpg", "mimeType": "image/jpeg", "buffer": large}
    )
    expect(card.locator("[data-chosen]")).to_have_text("chosen: IMG_1.jpg")
    sizes = page.evaluate(
        "() => [...document.querySelectorAll('input[type=file]')].map(i => i.files[0]?.size ?? 0)"
    )
    assert 0 < sizes[0] < len(large) / 2
    card.get_by_label("A line for the diary").fill("Nobody objects.")
    with page.expect_navigation():
        card.get_by_role("button", name="Done").tap()
    note = json.loads(kept.ask(f"api/plans/{plan_id}"))["plan"]["works"]["tasks"][0]
    assert note["diary"] == "Nobody objects."
    assert note["done_hours"] == before + 0.25
    seen = Image.open(io.BytesIO(kept.ask(f"plan/{plan_id}/photo/{note['photos'][0]}")))
    assert max(seen.size) == 1600
    assert not seen.getexif()
