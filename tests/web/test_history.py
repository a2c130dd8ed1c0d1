"""History over pages and API: milestones, comparing, going back, a backup; names are escaped."""

import io
import re
import sqlite3
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from tests.web.building import plan_data, text

MARKUP = "<script>alert(1)</script>"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def changed(client: Any) -> str:
    """A plan with markup for a label, one revision after it was made."""
    data = plan_data(name=MARKUP)
    data["pieces"][0]["label"] = MARKUP
    plan_id = str(client.post("/api/plans/import", data=text(data)).json["id"])
    reply = client.post(f"/api/plans/{plan_id}/commands", json={"command": MOVE})
    assert reply.status_code == 200
    return plan_id


MOVE = {
    "name": "move",
    "changes": [
        {
            "path": ["pieces", "bench-1", "pose"],
            "before": {"x_mm": 1200, "y_mm": 2000, "angle_deg": 0},
            "after": {"x_mm": 960, "y_mm": 2000, "angle_deg": 0},
        }
    ],
}


def test_the_history_over_the_api(client: Any, changed: str) -> None:
    told = client.get(f"/api/plans/{changed}/history").json
    assert [(line["revision"], line["what"]) for line in told["lines"]] == [
        (1, f"{MARKUP} moved 240 mm left"),
        (0, "The plan as it was made"),
    ]
    assert (told["revision"], told["below"], told["milestones"]) == (1, None, [])
    assert client.get(f"/api/plans/{changed}/history?below=1").json["lines"][0]["revision"] == 0


def test_milestones_over_the_api(client: Any, changed: str) -> None:
    root = f"/api/plans/{changed}/milestones"
    told = client.post(root, json={"revision": 0, "name": MARKUP}).json
    assert [(m["revision"], m["name"]) for m in told["milestones"]] == [(0, MARKUP)]
    assert client.delete(f"{root}/0").json["milestones"] == []
    assert client.delete(f"{root}/0").status_code == 404
    for body in ({}, {"revision": "0", "name": "x"}, {"revision": True, "name": "x"}):
        assert client.post(root, json=body).status_code == 400
    assert client.post(root, json={"revision": 9, "name": "x"}).status_code == 404


def test_comparing_and_going_back_over_the_api(client: Any, changed: str) -> None:
    told = client.get(f"/api/plans/{changed}/compare?from=1&to=0").json
    assert (told["from"]["revision"], told["to"]["revision"]) == (0, 1)
    assert told["told"] == [f"{MARKUP} moved 240 mm left"]
    assert len(told["from"]["marks"]) == 1
    old = client.get(f"/api/plans/{changed}/revisions/0").json["plan"]
    now = client.post(f"/api/plans/{changed}/back", json={"revision": 0}).json
    assert (now["revision"], now["plan"]) == (2, old)


@pytest.mark.parametrize("word", ["x", "-1", "1.5", "٣", "9" * 5000, "", "0x1"])
def test_what_is_no_number_names_nothing(client: Any, changed: str, word: str) -> None:
    for path in (
        f"/api/plans/{changed}/revisions/{word}",
        f"/api/plans/{changed}/compare?from=0&to={word}",
        f"/plan/{changed}/history/compare?from={word}&to=0",
    ):
        assert client.get(path).status_code == 404
    assert client.post(f"/plan/{changed}/history/{word}/back").status_code in (404, 405)


def test_the_pages_show_it_and_escape_what_people_wrote(client: Any, changed: str) -> None:
    client.post(f"/plan/{changed}/history/0/name", data={"name": MARKUP})
    for path in ("history", "history/compare?from=0&to=1"):
        reply = client.get(f"/plan/{changed}/{path}")
        assert reply.status_code == 200
        page = reply.get_data(as_text=True)
        assert MARKUP not in page
        assert "&lt;script&gt;alert(1)&lt;/script&gt; moved 240 mm left" in page
        assert "style=" not in page
    assert page.count('id="hatch-space"') == page.count('id="now-hatch-space"') == 1


def test_a_day_is_laid_over_today_or_over_another(client: Any, changed: str) -> None:
    listed = client.get(f"/plan/{changed}/history").text
    assert listed.count("Lay over today's plan</a>") == 1
    assert f'href="/plan/{changed}/history/compare?from=0"' in listed
    client.post(f"/api/plans/{changed}/undo")
    # one bench moved, and moved back again: today nothing differs, at revision 1 the one does
    today = client.get(f"/plan/{changed}/history/compare?from=0").text
    assert "Nothing differs" in today
    assert 'differs" data-piece' not in today
    other = client.get(f"/plan/{changed}/history/compare?from=0&to=1").text
    assert other.count('class="piece differs" data-piece="bench-1"') == 2
    assert 'class="piece" data-piece="bench-2"' in other
    assert "with another day" in other
    # both drawings show the same part of the room
    views = re.findall(r"<svg [^>]*viewBox=\"([^\"]+)\"", other)
    assert len(views) == 2
    assert views[0] == views[1]


def test_the_buttons_of_the_pages(client: Any, changed: str) -> None:
    root = f"/plan/{changed}/history"
    assert client.post(f"{root}/0/name", data={"name": "First"}).status_code == 303
    assert "First" in client.get(root).get_data(as_text=True)
    assert client.post(f"{root}/0/unname").status_code == 303
    assert "First" not in client.get(root).get_data(as_text=True)
    reply = client.post(f"{root}/0/back")
    assert (reply.status_code, reply.headers["Location"]) == (303, f"/plan/{changed}")
    assert client.get(f"/api/plans/{changed}").json["revision"] == 2


def test_a_deleted_plan_shows_no_history(client: Any, changed: str) -> None:
    client.delete(f"/api/plans/{changed}")
    for path in (f"/plan/{changed}/history", f"/api/plans/{changed}/history"):
        assert client.get(path).status_code == 404


def test_a_backup_over_the_page(client: Any, changed: str, tmp_path: Path) -> None:
    reply = client.post("/backup")
    assert reply.headers["Content-Disposition"].startswith('attachment; filename="elbowroom-')
    file = tmp_path / "b"
    file.write_bytes(reply.data)
    db = sqlite3.connect(file)
    assert db.execute("SELECT id, revision FROM plans").fetchall() == [(changed, 1)]
    db.close()
    assert client.get("/backup").status_code == 405


def test_a_backup_is_no_plan_file(client: Any, changed: str) -> None:
    upload = {"file": (io.BytesIO(client.post("/backup").data), "b")}
    assert client.post("/import", data=upload).status_code == 400


def test_each_line_has_a_small_picture_of_its_own(client: Any, changed: str) -> None:
    page = client.get(f"/plan/{changed}/history").get_data(as_text=True)
    assert f'src="/plan/{changed}/history/1/picture"' in page
    drawn = client.get(f"/plan/{changed}/history/1/picture")
    assert drawn.mimetype == "image/svg+xml"
    kinds = [path.get("class") for path in ElementTree.fromstring(drawn.data).iter(f"{SVG}path")]
    assert kinds[0] == "room"
    assert kinds[-1] == "piece new"
    assert client.get(f"/plan/{changed}/history/99/picture").status_code == 404
