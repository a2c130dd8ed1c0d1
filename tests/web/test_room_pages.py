"""The room: every part is shown, forms work without script, faults keep what was typed."""

import re
from html import unescape
from typing import Any

import pytest

from app.forms.choice_words import OPENING_EXAMPLES, OPENING_KINDS
from app.model.plan import Plan
from app.model.versions import load
from app.units import parse_length_mm
from app.usecases.plans import Elbowroom
from app.web.pages.room_words import PARTS
from tests.thinned import one_of
from tests.web.building import door, plan_data, room, text, walls

MARKUP = '<img src=x onerror="alert(1)">'
SAMPLES = ("basement", "double-garage", "single-garage", "upstairs-room")
JSON = {"Accept": "application/json"}


def everything(house: Elbowroom, plan_id: str) -> list[str]:
    """Every part and thing of a room that can be chosen."""
    found = house.open(plan_id).plan.room
    return [
        *(part for part, _ in PARTS),
        *(f"wall:{wall.id}" for wall in found.walls),
        *(f"corner:{wall.id}" for wall in found.walls),
        *(f"opening:{opening.id}" for opening in found.openings),
        *(f"low:{thing.id}" for thing in found.low_things),
        *(f"column:{column.id}" for column in found.columns),
        *(f"socket:{socket.id}" for socket in found.sockets),
    ]


def post(client: Any, plan_id: str, edit: str, of: str = "", **fields: str) -> Any:
    body = {"edit": edit, "of": of, "fields": fields}
    return client.post(f"/api/plans/{plan_id}/room", json=body)


@pytest.mark.parametrize("key", one_of(2, SAMPLES))
def test_every_part_of_every_sample_is_shown(client: Any, house: Elbowroom, key: str) -> None:
    plan_id = house.create_sample(key).plan_id
    for of in everything(house, plan_id):
        page = client.get(f"/plan/{plan_id}/room?of={of}")
        assert page.status_code == 200
        ids = re.findall(r' id="([^"]+)"', page.text)
        assert len(ids) == len(set(ids)), of
        assert f'data-of="{of}"' in page.text
        assert 'aria-current="true"' in page.text
        # each label names a field that is there
        assert set(re.findall(r'<label for="([^"]+)"', page.text)) <= set(ids), of


def test_a_form_changes_the_plan_without_any_script(client: Any, plan_id: str) -> None:
    address = f"/plan/{plan_id}/room"
    form = {"edit": "wall-length", "of": "wall:back", "wall": "back", "length": "5m50"}
    reply = client.post(address, data=form)
    assert (reply.status_code, reply.headers["Location"]) == (303, f"{address}?of=wall:back")
    kept = client.get(f"/api/plans/{plan_id}").json
    assert kept["plan"]["room"]["walls"][1]["x_mm"] == 5500
    assert kept["undo_says"] == "wall A to 5.50 m"
    client.post(address, data={"edit": "undo", "of": "wall:back"})
    undone = client.get(f"/api/plans/{plan_id}").json
    assert undone["plan"]["room"]["walls"][1]["x_mm"] == 5000


def test_what_was_typed_is_kept_with_what_is_wrong(client: Any, plan_id: str) -> None:
    form = {"edit": "wall-length", "of": "wall:back", "wall": "back", "length": MARKUP}
    reply = client.post(f"/plan/{plan_id}/room", data=form)
    assert reply.status_code == 400
    assert 'value="&lt;img src=x onerror=&#34;alert(1)&#34;&gt;"' in reply.text
    assert MARKUP not in reply.text
    assert 'aria-invalid="true"' in reply.text
    assert "cannot be read as a length" in reply.text


def test_all_walls_at_once_are_asked_openly_while_no_wall_is_said(
    client: Any, plan_id: str
) -> None:
    def opened() -> bool:
        page = client.get(f"/plan/{plan_id}/room?of=walls").text
        (mark,) = re.findall(r'<details class="more"( open)?><summary>Make all walls alike', page)
        return bool(mark)

    post(client, plan_id, "all-walls", construction="unknown", finish="bare")
    assert opened()
    said = post(client, plan_id, "all-walls", construction="concrete", finish="bare")
    assert said.status_code == 200
    assert not opened()


