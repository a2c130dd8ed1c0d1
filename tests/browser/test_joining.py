"""A bench moved into a rack belongs to it, moved out it does not; each is one step."""

from collections.abc import Mapping
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from app.model.kit import Piece
from tests.browser.desk import Desk
from tests.browser.rooms import DOOR, RACK
from tests.browser.store import PlanStore
from tests.builders import make_plan, make_room, place

# The mid rack is 1220 x 1250 and stands with its middle at 1500, 1100: 475 to 1725 from the back.
BENCH = place("adjustable-bench", 3600, 2800, 180, piece_id="bench")


def opened(page: Page, kept: PlanStore, bench: Piece) -> Desk:
    plan = make_plan(RACK, bench, room=make_room(5000, 4000, openings=(DOOR,)))
    return Desk(page, kept, kept.put(plan)).open()


def piece(desk: Desk, piece_id: str) -> Mapping[str, Any]:
    found: Mapping[str, Any] = desk.kept.pieces(desk.plan_id)[piece_id]
    return found


def test_a_bench_dragged_into_a_rack_moves_with_it_and_undo_is_one_step(
    page: Page, kept: PlanStore
) -> None:
    desk = opened(page, kept, BENCH)
    with desk.one_command():
        desk.drag("bench", 1500, 1175)
    assert piece(desk, "bench")["carried_by"] == "rack"
    assert desk.pose("bench")[:2] == pytest.approx((1500, 1175), abs=2 * desk.mm_per_px)
    message = "Adjustable bench stands in Mid rack now; it moves with it."
    expect(page.locator(".message")).to_have_text(message)
    with desk.one_command():
        page.get_by_role("button", name="Undo").click()
    assert piece(desk, "bench")["carried_by"] is None
    assert desk.pose("bench") == (3600, 2800, 180)


@pytest.mark.long
def test_arrows_take_a_bench_in_and_a_drag_of_it_alone_takes_it_out(
    page: Page, kept: PlanStore
) -> None:
    # 1760 is 35 before the front edge of the rack: one step of 100 and its middle is within
    desk = opened(page, kept, place("adjustable-bench", 1500, 1760, 180, piece_id="bench"))
    desk.choose("bench")
    with desk.one_command():
        page.keyboard.press("Shift+ArrowUp")
    assert piece(desk, "bench")["carried_by"] == "rack"
    assert desk.pose("bench") == (1500, 1660, 180)
    page.get_by_role("button", name="This piece alone").click()
    with desk.one_command():
        desk.drag("bench", 1500, 1800)
    # 1800 is 75 before the rack: it is still of it, as a bar on hooks is that lie before the posts
    assert piece(desk, "bench")["carried_by"] == "rack"
    with desk.one_command():
        desk.drag("bench", 3600, 2800)
    assert piece(desk, "bench")["carried_by"] is None
    assert desk.pose("rack") == (1500, 1100, 0)
    expect(page.locator(".message")).to_have_text(
        "Adjustable bench is out of Mid rack now; it moves alone."
    )
    with desk.one_command():
        page.get_by_role("button", name="Undo").click()
    assert piece(desk, "bench")["carried_by"] == "rack"
    assert desk.pose("bench")[:2] == pytest.approx((1500, 1800), abs=2 * desk.mm_per_px)
