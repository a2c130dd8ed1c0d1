"""Twenty minutes of company: memory, threads, file handles and streams do not grow.

What was sampled is printed as a small chart at the end. ELBOWROOM_SOAK_MINUTES makes a trial of it
shorter; so short a one proves nothing of what grows slowly.
"""

import http.client
import json
import os
import sys
import time
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from statistics import median
from urllib.parse import urlsplit

import pytest

from tests.benchmarks.crowd import crowd
from tests.browser.running import RunningApp
from tests.browser.store import PlanStore
from tests.web.test_company import ONE_ARENA, PIECES, Company, links, memory_mb
from tests.web.test_guest_server import own_address

MINUTES = float(os.environ.get("ELBOWROOM_SOAK_MINUTES", "20"))
GUESTS, FOLLOWING, ASKS = 8, 4, 10
# The first third fills caches that are bounded. After it the middle of the last third may lie so
# much above that of the second; the long run of guests in test_company.py settles within 3 MB.
GROWN_MB = 8.0
GROWN_HANDLES = 2
COLUMNS = 60
BLOCKS = "▁▂▃▄▅▆▇█"
Samples = dict[str, list[float]]


def chart(samples: Samples) -> str:
    """Give a line of blocks for each thing that was sampled, the whole time from left to right.

    Each column stands for the most of its samples; the lowest block is the least of the line.
    """
    lines = []
    for name, values in samples.items():
        columns = min(COLUMNS, len(values))
        cuts = [len(values) * i // columns for i in range(columns + 1)]
        tops = [max(values[a:b]) for a, b in pairwise(cuts)]
        least, most = min(tops), max(tops)
        high = (most - least) or 1.0
        blocks = "".join(BLOCKS[round((top - least) / high * (len(BLOCKS) - 1))] for top in tops)
        lines.append(f"{name:<8} {blocks}  {least:.0f} to {most:.0f}")
    return "\n".join(lines)


def thirds(values: Sequence[float]) -> tuple[float, float]:
    """Give the medians of the second and of the last third."""
    cut = len(values) // 3
    return median(values[cut : 2 * cut]), median(values[2 * cut :])


def following(urls: Sequence[str], plan_id: str) -> list[http.client.HTTPResponse]:
    """Open a stream for each of these links and read its first news."""
    lines = []
    for url in urls:
        parts = urlsplit(url)
        line = http.client.HTTPConnection(str(parts.hostname), parts.port, timeout=30)
        path = f"{parts.path.rstrip('/')}/api/plans/{plan_id}/stream"
        line.request("GET", path, headers={"Accept": "text/event-stream"})
        reply = line.getresponse()
        assert reply.readline() == b"retry: 2000\n"
        # the first news comes once this one is among those who look
        while not reply.readline().startswith(b"data:"):
            pass
        lines.append(reply)
    return lines


def looking(running: RunningApp, plan_id: str) -> int:
    """Give how many streams are open: each guest follows by one, under a name of their own."""
    told = json.loads(PlanStore(running.url).ask(f"api/plans/{plan_id}/stream"))
    return len(told["who"])


def sample(running: RunningApp, plan_id: str, samples: Samples) -> None:
    process = Path(f"/proc/{running.process_id}")
    status = (process / "status").read_text()
    threads = next(line for line in status.splitlines() if line.startswith("Threads:"))
    samples["memory"].append(memory_mb(running.process_id))
    samples["threads"].append(float(threads.split()[1]))
    samples["handles"].append(float(len(list((process / "fd").iterdir()))))
    samples["streams"].append(float(looking(running, plan_id)))


def test_the_chart_shows_what_grows() -> None:
    drawn = chart({"memory": [100.0, 100.0, 104.0, 107.0], "threads": [9.0] * 4})
    assert drawn.splitlines() == [
        "memory   ▁▁▅█  100 to 107",
        "threads  ▁▁▁▁  9 to 9",
    ]
    assert thirds([1, 2, 3, 4, 5, 6, 7, 8, 9]) == (5, 8)


@pytest.mark.by_the_clock
@pytest.mark.long
@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads /proc")
def test_nothing_grows_in_company(tmp_path: Path) -> None:
    guests = ("--share-on", own_address(), "--share-port", "0")
    samples: Samples = {name: [] for name in ("memory", "threads", "handles", "streams")}
    with RunningApp(tmp_path / "plans", *guests, environment=ONE_ARENA) as running:
        plan_id = PlanStore(running.url).put(crowd(PIECES))
        urls = list(links(running.url, plan_id, GUESTS))
        company = Company(urls, plan_id, ASKS)
        end = time.monotonic() + MINUTES * 60
        while time.monotonic() < end:
            # pages come and go: each round opens streams anew and lets them break off
            lines = following(urls[:FOLLOWING], plan_id)
            company.work()
            sample(running, plan_id, samples)
            for line in lines:
                line.close()
        company.leave()
        print(f"\n{MINUTES:g} minutes, {len(samples['memory'])} rounds\n{chart(samples)}")
        left = sum(company.heard.statuses.values())
        print(f"{left} answers, {len(company.heard.kept)} changes kept")
    assert company.heard.faults == []
    assert set(company.heard.statuses) <= {200, 409}
    before, after = thirds(samples["memory"])
    assert after - before < GROWN_MB, (before, after)
    for name in ("threads", "handles"):
        before, after = thirds(samples[name])
        assert after - before <= GROWN_HANDLES, (name, before, after)
    # as many as the guests have open, and of those that broke off none
    assert set(samples["streams"]) == {float(FOLLOWING)}
