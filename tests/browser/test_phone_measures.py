"""A phone of the household that came by a link: it walks round the room and keeps photos of it."""

import io
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser, expect

from tests.browser.household import PHONE, Household
from tests.browser.rooms import HIGH, workshop
from tests.browser.running import RunningApp
from tests.web.test_guest_server import own_address


@pytest.fixture(scope="module")
def live_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningApp]:
    """A program of its own that serves guests, too."""
    data = tmp_path_factory.mktemp("measured")
    with RunningApp(data, "--share-on", own_address(), "--share-port", "0") as running:
        yield running


@pytest.fixture
def home(browser: Browser, live_server: RunningApp) -> Iterator[Household]:
    home = Household(browser, live_server, workshop(ceiling=HIGH))
    yield home
    home.close()


@pytest.mark.long
def test_a_phone_walks_round_the_room_and_keeps_a_photo_of_a_wall(
    home: Household, tmp_path: Path
) -> None:
    address = home.link("Ben", "edit")
    page = home.context(address, PHONE).new_page()
    page.goto(f"{address}plan/{home.plan_id}/walk")
    fourth = page.locator("#length4")
    fourth.scroll_into_view_if_needed()
    fourth.tap()
    # the outline stays in sight above the field, and that above where a keyboard comes up
    drawn, typed = page.locator(".walk-figure").bounding_box(), fourth.bounding_box()
    assert drawn is not None
    assert typed is not None
    assert drawn["y"] >= 0
    assert drawn["y"] + drawn["height"] <= typed["y"]
    assert typed["y"] + typed["height"] < PHONE[1] / 2
    fourth.fill("4.02")
    expect(page.locator("#answer")).to_contain_text("4.02 m")
    page.locator("#use").tap()
    page.wait_for_url("**/room*")
    walls = home.kept.plan(home.plan_id)["room"]["walls"]
    picture = tmp_path / "wall.png"
    picture.write_bytes(drawn_photo())
    page.goto(f"{address}plan/{home.plan_id}/room?of=wall:{walls[0]['id']}")
    form = page.locator("form.add-photo")
    form.locator('input[type="file"]').set_input_files(picture)
    expect(form.locator("[data-chosen]")).to_have_text("chosen: wall.png")
    button = form.get_by_role("button", name="Keep it").bounding_box()
    assert button is not None
    assert button["height"] >= 44
    form.get_by_role("button", name="Keep it").tap()
    shown = page.get_by_role("img", name="Photo 1 of: wall A")
    expect(shown).to_be_visible()
    assert shown.evaluate("image => image.decode().then(() => image.naturalWidth)") == 1600
    assert len(home.kept.plan(home.plan_id)["room"]["walls"][0]["photos"]) == 1


def drawn_photo() -> bytes:
    """A photo larger than is kept."""
    written = io.BytesIO()
    Image.new("RGB", (2400, 1200), (120, 90, 60)).save(written, "PNG")
    return written.getvalue()
