"""Moving things on the desk: every flow ends in the store."""

import re

import pytest
from playwright.sync_api import Page, expect

from app.model.money import Entry, Money
from tests.browser.desk import Desk
from tests.browser.rest import in_one_go, painted
from tests.browser.rooms import BAR, BENCH, HIGH, RACK, workshop
from tests.browser.store import PlanStore
from tests.builders import make_plan, place

# From the middle of the mid rack (depth 1250) to its front hooks: 625 + 37, row of the kit library.
HOOKS_MM = 662
PRESS = "headroom|rack|a|standing-press|"
JUDGED = "(count) => performance.getEntriesByName('drag:verdict').length >= count"
IN_FRONT = "room-in-front-to-step-out|rack+box|||"


@pytest.fixture
def desk(page: Page, kept: PlanStore) -> Desk:
    return Desk(page, kept, kept.put(workshop(ceiling=HIGH))).open()


def near(one: tuple[float, ...], other: tuple[float, ...], within: float = 1e-6) -> bool:
    return all(abs(a - b) <= within for a, b in zip(one, other, strict=True))


def test_a_drag_moves_the_whole_station_and_is_one_command(desk: Desk) -> None:
    before = {piece: desk.pose(piece) for piece in ("rack", "bar", "bench")}
    with desk.one_command():
        desk.lift("bench")
        desk.page.keyboard.down("Shift")
        desk.carry(2200, 1475)
        desk.page.mouse.up()
        desk.page.keyboard.up("Shift")
    moved = {piece: desk.pose(piece) for piece in before}
    shifts = {p: (moved[p][0] - before[p][0], moved[p][1] - before[p][1]) for p in before}
    # 1175 + 300: the pointer went 700 right and 300 down, give or take half a pixel at each end
    assert near(shifts["bench"], (700, 300), 1.5 * desk.mm_per_px)
    assert near(shifts["rack"], shifts["bench"])
    assert near(shifts["bar"], shifts["bench"])
    assert [moved[p][2] for p in before] == [0, 0, 180]


def test_the_verdict_follows_the_hand_before_the_button_is_up(desk: Desk) -> None:
    expect(desk.row(IN_FRONT)).to_have_count(0)
    desk.count_patches()
    desk.lift("box")
    for i in range(1, 12):
        desk.carry(3300 - 150 * i, 3400 - 75 * i, steps=1)
        # each step is judged while the button is down
        desk.page.wait_for_function(JUDGED, arg=i)
    expect(desk.row(IN_FRONT)).to_be_visible()
    first = desk.row(IN_FRONT).locator(".sentence").text_content()
    expect(desk.flag(IN_FRONT)).to_have_count(1)
    desk.carry(1650, 2700, steps=6)
    expect(desk.row(IN_FRONT).locator(".sentence")).not_to_have_text(first or "")
    assert desk.patches >= 8
    assert desk.pose("box") == (3300, 3400, 180)
    with desk.one_command():
        desk.page.mouse.up()
    assert IN_FRONT in desk.kept.snags(desk.plan_id)
    expect(desk.row(IN_FRONT)).to_be_visible()


def test_escape_during_a_drag_leaves_no_trace(desk: Desk) -> None:
    before, look = desk.kept.read(desk.plan_id), desk.shown("box")
    words = desk.slip.locator("li.snag .sentence").all_inner_texts()
    desk.lift("box")
    desk.carry(1500, 2500)
    expect(desk.row(IN_FRONT)).to_be_visible()
    desk.page.keyboard.press("Escape")
    expect(desk.row(IN_FRONT)).to_have_count(0)
    asked: list[str] = []
    desk.page.on("request", lambda request: asked.append(request.url))
    desk.page.mouse.up()
    painted(desk.page)
    assert [url for url in asked if url.endswith("/commands")] == []
    assert desk.shown("box") == look
    assert desk.kept.read(desk.plan_id) == before
    assert desk.slip.locator("li.snag").count() == len(before["verdict"]["snags"])
    assert desk.slip.locator("li.snag .sentence").all_inner_texts() == words
    expect(desk.page.get_by_role("button", name="Undo")).to_be_disabled()


