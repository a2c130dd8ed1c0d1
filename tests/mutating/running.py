"""Runs and traces tests in a copy of the project, each time in a process of its own.

The libraries are loaded once and the process then forks, so that a mutant costs little more than
the tests themselves. What is asked for comes as lines of JSON, what came of it goes back so.
"""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest

from tests.mutating.tracing import Traced, trace

FAULT = "fault of the tests:"
# A mutant may never end. A test gets ten times what it took, and half a minute: what several tests
# share is made by another one of them here than when the times were taken.
PATIENCE, AT_LEAST_S = 10, 30.0
LOADED_WITHIN_S = 60.0
"""What loading the tests may take."""
WAITING = 10
"""What does not compute but waits has ten times as long: others may keep the machine busy."""
ALARMS = (signal.SIGALRM, signal.SIGPROF)


class Asked:
    """A process in a copy of the project that answers line by line."""

    def __init__(self, copy: Path, module: str, *words: str) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", module, *words],
            cwd=copy,
            env=os.environ | {"OPENBLAS_NUM_THREADS": "1"},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def _asked(self, *question: object) -> str | None:
        assert self._process.stdin is not None
        self._process.stdin.write(json.dumps(question) + "\n")
        self._process.stdin.flush()
        return self._answer()

    def _answer(self) -> str | None:
        assert self._process.stdout is not None
        answer: str | None = json.loads(self._process.stdout.readline())
        if answer is not None and answer.startswith(FAULT):
            raise RuntimeError(answer)
        return answer

    def close(self) -> None:
        """End the process."""
        assert self._process.stdin is not None
        self._process.stdin.close()
        self._process.wait()


class Runner(Asked):
    """A process that loads and runs tests when asked."""

    def __init__(self, copy: Path) -> None:
        super().__init__(copy, "tests.mutating.running")

    def fails(self, tests: list[Traced]) -> str | None:
        """Return the first test that fails, "no end" for one that hangs, None if all pass."""
        return self._asked("fails", [(each.test, each.seconds) for each in tests])

    def trace(self, test_file: str, out: Path) -> str | None:
        """Write to a file which test of a file runs which line; return what went wrong."""
        return self._asked("trace", [test_file, str(out)])


class _Chosen:
    """A plugin of pytest: only the tests asked for, in their order; the first failure's name."""

    def __init__(self, seconds: dict[str, float]) -> None:
        self._seconds = seconds
        self._place = {test: i for i, test in enumerate(seconds)}
        self.failed = ""

    @pytest.hookimpl(trylast=True)
    def pytest_configure(self) -> None:
        """Let laws fail with the first example that does."""
        without_shrinking()

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Leave the tests asked for."""
        place = self._place
        chosen = [item for item in items if item.nodeid in place]
        items[:] = sorted(chosen, key=lambda item: place[item.nodeid])

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Give each test its time."""
        ends_after_test(self._seconds[item.nodeid])
        return (yield)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note what fails."""
        if report.failed and not self.failed:
            self.failed = report.nodeid

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        """Note what cannot even be loaded."""
        if report.failed and not self.failed:
            self.failed = f"{report.nodeid} (loading)"


def without_shrinking() -> None:
    """Let hypothesis seek no smaller example where one fails: that it fails is all that is asked.

    To be called when `tests/conftest.py` has chosen its profile, and before tests are loaded.
    """
    # not sooner: pytest warns of what is loaded before it can read its assertions
    from hypothesis import Phase, settings

    looks = (Phase.explicit, Phase.reuse, Phase.generate)
    settings.register_profile("mutants", settings.get_profile("short"), phases=looks)
    settings.load_profile("mutants")


def ends_after_test(seconds: float) -> None:
    """Give a test that took so long its time; the alarm ends the process, also in a library."""
    ends_after(AT_LEAST_S + PATIENCE * seconds)


def ends_after(seconds: float) -> None:
    """End this process when it has computed for so long, or has waited far longer."""
    signal.setitimer(signal.ITIMER_PROF, seconds)
    signal.setitimer(signal.ITIMER_REAL, WAITING * seconds)


def _run(tests: list[tuple[str, float]]) -> str | None:
    files = list(dict.fromkeys(test.split("::")[0] for test, _ in tests))
    chosen = _Chosen(dict(tests))
    ends_after(LOADED_WITHIN_S)
    code = pytest.main(["-x", "-q", "-p", "no:cacheprovider", *files], plugins=[chosen])
    if code == pytest.ExitCode.OK:
        return None
    return chosen.failed or f"exit code {int(code)}"


def in_child(work: Callable[[], str | None]) -> str | None:
    """Do something in a fork, so that nothing of the changed program stays here."""
    read, write = os.pipe()
    child = os.fork()
    if not child:
        os.close(read)
        os.setsid()
        silent = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(silent, stream)
        try:
            answer = work()
        except BaseException as fault:
            # tests that cannot be run at all kill no mutant: the one who asked must hear of it
            answer = f"{FAULT} {fault!r}"
        os.write(write, json.dumps(answer).encode())
        os._exit(0)
    os.close(write)
    _, status = os.waitpid(child, 0)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)  # what a test began and did not end
    said = os.read(read, 1 << 16).decode()
    os.close(read)
    if os.WIFSIGNALED(status) and os.WTERMSIG(status) in ALARMS:
        return "no end"
    failed: str | None = json.loads(said) if said else "the process ended"
    return failed


def load_libraries() -> None:
    """Load what the program loads late, so that no fork has to."""
    for module in (
        *("coverage", "flask", "numpy", "platformdirs", "pydantic"),
        *("scipy.optimize", "scipy.sparse", "shapely", "svgwrite", "tomllib"),
    ):
        __import__(module)


def _main() -> None:
    load_libraries()
    for line in sys.stdin:
        what, given = json.loads(line)
        work = partial(trace, *given) if what == "trace" else partial(_run, given)
        print(json.dumps(in_child(work)), flush=True)


if __name__ == "__main__":
    _main()
