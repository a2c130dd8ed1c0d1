"""From a start to the page answering, beside a Python that only imports what the program uses."""

import subprocess
import sys
import tempfile
import time
from pathlib import Path
from urllib.request import urlopen

from tests.benchmarks.table import Row
from tests.browser.running import ROOT, RunningApp

LIMIT = "5"
TIMES = 5
IMPORTS = "import flask, shapely, pydantic"


def page_answers(url: str) -> None:
    """Ask for the list of plans."""
    with urlopen(url, timeout=60) as reply:
        assert reply.status == 200
        assert b"Elbowroom" in reply.read()


def timed(times: int, command: list[str]) -> list[float]:
    """Run a command several times and give what each took in ms."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
        taken.append((time.perf_counter() - start) * 1000)
    return taken


def from_nothing(data: Path) -> float:
    """Start the program on a folder it knows and wait for its page, in ms."""
    start = time.perf_counter()
    with RunningApp(data) as running:
        page_answers(running.url)
        return (time.perf_counter() - start) * 1000


def beside_the_first(running: RunningApp) -> float:
    """Start the program a second time on the same data; it points to the first, in ms."""
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "app", "--no-browser", "--data", running.data],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    assert running.url in done.stdout
    page_answers(running.url)
    return (time.perf_counter() - start) * 1000


def rows() -> list[Row]:
    """Give both kinds of second start: when the first has ended, and while it runs."""
    base = min(timed(TIMES, [sys.executable, "-c", IMPORTS]))
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder, "plans")
        from_nothing(data)
        again = min(from_nothing(data) for _ in range(TIMES))
        with RunningApp(data) as running:
            beside = min(beside_the_first(running) for _ in range(TIMES))
    return [
        ("second start to the page answering", again, base, again / base, LIMIT),
        ("second start beside the first, to its page", beside, base, beside / base, LIMIT),
    ]
