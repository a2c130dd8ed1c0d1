"""Which test runs which line: traced once for each test file, and kept outside the project.

A trace is kept as long as its file of tests stays as it is. Where the program has changed since,
lines that stand there as before are found again, and what is new counts as run by every test that
ran some of the file. A test may be asked in vain; one that is forgotten kills nothing, so that a
trace that has aged makes the tests look worse than they are and never better.
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path
from queue import SimpleQueue
from typing import Any, Protocol

import platformdirs
import pytest

SUITES = {
    "formulas": ("formulas", "answers", "published", "takeoff", "checks"),
    "takeoff": ("takeoff", "answers", "published", "costs", "works", "drawing"),
    "scene": ("scene", "answers", "checks", "catalogue", "published", "placing", "drawing"),
    "checks": ("checks", "answers", "catalogue", "published", "placing", "works"),
    "store": ("store", "answers", "usecases"),
}
"""The folders of tests for each package, the nearest first."""
ANSWERS = "tests/answers"
"""Whose tests run what their plans hold: every file there decides what is traced."""

_TOLD = (pytest.ExitCode.OK, pytest.ExitCode.TESTS_FAILED, pytest.ExitCode.NO_TESTS_COLLECTED)
"""How a run ends that tells which test runs what; of long tests alone none is left."""


@dataclass(frozen=True, slots=True)
class Traced:
    """What one test runs: its name, its seconds, the lines of the program by file."""

    test: str
    seconds: float
    lines: dict[str, frozenset[int]]


@dataclass(frozen=True, slots=True)
class Coverage:
    """Every test of some folders, and the lines that run while the program is loaded."""

    tests: tuple[Traced, ...]
    loading: dict[str, frozenset[int]]

    def on_loading(self, file: str, statement: range, module_level: bool) -> bool:
        """Return whether a statement runs while program and tests are loaded."""
        return module_level or bool(self.loading.get(file, frozenset()) & frozenset(statement))

    def running(self, file: str, statement: range, module_level: bool) -> list[Traced]:
        """Return the tests that run a statement; where it runs on loading, all that use its file.

        All of the file's namesake are among them: what one made and others look at, remembered,
        is traced to the first alone. The nearest first: of the file's namesake, of its package, of
        others; then the quickest.
        """
        lines = frozenset(statement)
        if self.on_loading(file, statement, module_level):
            tests = [each for each in self.tests if file in each.lines]
        else:
            tests = [
                each
                for each in self.tests
                if each.lines.get(file, frozenset()) & lines or away(each, file) == 0
            ]
        return sorted(tests, key=lambda each: (away(each, file), each.seconds))


def away(traced: Traced, program_file: str) -> int:
    """Return how far a test lies from a file: 0 namesake, 1 answers, 2 its package, 3 elsewhere."""
    _, package, name = program_file.split("/")
    file = traced.test.split("::")[0]
    if file == f"tests/{package}/test_{name}":
        return 0
    if file.startswith(f"{ANSWERS}/"):
        return 1
    return 2 if file.startswith(f"tests/{package}/") else 3


class Tracer(Protocol):
    """What traces a file of tests in a copy of the project (see `tests.mutating.running`)."""

    def trace(self, test_file: str, out: Path) -> str | None:
        """Write to a file which test runs which line; return what went wrong."""
        ...


def folders_of(packages: Iterable[str]) -> list[str]:
    """Return the folders of tests for some packages, each once."""
    return list(dict.fromkeys(folder for package in packages for folder in SUITES[package]))


def coverage_of(copy: Path, folders: Sequence[str], tracers: Sequence[Tracer]) -> Coverage:
    """Return which test of a copy runs which line, tracing what is not known yet."""
    shelf = Path(platformdirs.user_cache_dir("elbowroom")) / "mutants"
    shelf.mkdir(parents=True, exist_ok=True)
    sources = {
        file.relative_to(copy).as_posix(): file.read_text(encoding="utf-8")
        for package in SUITES
        for file in (copy / "app" / package).rglob("*.py")
    }
    for text in sources.values():
        as_it_was = shelf / f"{_sha(text)}.py"
        if not as_it_was.exists():
            as_it_was.write_text(text, encoding="utf-8")
    kept = {
        file.relative_to(copy).as_posix(): shelf / f"{_sha(_decides(copy, file))}.json"
        for each in folders
        for file in sorted((copy / "tests" / each).glob("test_*.py"))
    }
    _trace_all({name: place for name, place in kept.items() if not place.exists()}, tracers)
    tests: list[Traced] = []
    loading: dict[str, frozenset[int]] = {}
    now = _Now(sources, shelf)
    for place in kept.values():
        data = json.loads(place.read_text(encoding="utf-8"))
        for row in data["tests"]:
            lines = now.lines(row["lines"], data["sources"])
            tests.append(Traced(row["test"], row["seconds"], lines))
        for each, loaded in now.lines(data["loading"], data["sources"]).items():
            loading[each] = loading.get(each, frozenset()) | loaded
        for each in data["failed"]:
            print(f"left out, it fails already: {each}", file=sys.stderr)
    return Coverage(tuple(tests), loading)


def _decides(copy: Path, test_file: Path) -> str:
    """Return the text on which it hangs what a file of tests runs: its own, and of what is near."""
    near = [test_file]
    if test_file.parent == copy / ANSWERS:
        near += sorted(each for each in test_file.parent.glob("*.py") if each.stem[:5] != "test_")
    return "".join(each.read_text(encoding="utf-8") for each in near)


class _Now:
    """Finds lines of the program as it was when it was traced in the program as it is."""

    def __init__(self, sources: dict[str, str], shelf: Path) -> None:
        self._sources, self._shelf = sources, shelf
        self._digests = {file: _sha(text) for file, text in sources.items()}
        self._moved: dict[tuple[str, str], tuple[dict[int, int], frozenset[int]]] = {}

    def lines(self, ran: dict[str, list[int]], traced: dict[str, str]) -> dict[str, frozenset[int]]:
        """Return the lines that ran, by file; `traced` are the digests of the files then."""
        found = {}
        for file, numbers in ran.items():
            if traced[file] == self._digests.get(file):
                found[file] = frozenset(numbers)
            elif file in self._sources:
                to, fresh = self._changes(file, traced[file])
                found[file] = frozenset(to[line] for line in numbers if line in to) | fresh
        return found

    def _changes(self, file: str, digest: str) -> tuple[dict[int, int], frozenset[int]]:
        """Return where the lines of an older file are now, and those that have come since."""
        if (file, digest) not in self._moved:
            before = (self._shelf / f"{digest}.py").read_text(encoding="utf-8").splitlines()
            after = self._sources[file].splitlines()
            alike = SequenceMatcher(None, before, after, autojunk=False).get_matching_blocks()
            to = {a + i + 1: b + i + 1 for a, b, size in alike for i in range(size)}
            fresh = frozenset(range(1, len(after) + 1)) - frozenset(to.values())
            self._moved[file, digest] = to, fresh
        return self._moved[file, digest]


def _trace_all(missing: dict[str, Path], tracers: Sequence[Tracer]) -> None:
    """Trace files of tests, each tracer one at a time.

    Two runs may trace the same file at once: each writes its own, and the last one stays.
    """
    idle: SimpleQueue[Tracer] = SimpleQueue()
    for tracer in tracers:
        idle.put(tracer)

    def traced(name: str) -> None:
        tracer = idle.get()
        part = missing[name].with_suffix(f".{os.getpid()}.part")
        begun = time.monotonic()
        try:
            fault = tracer.trace(name, part)
        finally:
            idle.put(tracer)
        if fault:
            raise SystemExit(f"{name} cannot be traced: {fault}")
        part.replace(missing[name])
        print(f"traced {name}, {time.monotonic() - begun:.0f} s", file=sys.stderr, flush=True)

    with ThreadPoolExecutor(len(tracers)) as pool:
        list(pool.map(traced, missing))


def _sha(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


class _Contexts:
    """A plugin of pytest: says to the tracing which test is running, and takes its time."""

    def __init__(self, coverage: Any) -> None:
        self._coverage = coverage
        self.seconds: dict[str, float] = {}
        self.failed: set[str] = set()

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Run one test under its own name."""
        self._coverage.switch_context(item.nodeid)
        # of the processor: a busy machine makes no test slower to ask
        begun = time.process_time()
        try:
            return (yield)
        finally:
            self.seconds[item.nodeid] = round(time.process_time() - begun, 3)
            self._coverage.switch_context("")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note what fails without any mutant: it tells nothing of mutants, and is left out."""
        if report.failed:
            self.failed.add(report.nodeid)


def trace(name: str, out: str) -> str | None:
    """Run a file of tests in this process and write which of them runs which line.

    Return what went wrong. Tests marked `long` are not run, as in every short run.
    """
    import coverage

    here = Path.cwd()
    traced = coverage.Coverage(
        data_file=None, include=[str(here / "app" / package / "*") for package in SUITES]
    )
    # a file of tests that runs nothing of these packages is no mistake
    traced.set_option("run:disable_warnings", ["no-data-collected"])
    contexts = _Contexts(traced)
    traced.start()
    code = pytest.main(["-q", "-p", "no:cacheprovider", name], plugins=[contexts])
    traced.stop()
    if code not in _TOLD:
        return f"exit code {int(code)}"
    data = traced.get_data()
    lines: dict[str, dict[str, list[int]]] = {}
    for file in data.measured_files():
        at = Path(file).relative_to(here).as_posix()
        for number, tests in data.contexts_by_lineno(file).items():
            for test in tests:
                lines.setdefault(test, {}).setdefault(at, []).append(number)
    rows = [
        {"test": test, "seconds": seconds, "lines": lines.get(test, {})}
        for test, seconds in contexts.seconds.items()
        if test not in contexts.failed
    ]
    files = {file for ran in lines.values() for file in ran}
    whole = {
        "tests": rows,
        "loading": lines.get("", {}),
        "failed": sorted(contexts.failed),
        "sources": {file: _sha((here / file).read_text(encoding="utf-8")) for file in files},
    }
    Path(out).write_text(json.dumps(whole), encoding="utf-8")
    return None