def test_the_api_names_the_field(client: Any, plan_id: str) -> None:
    reply = post(client, plan_id, "wall-length", wall="back", length="far")
    assert reply.status_code == 400
    (fault,) = reply.json["error"]["fields"]
    assert fault["field"] == "length"
    assert fault["sentence"].startswith("“far” cannot be read as a length")
    assert client.get(f"/api/plans/{plan_id}").json["can_undo"] is False


def test_after_one_door_the_empty_form_may_come_for_another(client: Any, plan_id: str) -> None:
    fields = {"wall": "back", "kind": "hinged", "offset": "0", "width": "838", "height": "1.98"}
    told = post(client, plan_id, "add-opening", "openings", **fields, then="another").json
    assert told["of"] == "openings"
    assert told["undo_says"] == "add the door"
    form = {"edit": "add-opening", "of": "openings", **fields, "offset": "1.5 m"}
    reply = client.post(f"/plan/{plan_id}/room", data={**form, "then": "another"})
    assert reply.headers["Location"].endswith("room?of=openings")
    reply = client.post(f"/plan/{plan_id}/room", data={**form, "offset": "3 m"})
    assert reply.headers["Location"].endswith("room?of=opening:opening-3")


def test_the_parts_of_the_page_come_with_the_answer(client: Any, plan_id: str) -> None:
    fields = {"wall": "back", "kind": "hinged", "offset": "0", "width": "838", "height": "1.98"}
    told = post(client, plan_id, "add-opening", "openings", **fields).json
    assert (told["of"], told["can_undo"], told["can_redo"]) == ("opening:opening-1", True, False)
    assert told["undo_says"] == "add the door"
    assert told["drawing"].startswith("<svg")
    assert 'data-of="opening:opening-1"' in told["overlay"]
    assert 'value="838 mm"' in told["panel"]
    assert 'id="index"' in told["index"]
    told = post(client, plan_id, "remove-opening", told["of"], opening="opening-1").json
    assert told["of"] == "openings"
    # undo brings it back; what is chosen stays
    assert post(client, plan_id, "undo", "openings").json["redo_says"] == "remove the door"


@pytest.mark.parametrize("units", ["metric", "feet"])
def test_what_is_refused_when_left_empty_shows_an_example_not_a_default(
    client: Any, house: Elbowroom, units: str
) -> None:
    plan_id = house.create(Plan.model_validate(plan_data(units=units))).plan_id
    fields = {"wall": "back", "kind": "sectional"}
    reply = post(client, plan_id, "add-opening", "openings", **fields).json
    refused = {fault["field"] for fault in reply["error"]["fields"]}
    assert refused == {"width", "height"}
    page = client.get(f"/plan/{plan_id}/room?of=openings").text
    for name in refused:
        assert re.search(f'id="add-opening-{name}"[^>]*placeholder="such as [0-9]', page), name
    # a window has a sill that is measured; one that reaches to the floor says 0
    assert re.search('id="add-opening-sill"[^>]*placeholder="such as [0-9]', page)
    fields |= {"kind": "window", "width": "1 m", "height": "1 m"}
    reply = post(client, plan_id, "add-opening", "openings", **fields).json
    assert {fault["field"] for fault in reply["error"]["fields"]} == {"sill"}
    # what an empty field stands for is shown as it is
    page = client.get(f"/plan/{plan_id}/room?of=things").text
    assert re.search('id="add-found-away"[^>]*placeholder="0"', page)


def test_each_kind_of_opening_has_an_example_of_its_own_that_it_takes(
    client: Any, house: Elbowroom
) -> None:
    assert set(OPENING_EXAMPLES) == {kind for kind, _ in OPENING_KINDS}
    for kind, (width, height) in OPENING_EXAMPLES.items():
        plan_id = house.create(Plan.model_validate(plan_data())).plan_id
        page = client.get(f"/plan/{plan_id}/room?of=openings").text
        assert f'data-example-of="{kind}" data-width="such as {width}"' in page
        fields = {"wall": "back", "kind": kind, "width": width, "height": height, "sill": "0"}
        assert post(client, plan_id, "add-opening", "openings", **fields).status_code == 200, kind
    # no garage door is as narrow as a door for one person: common practice, no source
    least = parse_length_mm(OPENING_EXAMPLES["hinged"][0]) * 2
    for kind in ("tracks", "canopy", "sectional", "roller"):
        assert parse_length_mm(OPENING_EXAMPLES[kind][0]) >= least


