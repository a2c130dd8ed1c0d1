"""How many small mistakes in the program the tests notice: ``python -m tests.mutants``.

Lines are drawn by a seed from the packages that compute, each gets one change in a copy of the
project, and the tests that run that line are run: own namesake first, up to the first failure.
A change that all tests let pass has lived. The exit code is 1 where fewer than 9 of 10 are killed
of what one of the seeds draws.
"""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from itertools import accumulate, chain, groupby, pairwise
from pathlib import Path
from queue import SimpleQueue

from tests.compiling import compiled_once
from tests.mutating.changes import Mutant, draw, mutants_of
from tests.mutating.loaded import NOT_IN_PLACE, Loaded
from tests.mutating.running import Runner
from tests.mutating.tracing import SUITES, Coverage, Traced, away, coverage_of, folders_of

ROOT = Path(__file__).resolve().parent.parent
LEFT_OUT = shutil.ignore_patterns(".*", "__pycache__", "node_modules")
TARGET = 0.9
"""Nine of ten: what lives beyond that is mostly a change that changes nothing."""
AT_ONCE = min(os.cpu_count() or 1, 2)
"""How many mutants are tested at a time: each has a copy of the project and a process."""
ASKED_S = 60.0
"""How long tests are asked about one mutant besides the namesake's and those that keep answers
(`tests/answers`, some twenty seconds at most), the nearest and quickest first: all tests of what
everything runs would take a quarter of an hour, and the first ones tell. Seconds as they were
traced, which takes some three times as long as the tests alone.
"""
# A search may end early on a busy machine: a slow test that fails is asked again without mutant.
SLOW_S = 1.0


def every_mutant(root: Path, packages: list[str], only: str = "") -> list[Mutant]:
    """Return every change that the packages of a project can undergo, in the order of their files.

    `root` is the folder of the project, or of a copy.
    """
    files = [file for package in packages for file in sorted((root / "app" / package).glob("*.py"))]
    names = {file: file.relative_to(root).as_posix() for file in files}
    return [each for file in files if only in names[file] for each in mutants_of(file, names[file])]


class Bench:
    """A copy of the project in which one file at a time is changed and tested."""

    def __init__(self, copy: Path, folders: list[str]) -> None:
        self.copy = copy
        self.runner = Runner(copy)
        self._folders = folders
        self._loaded: Loaded | None = None
        self._doubted: set[str] = set()
        self._stamp = time.time()

    def judged(self, mutant: Mutant, coverage: Coverage) -> str | None:
        """Return the test that kills a mutant, None if it lives."""
        running = coverage.running(mutant.file, mutant.statement, mutant.module_level)
        tests = _enough([each for each in running if each.test not in self._doubted], mutant.file)
        path = self.copy / mutant.file
        source = path.read_text(encoding="utf-8")
        changed = mutant.written(source)
        # before the file is changed: programs that tests start read it, this one must not
        loaded = self.loaded()
        self._write(path, changed)
        try:
            killer: str | None = NOT_IN_PLACE
            if not coverage.on_loading(mutant.file, mutant.statement, mutant.module_level):
                killer = loaded.fails(mutant.file, source, changed, tests)
            if killer == NOT_IN_PLACE:
                # each lot loads its own files only: most are killed by their namesake
                lots = groupby(tests, key=lambda each: away(each, mutant.file))
                fails = (self.runner.fails(list(lot)) for _, lot in lots)
                killer = next(filter(None, fails), None)
        finally:
            self._write(path, source)
        doubtful = [each for each in tests if each.test == killer and each.seconds > SLOW_S]
        if doubtful and loaded.fails(mutant.file, source, source, doubtful):
            print(f"left out, it fails without the mutant too: {killer}", file=sys.stderr)
            self._doubted.add(doubtful[0].test)
            return self.judged(mutant, coverage)
        return killer

    def loaded(self) -> Loaded:
        """Return the process that has loaded all tests, which is started when it is needed."""
        if self._loaded is None:
            self._loaded = Loaded(self.copy, self._folders)
        return self._loaded

    def close(self) -> None:
        """End the processes that run the tests."""
        self.runner.close()
        if self._loaded is not None:
            self._loaded.close()

    def _write(self, path: Path, source: str) -> None:
        """Write a file, each time a second younger: compiled files are told apart by seconds."""
        path.write_text(source, encoding="utf-8")
        self._stamp += 1
        os.utime(path, (self._stamp, self._stamp))


def _enough(tests: list[Traced], file: str) -> list[Traced]:
    """Return the tests of the namesake, those that keep answers, and others while there is time."""
    asked_s = accumulate(each.seconds if away(each, file) > 1 else 0.0 for each in tests)
    return [each for each, until_s in zip(tests, asked_s, strict=True) if until_s <= ASKED_S]


@contextmanager
def copied(root: Path = ROOT) -> Iterator[list[Path]]:
    """Copy the project, all copies as it stands at the first moment, whatever becomes of it since.

    Nothing of the run reads the project itself again.
    """
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        copies = [Path(folder) / str(number) / "project" for number in range(AT_ONCE)]
        for source, copy in pairwise([root, *copies]):
            shutil.copytree(source, copy, ignore=LEFT_OUT)
        yield copies


@contextmanager
def benches(copies: list[Path], folders: list[str]) -> Iterator[list[Bench]]:
    """Put up a bench in each copy, compiled once each, also where the environment forbids it."""
    with compiled_once():
        made = [Bench(copy, folders) for copy in copies]
        yield made
        for bench in made:
            bench.close()


def survivors(drawn: list[Mutant], packages: list[str], copies: list[Path]) -> list[Mutant]:
    """Test mutants, print what became of each as soon as it is known, and return what lived."""
    folders = folders_of(packages)
    with (
        benches(copies, [f"tests/{each}" for each in folders]) as made,
        ThreadPoolExecutor(AT_ONCE) as pool,
    ):
        tracers = [bench.runner for bench in made]
        coverage = coverage_of(made[0].copy, folders, tracers)
        idle: SimpleQueue[Bench] = SimpleQueue()
        for bench in made:
            idle.put(bench)

        def judged(mutant: Mutant) -> bool:
            bench = idle.get()
            try:
                killer = bench.judged(mutant, coverage)
            finally:
                idle.put(bench)
            print(f"{'killed' if killer else 'LIVED '} {mutant}  [{killer or '-'}]", flush=True)
            return killer is not None

        killed = list(pool.map(judged, drawn))
    return [mutant for mutant, dead in zip(drawn, killed, strict=True) if not dead]


def main(words: list[str]) -> int:
    """Draw, change, test, and say what lived."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--mutants", type=int, default=100, help="how many lines are drawn")
    parser.add_argument("--seed", type=int, nargs="+", default=[1], help="the same, the same lines")
    parser.add_argument("--package", nargs="+", choices=list(SUITES), default=list(SUITES))
    parser.add_argument("--file", default="", help="only files with this in their path")
    asked = parser.parse_args(words)
    with copied() as copies:
        every = every_mutant(copies[0], asked.package, asked.file)
        drawn = {seed: draw(every, asked.mutants, seed) for seed in asked.seed}
        lived = set(survivors([*dict.fromkeys(chain(*drawn.values()))], asked.package, copies))
    enough = True
    for seed, mutants in drawn.items():
        left = [mutant for mutant in mutants if mutant in lived]
        killed = len(mutants) - len(left)
        enough = enough and killed >= TARGET * len(mutants)
        print(f"seed {seed}: {killed} of {len(mutants)} killed, {len(left)} lived")
        for mutant in left:
            print(f"  {mutant}")
    return 0 if enough else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
