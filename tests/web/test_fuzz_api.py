"""Every route of the program, asked with whatever comes: never a fault of ours, never a hang."""

import json
from collections.abc import Iterator
from typing import Any, NamedTuple

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st
from werkzeug.routing import Rule

from app.usecases.plans import Elbowroom
from app.web.app import create_app
from tests.web.building import plan_data, text

AT_ONCE = 10
ROUNDS, ROUNDS_LONG = 20, 1000
"""Rounds of ten requests each: 200, and 10,000 with --long."""
PARTS = 4
"""Tests that share the routes and the rounds, so that no worker is left alone with all of them."""

KNOWN_PATHS: tuple[list[str], ...] = (
    ["pieces", "bench-1"],
    ["pieces", "bench-1", "pose"],
    ["pieces", "bench-1", "pose", "x_mm"],
    ["pieces", "bench-1", "width_mm"],
    ["pieces", "bench-1", "carried_by"],
    ["pieces", "new-1"],
    ["people", "ada"],
    ["people", "ada", "wishes", "squat"],
    ["room", "walls"],
    ["room", "walls", "back"],
    ["room", "ceiling"],
    ["room", "openings"],
    ["settled", "x"],
    ["name"],
    ["fit_out"],
    ["money"],
    ["version"],
    [],
)
POSE = st.fixed_dictionaries(
    {"x_mm": st.floats(-2e5, 2e5), "y_mm": st.floats(-2e5, 2e5)},
    optional={"angle_deg": st.floats(-4e4, 4e4)},
)
NUMBERS = (
    st.integers(-3, 20_000)
    | st.floats(-1e6, 1e6)
    | st.sampled_from([0, -1, 1e-9, 1e9, 1e300, 10**400, 2**63, True])
)
ODD_TEXTS = st.sampled_from(
    ["", "bench-1", "ada", "<b>", "\x00", "../../etc/passwd", "%s", "' OR 1=1 --", "🏋", "x" * 500]
)
TEXTS = ODD_TEXTS | st.text(max_size=12)
JSON: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | NUMBERS | TEXTS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
    max_leaves=10,
)
PIECE = st.fixed_dictionaries({"id": st.just("new-1"), "type": TEXTS, "pose": POSE})
CHANGE = st.fixed_dictionaries(
    {"path": st.sampled_from(KNOWN_PATHS) | st.lists(TEXTS, max_size=5)},
    optional={
        "before": JSON | st.just({"x_mm": 1200, "y_mm": 2000, "angle_deg": 0}),
        "after": JSON | POSE | PIECE,
    },
)
COMMAND = st.fixed_dictionaries(
    {"name": st.sampled_from(["move", "edit", "add", "remove"]) | TEXTS},
    optional={"changes": st.lists(CHANGE, max_size=3), "says": TEXTS},
)
FIELDS = st.dictionaries(
    st.sampled_from(
        [
            "name", "width", "depth", "height", "door", "door_width", "person1_stature", "covering",
            "units", "sample", "text", "revision", "command", "moves", "type", "width_mm",
            "depth_mm", "height_mm",
        ]
    ),
    TEXTS | NUMBERS | st.sampled_from(["2.4 m", "5,20", "7'10", "basement", "feet"]),
    max_size=8,
)  # fmt: skip
BODIES = (
    st.fixed_dictionaries({"command": COMMAND}).map(json.dumps)
    | st.fixed_dictionaries(
        {"moves": st.dictionaries(st.sampled_from(["bench-1", "x"]), POSE | JSON)}
    ).map(json.dumps)
    | FIELDS.map(json.dumps)
    | JSON.map(json.dumps)
    | st.binary(max_size=40)
    | st.sampled_from([b"", b"[" * 20_000, b'{"a": NaN}', b"\xff\xfe", text(plan_data())])
)
QUERY = st.dictionaries(
    st.sampled_from(
        ["from", "to", "below", "text", "units", "paper", "scale", "flags", "key", "person"]
    )
    | TEXTS,
    TEXTS | st.integers(-1, 3).map(str) | st.sampled_from(["A4", "25", "feet", "9" * 400]),
    max_size=3,
)
HEADERS = st.dictionaries(
    st.sampled_from(["Content-Type", "Accept", "Range", "If-None-Match", "X-Forwarded-Host"]),
    st.sampled_from(["application/json", "text/html", "image/svg+xml", "bytes=0-1", "*", "x" * 99]),
    max_size=2,
)


