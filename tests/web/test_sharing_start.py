"""``--share``: what is printed, that the printed link works, and what is refused at the start."""

import re
import subprocess
import sys
import urllib.request
from pathlib import Path
from urllib.error import HTTPError
from urllib.parse import urlsplit

import pytest

from app.usecases.plans import Elbowroom
from app.web.guests.server import qr_text
from tests.browser.rooms import workshop
from tests.browser.running import ROOT, RunningApp
from tests.browser.store import PlanStore
from tests.web.test_guest_server import own_address


def test_the_start_prints_a_link_that_lets_look_at_the_last_plan(tmp_path: Path) -> None:
    data = tmp_path / "plans"
    house = Elbowroom(data)
    house.create(workshop(name="Ours\x1b[2J"))
    house.close()
    with RunningApp(data, "--share-on", own_address(), "--share-port", "0") as running:
        running.wait_for_line("Other plans, other rights")  # the last that is printed of it
        (plan_id,) = PlanStore(running.url).plans()
        found = re.search(r"^(http://\S+/g/[\w-]{32}/)$", running.output, re.MULTILINE)
        assert found is not None, running.output
        assert found[1].startswith(f"http://{own_address()}:")
        assert "It is plain http: others on the same network could read along." in running.output
        assert "look at the plan Ours" in running.output
        assert "\x1b" not in running.output
        assert qr_text(found[1]) in running.output
        with urllib.request.urlopen(found[1], timeout=60) as page:
            assert b"Ours" in page.read()
        with pytest.raises(HTTPError) as refusal:
            urllib.request.urlopen(f"{found[1]}plan/{plan_id}", timeout=60)
        refusal.value.close()
        assert refusal.value.code == 403


def test_by_default_nobody_else_is_served_and_no_word_is_asked_for(tmp_path: Path) -> None:
    with RunningApp(tmp_path / "plans") as running:
        # no more is printed at the start than comes before the first answer
        assert PlanStore(running.url).plans() == {}
        assert "Guests" not in running.output
        assert running.url.startswith("http://127.0.0.1:")
        assert urlsplit(running.url).path == "/"


@pytest.mark.long
def test_an_address_of_the_internet_is_refused_at_the_start(tmp_path: Path) -> None:
    quiet = ("--no-browser", "--port", "0", "--data", str(tmp_path))
    started = subprocess.run(
        [sys.executable, "-m", "app", *quiet, "--share-on", "8.8.8.8"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert started.returncode == 2
    assert started.stderr == "8.8.8.8 is no address of a home network.\n"


@pytest.mark.long
def test_a_second_start_says_where_to_switch_sharing_on(tmp_path: Path) -> None:
    with RunningApp(tmp_path) as running:
        second = subprocess.run(
            [sys.executable, "-m", "app", "--no-browser", "--data", str(tmp_path), "--share"],
            cwd=ROOT,
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
        assert second.returncode == 0
        assert running.url in second.stdout
        assert "switch sharing on there" in second.stdout