def test_an_edit_that_changes_nothing_adds_nothing_to_the_history(
    client: Any, plan_id: str
) -> None:
    told = post(client, plan_id, "wall-length", wall="back", length="5 m").json
    assert (told["revision"], told["can_undo"]) == (
        client.get(f"/api/plans/{plan_id}").json["revision"], False,
    )  # fmt: skip


def test_of_all_kit_only_what_stays_is_drawn(client: Any, house: Elbowroom) -> None:
    state = house.create_sample("double-garage")
    drawn = set(re.findall('data-piece="([^"]+)"', client.get(f"/plan/{state.plan_id}/room").text))
    assert drawn == {piece.id for piece in state.plan.pieces if piece.stays} != set()


def test_a_slope_has_its_arrow_and_walls_have_the_names_of_sentences(
    client: Any, house: Elbowroom, plan_id: str
) -> None:
    assert 'class="fall"' not in client.get(f"/plan/{plan_id}/room?of=ceiling").text
    post(client, plan_id, "ceiling", shape="sloping", wall="back", height="2.4", far="2.9")
    page = client.get(f"/plan/{plan_id}/room?of=ceiling").text
    # 500 mm over 4 m from the back wall: down to the back, as the paper has it
    (way,) = re.findall('class="fall"[^>]* d="M([^M]+)M', page)
    (x1, y1), (x2, y2) = ((float(n) for n in end.split()) for end in way.split("L"))
    assert (x1 == x2, y1 > y2) == (True, True)
    assert ">A, 5.00 m, the back wall</option>" in page


def test_names_are_escaped_in_the_room(client: Any, house: Elbowroom) -> None:
    opening = {**door(900), "label": MARKUP}
    data = plan_data(room=room(openings=[opening]), name=MARKUP)
    plan_id = house.create(load(text(data))).plan_id
    for of in ("known", "openings", "opening:door"):
        page = client.get(f"/plan/{plan_id}/room?of={of}").text
        assert MARKUP not in page
        assert "&lt;img" in page


def test_a_room_with_hard_corners_and_no_rectangle_is_shown(client: Any, house: Elbowroom) -> None:
    data = plan_data(
        room={
            "walls": walls((0, 0), (5000, 300), (4200, 4800)),
            "ceiling": {
                "planes": [
                    {"id": "low", "height_mm": 2100},
                    {"id": "high", "height_mm": 2600, "rise_x": 30, "rise_y": 40},
                ]
            },
            "floor": {"planes": [{"id": "f", "height_mm": 0, "rise_x": 3, "rise_y": 1}]},
        },
        pieces=[],
    )
    plan_id = house.create(load(text(data))).plan_id
    for of in everything(house, plan_id):
        assert client.get(f"/plan/{plan_id}/room?of={of}").status_code == 200
    # a form sent back as it stands leaves such a ceiling and floor alone
    before = client.get(f"/api/plans/{plan_id}").json["plan"]["room"]
    post(client, plan_id, "ceiling", shape="patches", construction="slab")
    post(client, plan_id, "floor", fall_wall="as-drawn", construction="timber", material="bare")
    after = client.get(f"/api/plans/{plan_id}").json["plan"]["room"]
    assert after["ceiling"]["planes"] == before["ceiling"]["planes"]
    assert after["floor"]["planes"] == before["floor"]["planes"]
    assert (after["ceiling"]["construction"], after["floor"]["construction"]) == ("slab", "timber")


def test_situations_offer_the_states_of_the_kit(client: Any, house: Elbowroom) -> None:
    plan_id = house.create_sample("double-garage").plan_id
    page = client.get(f"/plan/{plan_id}/room?of=situations").text
    states = re.findall(r'name="(state-[^"]+)"', page)
    assert states
    told = post(client, plan_id, "add-situation", label="All out", **{states[0]: "out"})
    assert told.status_code == 200
    situation = client.get(f"/api/plans/{plan_id}").json["plan"]["situations"][0]
    assert situation["states"] == [{"id": states[0].removeprefix("state-"), "state": "out"}]
    wrong = post(client, plan_id, "add-situation", label="Odd", **{states[0]: "upside-down"})
    assert wrong.status_code == 400


