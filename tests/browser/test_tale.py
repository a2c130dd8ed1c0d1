"""The first half hour: measured, told, furnished, moved, priced and printed.

In metres and in feet with a pointer, with a finger on a phone, and by keys alone. Ceiling,
directions and money are worked out here by hand.
"""

import math
import re
from decimal import Decimal

import pytest
from playwright.sync_api import Page, expect

from app.units import parse_length_mm
from tests.browser.conftest import OpenPage
from tests.browser.desk import Desk
from tests.browser.store import Data, PlanStore
from tests.browser.tale import (
    Finger,
    Hand,
    Keys,
    Tape,
    tell_of_the_door,
    tell_of_the_house,
    tell_the_room,
    tell_two_people,
    tell_what_is_in_it,
    tell_who_trains,
    walk,
)

# nothing is parallel: walls and both diagonals as taped; lower at wall A, from wall to wall
METRIC = Tape(
    units="metric",
    walls=("5.32", "5.18", "5.20", "5.10"),
    diagonals=(("1", "3", "7.30"), ("2", "4", "7.42")),
    heights=(("A", "1.10", "2.31"), ("C", "0.40", "2.463")),
    door=("0.40", "4.20", "2.10"),
    along=("0.60", "0.30", "0.40", "0.70"),
    stature="1.78 m",
)
# the same garage by a tape in feet and inches
FEET = Tape(
    units="feet",
    walls=("17' 5 1/2\"", "17'", "17' 3/4\"", "16' 8 3/4\""),
    diagonals=(("1", "3", "23' 11 1/2\""), ("2", "4", "24' 4\"")),
    heights=(("A", "3' 7\"", "7' 7\""), ("C", "1' 4\"", "8' 1\"")),
    door=("1' 4\"", "13' 9\"", "6' 11\""),
    along=("2'", "1'", "1' 4\"", "2' 4\""),
    stature="5' 10\"",
)
GUIDE_PRICES = {"mid-rack": 520, "flat-bench": 110, "bar-20": 180, "step": 35}
"""In euro, as the shelf has them: typical, not an offer."""
ENOUGH = 100
"""How many values, choices, presses and drags such a tale may take."""
NEWCOMERS_COUNT = 89
"""How many it takes who does all of it: a form that asks for one more changes this number."""
MEND_MS = 180_000


def money(text: str) -> Decimal:
    return Decimal(re.sub(r"[^\d.]", "", text))


def sums(page: Page) -> dict[str, list[Decimal]]:
    """Give the rows of figures of the panel by their names."""
    rows = page.locator("#panel tr:has(th[scope='row'])")
    return {
        row.locator("th").inner_text(): [
            money(cell) for cell in row.locator("td").all_inner_texts()
        ]
        for row in rows.all()
    }


def ceiling_at(plan: Data, corner: tuple[float, float]) -> float:
    (plane,) = plan["room"]["ceiling"]["planes"]
    dx, dy = corner[0] - plane["at"][0], corner[1] - plane["at"][1]
    return float(plane["height_mm"] + (plane["rise_x"] * dx + plane["rise_y"] * dy) / 1000)


def see_the_ceiling(plan: Data, tape: Tape) -> None:
    """Level along wall A, up from it square: by hand from the corners, the heights and no code."""
    corners = [(wall["x_mm"], wall["y_mm"]) for wall in plan["room"]["walls"]]
    (ax, ay), (bx, by) = corners[0], corners[1]
    long = math.dist(corners[0], corners[1])
    into = (-(by - ay) / long, (bx - ax) / long)
    away = [(x - ax) * into[0] + (y - ay) * into[1] for x, y in corners]
    (_, _, low), (_, along, high) = tape.heights
    cx, cy = corners[2]
    share = parse_length_mm(along, tape.units) / math.dist(corners[2], corners[3])
    at_c = (cx + (corners[3][0] - cx) * share, cy + (corners[3][1] - cy) * share)
    far = (at_c[0] - ax) * into[0] + (at_c[1] - ay) * into[1]
    first, last = (parse_length_mm(each, tape.units) for each in (low, high))
    expected = [first + (last - first) * each / far for each in away]
    assert [ceiling_at(plan, corner) for corner in corners] == pytest.approx(expected, abs=0.5)


