"""Twenty guests read and four edit a plan on the real program: nothing is lost, nothing breaks."""

import http.client
import json
import random
import sys
import threading
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
# What each guest asks in one phase. All phases are the same work, so that what they add to the
# memory can be compared.
ASKS, ASKS_LONG = 8, 80
KEPT_ENOUGH = 20
# The first phases fill caches, as many phases as that takes. Then two phases of 192 asks each
# leave next to nothing behind; 10 kB lost with each ask would be 4 MB.
SETTLED_MB = 3.0
PHASES_MOST = 12
# One heap for all threads: what each of forty takes for itself is no loss, and is filled late.
ONE_ARENA = {"MALLOC_ARENA_MAX": "1"}
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
    """One line to the server that is kept open, as a browser does.

    A line that rested is ended by the server, and may be so while the next question is on its way:
    then a browser asks again on a new one, and a command that was carried out comes to nothing.
    """

    def __init__(self, url: str, plan_id: str, heard: Heard) -> None:
        parts = urlsplit(url)
        self.inside = parts.path.rstrip("/")
        self.api = f"{self.inside}/api/plans/{plan_id}"
        self.heard = heard
        self.line = http.client.HTTPConnection(str(parts.hostname), parts.port, timeout=60)

    def ask(self, path: str, body: Data | None = None) -> tuple[int, Data]:
        method, data = ("GET", None) if body is None else ("POST", json.dumps(body))
        rested = self.line.sock is not None
        try:
            self.line.request(method, path, data)
            reply = self.line.getresponse()
        except (http.client.RemoteDisconnected, ConnectionError):
            if not rested:
                raise
            self.line.close()
            self.line.request(method, path, data)
            reply = self.line.getresponse()
        whole = reply.read()
        with self.heard.lock:
            self.heard.statuses[reply.status] += 1
        return reply.status, json.loads(whole) if path.startswith(self.api) else {}

    def read_on(self, count: int, chance: random.Random) -> None:
        """Look at the plan again and again, as pages do that follow it."""
        for _ in range(count):
            paths = (self.api, f"{self.api}/remarks", f"{self.inside}/", f"{self.api}/stream")
            self.ask(chance.choice(paths))

    def edit_on(self, count: int, chance: random.Random, name: str) -> None:
        """Move pieces about, all editors the same ones, as fast as they are answered."""
        _, told = self.ask(self.api)
        for number in range(count):
            piece = chance.choice(told["plan"]["pieces"])
            after = {**piece["pose"], "x_mm": float(chance.randint(500, 4000))}
            change = {"path": ["pieces", piece["id"], "pose"], "before": piece["pose"]}
            says = f"{name} {number}"
            command = {"name": "move", "says": says, "changes": [{**change, "after": after}]}
            body = {"command": command, "revision": told["revision"]}
            status, answer = self.ask(f"{self.api}/commands", body)
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
        line = http.client.HTTPConnection(urlsplit(url).netloc, timeout=60)
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


class Company:
    """The guests of one plan, who work in phases. Each phase is drawn anew, by its number."""

    def __init__(self, urls: list[str], plan_id: str, asks: int) -> None:
        self.heard = Heard()
        self.guests = [Guest(url, plan_id, self.heard) for url in urls]
        self.asks = asks
        self.phase = 0

    def work(self) -> None:
        """Let all guests ask at once, and wait until each has its answers."""
        self.phase += 1
        threads = [threading.Thread(target=self._ask, args=(n,)) for n in range(len(self.guests))]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()

    def _ask(self, number: int) -> None:
        chance, guest = random.Random(1000 * self.phase + number), self.guests[number]
        try:
            if number < EDITORS:
                guest.edit_on(self.asks, chance, f"editor {number}, phase {self.phase}:")
            else:
                guest.read_on(self.asks, chance)
        except Exception as fault:
            self.heard.faults.append(f"{number}: {fault!r}")

    def leave(self) -> None:
        for guest in self.guests:
            guest.line.close()


@pytest.mark.long
@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads memory from /proc")
def test_nothing_is_lost_between_guests(tmp_path: Path, request: pytest.FixtureRequest) -> None:
    asks = ASKS_LONG if request.config.getoption("--long") else ASKS
    data = tmp_path / "plans"
    guests = ("--share-on", own_address(), "--share-port", "0")
    with RunningApp(data, *guests, environment=ONE_ARENA) as running:
        plan_id = PlanStore(running.url).put(crowd(PIECES))
        urls = list(links(running.url, plan_id, READERS + EDITORS))
        assert len(urls) == READERS + EDITORS
        company, sizes = Company(urls, plan_id, asks), list[float]()
        while not settled(sizes) and len(sizes) < PHASES_MOST:
            company.work()
            sizes.append(memory_mb(running.process_id))
        company.leave()
    heard = company.heard
    print(f"\n{dict(heard.statuses)}, kept {len(heard.kept)}, clashes {heard.clashes}, ", end="")
    print("MB: ", " ".join(f"{size:.1f}" for size in sizes))
    assert heard.faults == []
    assert set(heard.statuses) <= {200, 409}
    assert heard.enough(), (len(heard.kept), heard.clashes)
    assert settled(sizes), sizes
    check_log(data, plan_id, heard.kept)


def settled(sizes: list[float]) -> bool:
    """Tell whether the last two phases added next to nothing."""
    return len(sizes) > 2 and sizes[-1] - sizes[-3] < SETTLED_MB


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
