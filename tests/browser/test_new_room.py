"""My room in a minute: by fields alone, then what the ceiling allows, then the desk."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Watch
from tests.browser.desk import Desk
from tests.browser.store import PlanStore


def fill(page: Page, **fields: str) -> None:
    for name, text in fields.items():
        page.locator(f'[name="{name}"]').fill(text)


def press(page: Page, name: str, value: str) -> None:
    """Choose one of the pictures or words of the form."""
    page.locator(f'label:has([name="{name}"][value="{value}"])').click()


def submit(page: Page) -> None:
    page.get_by_role("button", name="See what this ceiling allows").click()


@pytest.mark.long
def test_a_room_by_fields_then_wishes_then_the_desk(page: Page, kept: PlanStore) -> None:
    page.goto("/")
    page.locator('a[href="/new"]').click()
    fill(page, name="Our garage", width="5.32 m", depth="518 cm", height="2.31")
    expect(page.locator("#preview")).to_contain_text("5.32 m")
    press(page, "covering", "rubber-20")
    press(page, "door", "sectional")
    press(page, "door_wall", "front")
    fill(page, door_width="4.27 m", door_height="2.13 m")
    fill(page, person1_name="Tall", person1_stature="1.88 m", person1_reach="2.26 m")
    fill(page, person2_name="Small", person2_stature="164 cm")
    submit(page)
    page.wait_for_url("**/people")
    plan_id = page.url.split("/")[-2]
    plan = kept.plan(plan_id)
    walls = {(wall["x_mm"], wall["y_mm"]) for wall in plan["room"]["walls"]}
    assert walls == {(0, 0), (5320, 0), (5320, 5180), (0, 5180)}
    assert plan["room"]["ceiling"]["planes"][0]["height_mm"] == 2310
    assert plan["room"]["floor"]["covering"]["thickness_mm"] == 20
    door = plan["room"]["openings"][0]
    assert (door["kind"], door["wall"]) == ("sectional", "front")
    assert (door["width_mm"], door["height_mm"]) == (4270, 2130)
    people = {p["label"]: (p["stature_mm"], p["reach_mm"]) for p in plan["people"]}
    assert people == {"Tall": (1880, 2260), "Small": (1640, None)}

    card = page.locator(".card", has=page.get_by_role("heading", name="Tall"))
    line = card.locator('[data-movement="standing-press"]')
    # a reach of 2260, half a plate of 450 and 20 of rubber: 2505
    expect(line.locator(".numbers")).to_contain_text("2310")
    expect(line.locator(".numbers")).to_contain_text("least 2505")
    assert "does-not" in (line.get_attribute("class") or "")
    line.get_by_role("radio", name="want", exact=True).check()
    # one press below a figure wants it, and its words come; pressed on, it is wanted no more
    squat, mark = card.locator('[data-movement="squat"]'), card.locator('[data-of="squat"] button')
    expect(squat).to_be_hidden()
    for word in ("want", "would be nice", "no"):
        mark.click()
        expect(mark).to_have_accessible_name(re.compile(f"^Squat ?: {word}$"))
        expect(squat.get_by_role("radio", name=word, exact=True)).to_be_checked()
    expect(line).to_be_hidden()
    card.get_by_role("button", name="All 16 in words").click()
    expect(line).to_be_visible()
    expect(page.locator("#saved")).to_have_text("saved")
    person = next(p for p in kept.plan(plan_id)["people"] if p["label"] == "Tall")
    said = {wish["movement"]: wish["wish"] for wish in person["wishes"]}
    assert (said["standing-press"], said["squat"]) == ("want", "no")

    page.get_by_role("link", name="Now place the kit").first.click()
    desk = Desk(page, kept, plan_id).ready()
    expect(page.locator(".plan-name")).to_have_text("Our garage")
    expect(desk.slip).to_contain_text("Standing press")
    assert any("standing-press" in key for key in kept.snags(plan_id))


@pytest.mark.long
def test_feet_and_inches(page: Page, kept: PlanStore) -> None:
    page.goto("/new")
    press(page, "units", "feet")
    fill(page, name="Loft", width="17' 6\"", depth="12ft 3in", height='94 1/2"')
    press(page, "door", "none")
    fill(page, person1_stature="6' 2\"")
    submit(page)
    page.wait_for_url("**/people")
    plan = kept.plan(page.url.split("/")[-2])
    width = max(wall["x_mm"] for wall in plan["room"]["walls"])
    depth = max(wall["y_mm"] for wall in plan["room"]["walls"])
    # 210, 147, 94.5 and 74 inches of 25.4 mm
    assert (width, depth) == pytest.approx((5334, 3733.8))
    assert plan["room"]["ceiling"]["planes"][0]["height_mm"] == pytest.approx(2400.3)
    assert plan["people"][0]["stature_mm"] == pytest.approx(1879.6)
    assert plan["units"] == "feet"


@pytest.mark.long
def test_what_is_wrong_stands_beside_its_field_and_nothing_is_kept(
    page: Page, kept: PlanStore, watch: Watch
) -> None:
    watch.expect("400")
    before = kept.plans()
    page.goto("/new")
    fill(page, name="Wrong", width="wide", depth="4 m", height="2.3 m")
    press(page, "door", "roller")
    fill(page, door_width="9 m", door_height="2 m", person1_stature="1.8 m")
    submit(page)
    expect(page.locator("#width")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#width-fault")).to_be_visible()
    expect(page.locator("#width")).to_have_value("wide")
    expect(page.locator("#depth")).to_have_value("4 m")
    assert kept.plans() == before