class Ask(NamedTuple):
    """One request to any route: what goes with it."""

    method: int
    words: list[str]
    query: dict[str, str]
    body: str | bytes
    headers: dict[str, str]


ASKS = st.builds(
    Ask,
    st.integers(0, 10),
    st.lists(st.sampled_from(["0", "1", "bench-1", "basement"]) | TEXTS, min_size=2, max_size=2),
    QUERY,
    BODIES,
    HEADERS,
)


def routes(application: Flask) -> list[Rule]:
    """Every route, those of files apart; each is asked with every method it takes."""
    rules = [rule for rule in application.url_map.iter_rules() if rule.endpoint != "static"]
    return sorted(rules, key=lambda rule: (rule.rule, sorted(rule.methods or ())))


@pytest.fixture(scope="module")
def application(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    house = Elbowroom(tmp_path_factory.mktemp("plans"))
    yield create_app(house, "the mark")
    house.close()


def rounds(request: pytest.FixtureRequest) -> int:
    return (ROUNDS_LONG if request.config.getoption("--long") else ROUNDS) // PARTS


def send(client: FlaskClient, rule: Rule, plan_id: str, ask: Ask) -> tuple[str, int, bytes]:
    """Send a request; the first word of an address is mostly a plan that is there."""
    words = list(ask.words)
    path = rule.rule
    for name in sorted(rule.arguments):
        value = plan_id if name == "plan_id" and ask.method != 10 else words.pop() if words else "x"
        for form in (f"<{name}>", f"<path:{name}>", f"<int:{name}>"):
            path = path.replace(form, value or "x")
    methods = sorted((rule.methods or set()) - {"OPTIONS", "HEAD"})
    method = methods[ask.method % len(methods)]
    with client.open(
        path.replace("?", "%3F").replace("#", "%23"),
        method=method,
        query_string=ask.query,
        data=ask.body,
        headers=ask.headers,
    ) as reply:
        return f"{method} {path}", reply.status_code, reply.get_data()


@pytest.mark.parametrize("part", range(PARTS))
def test_no_request_is_a_fault_of_ours(
    application: Flask, request: pytest.FixtureRequest, part: int
) -> None:
    rules = routes(application)[part::PARTS]
    client = application.test_client()
    asked: set[str] = set()
    sent = [0]

    # each part draws other requests than the others, the same ones every time
    @seed(part)
    @settings(
        max_examples=rounds(request),
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
    @given(st.lists(ASKS, min_size=AT_ONCE, max_size=AT_ONCE))
    def whatever_comes(asks: list[Ask]) -> None:
        made = client.post("/api/plans/import", data=text(plan_data()))
        plan_id = str(json.loads(made.data)["id"])
        for ask in asks:
            # Going round the routes, so that every one of them is asked alike.
            rule = rules[sent[0] % len(rules)]
            sent[0] += 1
            asked.add(rule.rule)
            what, status, body = send(client, rule, plan_id, ask)
            assert status < 500, (what, status, body[:300], ask)
            assert b"Traceback" not in body
            if status >= 400 and what.split()[1].startswith("/api/"):
                told = json.loads(body)
                assert told["ok"] is False
                assert told["error"]["message"]

    whatever_comes()
    assert sent[0] >= AT_ONCE * rounds(request)
    assert asked == {rule.rule for rule in rules}


def test_every_route_is_known_to_the_walk(application: Flask) -> None:
    found = {rule.rule for rule in routes(application)}
    assert {"/", "/new", "/api/plans", "/api/plans/<plan_id>/commands", "/backup"} <= found
    assert len(found) > 40
