"""Going up to a wall that runs askew: to the first touch; wall kit with its back along it."""

import pytest
from playwright.sync_api import Page

from app.model.kit import Piece
from tests.browser.desk import Desk
from tests.browser.store import PlanStore
from tests.builders import make_plan, make_room, place

# The left wall leans: it is at y / 10 from the left, so it runs 5.7106 degrees off upright.
SKEWED = [(0, 0), (4000, 0), (4000, 3000), (300, 3000)]
BOX = place("jump-box", 2000, 1500, piece_id="box", width=500, depth=400)


def up_to_the_left(page: Page, kept: PlanStore, piece: Piece) -> tuple[float, float, float]:
    plan = make_plan(piece, room=make_room(corners=SKEWED))
    desk = Desk(page, kept, kept.put(plan)).open()
    desk.choose(piece.id)
    with desk.one_command():
        page.locator('.to-wall [data-act="wall:left"]').click()
    return desk.pose(piece.id)


def test_a_piece_stops_where_its_first_corner_touches(page: Page, kept: PlanStore) -> None:
    # the corner at the front, y = 1500 + 200, meets the wall at 170: the middle is 250 from there
    assert up_to_the_left(page, kept, BOX) == pytest.approx((420, 1500, 0), abs=0.02)


@pytest.mark.long
def test_wall_kit_turns_its_back_and_touches_along_the_wall(page: Page, kept: PlanStore) -> None:
    bars = place("wall-bars", 2000, 1500, piece_id="bars", width=900, depth=400)
    # the middle is 1850 x 10 / sqrt(101) = 1840.82 off the wall and goes 1640.82 straight to it,
    # 10 parts to the left and 1 to the front; the front faces 270 - 5.7106 degrees
    x, y, angle = up_to_the_left(page, kept, bars)
    assert (x, y) == pytest.approx((367.32, 1663.27), abs=0.02)
    assert angle % 360 == pytest.approx(264.289, abs=0.001)
