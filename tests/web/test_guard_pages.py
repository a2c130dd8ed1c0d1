"""What others write is never obeyed: names, pictures, paths; and a fault tells nothing."""

import io
import logging
import re
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from tests.web.building import plan_data, text

HOME = "http://127.0.0.1:8765"
NASTY = "\"'><script>alert(1)</script><img src=x onerror=alert(2)>{{7*7}}"
SVG = (
    b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
)
PAGES = (
    "",
    "/people",
    "/print",
    "/sheet",
    "/sheet.svg",
    "/works",
    "/today",
    "/history",
    "/history/compare?from=0&to=1",
)


@pytest.fixture
def nasty(client: Any) -> str:
    """A plan in which everything that has a name has a nasty one."""
    data = plan_data(name=NASTY, drawn_for=NASTY)
    data["people"][0]["label"] = NASTY
    for piece in data["pieces"]:
        piece["label"] = NASTY
    data["room"]["columns"] = [
        {"id": "c", "outline": [[4500, 3500], [4700, 3500], [4700, 3700]], "label": NASTY}
    ]
    reply = client.post("/api/plans/import", data=text(data))
    assert reply.status_code == 201
    plan_id = str(reply.json["id"])
    renamed = client.post(f"/api/plans/{plan_id}/name", json={"name": f"{NASTY}!"})
    assert renamed.json["revision"] == 1
    client.post(f"/plan/{plan_id}/history/0/name", data={"name": NASTY})
    return plan_id


@pytest.mark.parametrize("page", PAGES)
def test_names_are_escaped_on_every_page(client: Any, nasty: str, page: str) -> None:
    reply = client.get(f"/plan/{nasty}{page}")
    assert reply.status_code == 200
    shown = reply.get_data(as_text=True)
    # Data for the scripts is JSON in which no sign can end the element.
    assert "<script>alert" not in shown
    assert "<img src=x" not in shown
    assert "49" not in re.findall(r"onerror=alert\(2\)&gt;(\d+)", shown)


def test_names_are_escaped_on_the_list_of_plans(client: Any, nasty: str) -> None:
    client.delete(f"/api/plans/{nasty}")
    assert "<script>alert" not in client.get("/").get_data(as_text=True)


def test_a_file_name_cannot_break_out_of_its_header(client: Any, nasty: str) -> None:
    header = client.get(f"/api/plans/{nasty}/export").headers["Content-Disposition"]
    assert re.fullmatch(r'attachment; filename="[a-z0-9-]+\.json"', header)


def test_no_page_holds_script_or_style_of_its_own(client: Any, nasty: str) -> None:
    for page in ("/", "/new", "/cautions", *(f"/plan/{nasty}{p}" for p in PAGES)):
        if page.endswith(("/sheet", "/sheet.svg", "/print")):
            # what is printed carries the sizes of its paper, and has a policy of its own
            continue
        shown = client.get(page).get_data(as_text=True)
        scripts = re.findall(r"<script([^>]*)>", shown)
        assert all("src=" in s or 'type="application/json"' in s for s in scripts), page
        assert not re.search(r"\son[a-z]+=\s*\"", re.sub(r"&#?\w+;", "", shown)), page
        assert "<style" not in shown, page


def test_nothing_comes_from_elsewhere(client: Any, nasty: str) -> None:
    for page in ("/", "/new", "/cautions", f"/plan/{nasty}", f"/plan/{nasty}/history"):
        shown = client.get(page).get_data(as_text=True)
        for address in re.findall(r"(?:src|href|action)=\"([^\"]*)\"", shown):
            assert address.startswith(("/", "#", "data:")), (page, address)
            assert not address.startswith("//"), (page, address)


@pytest.mark.parametrize("field", ["file", "picture", "image"])
def test_a_drawing_is_never_taken_as_an_upload(client: Any, nasty: str, field: str) -> None:
    before = client.get("/api/plans").json
    upload = {field: (io.BytesIO(SVG), "nice.svg", "image/svg+xml")}
    assert client.post("/import", data=upload).status_code == 400
    for path in ("/api/plans/import", "/api/plans"):
        assert client.post(path, data=SVG, content_type="image/svg+xml").status_code == 400
    assert client.get("/api/plans").json == before