def test_it_holds_to_a_wall_and_goes_free_with_the_key(desk: Desk) -> None:
    near_by = 6 * desk.mm_per_px
    # the box is 600 deep and stands turned: its back is half of that from its middle
    with desk.one_command():
        desk.drag("box", 3300, 3700 - near_by, free=False)
    assert desk.pose("box")[1] == pytest.approx(3700, abs=0.01)
    with desk.one_command():
        desk.drag("box", 3300, 3700 - near_by, free=True)
    assert desk.pose("box")[1] == pytest.approx(3700 - near_by, abs=desk.mm_per_px)
    assert desk.pose("box")[1] < 3700 - 2


@pytest.mark.long
def test_it_holds_to_a_neighbour(desk: Desk) -> None:
    # the tree's left side is at 3900, the box is 500 wide: flush at 3650
    with desk.one_command():
        desk.drag("box", 3650 - 6 * desk.mm_per_px, 700, free=False)
    assert desk.pose("box")[0] == pytest.approx(3650, abs=0.01)


def test_nudges_and_turns_by_key(desk: Desk) -> None:
    desk.choose("box")
    with desk.one_command():
        in_one_go(desk.page, "ArrowLeft", "ArrowLeft", "ArrowUp", "Shift+ArrowUp")
    assert desk.pose("box") == (3280, 3290, 180)
    with desk.one_command():
        desk.page.keyboard.press("r")
    assert desk.pose("box")[2] % 360 == 270
    with desk.one_command():
        desk.page.keyboard.press("Shift+R")
    assert desk.pose("box")[2] % 360 == 285


@pytest.mark.long
def test_a_station_turns_about_the_piece_in_the_hand(desk: Desk) -> None:
    desk.choose("bench")
    with desk.one_command():
        desk.page.keyboard.press("r")
    # the rack stands 75 behind the bench, the bar 587 in front; a quarter turn clockwise as drawn
    assert near(desk.pose("bench"), (1500, 1175, 270))
    assert near(desk.pose("rack"), (1575, 1175, 90))
    assert near(desk.pose("bar"), (913, 1175, 90))


def test_the_grip_turns_in_steps(desk: Desk) -> None:
    desk.choose("box")
    knob = desk.page.locator(".overlay .grip .knob").bounding_box()
    assert knob is not None
    desk.page.mouse.move(knob["x"] + knob["width"] / 2, knob["y"] + knob["height"] / 2)
    with desk.one_command():
        desk.page.mouse.down()
        desk.carry(3300 + 600, 3400 + 10)
        desk.page.mouse.up()
    # the grip is at the back, below the middle of a piece turned by 180; it now points right
    assert desk.pose("box") == (3300, 3400, 90)


def test_exact_place_and_angle_by_typing(desk: Desk) -> None:
    desk.choose("box")
    with desk.one_command():
        desk.type_into("left", "1.25 m")
    # 1250 from the left wall to the side of a box of 500
    assert desk.pose("box") == (1500, 3400, 180)
    with desk.one_command():
        desk.type_into("back", "3000")
    assert desk.pose("box") == (1500, 3300, 180)
    with desk.one_command():
        desk.type_into("angle_deg", "90")
    assert desk.pose("box")[2] == 90
    revision = desk.revision
    desk.type_into("left", "a bit")
    expect(desk.field("left")).to_have_attribute("aria-invalid", "true")
    # what is wrong stays on the card until the field is right
    fault = desk.card.locator(".card-fault")
    expect(fault).to_contain_text("“a bit” cannot be read as a length")
    expect(desk.field("left")).to_have_accessible_description(re.compile("“a bit” cannot be read"))
    desk.field("left").press("Escape")
    expect(fault).to_be_hidden()
    assert desk.kept.read(desk.plan_id)["revision"] == revision


@pytest.mark.long
def test_a_length_typed_on_its_tape(desk: Desk) -> None:
    desk.choose("box")
    desk.page.locator('.overlay [data-tape="left"] .tape-figure').click()
    field = desk.page.locator("input.on-tape")
    # 3300 less half of 500
    expect(field).to_have_value("3050")
    field.fill("2000")
    with desk.one_command():
        field.press("Enter")
    assert desk.pose("box") == (2250, 3400, 180)


