"""From a list of tape measurements of a garage to a plan with kit, by keys alone.

The garage is an L that is out of square, its ceiling slopes, the big door runs on tracks.
"""

import math

import pytest
from playwright.sync_api import Page, expect

from tests.browser.desk import Desk
from tests.browser.store import Data, PlanStore
from tests.browser.test_keyboard import choose_at, tab_to

# walls as taped, each with the turn at its end
WALLS = (("6.00", "in"), ("3501", "in"), ("2m26", "out"), ("208 cm", "in"), ("3,83", "in"))
LAST_WALL = "5.56 m"
DIAGONALS = (("1", "3", "6.998"), ("4", "6", "4.313"))
# at wall, along it, out from it, height: lower where wall A begins than where wall F does
HEIGHTS = (("A", "0", "0", "2.45"), ("F", "0", "0", "2.90"))
PEOPLE = (("Ada", "1.78 m", "alone"), ("Bo", "1,64", "person-1"))
KIT = (
    ("mid rack", "mid-rack"),
    ("flat bench", "flat-bench"),
    ("plate tree", "plate-tree"),
    ("jump box", "jump-box"),
    ("kettlebell shelf", "kettlebell-shelf"),
    ("step", "step"),
    ("fan bike", "fan-bike"),
    ("bar 20 kg", "bar-20"),
)
BIG_DOOR = (("offset", "0.60"), ("width", "2.44 m"), ("height", "2.13 m"))
SIDE_DOOR = (("offset", "1.20"), ("width", "838"), ("height", "1.98 m"))


def holds_the_garage(kept: PlanStore, plan_id: str) -> None:
    """Everything that was on the list is in the store."""
    plan = kept.plan(plan_id)
    room = plan["room"]
    corners = [(wall["x_mm"], wall["y_mm"]) for wall in room["walls"]]
    assert len(corners) == 6
    taped = (6000, 3501, 2260, 2080, 3830, 5560)
    for i, length in enumerate(taped):
        # each within what a tape of this length is good for
        assert abs(math.dist(corners[i], corners[(i + 1) % 6]) - length) < 6
    # law of cosines in the triangle of walls A, B and the diagonal of 6.998 m: 90.98 degrees
    assert abs(inside_deg(corners[0], corners[1], corners[2]) - 90.98) < 0.15
    assert len(room["walk"]["diagonals"]) == 2
    assert room["walk"]["steps"][2]["typed"] == "2m26"

    (slope,) = room["ceiling"]["planes"]
    # 0.45 m of rise over the 5.56 m of wall F, at whose ends both heights were taken
    steep = math.hypot(slope["rise_x"], slope["rise_y"]) / 1000
    assert steep == pytest.approx(0.45 / 5.56, rel=0.001)

    doors = {door["kind"]: door for door in room["openings"]}
    walls = [wall["id"] for wall in room["walls"]]
    assert set(doors) == {"tracks", "hinged"}
    big, side = doors["tracks"], doors["hinged"]
    assert (big["wall"], big["offset_mm"], big["width_mm"]) == (walls[4], 600, 2440)
    assert (side["wall"], side["offset_mm"], side["width_mm"]) == (walls[1], 1200, 838)

    people = {person["label"]: person for person in plan["people"]}
    assert {name: one["stature_mm"] for name, one in people.items()} == {"Ada": 1780, "Bo": 1640}
    assert people["Bo"]["trains_with"] == people["Ada"]["id"]

    assert sorted(piece["type"] for piece in plan["pieces"]) == sorted(key for _, key in KIT)


