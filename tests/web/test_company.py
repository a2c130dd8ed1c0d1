"""Twenty guests read and four edit a plan on the real program: nothing is lost, nothing breaks."""

import http.client
import json
import random
import sys
import threading
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from app.changes.commands import apply
from app.store.plans import Store
from tests.benchmarks.crowd import crowd
from tests.browser.running import RunningApp
from tests.browser.store import PlanStore
from tests.web.test_guest_server import own_address

READERS, EDITORS = 20, 4
SECONDS, SECONDS_LONG = 6.0, 60.0
# On a busy machine the editors go on until there is enough to judge.
KEPT_ENOUGH, PATIENCE_S = 20, 60.0
PIECES = 12
Data = dict[str, Any]


@dataclass
class Heard:
    """What the guests were answered."""

    statuses: Counter[int] = field(default_factory=Counter)
    kept: list[str] = field(default_factory=list)
    clashes: int = 0
    faults: list[str] = field(default_factory=list)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def enough(self) -> bool:
        """Tell whether so much was kept, and clashed, that the end means something."""
        return len(self.kept) >= KEPT_ENOUGH and self.clashes >= 1


class Guest:
    """One line to the server that is kept open, as a browser does."""

    def __init__(self, url: str, plan_id: str, heard: Heard) -> None:
        parts = urlsplit(url)
        self.inside = parts.path.rstrip("/")
        self.api = f"{self.inside}/api/plans/{plan_id}"
        self.heard = heard
        self.line = http.client.HTTPConnection(str(parts.hostname), parts.port, timeout=30)

    def ask(self, path: str, body: Data | None = None) -> tuple[int, Data]:
        method, data = ("GET", None) if body is None else ("POST", json.dumps(body))
        self.line.request(method, path, data)
        reply = self.line.getresponse()
        whole = reply.read()
        with self.heard.lock:
            self.heard.statuses[reply.status] += 1
        return reply.status, json.loads(whole) if path.startswith(self.api) else {}

    def read_on(self, end: float, chance: random.Random) -> None:
        """Look at the plan again and again, as pages do that follow it."""
        while time.monotonic() < end:
            paths = (self.api, f"{self.api}/remarks", f"{self.inside}/", f"{self.api}/stream")
            self.ask(chance.choice(paths))
            time.sleep(0.05)

    def edit_on(self, end: float, chance: random.Random, name: str) -> None:
        """Move pieces about, all editors the same ones, as fast as they are answered."""
        _, told = self.ask(self.api)
        number = 0
        while time.monotonic() < (end if self.heard.enough() else end + PATIENCE_S):
            piece = chance.choice(told["plan"]["pieces"])
            after = {**piece["pose"], "x_mm": float(chance.randint(500, 4000))}
            change = {"path": ["pieces", piece["id"], "pose"], "before": piece["pose"]}
            says = f"{name} {number}"
            command = {"name": "move", "says": says, "changes": [{**change, "after": after}]}
            body = {"command": command, "revision": told["revision"]}
            status, answer = self.ask(f"{self.api}/commands", body)
            number += 1
            if status == 200:
                told = answer
                if after != piece["pose"]:
                    self.heard.kept.append(says)
            elif status == 409:
                both = answer["error"]["both"]
                assert len(both["theirs"]) == len(both["mine"]) == 1, answer
                self.heard.clashes += 1
                _, told = self.ask(self.api)


def memory_mb(process: int) -> float:
    """The memory of a process that is really in use."""
    pages = int(Path(f"/proc/{process}/statm").read_text().split()[1])
    return pages * 4096 / 1e6


def links(url: str, plan_id: str, count: int) -> Iterator[str]:
    """Make links on the owner's page and read their addresses off it."""
    kept = PlanStore(url)
    for number in range(count):
        form = f"name=Guest{number}&rights=edit&hours=1".encode()
        line = http.client.HTTPConnection(urlsplit(url).netloc, timeout=30)
        line.request(
            "POST",
            f"/plan/{plan_id}/share/links",
            form,
            {"Content-Type": "application/x-www-form-urlencoded"},
        )
        assert line.getresponse().status == 303
        line.close()
    page = kept.ask(f"plan/{plan_id}/share").decode()
    for part in page.split('class="url"><a href="')[1:]:
        yield part.split('"')[0]


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads memory from /proc")
def test_nothing_is_lost_between_guests(tmp_path: Path, request: pytest.FixtureRequest) -> None:
    seconds = SECONDS_LONG if request.config.getoption("--long") else SECONDS
    heard, data = Heard(), tmp_path / "plans"
    with RunningApp(data, "--share-on", own_address(), "--share-port", "0") as running:
        plan_id = PlanStore(running.url).put(crowd(PIECES))
        urls = list(links(running.url, plan_id, READERS + EDITORS))
        assert len(urls) == READERS + EDITORS
        guests = [Guest(url, plan_id, heard) for url in urls]
        end = time.monotonic() + seconds

        def work(number: int) -> None:
            chance = random.Random(number)
            try:
                if number < EDITORS:
                    guests[number].edit_on(end, chance, f"editor {number}")
                else:
                    guests[number].read_on(end, chance)
            except Exception as fault:
                heard.faults.append(f"{number}: {fault!r}")
            finally:
                guests[number].line.close()

        threads = [threading.Thread(target=work, args=(n,)) for n in range(len(guests))]
        for thread in threads:
            thread.start()
        time.sleep(seconds / 3)
        warm = memory_mb(running._process.pid)
        for thread in threads:
            thread.join(seconds + 2 * PATIENCE_S)
        grown = memory_mb(running._process.pid) - warm
    print(f"\n{dict(heard.statuses)}, kept {len(heard.kept)}, clashes {heard.clashes}, ", end="")
    print(f"{warm:.0f} MB, grown by {grown:.1f} MB")
    assert heard.faults == []
    assert set(heard.statuses) <= {200, 409}
    assert heard.enough(), (len(heard.kept), heard.clashes)
    assert grown < 0.15 * warm + 10
    check_log(data, plan_id, heard.kept)


def check_log(data: Path, plan_id: str, kept: list[str]) -> None:
    """Replay the log strictly: each *before* must hold, and what was answered must be in it."""
    store = Store(data)
    newest = store.read(plan_id)
    _, plan = store.log.revision(plan_id, 0)
    said = Counter[str]()
    for revision in reversed(store.log.page(plan_id, None, 100_000)):
        if revision.command is not None:
            plan = apply(plan, revision.command)
            said[revision.command.says] += 1
    store.close()
    assert plan == newest.plan
    assert said == Counter(kept)
