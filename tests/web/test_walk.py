"""The walk without a browser: forms work without script, faults keep what was typed."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from app.usecases.plans import Elbowroom
from tests.browser.rooms import workshop

MARKUP = '<img src=x onerror="alert(1)">'
BOX = {f"length{n}": length for n, length in enumerate(("4 m", "3 m", "4 m", "3 m"), 1)}


@pytest.fixture
def shop(house: Elbowroom) -> str:
    """A room of 5.00 x 4.00 m, its door in the right wall."""
    return house.create(workshop()).plan_id


def ask(client: Any, fields: dict[str, str], plan: str = "") -> Any:
    return client.post("/api/walk", json={"plan": plan, "fields": fields}).json


def test_a_walk_becomes_a_plan_without_any_script(client: Any, house: Elbowroom) -> None:
    form = {**BOX, "name": "Shed", "height1": "2.31", "act": "use"}
    reply = client.post("/walk", data=form)
    assert reply.status_code == 303
    plan_id = reply.headers["Location"].split("/")[2]
    plan = house.open(plan_id).plan
    assert plan.name == "Shed"
    # the first wall goes up the paper, and the last, with the door, lies below
    assert [(w.x_mm, w.y_mm) for w in plan.room.walls] == [
        (0, 0), (0, -4000), (3000, -4000), (3000, 0),
    ]  # fmt: skip
    assert plan.room.ceiling.planes[0].height_mm == 2310
    assert client.get(f"/plan/{plan_id}/room").status_code == 200


@pytest.mark.parametrize(
    ("units", "chosen", "money"),
    [("metric", "", "EUR"), ("feet", "", "USD"), ("feet", "GBP", "GBP"), ("metric", "x", "EUR")],
)
def test_prices_are_in_the_money_chosen_or_in_that_of_the_units(
    client: Any, house: Elbowroom, units: str, chosen: str, money: str
) -> None:
    form = {**BOX, "units": units, "currency": chosen, "height1": "2.31 m", "act": "use"}
    reply = client.post("/walk", data=form)
    assert house.open(reply.headers["Location"].split("/")[2]).plan.currency == money


@pytest.mark.parametrize(
    ("at", "low_walls"),
    [
        # the door's wall, D, first: what is not said is the pair of the door and the wall facing it
        ({}, ("B", "D")),
        ({"at1": "A"}, ("C", "A")),
        ({"at2": "A"}, ("A", "C")),
        ({"at1": "d"}, ("B", "D")),
    ],
)
def test_two_heights_between_four_walls_need_no_letters(
    client: Any, house: Elbowroom, at: dict[str, str], low_walls: tuple[str, str]
) -> None:
    form = {**BOX, "height1": "2.44", "height2": "2.30", "act": "use", **at}
    reply = client.post("/walk", data=form)
    assert reply.status_code == 303
    room = house.open(reply.headers["Location"].split("/")[2]).plan.room
    (plane,) = room.ceiling.planes
    heights = {}
    for number, letter in enumerate("ABCD"):
        (x1, y1), (x2, y2) = room.wall_ends(room.walls[number].id)
        heights[letter] = plane.height_at((x1 + x2) / 2, (y1 + y2) / 2)
    low, high = low_walls
    assert heights[low] == pytest.approx(2300, abs=0.5)
    assert heights[high] == pytest.approx(2440, abs=0.5)


def test_a_height_at_a_wall_that_is_not_said_is_asked_for_between_more_walls(client: Any) -> None:
    walls = ("4 m", "1 m", "1 m", "2 m", "3 m", "3 m")
    turns = {"turn2": "out"}
    form = {f"length{n}": length for n, length in enumerate(walls, 1)} | turns
    reply = client.post("/walk", data={**form, "height1": "2.4", "height2": "2.3", "act": "use"})
    assert reply.status_code == 400
    assert "type the letter of the wall, A to F" in reply.text


def test_a_wrong_tape_among_square_corners_is_said_before_the_outline_is_used(client: Any) -> None:
    garage = {f"length{n}": text for n, text in enumerate(("5.9", "3.1", "5.4", "3.1"), 1)}
    told = ask(client, {**garage, "diagonal1": "6.227"})
    assert told["closed"]
    assert '<p class="again doubt" data-status>If every corner were as you said' in told["answer"]
    assert "wall A is 5.40 m, not 5.90 m: measure it again." in told["answer"]
    assert "no more need be measured" not in told["answer"]
    # without scripts it stands before the button, too
    shown = client.post("/walk", data={**garage, "diagonal1": "6.227", "act": "look"}).text
    assert shown.index("measure it again.") < shown.index('id="use"')
    right = client.post("/walk", data={**BOX, "act": "look"}).text
    assert '<p class="before-use" id="before-use" hidden></p>' in right


def test_a_new_room_needs_one_height(client: Any) -> None:
    reply = client.post("/walk", data={**BOX, "act": "use"})
    assert reply.status_code == 400
    assert "tape the height from floor to ceiling at one place at least" in reply.text


def test_a_walk_that_is_not_back_is_not_used(client: Any) -> None:
    form = {"length1": "4 m", "length2": "3 m", "length3": "4 m", "height1": "2.3", "act": "use"}
    reply = client.post("/walk", data=form)
    assert reply.status_code == 400
    assert "the walk is not back at its start: 3.00 m are missing" in reply.text


def test_rows_come_and_go_without_script(client: Any) -> None:
    reply = client.post("/walk", data={**BOX, "act": "more:wall"})
    assert 'name="length5"' in reply.text
    reply = client.post("/walk", data={**BOX, "turn2": "out", "act": "drop:1"})
    assert 'name="length4"' not in reply.text
    assert reply.text.count('name="turn1" data-name="turn" value="out" checked') == 1


def test_what_was_typed_is_kept_with_what_is_wrong(client: Any, shop: str) -> None:
    form = {**BOX, "length2": MARKUP, "act": "use"}
    reply = client.post(f"/plan/{shop}/walk", data=form)
    assert reply.status_code == 400
    assert "&lt;img src=x onerror=&#34;alert(1)&#34;&gt;" in reply.text
    assert MARKUP not in reply.text
    assert 'aria-invalid="true"' in reply.text
    assert "cannot be read as a length" in reply.text


def test_an_outline_is_one_command_and_can_be_undone(
    client: Any, house: Elbowroom, shop: str
) -> None:
    before = house.open(shop).plan
    form = {
        "length1": "5.10", "length2": "4 m", "length3": "5.10", "length4": "4 m",
        "wall1": "back", "wall2": "right", "wall3": "front", "wall4": "left",
        "from1": "1", "to1": "3", "diagonal1": "6.50", "hand": "left", "act": "use",
    }  # fmt: skip
    assert client.post(f"/plan/{shop}/walk", data=form).status_code == 303
    state = house.open(shop)
    assert state.undo_says == "the outline as walked round"
    room = state.plan.room
    assert room.openings == before.room.openings
    assert room.walls[0].construction == before.room.walls[0].construction
    assert room.walk is not None
    assert room.walk.diagonals[0].typed == "6.50"
    house.undo(shop)
    assert house.open(shop).plan == before


def test_the_page_of_a_plan_begins_with_its_walls(client: Any, shop: str) -> None:
    page = client.get(f"/plan/{shop}/walk").text
    assert 'value="5.00 m"' in page
    assert 'value="back"' in page
    assert "walk-figure" in page
    assert "the last wall meets the start" in page


def test_the_outline_grows_as_one_goes(client: Any) -> None:
    told = ask(client, {"length1": "4 m"})
    assert (told["closed"], told["drawn"], told["faults"]) == (False, True, {})
    assert "4.00 m from here to the start" in told["answer"]
    told = ask(client, {**BOX, "length5": ""})
    assert told["closed"] is True
    assert "Nothing measured fixes corner 1 yet" in told["answer"]


def test_faults_of_the_tape_stand_beside_their_field(client: Any) -> None:
    told = ask(client, {**BOX, "from1": "1", "to1": "3", "diagonal1": "7.3"})
    assert list(told["faults"]) == ["diagonal1"]
    assert told["faults"]["diagonal1"].endswith("only 7.00 m together, 300 mm less")
    told = ask(client, {**BOX, "length1": "40 m", "back": "yes"})
    assert list(told["faults"]) == ["length1"]


def test_under_the_picture_it_is_said_which_wall_cannot_be_and_where_to_mend_it(
    client: Any,
) -> None:
    told = ask(client, {**BOX, "length1": "40 m", "back": "yes"})["answer"]
    assert "This cannot be:" in told
    assert "Wall A of 40.00 m cannot be: " in told
    assert '<a href="#length1" data-to="length1">Go to wall A</a>' in told
    told = ask(client, {**BOX, "length2": "three", "height1": "x"})["answer"]
    assert "This cannot be read yet:" in told
    assert (
        '<a href="#length2" data-to="length2">Wall B</a>: “three” cannot be read'
        in told.replace("&#34;", '"')
    )
    assert '<a href="#height1" data-to="height1">Height 1</a>: ' in told


def test_what_no_longer_fits_is_said_before_it_is_used(client: Any, shop: str) -> None:
    fields = {
        "length1": "5 m", "length2": "0.8", "length3": "5 m", "length4": "0.8",
        "wall1": "back", "wall2": "right", "wall3": "front", "wall4": "left", "back": "yes",
    }  # fmt: skip
    told = ask(client, fields, shop)
    assert "the door: 838 mm wide, wall B is now 800 mm long" in told["answer"]


@pytest.mark.parametrize("fields", [None, [], {"length1": 4}, "x"])
def test_a_body_that_is_no_form_is_refused(client: Any, fields: object) -> None:
    reply = client.post("/api/walk", json={"fields": fields})
    assert (reply.status_code, reply.json["error"]["code"]) == (400, "bad-json")


def test_a_plan_that_is_not_there(client: Any) -> None:
    assert client.get("/plan/none/walk").status_code == 404
    assert client.post("/api/walk", json={"plan": "none", "fields": {}}).status_code == 404


def test_measuring_sheets_print_on_their_own_paper(client: Any, shop: str) -> None:
    blank = client.get("/measuring")
    assert "@page upright-page { size: 210mm 297mm; margin: 0; }" in blank.text
    filled = client.get(f"/plan/{shop}/measuring")
    assert ">Workshop<" in filled.text
    assert ">838<" in filled.text
    svg = client.get(f"/plan/{shop}/measuring.svg?paper=Letter")
    assert svg.mimetype == "image/svg+xml"
    assert 'width="215.9mm"' in svg.text
    assert client.get("/measuring?paper=B7").status_code == 400


def test_the_measuring_sheet_fits_the_window_and_is_had_in_full_size(client: FlaskClient) -> None:
    page = client.get("/measuring?paper=A4").text
    assert 'class="sheet fits"' in page
    assert 'href="?paper=A4&amp;size=full">Full size<' in page
    full = client.get("/measuring?size=full&paper=A4").text
    assert 'class="sheet"' in full
    # what is asked for in the address is never markup
    assert "<b>" not in client.get("/measuring?paper=A4&size=<b>").text