def inside_deg(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    """The angle at b between a and c."""
    one, other = math.atan2(a[1] - b[1], a[0] - b[0]), math.atan2(c[1] - b[1], c[0] - b[0])
    return abs((math.degrees(one - other) + 180) % 360 - 180)


def piece_of(kept: PlanStore, plan_id: str, kind: str) -> str:
    """The id of the one piece of a kit type."""
    (found,) = (key for key, piece in kept.pieces(plan_id).items() if piece["type"] == kind)
    return found


def openings(kept: PlanStore, plan_id: str) -> list[Data]:
    found: list[Data] = kept.plan(plan_id)["room"]["openings"]
    return found


def pick_at(page: Page, form: str, wall: str) -> None:
    """Go to the list of walls and to one by its letter."""
    tab_to(page, f'{form} select[name="wall"]')
    page.keyboard.press(wall)
    named = "document.activeElement.selectedOptions[0].textContent"
    assert page.evaluate(named).startswith(f"{wall},")


@pytest.mark.long
def test_the_garage_by_keyboard_alone(page: Page, kept: PlanStore) -> None:
    page.goto("/")
    tab_to(page, 'a[href="/new"]')
    page.keyboard.press("Enter")
    page.wait_for_url("**/new")
    tab_to(page, 'a[href="/walk"]')
    page.keyboard.press("Enter")
    page.wait_for_url("**/walk")
    expect(page.locator("#length1")).to_be_focused()
    for n, (length, turn) in enumerate(WALLS, 1):
        expect(page.locator(f"#length{n}")).to_be_focused()
        page.keyboard.type(length)
        if turn == "out":
            page.keyboard.press("Tab")
            page.keyboard.press("ArrowLeft")
        page.keyboard.press("Enter")
    page.keyboard.type(LAST_WALL)
    if not page.locator("#back").is_checked():
        tab_to(page, "#back")
        page.keyboard.press("Space")
    for n, row in enumerate(DIAGONALS, 1):
        if not page.locator(f"#diagonal{n}").count():
            tab_to(page, '[data-more="diagonals"]')
            page.keyboard.press("Enter")
        else:
            tab_to(page, f"#from{n}")
        page.keyboard.type(row[0])
        for text in row[1:]:
            page.keyboard.press("Tab")
            page.keyboard.type(text)
    for n, height in enumerate(HEIGHTS, 1):
        if not page.locator(f"#height{n}").count():
            tab_to(page, '[data-more="heights"]')
            page.keyboard.press("Enter")
        else:
            tab_to(page, f"#at{n}")
        page.keyboard.type(height[0])
        for text in height[1:]:
            page.keyboard.press("Tab")
            page.keyboard.type(text)
    expect(page.locator("#answer")).to_contain_text(
        "one slope, rising from wall A, 81 mm in each metre"
    )
    tab_to(page, "#use")
    page.keyboard.press("Enter")
    page.wait_for_url("**/room?of=house")
    plan_id = page.url.split("/")[-2]

    add = 'form[data-edit="add-opening"]'
    for kind, wall, sizes in (("tracks", "E", BIG_DOOR), ("hinged", "B", SIDE_DOOR)):
        tab_to(page, '#index a[data-of="openings"]', back=kind == "hinged")
        page.keyboard.press("Enter")
        expect(page.locator(add)).to_be_visible()
        expect(page.locator("#panel h2")).to_be_focused()
        choose_at(page, "kind", kind)
        pick_at(page, add, wall)
        for name, text in sizes:
            tab_to(page, f'{add} input[name="{name}"]')
            page.keyboard.type(text)
        page.keyboard.press("Enter")
        expect(page.locator('form[data-edit="opening"]')).to_be_visible()
        expect(page.locator("#panel h2")).to_be_focused()
    assert len(openings(kept, plan_id)) == 2

    tab_to(page, f'a[href="/plan/{plan_id}/people"]', back=True)
    page.keyboard.press("Enter")
    page.wait_for_url("**/people")
    for name, stature, company in PEOPLE:
        tab_to(page, ".add-person [name='label']")
        page.keyboard.type(name)
        tab_to(page, ".add-person [name='stature']")
        page.keyboard.type(stature)
        tab_to(page, ".add-person select[name='with']")
        # "nobody" stands first, then those who are there
        for _ in PEOPLE:
            if page.evaluate("document.activeElement.value") != company:
                page.keyboard.press("ArrowDown")
        assert page.evaluate("document.activeElement.value") == company
        tab_to(page, '.add-person button[value="add"]')
        page.keyboard.press("Enter")
        expect(page.get_by_role("heading", name=name, exact=True)).to_be_visible()
        page.wait_for_load_state()

    tab_to(page, f'a[href="/plan/{plan_id}"]')
    page.keyboard.press("Enter")
    desk = Desk(page, kept, plan_id).ready()
    tab_to(page, '#shelf [name="find"]')
    for words, kind in KIT:
        expect(page.locator('#shelf [name="find"]')).to_be_focused()
        page.keyboard.type(words)
        page.keyboard.press("Enter")
        expect(page.locator(f'#shelf [data-kit="{kind}"]')).to_be_focused()
        with desk.one_command():
            page.keyboard.press("Enter")
        expect(desk.drawn(piece_of(kept, plan_id, kind))).to_be_focused()
        page.keyboard.press("/")
    page.keyboard.press("Shift+Tab")
    tab_to(page, '.stage g.piece[data-piece="bar-20-1"]', back=True)
    last = piece_of(kept, plan_id, "bar-20")
    expect(desk.drawn(last)).to_be_focused()
    x, y, angle = desk.pose(last)
    with desk.one_command():
        page.keyboard.press("ArrowRight")
    assert desk.pose(last) == (x + 10, y, angle)
    with desk.one_command():
        page.keyboard.press("Control+z")
    holds_the_garage(kept, plan_id)
