"""A part of the ceiling: typed, dragged by a corner, moved by keys, typed again, undone."""

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.rest import axe_faults
from tests.browser.rooms import workshop
from tests.browser.store import PlanStore


def part(kept: PlanStore, plan_id: str) -> dict[str, Any]:
    """The part that was added, as it is kept."""
    planes = kept.plan(plan_id)["room"]["ceiling"]["planes"]
    found: dict[str, Any] = next(plane for plane in planes if plane["id"] == "part-1")
    return found


@pytest.mark.long
def test_a_part_of_the_ceiling_by_fields_pointer_and_keys(page: Page, kept: PlanStore) -> None:
    plan_id = kept.put(workshop())
    page.goto(f"/plan/{plan_id}/room?of=ceiling")
    page.get_by_text("Add a part that is lower or slopes").click()
    form = page.locator('form[data-edit="add-over"]')
    form.get_by_label("Length along it").fill("1.2 m")
    form.get_by_label("Reaching into the room").fill("800")
    form.get_by_label("Height, or near that wall").fill("2.05")
    form.get_by_role("button", name="Add it to the ceiling").click()
    saved = page.locator("#saved")
    expect(saved).to_have_text("saved: add a part of the ceiling")
    # 1.20 m along the back wall and 0.80 m into the room
    assert part(kept, plan_id)["outline"] == [[0, 0], [1200, 0], [1200, 800], [0, 800]]
    grip = page.locator(".bend .grip").nth(2).bounding_box()
    assert grip is not None
    page.mouse.move(grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2)
    page.mouse.down()
    page.mouse.move(grip["x"] + 60, grip["y"] + 50, steps=4)
    page.mouse.up()
    expect(saved).to_have_text("saved: corner 3")
    x, y = part(kept, plan_id)["outline"][2]
    assert x > 1300
    assert y > 900
    corner = page.get_by_role("link", name="Corner 2 of part 1, arrows move it")
    corner.focus()
    page.keyboard.press("Shift+ArrowRight")
    expect(saved).to_have_text("saved: corner 2")
    # Shift and an arrow are 100 mm
    assert part(kept, plan_id)["outline"][1] == [1300, 0]
    expect(corner).to_be_focused()
    typed = page.get_by_label("Corner 3, in front of the zero point")
    typed.fill("90 cm")
    typed.press("Enter")
    expect(saved).to_have_text("saved: corner 3 of the part of the ceiling")
    assert part(kept, plan_id)["outline"][2] == [x, 900]
    assert axe_faults(page) == []
    page.get_by_role("button", name="Remove it").click()
    expect(saved).to_have_text("saved: remove the part of the ceiling")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".pick.part")).to_have_count(1)