def test_from_the_shelf_by_drag(desk: Desk) -> None:
    desk.with_shelf()
    kit = desk.page.locator('#shelf [data-kit="flat-bench"]')
    kit.scroll_into_view_if_needed()
    box = kit.bounding_box()
    assert box is not None
    desk.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    with desk.one_command():
        desk.page.mouse.down()
        desk.carry(3000, 2000)
        desk.page.mouse.up()
    placed = desk.kept.pieces(desk.plan_id)["flat-bench-1"]
    assert placed["type"] == "flat-bench"
    assert near(desk.pose("flat-bench-1"), (3000, 2000, 0), 2 * desk.mm_per_px)
    expect(desk.drawn("flat-bench-1")).to_have_attribute("aria-pressed", "true")


@pytest.mark.long
def test_from_the_shelf_by_click_after_finding_it(desk: Desk) -> None:
    desk.with_shelf()
    desk.page.get_by_label("Find kit").fill("flat bench")
    with desk.one_command():
        desk.page.locator('#shelf [data-kit="flat-bench"]').click()
    assert desk.kept.pieces(desk.plan_id)["flat-bench-1"]["type"] == "flat-bench"
    expect(desk.drawn("flat-bench-1")).to_be_focused()


def test_a_copy_of_a_station_and_its_removal(desk: Desk) -> None:
    desk.choose("bench")
    with desk.one_command():
        desk.page.keyboard.press("d")
    pieces = desk.kept.pieces(desk.plan_id)
    assert set(pieces) == {
        *("rack", "bar", "bench", "box", "tree"),
        *("mid-rack-1", "bar-20-1", "adjustable-bench-1"),
    }
    assert pieces["bar-20-1"]["carried_by"] == "mid-rack-1"
    assert desk.pose("mid-rack-1") == (1700, 1300, 0)
    with desk.one_command():
        desk.page.keyboard.press("Delete")
    assert set(desk.kept.pieces(desk.plan_id)) == {"rack", "bar", "bench", "box", "tree"}


@pytest.mark.long
def test_a_bench_out_of_its_station_and_in_again(desk: Desk) -> None:
    desk.choose("bench")
    with desk.one_command():
        desk.field("belongs").select_option(value="")
    assert desk.kept.pieces(desk.plan_id)["bench"]["carried_by"] is None
    with desk.one_command():
        desk.drag("bench", 2900, 2000)
    assert desk.pose("rack")[:2] == (1500, 1100)
    with desk.one_command():
        desk.field("belongs").select_option(value="rack")
    assert desk.kept.pieces(desk.plan_id)["bench"]["carried_by"] == "rack"
    with desk.one_command():
        desk.drag("bench", 2900, 2300)
    assert desk.pose("rack")[1] == pytest.approx(1400, abs=2 * desk.mm_per_px)


@pytest.mark.long
def test_this_piece_alone(desk: Desk) -> None:
    desk.choose("bench")
    desk.page.keyboard.press("w")
    with desk.one_command():
        desk.page.keyboard.press("Shift+ArrowRight")
    assert desk.pose("bench") == (1600, 1175, 180)
    assert desk.pose("rack") == (1500, 1100, 0)


def test_a_bar_is_laid_on_the_hooks_of_its_rack(page: Page, kept: PlanStore) -> None:
    loose = place("bar-20", 3300, 2300, 90, piece_id="loose")
    desk = Desk(page, kept, kept.put(workshop(loose, ceiling=HIGH))).open()
    # by its name: flags may stand on the bar itself
    page.locator(".key summary").click()
    page.locator('.key-list [data-id="loose"]').click()
    with desk.one_command():
        desk.field("belongs").select_option(value="rack")
    piece = kept.pieces(desk.plan_id)["loose"]
    assert piece["carried_by"] == "rack"
    assert near(desk.pose("loose"), (RACK.pose.x_mm, RACK.pose.y_mm + HOOKS_MM, 0), 0.01)
    assert not [key for key in kept.snags(desk.plan_id) if key.startswith("bar-rests")]


