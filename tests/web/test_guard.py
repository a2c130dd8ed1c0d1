"""The server answers to its own names only, and takes changes from its own pages only."""

from typing import Any

import pytest

from tests.web.building import plan_data, text

HOME = "http://127.0.0.1:8765"


def ask_home(client: Any, host: str | None, path: str = "/api/hello") -> int:
    headers = {} if host is None else {"Host": host}
    return int(client.get(path, base_url=HOME, headers=headers).status_code)


@pytest.mark.parametrize(
    "host", [None, "127.0.0.1:8765", "localhost:8765", "LOCALHOST:8765", "[::1]:8765"]
)
def test_own_names_are_answered(client: Any, host: str | None) -> None:
    assert ask_home(client, host) == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:8765",
        "127.0.0.1.evil.example:8765",
        "localhost:9999",
        "localhost",
        "127.0.0.1:8765@evil.example",
        "evil@127.0.0.1:8765",
        "127.0.0.1:8765/x",
        "127.0.0.1:notaport",
        "[::1",
        "0.0.0.0:8765",
        "192.168.1.5:8765",
        "",
    ],
)
@pytest.mark.parametrize("path", ["/api/hello", "/", "/static/css/tokens.css", "/nowhere"])
def test_foreign_names_are_refused(client: Any, host: str, path: str) -> None:
    assert ask_home(client, host, path) in (400, 403)


def test_a_refusal_is_a_sentence(client: Any) -> None:
    reply = client.get("/api/hello", base_url=HOME, headers={"Host": "evil.example"})
    assert reply.json["error"] == {
        "code": "refused",
        "message": "This program answers only to its own address on this machine.",
        "fields": [],
    }


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 201),
        ({"Origin": HOME}, 201),
        ({"Origin": HOME, "Sec-Fetch-Site": "same-origin"}, 201),
        ({"Sec-Fetch-Site": "none"}, 201),
        ({"Origin": "null"}, 403),
        ({"Origin": "https://evil.example"}, 403),
        ({"Origin": "http://127.0.0.1:3000"}, 403),
        ({"Origin": "https://127.0.0.1:8765"}, 403),
        ({"Origin": "http://localhost:8765"}, 403),
        ({"Origin": ""}, 403),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Sec-Fetch-Site": "same-site"}, 403),
        ({"Origin": HOME, "Sec-Fetch-Site": "cross-site"}, 403),
    ],
)
def test_changes_are_taken_from_own_pages_only(
    client: Any, headers: dict[str, str], status: int
) -> None:
    body = text(plan_data())
    reply = client.post("/api/plans/import", base_url=HOME, data=body, headers=headers)
    assert reply.status_code == status
    kept = client.get("/api/plans", base_url=HOME).json["plans"]
    assert len(kept) == (1 if status == 201 else 0)


@pytest.mark.parametrize("path", ["/new", "/import", "/plan/x/delete", "/samples/x"])
def test_forms_of_other_sites_are_refused(client: Any, path: str) -> None:
    reply = client.post(path, base_url=HOME, headers={"Origin": "https://evil.example"})
    assert reply.status_code == 403


def test_every_answer_carries_the_policy(client: Any, plan_id: str) -> None:
    for path in ("/", "/api/plans", "/nowhere", "/static/css/tokens.css", f"/plan/{plan_id}"):
        with client.get(path) as reply:
            headers = reply.headers
        policy = headers["Content-Security-Policy"]
        assert "default-src 'self'" in policy
        assert "unsafe" not in policy
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] == "same-origin"


def test_only_the_bare_sheet_may_hold_a_style_element(client: Any, plan_id: str) -> None:
    policy = client.get(f"/plan/{plan_id}/sheet").headers["Content-Security-Policy"]
    assert "style-src 'self' 'unsafe-inline';" in policy
    assert "script" not in policy


def test_too_much_is_refused_before_it_is_read(client: Any) -> None:
    reply = client.post("/api/plans", data=b"x" * 16_000_001)
    assert reply.status_code == 413
    assert reply.json["error"]["code"] == "too-large"
    assert "at most 16 MB" in reply.json["error"]["message"]
    page = client.post("/new", data=b"x" * 16_000_001)
    assert page.status_code == 413
    assert b"at most 16 MB" in page.data


def test_no_other_origin_is_let_in(client: Any) -> None:
    reply = client.get("/api/plans", headers={"Origin": "https://evil.example"})
    assert "Access-Control-Allow-Origin" not in reply.headers
    assert reply.headers["Cross-Origin-Resource-Policy"] == "same-origin"