@pytest.mark.parametrize(
    "body",
    [
        {"edit": "blow-up"},
        {"edit": "wall", "fields": {"wall": "gone"}},
        {"edit": "wall", "fields": ["wall"]},
        {"edit": "wall", "fields": {"wall": 7}},
        {"edit": "wall-length", "fields": {str(n): "" for n in range(500)}},
        {"edit": "undo"},
    ],
    ids=["unknown", "wall gone", "a list", "a number", "too many", "nothing to undo"],
)
def test_bad_requests_are_refused_with_a_sentence(client: Any, plan_id: str, body: Any) -> None:
    reply = client.post(f"/api/plans/{plan_id}/room", json=body)
    assert reply.status_code in (400, 409)
    assert reply.json["ok"] is False
    assert reply.json["error"]["message"]


def test_what_is_no_longer_there_falls_back_to_its_list(client: Any, plan_id: str) -> None:
    for of, part in (
        ("wall:gone", "walls"),
        ("socket:x", "sockets"),
        ("odd:x", "known"),
        ("", "known"),
    ):
        told = client.get(f"/api/plans/{plan_id}/room?of={of}", headers=JSON).json
        assert told["of"] == part
    assert client.get("/plan/000000000000/room").status_code == 404


def test_linings_that_leave_no_floor_are_told_beside_the_form(client: Any, plan_id: str) -> None:
    fields = {"wall": "back", "thickness": "140", "construction": "concrete", "finish": "bare"}
    reply = post(client, plan_id, "wall", lining="1 m", **fields)
    assert reply.status_code == 200
    narrow = plan_data(room=room(walls=walls((0, 0), (900, 0), (900, 900), (0, 900))), pieces=[])
    small = client.post("/api/plans/import", data=text(narrow)).json["id"]
    reply = post(client, small, "wall", lining="950", **{**fields, "wall": "w0"})
    assert reply.status_code == 400
    assert "linings leave no floor" in reply.json["error"]["message"]


def test_the_desk_and_the_cards_lead_to_the_room(client: Any, plan_id: str) -> None:
    for page in ("", "/people", "/print"):
        assert f'href="/plan/{plan_id}/room"' in client.get(f"/plan/{plan_id}{page}").text


def test_the_form_of_an_opening_sent_as_it_stands_changes_nothing(
    client: Any, house: Elbowroom
) -> None:
    kinds = ("hinged", "side-sliding", "sectional", "window")
    said = {"glass": True, "opener": True, "must_open": True, "way_out": False, "swing": "out"}
    openings = [
        {**door(900), "id": f"o{i}", "offset_mm": 100 + i * 1000, "kind": kind, **said}
        for i, kind in enumerate(kinds)
    ]
    data = plan_data(room=room(openings=openings))
    plan_id = house.create(Plan.model_validate(data)).plan_id
    for i in range(len(kinds)):
        page = client.get(f"/plan/{plan_id}/room?of=opening:o{i}").text
        form = re.findall(r'<form[^>]*data-edit="opening".*?</form>', page, re.DOTALL)[0]
        fields = _as_sent(form)
        assert fields["glass"] == "yes"
        reply = client.post(f"/plan/{plan_id}/room", data=fields)
        assert reply.status_code == 303
        assert house.open(plan_id).revision == 0, kinds[i]


def _as_sent(form: str) -> dict[str, str]:
    """What a browser sends of a form that nobody has touched."""
    fields = {}
    for tag in re.findall(r"<input[^>]*>", form):
        told = dict(re.findall(r'([\w-]+)="([^"]*)"', tag))
        if told.get("type") not in ("radio", "checkbox") or " checked" in tag:
            fields[told["name"]] = unescape(told.get("value", ""))
    for name, options in re.findall(r'<select[^>]* name="([^"]+)".*?>(.*?)</select>', form):
        fields[name] = re.findall(r'<option value="([^"]*)" selected', options)[0]
    return fields
