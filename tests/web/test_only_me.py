"""``--only-me``: who brings the word of the start gets everything, who does not nothing."""

import json
import os
import re
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.store.single_instance import NOTE_NAME
from app.usecases.plans import Elbowroom
from app.web.app import create_app
from app.web.guard.word import BYTES, ROOT, fresh_word, root_of
from app.web.opening import NAME
from tests.browser.running import ROOT as PROGRAM
from tests.browser.running import RunningApp

WORD = fresh_word()
ADDRESS = re.compile(r"\b(?:href|src|action)=[\"']([^\"']*)[\"']")


@pytest.fixture
def application(house: Elbowroom) -> Flask:
    return create_app(house, "the mark", word=WORD)


def routes(application: Flask, plan_id: str) -> list[tuple[str, str]]:
    """Every method and address there is, of a plan that is there, and one that is not."""
    found = [("GET", "/nowhere"), ("POST", "/api/nowhere")]
    for rule in application.url_map.iter_rules():
        address = rule.rule.replace("<plan_id>", plan_id)
        address = re.sub(r"<[^>]*>", "1", address)
        found += [(method, address) for method in sorted(rule.methods or ())]
    return found


def test_the_word_has_192_bits_and_is_another_one_each_time() -> None:
    assert BYTES * 8 == 192
    assert len({fresh_word() for _ in range(100)}) == 100


@pytest.mark.parametrize(
    "before",
    ["", root_of("a" * len(WORD)), root_of(WORD[:-1]), root_of(WORD + "a"), root_of(""), "/o"],
    ids=["none", "another", "shorter", "longer", "empty", "none-at-all"],
)
def test_without_the_word_every_route_answers_alike(
    application: Flask, client: FlaskClient, plan_id: str, before: str
) -> None:
    asked = routes(application, plan_id)
    assert len(asked) > 150
    pages: set[tuple[int, bytes]] = set()
    data: set[tuple[int, bytes]] = set()
    for method, address in asked:
        reply = client.open(before + address, method=method)
        seen = data if f"{before}{address}".startswith("/api/") else pages
        if method != "HEAD":
            seen.add((reply.status_code, reply.data))
        assert reply.status_code == 403, (method, address)
        assert WORD not in reply.text
    assert len(pages) == 1
    assert len(data) == (0 if before else 1)


@pytest.mark.long
def test_with_the_word_everything_answers_as_it_does_without_only_me(
    application: Flask, house: Elbowroom, client: FlaskClient, plan_id: str
) -> None:
    plain = create_app(house, "the mark").test_client()
    reads = [
        address
        for method, address in routes(application, plan_id)
        if method == "GET" and not address.endswith(("/stream", "/mending", "/remedies"))
    ]
    statuses = {address: plain.get(address).status_code for address in reads}
    assert sum(status == 200 for status in statuses.values()) > 25
    for address, status in statuses.items():
        assert client.get(root_of(WORD) + address).status_code == status, address


def test_every_address_on_every_page_begins_with_the_word(
    client: FlaskClient, plan_id: str, application: Flask
) -> None:
    """Followed from the list of plans on, as a hand would."""
    client.post(f"{root_of(WORD)}/plan/{plan_id}/options", data={"edit": "add"})
    waiting, seen = [f"{root_of(WORD)}/"], set[str]()
    while waiting:
        address = waiting.pop()
        if address in seen or len(seen) > 200:
            continue
        seen.add(address)
        reply = client.get(address)
        assert reply.status_code in (200, 303, 304), address
        if reply.mimetype != "text/html":
            continue
        for named in ADDRESS.findall(reply.text):
            if named.startswith(("#", "?", "data:")) or not named:
                continue
            assert named.startswith(f"{root_of(WORD)}/"), (address, named)
        links = re.findall(r"<a [^>]*?href=\"([^\"#?]*)", reply.text)
        waiting += [link for link in links if link]
    kinds = {re.sub(r"/[0-9a-f-]{8,}", "/.", urlsplit(address).path) for address in seen}
    assert len(kinds) >= 12, sorted(kinds)


def test_forms_lead_back_into_the_addresses_with_the_word(
    client: FlaskClient, plan_id: str
) -> None:
    root = root_of(WORD)
    for address, form in (
        (f"/plan/{plan_id}/copy", {}),
        (f"/plan/{plan_id}/name", {"name": "Cellar"}),
        ("/samples/double-garage", {}),
        (f"/plan/{plan_id}/delete", {}),
    ):
        reply = client.post(root + address, data=form)
        assert reply.status_code == 303, (address, reply.text)
        assert reply.headers["Location"].startswith(f"{root}/")


def said(address: str) -> dict[str, Any]:
    with urllib.request.urlopen(address, timeout=60) as reply:
        told: dict[str, Any] = json.load(reply)
    return told


def test_the_program_prints_the_word_and_answers_only_with_it(tmp_path: Path) -> None:
    with RunningApp(tmp_path / "plans", "--only-me") as running:
        assert urlsplit(running.url).path.startswith(ROOT)
        assert said(f"{running.url}api/hello")["ok"]
        bare = running.url[: running.url.index(ROOT)]
        with pytest.raises(urllib.error.HTTPError) as refused:
            urllib.request.urlopen(f"{bare}/api/hello", timeout=60)
        assert refused.value.code == 403
        refused.value.close()


BROWSER = """
import pathlib, sys
pathlib.Path(sys.argv[1]).write_text(sys.argv[2])
"""


@pytest.mark.long
def test_a_second_start_opens_the_page_with_the_word_and_tells_it_to_no_other_account(
    tmp_path: Path,
) -> None:
    """The browser is a program that writes down what it was started with."""
    data = tmp_path / "plans"
    (tmp_path / "browser.py").write_text(BROWSER)
    browser = f"{sys.executable} {tmp_path / 'browser.py'} {tmp_path / 'asked'} %s"
    with RunningApp(data, "--only-me") as running:
        second = subprocess.run(
            [sys.executable, "-m", "app", "--only-me", "--data", data],
            cwd=PROGRAM,
            env={**os.environ, "BROWSER": browser},
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
        assert second.returncode == 0
        assert second.stdout.splitlines()[0] == f"Elbowroom is at {running.url}"
        page = data / NAME
        # what a program is started with is told to all accounts: a file's name, never the word
        assert (tmp_path / "asked").read_text() == page.as_uri()
        assert f"url={running.url}" in page.read_text(encoding="utf-8")
        if os.name == "posix":
            assert page.stat().st_mode & 0o077 == 0
            assert (data / NOTE_NAME).stat().st_mode & 0o077 == 0
    assert not page.exists()


@pytest.mark.long
def test_a_second_start_says_where_the_first_was_not_for_one_alone(tmp_path: Path) -> None:
    with RunningApp(tmp_path / "plans") as running:
        second = subprocess.run(
            [sys.executable, "-m", "app", "--only-me", "--no-browser", "--data", running.data],
            cwd=PROGRAM,
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
    assert "started before without --only-me" in second.stdout
