"""Runs tests in a copy of the project, again and again, each time in a process of its own.

The libraries are loaded once and the process then forks, so that a mutant costs little more than
the tests themselves. What is asked for comes as lines of JSON, what came of it goes back so.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

FAULT = "fault of the tests:"


class Runner:
    """A process in a copy of the project that runs tests when asked."""

    def __init__(self, copy: Path) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.mutating.running"],
            cwd=copy,
            env=os.environ | {"OPENBLAS_NUM_THREADS": "1"},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def fails(self, tests: list[str], seconds: float) -> str | None:
        """Return the first test that fails, "no end" for tests that hang, None if all pass."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(json.dumps([tests, seconds]) + "\n")
        self._process.stdin.flush()
        answer: str | None = json.loads(self._process.stdout.readline())
        if answer is not None and answer.startswith(FAULT):
            raise RuntimeError(answer)
        return answer

    def close(self) -> None:
        """End the process."""
        assert self._process.stdin is not None
        self._process.stdin.close()
        self._process.wait()


class _Chosen:
    """A plugin of pytest: only the tests asked for, in their order; the first failure's name."""

    def __init__(self, tests: list[str]) -> None:
        self._place = {test: i for i, test in enumerate(tests)}
        self.failed = ""

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Leave the tests asked for."""
        place = self._place
        chosen = [item for item in items if item.nodeid in place]
        items[:] = sorted(chosen, key=lambda item: place[item.nodeid])

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note what fails."""
        if report.failed and not self.failed:
            self.failed = report.nodeid

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        """Note what cannot even be loaded."""
        if report.failed and not self.failed:
            self.failed = f"{report.nodeid} (loading)"


def _run(tests: list[str]) -> str | None:
    files = list(dict.fromkeys(test.split("::")[0] for test in tests))
    chosen = _Chosen(tests)
    code = pytest.main(["-x", "-q", "-p", "no:cacheprovider", *files], plugins=[chosen])
    if code == pytest.ExitCode.OK:
        return None
    return chosen.failed or f"exit code {int(code)}"


def _in_child(tests: list[str], seconds: float) -> str | None:
    """Run tests in a fork, so that nothing of the changed program stays here."""
    read, write = os.pipe()
    child = os.fork()
    if not child:
        os.setsid()
        silent = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(silent, stream)
        try:
            answer = _run(tests)
        except BaseException as fault:
            # tests that cannot be run at all kill no mutant: the one who asked must hear of it
            answer = f"{FAULT} {fault!r}"
        os.write(write, json.dumps(answer).encode())
        os._exit(0)
    os.close(write)
    end = time.monotonic() + seconds
    while os.waitpid(child, os.WNOHANG) == (0, 0):
        if time.monotonic() > end:
            os.killpg(child, signal.SIGKILL)
            os.waitpid(child, 0)
            os.close(read)
            return "no end"
        time.sleep(0.02)
    said = os.read(read, 1 << 16).decode()
    os.close(read)
    failed: str | None = json.loads(said) if said else "the process ended"
    return failed


def _main() -> None:
    for module in ("numpy", "shapely", "pydantic", "svgwrite", "tomllib"):
        __import__(module)
    for line in sys.stdin:
        tests, seconds = json.loads(line)
        print(json.dumps(_in_child(tests, seconds)), flush=True)


if __name__ == "__main__":
    _main()