def see_the_money(page: Page) -> None:
    """What was there costs nothing; the rest is its guide price, a tenth is kept for surprises."""
    for name in ("Boiler", "Chest freezer", "Bicycle", "Car"):
        row = page.locator("tr, li", has_text=re.compile(name)).first
        expect(row).to_contain_text("owned")
    told = sums(page)
    kit = sum(GUIDE_PRICES.values())
    assert told["Kit"] == [kit, 0]
    fit_out, later = told["Fit-out"]
    assert later == 0
    assert told["Together"] == [(fit_out + kit) * Decimal("1.1")]
    parts = {"Racks": 520, "Benches": 110, "Bars and weights": 180, "Bag and floor": 35}
    assert {part: told[part] for part in parts} == {part: [cost] for part, cost in parts.items()}
    assert told["Of the house"] == [0]


@pytest.mark.parametrize(
    "tape", [METRIC, pytest.param(FEET, marks=pytest.mark.long)], ids=["metres", "feet"]
)
def test_the_first_half_hour(page: Page, kept: PlanStore, tape: Tape) -> None:
    half_an_hour(Hand(page), kept, tape)


@pytest.mark.long
def test_the_first_half_hour_on_a_phone(open_page: OpenPage, kept: PlanStore) -> None:
    half_an_hour(Finger(open_page(390, 844, touch=True)), kept, METRIC)


def half_an_hour(hand: Hand, kept: PlanStore, tape: Tape) -> None:
    """Do all of it, and look at ceiling, directions, money and the count on the way."""
    page = hand.page
    page.goto("/")
    plan_id = walk(hand, tape)
    tell_of_the_house(hand)
    tell_of_the_door(hand, tape)
    tell_what_is_in_it(hand, tape)
    tell_who_trains(hand, tape)
    plan = kept.plan(plan_id)

    # the walk began at wall A, the door came into wall D: it is drawn below
    corners = [(wall["x_mm"], wall["y_mm"]) for wall in plan["room"]["walls"]]
    (door,) = plan["room"]["openings"]
    assert door["wall"] == plan["room"]["walls"][3]["id"]
    assert min(corners[3][1], corners[0][1]) > max(corners[1][1], corners[2][1])
    see_the_ceiling(plan, tape)
    away = [entry["id"] for one in plan["situations"] if one["trains"] for entry in one["states"]]
    assert [kept.pieces(plan_id)[piece]["type"] for piece in away] == ["car"]

    hand.press(f'a[href="/plan/{plan_id}"]')
    desk = Desk(page, kept, plan_id).ready()
    for kind in GUIDE_PRICES:
        with desk.one_command():
            hand.take(kind)
    step = next(key for key, piece in kept.pieces(plan_id).items() if piece["type"] == "step")
    x, y, _ = desk.pose(step)
    with desk.one_command():
        hand.drag(desk, step, x, y - 200 if y > 2600 else y + 200)
    by = abs(desk.pose(step)[1] - y)

    hand.press('.tabs a[href$="/cost"]')
    page.wait_for_url("**/cost")
    see_the_money(page)
    hand.press('.tabs a[href$="/history"]')
    page.wait_for_url("**/history")
    way = "to the boiler wall" if y > 2600 else "towards the garage door"
    first = page.locator(".revisions .change").first
    expect(first).to_contain_text(way)
    # 25.4 mm are an inch
    told = f"{by:.0f} mm" if tape.units == "metric" else f"{int(by / 25.4)}"
    expect(first).to_contain_text(told)
    hand.press('.tabs a[href$="/print"]')
    page.wait_for_url("**/print")
    assert hand.count < ENOUGH


@pytest.mark.long
def test_the_first_half_hour_by_keys_alone(page: Page, kept: PlanStore) -> None:
    hand = Keys(page)
    page.goto("/")
    plan_id = walk(hand, METRIC)
    tell_of_the_house(hand)
    tell_of_the_door(hand, METRIC)
    tell_what_is_in_it(hand, METRIC)
    tell_who_trains(hand, METRIC)
    see_the_ceiling(kept.plan(plan_id), METRIC)
    hand.press(f'a[href="/plan/{plan_id}"]')
    desk = Desk(page, kept, plan_id).ready()
    for kind in GUIDE_PRICES:
        with desk.one_command():
            hand.take(kind)
    step = next(key for key, piece in kept.pieces(plan_id).items() if piece["type"] == "step")
    expect(desk.drawn(step)).to_be_focused()
    x, y, _ = desk.pose(step)
    with desk.one_command():
        page.keyboard.press("Shift+ArrowUp")
    assert desk.pose(step)[:2] == (x, y - 100)
    hand.press('.tabs a[href$="/cost"]')
    page.wait_for_url("**/cost")
    see_the_money(page)
    assert hand.count < ENOUGH


