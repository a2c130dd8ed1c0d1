"""Sections and films over the API."""

from typing import Any

from app.model.base import json_of
from tests.browser.rooms import workshop

LINE = "Door to the mid rack: 1359 mm at its narrowest, between the bar 20 kg and the jump box."


def made(client: Any, height: str = "2310") -> Any:
    return client.post(
        "/api/plans",
        json={
            "name": "Garage",
            "width": "5320",
            "depth": "5180",
            "height": height,
            "person1_stature": "1.88",
        },
    ).json


def wanting(client: Any, told: Any, movement: str) -> Any:
    person = told["plan"]["people"][0]
    path = ["people", person["id"], "wishes"]
    before = person["wishes"]
    after = [w for w in before if w["movement"] != movement]
    after.append({"movement": movement, "wish": "want"})
    after.sort(key=lambda wish: wish["movement"])
    change = {"path": path, "before": before, "after": after}
    command = {"name": "wish", "says": "want it", "changes": [change]}
    return client.post(f"/api/plans/{told['id']}/commands", json={"command": command})


def test_a_headroom_snag_has_a_section(client: Any) -> None:
    told = made(client)
    reply = wanting(client, told, "standing-press")
    assert reply.status_code == 200, reply.json
    key = next(s["key"] for s in reply.json["verdict"]["snags"] if s["code"] == "headroom")
    got = client.get(f"/api/plans/{told['id']}/section", query_string={"key": key})
    assert got.json["ok"] is True
    assert got.json["svg"].startswith("<svg")
    assert "too low" in got.json["svg"]


def test_what_has_no_section_is_not_found(client: Any) -> None:
    told = made(client)
    assert client.get(f"/api/plans/{told['id']}/section?key=nothing").status_code == 404
    assert client.get("/api/plans/none/section?key=nothing").status_code == 404


def test_a_region_comes_as_two_films(client: Any) -> None:
    told = made(client)
    person = told["plan"]["people"][0]["id"]
    got = client.get(f"/api/plans/{told['id']}/region?person={person}&movement=squat").json
    assert got["least"].startswith('<g class="film" data-film="least"><path')
    assert got["need"].startswith('<g class="film" data-film="need"><path')
    none = client.get(f"/api/plans/{told['id']}/region?person={person}&movement=standing-press")
    assert "<path" not in none.json["least"]
    for asked in (f"person={person}&movement=flying", "person=nobody&movement=squat"):
        assert client.get(f"/api/plans/{told['id']}/region?{asked}").status_code == 404


def test_the_ways_come_as_a_film_and_in_words(client: Any) -> None:
    told = made(client)
    got = client.get(f"/api/plans/{told['id']}/ways").json
    assert got["svg"].startswith('<g class="film" data-film="routes"')
    assert (got["key"], got["lines"]) == ("No station to walk to: no ways.", [])
    told = client.post("/api/plans/import", json=json_of(workshop())).json
    got = client.get(f"/api/plans/{told['id']}/ways").json
    assert '<polyline class="way-run ok"' in got["svg"]
    # from the plates' corner (2270, 1987) to the box's (3050, 3100): hypot(780, 1113) = 1359
    assert {"ink": "ok", "words": LINE} in got["lines"]
    assert client.get("/api/plans/none/ways").status_code == 404