def test_a_file_in_disguise_is_read_for_what_it_is(client: Any) -> None:
    upload = {"file": (io.BytesIO(b"MZ\x90\x00" + bytes(200)), "../../plan.json")}
    reply = client.post("/import", data=upload)
    assert reply.status_code == 400
    assert b"not a plan of Elbowroom" in reply.data


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app/cli.py",
        "/static/..%2fapp%2fcli.py",
        "/static/%2e%2e/pyproject.toml",
        "/static/css/../../pyproject.toml",
        "/static//etc/passwd",
        "/static/..\\app\\cli.py",
        "/plan/..%2f..%2fetc%2fpasswd",
        "/api/plans/..%2f..%2fplans.sqlite3",
        "/api/plans/%00",
        "/plans.sqlite3",
        "/serving.json",
        "/samples/..%2f..%2fpyproject",
    ],
)
def test_no_address_leads_out_of_the_program(client: Any, path: str) -> None:
    for ask in (client.get, client.post):
        reply = ask(path, follow_redirects=True)
        assert reply.status_code in (404, 405), path
        assert b"[project]" not in reply.data
        assert b"argparse" not in reply.data
        assert b"root:" not in reply.data


@pytest.mark.parametrize("path", ["/nowhere", "/plan/nowhere", "/api/plans/nowhere", "/new/x"])
def test_a_fault_tells_nothing_of_the_machine(client: Any, path: str) -> None:
    reply = client.get(path)
    assert reply.status_code == 404
    words = reply.get_data(as_text=True)
    for secret in (str(Path.cwd()), "site-packages", "werkzeug", "flask", "Traceback", ".py"):
        assert secret.lower() not in words.lower()


def test_a_mistake_of_ours_is_logged_without_what_was_sent(
    own_application: Flask, caplog: pytest.LogCaptureFixture
) -> None:
    @own_application.get("/api/broken")
    def broken() -> str:
        raise RuntimeError("innards /home/ada/.secret")

    with caplog.at_level(logging.ERROR):
        reply = own_application.test_client().get(
            "/api/broken?secret=hunter2", headers={"Cookie": "secret=hunter3"}
        )
    assert reply.status_code == 500
    assert "innards" not in reply.get_data(as_text=True)
    assert "GET /api/broken" in caplog.text
    assert "hunter" not in caplog.text


def test_answers_say_nothing_of_what_they_were_made_with(client: Any) -> None:
    with client.get("/") as reply:
        for header in ("Server", "X-Powered-By", "Set-Cookie", "Access-Control-Allow-Origin"):
            assert header not in reply.headers
        assert "camera=()" in reply.headers["Permissions-Policy"]
        assert reply.headers["Cross-Origin-Opener-Policy"] == "same-origin"


def test_answers_are_not_kept_by_the_browser_but_files_of_the_program(client: Any) -> None:
    assert client.get("/api/plans").headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize(
    ("site", "mode", "status"),
    [
        ("same-origin", "cors", 200),
        ("none", "navigate", 200),
        ("cross-site", "navigate", 200),
        ("cross-site", "no-cors", 403),
        ("cross-site", "cors", 403),
        ("same-site", "no-cors", 403),
        ("same-site", "websocket", 403),
    ],
)
def test_another_page_may_link_here_but_load_nothing(
    client: Any, site: str, mode: str, status: int
) -> None:
    headers = {"Sec-Fetch-Site": site, "Sec-Fetch-Mode": mode}
    assert client.get("/api/plans", headers=headers, base_url=HOME).status_code == status


def test_a_form_of_another_site_cannot_make_a_backup(client: Any) -> None:
    headers = {"Origin": "https://evil.example", "Sec-Fetch-Mode": "navigate"}
    assert client.post("/backup", headers=headers, base_url=HOME).status_code == 403


def test_a_form_body_is_never_taken_for_json_by_its_looks(client: Any, plan_id: str) -> None:
    # A form of another site can send text/plain without asking first; its origin gives it away.
    body = '{"name": "x", "a": "="}'
    headers = {"Origin": "null", "Content-Type": "text/plain"}
    path = f"/api/plans/{plan_id}/name"
    assert client.post(path, data=body, headers=headers, base_url=HOME).status_code == 403
    assert client.get(f"/api/plans/{plan_id}").json["revision"] == 0


def test_sql_in_an_address_is_only_a_strange_name(client: Any, plan_id: str) -> None:
    for word in ("' OR 1=1 --", '"; DROP TABLE plans; --', f"{plan_id}' --"):
        assert client.get(f"/api/plans/{word}").status_code == 404
    assert len(client.get("/api/plans").json["plans"]) == 1


def test_more_pieces_than_a_plan_holds_are_refused(client: Any, plan_id: str) -> None:
    piece = {"type": "flat-bench", "pose": {"x_mm": 1000, "y_mm": 1000}}
    changes = [
        {"path": ["pieces", f"b-{n}"], "after": {**piece, "id": f"b-{n}"}} for n in range(3001)
    ]
    command = {"command": {"name": "add", "changes": changes}}
    reply = client.post(f"/api/plans/{plan_id}/commands", json=command)
    assert reply.status_code == 400
    assert "at most 3,000" in reply.json["error"]["message"]
    assert client.get(f"/api/plans/{plan_id}").json["revision"] == 0