PARALLEL_TO_NONE = Tape(
    units="metric",
    walls=("5.52", "3.36", "5.60", "3.42"),
    diagonals=(("", "", "6.52"),),
    heights=(("", "", "2.44"), ("", "", "2.30")),
    door=("", "", ""),
    along=("", "", "", ""),
    stature="",
)
"""Heights at the wall with the door and at the one facing it: where nothing else is said."""


@pytest.mark.long
def test_a_newcomers_half_hour(page: Page, kept: PlanStore) -> None:
    """All of it: every step of the room, two people, kit, mended, priced, shared, to print."""
    hand = Hand(page)
    page.goto("/")
    plan_id = walk(hand, PARALLEL_TO_NONE)
    tell_of_the_house(hand)
    tell_the_room(hand)
    tell_two_people(hand)
    plan = kept.plan(plan_id)
    (plane,) = plan["room"]["ceiling"]["planes"]
    # 140 mm of fall over the 5.5 m from the door to the back wall
    assert math.hypot(plane["rise_x"], plane["rise_y"]) == pytest.approx(140 / 5.56, rel=0.02)
    doors = {opening["kind"]: opening for opening in plan["room"]["openings"]}
    letters = {wall["id"]: "ABCD"[at] for at, wall in enumerate(plan["room"]["walls"])}
    where = {kind: letters[door["wall"]] for kind, door in doors.items()}
    assert where == {"tracks": "D", "window": "B", "hinged": "C"}
    assert {kind: door.get("way_out", True) for kind, door in doors.items()} == {
        "tracks": True, "window": False, "hinged": True,
    }  # fmt: skip
    staying = [p["type"] for p in plan["pieces"] if p.get("stays")]
    assert sorted(staying) == ["bike-stored", "bike-stored", "boiler", "car", "chest-freezer"]
    wishes = [{wish["movement"] for wish in person["wishes"]} for person in plan["people"]]
    assert wishes == [{"squat", "bench-press", "pull-up"}] * 2

    hand.press(".go a.primary")
    desk = Desk(page, kept, plan_id).ready()
    kit = ("short-rack", "flat-bench", "bar-20", "rubber-plates", "rower")
    before = desk.revision
    # pressed one after the other, without waiting: each finds those before it
    for kind in kit:
        hand.take(kind)
    desk.at_revision(before + len(kit))
    pieces = kept.pieces(plan_id)
    (rack,) = [key for key, piece in pieces.items() if piece["type"] == "short-rack"]
    (bar,) = [piece for piece in pieces.values() if piece["type"] == "bar-20"]
    assert bar["carried_by"] == rack
    # the plates are put where the freezer is, and that is mended
    (plates,) = [key for key, piece in pieces.items() if piece["type"] == "rubber-plates"]
    with desk.one_command():
        hand.drag(desk, plates, 300, -4100)
    mend, moves = '[data-act="mend"]', ".mending .remedy"
    expect(page.locator(mend)).to_be_visible()
    hand.press(mend)
    expect(page.locator(".mending")).to_contain_text("Mend all in", timeout=MEND_MS)
    with desk.one_command():
        hand.press(moves)
    assert desk.pose(plates)[:2] != pytest.approx((300, -4100), abs=50)
    hand.press('.tabs a[href$="/cost"]')
    page.wait_for_url("**/cost")
    for row, price in enumerate(("29", "58", "35")):
        hand.type(f'input[name="price"] >> nth={row}', price)
        page.keyboard.press("Enter")
    hand.press('.tabs a[href$="/share"]')
    page.wait_for_url("**/share")
    hand.type("#link-name", "Neighbour")
    hand.press(".make button.primary")
    expect(page.locator("li.link")).to_contain_text("Neighbour")
    hand.press('.tabs a[href$="/print"]')
    page.wait_for_url("**/print")
    hand.press("#print-it")
    assert hand.count == NEWCOMERS_COUNT
    assert NEWCOMERS_COUNT < ENOUGH