@pytest.mark.long
def test_a_bar_set_down_within_a_rack_is_laid_on_its_hooks(page: Page, kept: PlanStore) -> None:
    bare = place("mid-rack", 3300, 1100, piece_id="bare")
    desk = Desk(page, kept, kept.put(workshop(bare, ceiling=HIGH))).open().with_shelf()
    page.get_by_label("Find kit").fill("bar 20")
    box = page.locator('#shelf [data-kit="bar-20"]').bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    with desk.one_command():
        page.mouse.down()
        desk.carry(3350, 1710)
        page.mouse.up()
    assert kept.pieces(desk.plan_id)["bar-20-1"]["carried_by"] == "bare"
    assert near(desk.pose("bar-20-1"), (3300, 1100 + HOOKS_MM, 0), 0.01)


@pytest.mark.long
def test_undo_and_redo_also_after_a_reload(desk: Desk) -> None:
    desk.choose("box")
    with desk.one_command():
        desk.page.keyboard.press("Shift+ArrowLeft")
    with desk.one_command():
        desk.page.keyboard.press("r")
    desk.open()
    with desk.one_command():
        desk.page.keyboard.press("Control+z")
    assert desk.pose("box") == (3200, 3400, 180)
    with desk.one_command():
        desk.page.get_by_role("button", name="Undo").click()
    assert desk.pose("box") == (3300, 3400, 180)
    expect(desk.page.get_by_role("button", name="Undo")).to_be_disabled()
    desk.open()
    with desk.one_command():
        desk.page.keyboard.press("Control+Shift+Z")
    with desk.one_command():
        desk.page.get_by_role("button", name="Redo").click()
    assert desk.pose("box")[:2] == (3200, 3400)
    assert desk.pose("box")[2] % 360 == 270
    expect(desk.page.get_by_role("button", name="Redo")).to_be_disabled()


@pytest.mark.long
def test_real_sizes_and_price_are_kept(desk: Desk) -> None:
    desk.choose("tree")
    for field, text in (("width_mm", "65 cm"), ("height_mm", "1100"), ("price_minor", "79.50")):
        with desk.one_command():
            desk.type_into(field, text)
    tree = desk.kept.pieces(desk.plan_id)["tree"]
    assert (tree["width_mm"], tree["height_mm"], tree["price_minor"]) == (650, 1100, 7950)
    desk.open()
    desk.choose("tree")
    expect(desk.field("width_mm")).to_have_value("650")
    expect(desk.field("price_minor")).to_have_value("79.50")


def test_what_is_owned_shows_no_price(page: Page, kept: PlanStore) -> None:
    pieces = [
        place("chest-freezer", 1000, 1000, piece_id="freezer", stays=True),
        place("flat-bench", 2500, 2500, piece_id="had"),
        place("flat-bench", 4000, 4000, piece_id="bought"),
    ]
    money = Money(entries=(Entry(id="piece.had", standing="owned"),))
    plan_id = kept.put(make_plan(*pieces).model_copy(update={"money": money}))
    desk = Desk(page, kept, plan_id).open()
    for piece, owned in (("freezer", True), ("had", True), ("bought", False)):
        desk.choose(piece)
        expect(desk.card.get_by_text("yours already")).to_be_visible(visible=owned)
        expect(desk.field("price_minor")).to_be_visible(visible=not owned)


def test_a_pinned_piece_stays(desk: Desk) -> None:
    desk.choose("box")
    with desk.one_command():
        desk.page.keyboard.press("p")
    desk.drag("box", 2500, 3000)
    desk.page.keyboard.press("ArrowLeft")
    expect(desk.page.locator(".stage .message")).to_contain_text("pinned down")
    # what waited to be saved would be saved before the next command, as one of its own
    with desk.one_command():
        desk.page.keyboard.press("p")
    assert desk.pose("box") == (3300, 3400, 180)


def test_the_plan_it_starts_from_is_what_these_tests_say(kept: PlanStore) -> None:
    plan_id = kept.put(workshop())
    assert kept.pose(plan_id, "bar") == (BAR.pose.x_mm, BAR.pose.y_mm, 0)
    assert kept.pose(plan_id, "bench") == (BENCH.pose.x_mm, BENCH.pose.y_mm, 180)
    assert kept.snags(plan_id)[PRESS]["severity"] == "stop"
    assert kept.stops(kept.put(workshop(ceiling=HIGH))) == 0
