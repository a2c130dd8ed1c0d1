"""What a guest is shown of a plan with long names is no wider than the window."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from app.model.base import json_of
from app.model.plan import Plan
from tests.browser.household import Household
from tests.browser.rest import painted
from tests.browser.rooms import workshop
from tests.browser.running import RunningApp
from tests.browser.test_long_names import HEIGHT, PHONE, unbroken, wide
from tests.web.test_guest_server import own_address

SHEETS = ("", "/room", "/people", "/works", "/today", "/print", "/lay", "/shopping", "/walk")
WIDTHS = (PHONE, 1024, 1440)


@pytest.fixture(scope="module")
def live_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningApp]:
    """A program of its own that serves guests, too."""
    data = tmp_path_factory.mktemp("wide")
    with RunningApp(data, "--share-on", own_address(), "--share-port", "0") as running:
        yield running


@pytest.mark.long
def test_nothing_a_guest_sees_is_wider_than_the_window(
    browser: Browser, live_server: RunningApp
) -> None:
    data = json_of(workshop(name=unbroken("Plan"), label=unbroken("Box")))
    for person in data["people"]:
        person["label"] = unbroken("Ada")
    home = Household(browser, live_server, Plan.model_validate(data))
    address = home.link("Ben", "edit")
    page = home.context(address, (PHONE, HEIGHT)).new_page()
    found = {}
    for path in ("", "guest/options", *(f"plan/{home.plan_id}{sheet}" for sheet in SHEETS)):
        page.goto(f"{address}{path}")
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": HEIGHT})
            painted(page)
            found[path, width] = wide(page)
    home.close()
    assert len(found) == len(WIDTHS) * (2 + len(SHEETS))
    assert {where: parts for where, parts in found.items() if parts} == {}
