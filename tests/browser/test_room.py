"""The room by mouse, by keys and on a phone: what the store keeps is what was typed."""

import re
from typing import Literal

import pytest
from playwright.sync_api import Locator, Page, expect

from app.model.plan import Plan
from tests.browser.conftest import OpenPage, Watch
from tests.browser.rest import OF_COLOUR, axe_faults, in_one_go, still
from tests.browser.rooms import workshop
from tests.browser.store import Data, PlanStore
from tests.browser.tale import ON_SCREEN
from tests.thinned import one_of

REFUSED = r"status of 400"
WIDE, MIDDLE, PHONE = (1440, 900), (1024, 768), (390, 844)
LIGHTS: tuple[Literal["light", "dark"], ...] = ("light", "dark")


@pytest.fixture
def plan_id(kept: PlanStore) -> str:
    """A room of 5.00 x 4.00 m, 2.30 m high, a door in its right wall."""
    return kept.put(workshop())


def show(page: Page, plan_id: str, of: str = "known") -> None:
    page.goto(f"/plan/{plan_id}/room?of={of}")
    expect(page.locator("#panel h2")).to_be_visible()


def room_of(kept: PlanStore, plan_id: str) -> Data:
    found: Data = kept.plan(plan_id)["room"]
    return found


def corners(kept: PlanStore, plan_id: str) -> list[tuple[float, float]]:
    return [(wall["x_mm"], wall["y_mm"]) for wall in room_of(kept, plan_id)["walls"]]


def field(page: Page, edit: str, name: str) -> Locator:
    return page.locator(f'[id="{edit}-{name}"]')


def saved(page: Page, words: str) -> None:
    expect(page.locator("#saved")).to_have_text(f"saved: {words}")


