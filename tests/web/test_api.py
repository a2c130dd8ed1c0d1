"""The API does what pages ask of it; what is asked wrongly gets a sentence, changes nothing."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask

from app.usecases.plans import Elbowroom
from tests.web.building import BAD_FILES, plan_data, text


def move(piece_id: str, before: tuple[float, float], after: tuple[float, float]) -> dict[str, Any]:
    """The command that moves a piece, as a page sends it."""
    (x0, y0), (x1, y1) = before, after
    return {
        "command": {
            "name": "move",
            "says": f"move {piece_id}",
            "changes": [
                {
                    "path": ["pieces", piece_id, "pose"],
                    "before": {"x_mm": x0, "y_mm": y0, "angle_deg": 0},
                    "after": {"x_mm": x1, "y_mm": y1, "angle_deg": 0},
                }
            ],
        }
    }


ONTO = move("bench-1", (1200, 2000), (3600, 2000))


def codes(verdict: dict[str, Any]) -> list[tuple[str, str]]:
    return [(snag["code"], snag["severity"]) for snag in verdict["snags"]]


def test_hello_says_which_start_this_is(client: Any) -> None:
    assert client.get("/api/hello").json == {"ok": True, "name": "elbowroom", "mark": "the mark"}


def test_a_room_is_made_from_fields(client: Any) -> None:
    reply = client.post(
        "/api/plans",
        json={
            "name": "Garage",
            "width": "5.32 m",
            "depth": "5180",
            "height": "231 cm",
            "person1_stature": "1.88",
        },
    )
    assert reply.status_code == 201
    told = reply.json
    assert told["revision"] == 0
    assert [(w["x_mm"], w["y_mm"]) for w in told["plan"]["room"]["walls"]] == [
        (0, 0),
        (5320, 0),
        (5320, 5180),
        (0, 5180),
    ]
    (listed,) = client.get("/api/plans").json["plans"]
    assert (listed["id"], listed["name"], listed["deleted"]) == (told["id"], "Garage", None)


def test_wrong_fields_of_a_room_are_named(client: Any) -> None:
    reply = client.post("/api/plans", json={"width": "five", "depth": True, "height": [1]})
    assert reply.status_code == 400
    assert [field["field"] for field in reply.json["error"]["fields"]] == ["depth", "height"]
    reply = client.post("/api/plans", json={"width": "five", "depth": "5 m", "height": "2.3 m"})
    assert {"width", "person1_stature"} <= {f["field"] for f in reply.json["error"]["fields"]}
    assert client.get("/api/plans").json["plans"] == []


def test_a_command_changes_the_plan_and_its_verdict(client: Any, plan_id: str) -> None:
    before = client.get(f"/api/plans/{plan_id}").json
    assert ("clash", "stop") not in codes(before["verdict"])
    after = client.post(f"/api/plans/{plan_id}/commands", json=ONTO).json
    assert ("clash", "stop") in codes(after["verdict"])
    assert after["revision"] == 1
    assert after["plan"]["pieces"][0]["pose"]["x_mm"] == 3600
    assert (after["can_undo"], after["undo_says"]) == (True, "move bench-1")
    assert after["drawing"] != before["drawing"]
    assert after["drawing"].startswith("<svg")


def test_undo_and_redo(client: Any, plan_id: str) -> None:
    first = client.get(f"/api/plans/{plan_id}").json
    client.post(f"/api/plans/{plan_id}/commands", json=ONTO)
    back = client.post(f"/api/plans/{plan_id}/undo").json
    assert back["plan"] == first["plan"]
    assert codes(back["verdict"]) == codes(first["verdict"])
    assert (back["can_undo"], back["can_redo"], back["redo_says"]) == (False, True, "move bench-1")
    again = client.post(f"/api/plans/{plan_id}/redo").json
    assert again["plan"]["pieces"][0]["pose"]["x_mm"] == 3600
    reply = client.post(f"/api/plans/{plan_id}/redo")
    assert (reply.status_code, reply.json["error"]["code"]) == (409, "conflict")


def test_an_answer_without_a_drawing(client: Any, plan_id: str) -> None:
    first = client.get(f"/api/plans/{plan_id}").json
    moved = client.post(f"/api/plans/{plan_id}/commands", json={**ONTO, "drawing": False}).json
    assert "drawing" not in moved
    assert ("clash", "stop") in codes(moved["verdict"])
    looked = client.get(f"/api/plans/{plan_id}/look").json
    assert looked["revision"] == 1
    assert looked["drawing"] == client.get(f"/api/plans/{plan_id}").json["drawing"]
    back = client.post(f"/api/plans/{plan_id}/undo", json={"drawing": False}).json
    assert "drawing" not in back
    assert client.get(f"/api/plans/{plan_id}/look").json["drawing"] == first["drawing"]
    reply = client.post(f"/api/plans/{plan_id}/redo", json={"drawing": "no"})
    assert (reply.status_code, reply.json["error"]["code"]) == (400, "bad-json")
    assert client.get(f"/api/plans/{plan_id}").json["revision"] == 2


def test_a_plan_as_it_was_is_what_undo_leads_to(client: Any, plan_id: str) -> None:
    client.post(f"/api/plans/{plan_id}/commands", json=ONTO)
    now = client.post(
        f"/api/plans/{plan_id}/commands", json=move("bench-1", (3600, 2000), (2400, 2500))
    ).json
    assert (now["undo_to"], now["redo_to"]) == (1, None)
    was = client.get(f"/api/plans/{plan_id}/revisions/{now['undo_to']}").json
    assert (was["revision"], was["undo_to"], was["undo_says"]) == (1, 0, "move bench-1")
    undone = client.post(f"/api/plans/{plan_id}/undo").json
    for part in ("plan", "drawing", "verdict"):
        assert undone[part] == was[part]
    assert (undone["undo_to"], undone["redo_to"]) == (0, 2)
    for number in (4, 2**62, 2**70):
        reply = client.get(f"/api/plans/{plan_id}/revisions/{number}")
        assert (reply.status_code, reply.json["error"]["code"]) == (404, "not-found")


def test_a_stale_command_is_a_conflict(client: Any, plan_id: str) -> None:
    client.post(f"/api/plans/{plan_id}/commands", json=ONTO)
    stale = move("bench-1", (1200, 2000), (900, 900))
    reply = client.post(f"/api/plans/{plan_id}/commands", json=stale)
    assert reply.status_code == 409
    assert reply.json["error"]["code"] == "conflict"
    assert "changed meanwhile" in reply.json["error"]["message"]
    assert client.get(f"/api/plans/{plan_id}").json["revision"] == 1


def test_a_drag_is_judged_and_nothing_is_kept(client: Any, plan_id: str) -> None:
    moves = {"bench-1": {"x_mm": 3600, "y_mm": 2000, "angle_deg": 0}}
    tried = client.post(f"/api/plans/{plan_id}/try", json={"moves": moves})
    assert ("clash", "stop") in codes(tried.json["verdict"])
    now = client.get(f"/api/plans/{plan_id}").json
    assert now["revision"] == 0
    assert ("clash", "stop") not in codes(now["verdict"])


def test_a_drag_against_a_known_revision_is_answered_with_what_changes(
    client: Any, plan_id: str
) -> None:
    moves = {"bench-1": {"x_mm": 3600, "y_mm": 2000, "angle_deg": 0}}
    whole = client.post(f"/api/plans/{plan_id}/try", json={"moves": moves}).json["verdict"]
    body = {"moves": moves, "against": 0}
    tried = client.post(f"/api/plans/{plan_id}/try", json=body).json
    assert tried.keys() == {"ok", "changed"}
    for one in tried["changed"]["rows"]:
        assert whole["snags"][one["at"]] == one["row"]
    assert tried["changed"]["counts"] == whole["counts"]
    for past in (7, None):
        body["against"] = past
        tried = client.post(f"/api/plans/{plan_id}/try", json=body).json
        assert tried == {"ok": True, "verdict": whole}
    body["against"] = "0"
    assert client.post(f"/api/plans/{plan_id}/try", json=body).status_code == 400


def test_the_verdict_of_a_drag_is_that_of_the_drop(client: Any, plan_id: str) -> None:
    moves = {"bench-1": {"x_mm": 3600, "y_mm": 2000, "angle_deg": 0}}
    tried = client.post(f"/api/plans/{plan_id}/try", json={"moves": moves}).json["verdict"]
    dropped = client.post(f"/api/plans/{plan_id}/commands", json=ONTO).json["verdict"]
    for verdict in (tried, dropped):
        for snag in verdict["snags"]:
            del snag["number"]
    # ways on foot are judged after the drop only, and stay as they were till then
    assert "no-way-out" in [snag["code"] for snag in tried["snags"]]
    assert tried["snags"] == dropped["snags"]


def test_a_flag_keeps_its_number_while_the_snag_lives(client: Any, plan_id: str) -> None:
    client.post(f"/api/plans/{plan_id}/commands", json=ONTO)
    path = f"/api/plans/{plan_id}/commands"
    before = {
        s["key"]: s["number"] for s in client.get(f"/api/plans/{plan_id}").json["verdict"]["snags"]
    }
    moved = client.post(path, json=move("bench-2", (3600, 2000), (3650, 2000))).json
    after = {s["key"]: s["number"] for s in moved["verdict"]["snags"]}
    lasting = before.keys() & after.keys()
    assert lasting
    assert {k: before[k] for k in lasting} == {k: after[k] for k in lasting}


def test_a_settled_snag_leaves_the_count_and_returns_when_it_changes(
    client: Any, plan_id: str
) -> None:
    path = f"/api/plans/{plan_id}/commands"
    verdict = client.post(path, json=ONTO).json["verdict"]
    snag = next(s for s in verdict["snags"] if s["code"] == "clash")
    entry = {
        "id": snag["key"],
        "reason": "one is lent out",
        "on": "2024-03-14",
        "measured": snag["measured"],
        "required": snag["required"],
    }
    settle = {"name": "settle", "changes": [{"path": ["settled", snag["key"]], "after": entry}]}
    settled = client.post(path, json={"command": settle}).json["verdict"]
    assert settled["counts"]["stop"] == verdict["counts"]["stop"] - 1
    same = next(s for s in settled["snags"] if s["key"] == snag["key"])
    assert same["settled"] == {"reason": "one is lent out", "on": "2024-03-14"}
    assert same["number"] == snag["number"]
    away = client.post(path, json=move("bench-2", (3600, 2000), (3700, 2100))).json["verdict"]
    back = next(s for s in away["snags"] if s["code"] == "clash")
    assert back["settled"] is None


def test_remedies_name_the_revision_they_were_made_for(client: Any, plan_id: str) -> None:
    shown = client.post(f"/api/plans/{plan_id}/commands", json=ONTO).json
    told = client.get(f"/api/plans/{plan_id}/remedies?revision=1").json
    assert told["revision"] == 1
    keys = {snag["key"] for snag in shown["verdict"]["snags"]}
    assert told["remedies"].keys() <= keys
    for remedy in told["remedies"].values():
        assert remedy["sentence"]
        for command in remedy["commands"]:
            assert command["changes"]


def test_what_one_change_mends_is_told_first(client: Any, plan_id: str) -> None:
    client.post(f"/api/plans/{plan_id}/commands", json=ONTO)
    first = client.get(f"/api/plans/{plan_id}/remedies?revision=1&first").json
    both = client.get(f"/api/plans/{plan_id}/remedies?revision=1").json
    assert first["revision"] == both["revision"] == 1
    assert first["remedies"]
    assert first["remedies"].items() <= both["remedies"].items()
    assert first["tried"].items() <= both["tried"].items()


def test_an_offer_is_looked_at(client: Any, plan_id: str) -> None:
    sizes = {"width_mm": 600, "depth_mm": 600, "height_mm": 900}
    told = client.post(f"/api/plans/{plan_id}/fits", json=sizes).json
    assert told["fits"] is True
    assert told["sentence"]
    assert 0 < told["place"]["x_mm"] < 5000
    wide = client.post(f"/api/plans/{plan_id}/fits", json={**sizes, "width_mm": 5100}).json
    if wide["fits"]:
        raise AssertionError("a thing wider than the room fits nowhere")


def test_a_new_bar_is_told_the_rack_it_is_used_in(client: Any, plan_id: str) -> None:
    sizes = {"width_mm": 2200, "depth_mm": 50, "height_mm": 50, "type": "bar-20"}
    rack = {"id": "rack", "type": "full-rack", "pose": {"x_mm": 2500, "y_mm": 2500}}
    change = {"path": ["pieces", "rack"], "before": None, "after": rack}
    command = {"name": "add", "says": "add a rack", "changes": [change]}
    client.post(f"/api/plans/{plan_id}/commands", json={"command": command})
    told = client.post(f"/api/plans/{plan_id}/fits", json={**sizes, "joins": True}).json
    assert told["carried_by"] == "rack"
    alone = client.post(f"/api/plans/{plan_id}/fits", json=sizes).json
    if "carried_by" in alone:
        raise AssertionError("an offer that joins nothing is a thing for itself")


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"width_mm": "wide", "depth_mm": 600, "height_mm": 900},
        {"width_mm": -1, "depth_mm": 600, "height_mm": 900},
        {"width_mm": 1e300, "depth_mm": 600, "height_mm": 900},
        {"width_mm": 600, "depth_mm": 600, "height_mm": 900, "type": "time-machine"},
        {"width_mm": 600, "depth_mm": 600, "height_mm": 900, "type": ["bench"]},
    ],
    ids=["nothing", "words", "negative", "huge", "unknown type", "list as type"],
)
def test_a_bad_offer_is_refused(client: Any, plan_id: str, body: dict[str, Any]) -> None:
    assert client.post(f"/api/plans/{plan_id}/fits", json=body).status_code == 400


def test_a_size_out_of_bounds_is_told_with_the_figure_that_breaks_them(
    client: Any, plan_id: str
) -> None:
    sizes = {"width_mm": 20_001, "depth_mm": 0, "height_mm": 900}
    refused = client.post(f"/api/plans/{plan_id}/fits", json=sizes).json["error"]
    # 20 m are 65.6 ft of 0.3048 m
    bounds = "must be more than nothing and at most 20 m (65 ft), not "
    assert refused["fields"] == [
        {"field": "width_mm", "sentence": f"{bounds}20,001 mm"},
        {"field": "depth_mm", "sentence": f"{bounds}0 mm"},
    ]


def test_copy_rename_delete_and_restore(client: Any, plan_id: str) -> None:
    copied = client.post(f"/api/plans/{plan_id}/copy").json
    assert copied["plan"]["name"] == "Copy of Room"
    named = client.post(f"/api/plans/{plan_id}/name", json={"name": "Cellar"}).json
    assert (named["plan"]["name"], named["undo_says"]) == ("Cellar", "rename the plan")
    assert client.delete(f"/api/plans/{plan_id}").json == {"ok": True}
    reply = client.get(f"/api/plans/{plan_id}")
    assert (reply.status_code, reply.json["error"]["code"]) == (404, "not-found")
    listed = client.get("/api/plans").json
    assert [p["name"] for p in listed["plans"]] == ["Copy of Room"]
    assert [p["name"] for p in listed["deleted"]] == ["Cellar"]
    assert client.post(f"/api/plans/{plan_id}/restore").json["plan"]["name"] == "Cellar"


@pytest.mark.parametrize("name", ["", "x" * 201, None, 7])
def test_a_bad_name_is_refused(client: Any, plan_id: str, name: object) -> None:
    reply = client.post(f"/api/plans/{plan_id}/name", json={"name": name})
    assert reply.status_code == 400
    assert client.get(f"/api/plans/{plan_id}").json["plan"]["name"] == "Room"


def test_export_and_import_give_the_same_plan(client: Any, plan_id: str) -> None:
    reply = client.get(f"/api/plans/{plan_id}/export")
    assert reply.headers["Content-Disposition"] == 'attachment; filename="room.json"'
    again = client.post("/api/plans/import", data=reply.data)
    assert again.status_code == 201
    assert again.json["id"] != plan_id
    assert again.json["plan"] == json.loads(reply.data)


@pytest.mark.parametrize(("make", "words"), BAD_FILES.values(), ids=BAD_FILES.keys())
def test_a_bad_file_is_refused_with_a_sentence(
    client: Any, make: Callable[[], bytes], words: str
) -> None:
    reply = client.post("/api/plans/import", data=make())
    assert reply.status_code in (400, 413)
    error = reply.json["error"]
    assert reply.json["ok"] is False
    assert words in error["message"]
    assert "\n" not in error["message"]
    assert client.get("/api/plans").json["plans"] == []


@pytest.mark.parametrize(
    "raw",
    [
        b"{",
        b"[]",
        b"7",
        b"[" * 100_000,
        b'{"command": NaN}',
        b'{"command": {"name": "fly", "changes": []}}',
        b'{"command": {"name": "move", "changes": [{"path": []}]}}',
        b'{"command": {"name": "move", "changes": [{"path": ["\\ud800"]}]}}',
        b'{"command": {"name": "rename", "changes": '
        b'[{"path": ["name"], "before": "Room", "after": "\\ud800"}]}}',
        b'{"command": {"name": "rename", "changes": '
        b'[{"path": ["name"], "before": "Room", "after": {"a": [1]}}]}}',
        b'{"command": {"name": "edit", "changes": [{"path": ["pieces"], "after": 3}]}}',
        b'{"command": {"name": "edit", "changes": [{"path": ["pieces", "bench-1", "type"], '
        b'"before": "flat-bench", "after": "time-machine"}]}}',
        b'{"moves": {"bench-1": {"x_mm": 1e999, "y_mm": 0}}}',
        b'{"moves": {"bench-9": {"x_mm": 1, "y_mm": 0}}}',
        b'{"moves": [1]}',
    ],
)
@pytest.mark.parametrize("route", ["commands", "try"])
def test_bad_bodies_are_refused_and_change_nothing(
    client: Any, plan_id: str, route: str, raw: bytes
) -> None:
    reply = client.post(f"/api/plans/{plan_id}/{route}", data=raw)
    assert 400 <= reply.status_code < 500
    assert reply.json["ok"] is False
    assert reply.json["error"]["message"]
    now = client.get(f"/api/plans/{plan_id}").json
    assert (now["revision"], now["plan"]["name"]) == (0, "Room")


def test_an_unknown_kit_type_names_its_field(client: Any, plan_id: str) -> None:
    change = {
        "path": ["pieces", "bench-2", "type"],
        "before": "flat-bench",
        "after": "time-machine",
    }
    command = {"name": "edit", "changes": [change]}
    reply = client.post(f"/api/plans/{plan_id}/commands", json={"command": command})
    assert reply.json["error"] == {
        "code": "bad-plan",
        "message": "pieces[1].type: there is no kit type 'time-machine' in the library",
        "fields": [
            {
                "field": "pieces[1].type",
                "sentence": "there is no kit type 'time-machine' in the library",
            }
        ],
    }


def test_every_route_of_the_api_answers_wrong_questions_in_one_shape(
    application: Flask, client: Any
) -> None:
    rules = [r for r in application.url_map.iter_rules() if r.rule.startswith("/api/")]
    assert len(rules) >= 15
    for rule in rules:
        path = rule.rule.replace("<plan_id>", "nothing")
        for method in ("GET", "POST", "PUT", "PATCH", "DELETE"):
            reply = client.open(path, method=method, data=b'{"half"')
            if reply.status_code < 400:
                continue
            assert reply.status_code < 500, (method, path)
            assert reply.json.keys() == {"ok", "error"}, (method, path)
            assert reply.json["error"].keys() == {"code", "message", "fields"}, (method, path)
    missing = client.get("/api/nowhere")
    assert (missing.status_code, missing.json["ok"]) == (404, False)


def test_a_fault_of_programming_tells_nothing_of_the_machine(
    own_application: Flask, caplog: pytest.LogCaptureFixture
) -> None:
    def broken() -> str:
        raise RuntimeError("the secret innards")

    own_application.add_url_rule("/api/broken", view_func=broken)
    own_application.add_url_rule("/broken", "broken_page", broken)
    for path in ("/api/broken", "/broken"):
        reply = own_application.test_client().get(path)
        assert reply.status_code == 500
        assert b"innards" not in reply.data
        assert b"Traceback" not in reply.data
    assert "the secret innards" in caplog.text


def test_a_closed_file_of_plans_is_said(house: Elbowroom, client: Any) -> None:
    house.close()
    reply = client.get("/api/plans")
    assert (reply.status_code, reply.json["error"]["code"]) == (503, "store")


def test_a_name_with_control_signs_is_still_json(client: Any) -> None:
    reply = client.post("/api/plans/import", data=text(plan_data(name="a\x00b\u2028c</script>")))
    assert reply.json["plan"]["name"] == "a\x00b\u2028c</script>"