def grip(page: Page, number: int) -> tuple[float, float]:
    """The middle of a corner's grip on the screen."""
    box = page.locator(".pick.corner .grip").nth(number - 1).bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def test_a_wall_chosen_in_the_drawing_takes_a_typed_length(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    show(page, plan_id)
    page.locator('.pick.wall[data-of="wall:back"] .badge').click()
    expect(page.locator("#panel h2")).to_have_text("Wall A")
    length = field(page, "wall-length", "length")
    expect(length).to_have_value("5.00 m")
    length.fill("5m50")
    length.press("Enter")
    saved(page, "wall A to 5.50 m")
    expect(length).to_have_value("5.50 m")
    assert corners(kept, plan_id) == [(0, 0), (5500, 0), (5500, 4000), (0, 4000)]
    expect(page.locator("#drawing")).to_contain_text("5500")
    page.get_by_role("button", name="Undo").click()
    expect(length).to_have_value("5.00 m")
    expect(page.locator("#saved")).to_have_text("undo done")
    assert corners(kept, plan_id)[1] == (5000, 0)
    page.get_by_role("button", name="Redo").click()
    expect(length).to_have_value("5.50 m")


def test_what_is_wrong_stands_beside_the_field_and_what_was_typed_stays(
    page: Page, kept: PlanStore, plan_id: str, watch: Watch
) -> None:
    watch.expect(REFUSED)
    show(page, plan_id, "opening:door")
    offset = field(page, "opening", "offset")
    offset.fill("3.9 m")
    offset.press("Tab")
    fault = page.locator('[id="opening-offset-fault"]')
    # 838 mm wide in a wall of 4 m: it can begin at 3.162 m
    expect(fault).to_have_text(
        "the door would end 4.738 m along wall B, which is 4.00 m long: "
        "it can begin at most at 3.162 m"
    )
    expect(offset).to_have_value("3.9 m")
    expect(offset).to_have_attribute("aria-invalid", "true")
    assert room_of(kept, plan_id)["openings"][0]["offset_mm"] == 2900
    offset.fill("1.2")
    offset.press("Enter")
    saved(page, "the door")
    expect(fault).to_be_hidden()
    assert room_of(kept, plan_id)["openings"][0]["offset_mm"] == 1200


def test_a_refused_field_survives_another_change(
    page: Page, kept: PlanStore, plan_id: str, watch: Watch
) -> None:
    watch.expect(REFUSED)
    show(page, plan_id, "wall:left")
    length = field(page, "wall-length", "length")
    length.fill("about four")
    length.press("Tab")
    expect(page.locator('[id="wall-length-length-fault"]')).to_contain_text("cannot be read")
    page.get_by_role("radio", name="Aerated block").check()
    saved(page, "wall D")
    expect(length).to_have_value("about four")
    assert room_of(kept, plan_id)["walls"][3]["construction"] == "aerated-block"


def test_a_corner_is_dragged_and_holds_to_the_line_of_another(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    show(page, plan_id)
    x, y = grip(page, 4)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 60, y + 3, steps=4)
    expect(page.locator(".preview polygon")).to_be_attached()
    page.mouse.up()
    saved(page, "corner 4")
    moved = corners(kept, plan_id)[3]
    # 3 px down is within the hold, so it stays in line with corner 3 at 4.00 m
    assert moved[1] == 4000
    assert moved[0] > 200
    assert moved[0] % 10 == 0


def test_a_corner_goes_by_arrows_as_one_step(page: Page, kept: PlanStore, plan_id: str) -> None:
    show(page, plan_id)
    corner = page.locator('.pick.corner[data-of="corner:right"]')
    corner.focus()
    in_one_go(page, "ArrowRight", "ArrowRight", "ArrowRight", "Shift+ArrowUp")
    saved(page, "corner 2")
    assert corners(kept, plan_id)[1] == (5030, -100)
    expect(corner).to_be_focused()
    page.keyboard.press("Control+z")
    expect(page.locator("#saved")).to_have_text("undo done")
    assert corners(kept, plan_id)[1] == (5000, 0)


def test_a_garage_by_keys_alone(page: Page, kept: PlanStore, plan_id: str) -> None:
    show(page, plan_id)
    # from the drawing into the fields and back
    page.locator('.pick.wall[data-of="wall:front"]').focus()
    page.keyboard.press("Enter")
    expect(page.locator("#panel h2")).to_have_text("Wall C")
    expect(page.locator("#panel h2")).to_be_focused()
    page.keyboard.press("Tab")
    expect(field(page, "wall-length", "length")).to_be_focused()
    page.keyboard.type("4.60 m")
    page.keyboard.press("Tab")
    saved(page, "wall C to 4.60 m")
    expect(page.locator("#panel input:checked").first).to_be_focused()
    page.keyboard.press("Escape")
    expect(page.locator('.pick.wall[data-of="wall:front"]')).to_be_focused()
    # a sectional door
    page.locator('#index a[data-of="openings"]').focus()
    page.keyboard.press("Enter")
    expect(page.locator("#panel h2")).to_be_focused()
    field(page, "add-opening", "kind-hinged").focus()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Tab")
    page.keyboard.type("C")
    page.keyboard.press("Tab")
    page.keyboard.type("Big door")
    for text in ("30 cm", "3.6", "2m10"):
        page.keyboard.press("Tab")
        page.keyboard.type(text)
    page.keyboard.press("Enter")
    saved(page, "add the big door")
    expect(page.locator("#panel h2")).to_have_text("Big door")
    expect(page.locator("#panel h2")).to_be_focused()
    added = next(o for o in room_of(kept, plan_id)["openings"] if o["id"] == "opening-1")
    assert (added["kind"], added["wall"]) == ("sectional", "front")
    assert (added["offset_mm"], added["width_mm"], added["height_mm"]) == (300, 3600, 2100)


@pytest.mark.long
def test_a_ceiling_slopes_and_a_floor_falls(page: Page, kept: PlanStore, plan_id: str) -> None:
    show(page, plan_id, "ceiling")
    page.get_by_role("radio", name="Sloping").check()
    expect(field(page, "ceiling", "far")).to_be_visible()
    field(page, "ceiling", "far").fill("2.9")
    field(page, "ceiling", "far").press("Enter")
    saved(page, "the ceiling")
    expect(page.get_by_role("radio", name="Sloping")).to_be_checked()
    plane = room_of(kept, plan_id)["ceiling"]["planes"][0]
    # 600 mm over the 4 m from wall A
    assert (plane["height_mm"], plane["rise_y"]) == (2300, 150)
    page.locator('#index a[data-of="floor"]').click()
    field(page, "floor", "fall_wall").select_option("front")
    field(page, "floor", "fall").fill("15")
    field(page, "floor", "fall").press("Enter")
    saved(page, "the floor")
    assert room_of(kept, plan_id)["floor"]["planes"][0]["rise_y"] == -15


@pytest.mark.long
def test_a_chimney_breast_a_beam_and_the_way_in(page: Page, kept: PlanStore, plan_id: str) -> None:
    show(page, plan_id, "wall:back")
    page.get_by_text("Split it, add an alcove").click()
    for name, text in (("at", "2 m"), ("width", "1.2 m"), ("depth", "35 cm")):
        field(page, "recess", f"recess_{name}").fill(text)
    page.get_by_role("button", name="Set forward").click()
    saved(page, "a chimney breast or pier in wall A")
    assert corners(kept, plan_id)[1:5] == [(2000, 0), (2000, 350), (3200, 350), (3200, 0)]
    page.locator('#index a[data-of="ceiling"]').click()
    page.locator('#index a[data-of="hanging"]').click()
    for name, text in (("bottom", "2.05"), ("long", "4 m"), ("away", "1 m"), ("wide", "200")):
        field(page, "add-low", name).fill(text)
    page.get_by_role("button", name="Add it to the room").click()
    saved(page, "add the beam")
    assert room_of(kept, plan_id)["low_things"][0]["bottom_mm"] == 2050
    expect(page.locator(".pick.low.is-chosen")).to_be_attached()
    page.locator('#index a[data-of="way-in"]').click()
    field(page, "add-passage", "width").fill("76 cm")
    page.get_by_role("button", name="Add it").click()
    saved(page, "add to the way in")
    assert kept.plan(plan_id)["way_in"][0]["width_mm"] == 760
    expect(field(page, "add-passage", "width")).to_have_value("")


def test_what_is_missing_leads_to_where_it_is_said(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    show(page, plan_id)
    page.get_by_role("link", name="Ceiling: not said what it is made of").click()
    page.get_by_role("radio", name="Trussed rafters").check()
    saved(page, "the ceiling")
    assert room_of(kept, plan_id)["ceiling"]["construction"] == "trussed-rafters"
    page.locator('#index a[data-of="known"]').click()
    expect(page.locator(".missing-list")).not_to_contain_text("Ceiling")


PARTS = ("known", "walls", "wall:right", "corner:back", "openings", "opening:door", "ceiling",
         "hanging", "electricity", "way-in", "situations")  # fmt: skip


THREE_BY_THREE = [PARTS[at : at + 3] for at in range(0, len(PARTS), 3)]
TOO_SMALL = """() => [...document.querySelectorAll('button, summary, select, input, a[href]')]
    .filter((one) => one.offsetParent && !one.closest('p'))
    .map((one) => [one.closest('label, .door') ?? one, one])
    .filter(([box]) => Math.min(box.getBoundingClientRect().width,
                                box.getBoundingClientRect().height) < 24)
    .map(([, one]) => one.outerHTML.slice(0, 80))"""
FAINT = """() => [...document.querySelectorAll('.room-desk *')]
    .filter((one) => one.getClientRects().length && one.textContent.trim())
    .filter((one) => [...one.childNodes].some((n) => n.nodeType === 3 && n.data.trim()))
    .map((one) => [parseFloat(getComputedStyle(one).fontSize)
      / (one instanceof SVGElement
         ? parseFloat(getComputedStyle(one).getPropertyValue('--u')) : 1), one.outerHTML])
    .filter(([px]) => px < 11.95).map(([px, html]) => `${px} ${html.slice(0, 80)}`)"""


def nothing_is_too_small_or_too_wide(page: Page, size: tuple[int, int], of: str) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0], (size, of)
    assert page.evaluate(TOO_SMALL) == [], (size, of)
    assert page.evaluate(FAINT) == [], (size, of)


@pytest.mark.parametrize("parts", one_of(4, THREE_BY_THREE), ids=", ".join)
def test_axe_finds_nothing_and_nothing_is_too_small_or_too_wide(
    page: Page, plan_id: str, parts: tuple[str, ...]
) -> None:
    """A part is loaded once; light and size of the window change over it."""
    for of in parts:
        page.set_viewport_size({"width": WIDE[0], "height": WIDE[1]})
        show(page, plan_id, of)
        for light, rules in zip(LIGHTS, (None, OF_COLOUR), strict=True):
            page.emulate_media(color_scheme=light)
            assert axe_faults(page, rules) == [], (of, light)
        nothing_is_too_small_or_too_wide(page, WIDE, of)
        page.set_viewport_size({"width": MIDDLE[0], "height": MIDDLE[1]})
        still(page)
        nothing_is_too_small_or_too_wide(page, MIDDLE, of)


def test_nothing_is_too_small_or_too_wide_on_a_phone(
    open_page: OpenPage, plan_id: str, request: pytest.FixtureRequest
) -> None:
    page = open_page(*PHONE, touch=True)
    for of in PARTS[:: 1 if request.config.getoption("--long") else 3]:
        show(page, plan_id, of)
        nothing_is_too_small_or_too_wide(page, PHONE, of)


def test_a_corner_is_tapped_and_typed_on_a_phone(
    open_page: OpenPage, kept: PlanStore, plan_id: str
) -> None:
    page = open_page(390, 844, touch=True)
    show(page, plan_id)
    x, y = grip(page, 2)
    page.touchscreen.tap(x, y)
    expect(page.locator("#panel h2")).to_have_text("Corner 2")
    field(page, "corner", "y").fill("-25 cm")
    field(page, "corner", "y").press("Enter")
    saved(page, "corner 2")
    assert corners(kept, plan_id)[1] == (5000, -250)


def test_a_thing_chosen_by_its_picture_comes_where_its_place_is_pressed(
    page: Page, kept: PlanStore, plan_id: str
) -> None:
    show(page, plan_id, "things")
    stage = page.locator("#stage")
    expect(stage).not_to_have_class(re.compile("is-placing"))
    page.locator("label:has(#add-found-kind-chest-freezer)").click()
    expect(stage).to_have_class(re.compile("is-placing"))
    # the middle of the back wall, 2.50 m along: a freezer of 950 mm begins 475 mm before it
    x, y = page.evaluate(ON_SCREEN, [2500, 200])
    page.mouse.move(x, y)
    expect(page.locator(".press-ghost")).to_be_visible()
    page.mouse.click(x, y)
    saved(page, "Chest freezer stays")
    told = re.compile(r"wall A, 2\.0[23] m from its left end")
    expect(page.locator("#panel .thing-list")).to_contain_text(told)
    expect(stage).not_to_have_class(re.compile("is-placing"))
    expect(page.locator(".press-ghost")).to_have_count(0)
    # what goes has no place: a press chooses in the drawing as ever
    page.locator("label:has(#add-found-kind-bike-stored)").click()
    page.locator("label:has(#add-found-fate-goes)").click()
    expect(stage).not_to_have_class(re.compile("is-placing"))
    page.locator('.pick.wall[data-of="wall:back"] .badge').click()
    expect(page.locator("#panel h2")).to_have_text("Wall A")


def test_where_an_opening_begins_is_told_by_the_corner_of_the_chosen_wall(
    page: Page, plan_id: str
) -> None:
    show(page, plan_id, "openings")
    offset = page.locator('label[for="add-opening-offset"]')
    expect(offset).to_have_text("Begins, from the wall's left end seen from inside")
    expect(field(page, "add-opening", "wall")).to_have_value("")
    # a wall that is pressed on the drawing is the one that it goes into
    page.locator('.pick.wall[data-of="into:front"]').press("Enter")
    expect(field(page, "add-opening", "wall")).to_have_value("front")
    expect(offset).to_have_text("Begins, from corner 3 (the left end seen from inside)")
    field(page, "add-opening", "offset").focus()
    expect(page.locator(".pick.corner.is-meant")).to_have_attribute("data-of", "corner:front")
    field(page, "add-opening", "width").focus()
    expect(page.locator(".pick.corner.is-meant")).to_have_count(0)


LETTERS = """() => {
    const boxes = (which) => [...document.querySelectorAll(which)].map((one) => {
        const { left, top, right, bottom } = one.getBoundingClientRect();
        const text = one.textContent || one.nextElementSibling?.textContent;
        return { left, top, right, bottom, text };
    });
    const meet = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1
        && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1;
    const figures = boxes('#drawing .dimt, #drawing .layer-notes text, .corner-number');
    return boxes('circle.badge').flatMap((badge) =>
        figures.filter((figure) => meet(badge, figure)).map((figure) => badge.text + figure.text));
}"""


def test_letters_of_walls_and_numbers_of_parts_stand_clear_of_figures(
    page: Page, kept: PlanStore
) -> None:
    whole = workshop()
    low = {
        "id": "part-1",
        "height_mm": 2000.0,
        "outline": [[0, 0], [2000, 0], [2000, 1500], [0, 1500]],
    }
    data = whole.model_dump(mode="json")
    data["room"]["ceiling"]["planes"].append(low)
    for wall in data["room"]["walls"]:
        wall["thickness_mm"] = 60
    # a garage door over all but a stub beside either corner: the letter has no room on the wall
    wide = {"id": "wide", "wall": "front", "kind": "canopy", "height_mm": 2000.0}
    data["room"]["openings"].append(wide | {"offset_mm": 250.0, "width_mm": 4500.0})
    plan_id = kept.put(Plan.model_validate(data))
    for width, height in (WIDE, MIDDLE, PHONE):
        page.set_viewport_size({"width": width, "height": height})
        show(page, plan_id, "ceiling")
        expect(page.locator("circle.badge")).to_have_count(5)
        assert page.evaluate(LETTERS) == [], width


def test_a_refused_opening_leads_to_the_field_and_one_opening_to_the_next(
    page: Page, kept: PlanStore, plan_id: str, watch: Watch
) -> None:
    watch.expect("400")
    show(page, plan_id, "openings")
    page.get_by_role("button", name="Add it to the room").click()
    expect(page.locator("#saved")).to_contain_text("not kept")
    expect(field(page, "add-opening", "wall")).to_be_focused()
    field(page, "add-opening", "wall").select_option(index=1)
    page.get_by_role("button", name="Add it to the room").click()
    expect(field(page, "add-opening", "width")).to_be_focused()
    # what was said of that form goes with it
    page.locator('#index a[data-of="walls"]').click()
    expect(page.locator("#panel h2")).to_have_text("Walls")
    expect(page.locator("#saved")).to_be_empty()
    opening = room_of(kept, plan_id)["openings"][0]["id"]
    show(page, plan_id, f"opening:{opening}")
    page.get_by_role("link", name="Add another").press("Enter")
    expect(page.get_by_role("heading", name="Add one")).to_be_focused()


@pytest.mark.long
def test_the_form_is_two_steps_from_the_head(page: Page, plan_id: str) -> None:
    show(page, plan_id)
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the form")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#panel")).to_be_focused()
