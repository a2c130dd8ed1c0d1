"""How many small mistakes in the program the tests notice: ``python -m tests.mutants``.

Lines are drawn by a seed from the packages that compute, each gets one change in a copy of the
project, and the tests that run that line are run: own namesake first, up to the first failure.
A change that all tests let pass has lived. The exit code is 1 where fewer than 9 of 10 are killed.
"""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import tempfile
import time
from itertools import groupby
from pathlib import Path

from tests.mutating.changes import Mutant, draw, mutants_of
from tests.mutating.running import Runner
from tests.mutating.tracing import SUITES, Coverage, Traced, away, coverage_of

ROOT = Path(__file__).resolve().parent.parent
LEFT_OUT = shutil.ignore_patterns(".*", "__pycache__", "browser", "benchmarks", "node_modules")
TARGET = 0.9
"""Nine of ten: what lives beyond that is mostly a change that changes nothing."""
# A mutant that never ends is killed: after ten times what its tests took, and a minute.
PATIENCE, AT_LEAST_S = 10, 60.0
# A search may end early on a busy machine: a slow test that fails is asked again without mutant.
SLOW_S = 1.0


def every_mutant(packages: list[str], only: str = "") -> list[Mutant]:
    """Return every change that the packages can undergo, in the order of their files."""
    files = [file for package in packages for file in sorted((ROOT / "app" / package).glob("*.py"))]
    names = {file: file.relative_to(ROOT).as_posix() for file in files}
    return [each for file in files if only in names[file] for each in mutants_of(file, names[file])]


class Bench:
    """A copy of the project in which one file at a time is changed and tested."""

    def __init__(self, copy: Path, coverage: Coverage) -> None:
        self._copy = copy
        self._coverage = coverage
        self._runner = Runner(copy)
        self._stamp = time.time()

    def judged(self, mutant: Mutant) -> str | None:
        """Return the test that kills a mutant, None if it lives."""
        tests = self._coverage.running(mutant.file, mutant.statement, mutant.module_level)
        # each lot loads its own files only: most mutants are killed by their namesake
        lots = [list(lot) for _, lot in groupby(tests, key=lambda each: away(each, mutant.file))]
        path = self._copy / mutant.file
        source = path.read_text(encoding="utf-8")
        self._write(path, mutant.written(source))
        try:
            killer = next(filter(None, map(self._fails, lots)), None)
        finally:
            self._write(path, source)
        doubtful = [each for each in tests if each.test == killer and each.seconds > SLOW_S]
        if doubtful and self._fails(doubtful):
            print(f"left out, it fails without the mutant too: {killer}", file=sys.stderr)
            self._coverage = self._coverage.without(doubtful[0].test)
            return self.judged(mutant)
        return killer

    def close(self) -> None:
        """End the process that runs the tests."""
        self._runner.close()

    def _write(self, path: Path, source: str) -> None:
        """Write a file, each time a second younger: compiled files are told apart by seconds."""
        path.write_text(source, encoding="utf-8")
        self._stamp += 1
        os.utime(path, (self._stamp, self._stamp))

    def _fails(self, tests: list[Traced]) -> str | None:
        patience = AT_LEAST_S + PATIENCE * sum(each.seconds for each in tests)
        return self._runner.fails([each.test for each in tests], patience)


def main(words: list[str]) -> int:
    """Draw, change, test, and say what lived."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--mutants", type=int, default=100, help="how many lines are drawn")
    parser.add_argument("--seed", type=int, default=1, help="the same seed draws the same lines")
    parser.add_argument("--package", nargs="+", choices=list(SUITES), default=list(SUITES))
    parser.add_argument("--file", default="", help="only files with this in their path")
    asked = parser.parse_args(words)
    drawn = draw(every_mutant(asked.package, asked.file), asked.mutants, asked.seed)
    lived: list[Mutant] = []
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        copy = Path(folder) / "project"
        shutil.copytree(ROOT, copy, ignore=LEFT_OUT)
        coverage = coverage_of(copy, asked.package)
        bench = Bench(copy, coverage)
        for mutant in drawn:
            killer = bench.judged(mutant)
            print(f"{'killed' if killer else 'LIVED '} {mutant}  [{killer or '-'}]", flush=True)
            if not killer:
                lived.append(mutant)
        bench.close()
    killed = len(drawn) - len(lived)
    print(f"seed {asked.seed}: {killed} of {len(drawn)} killed, {len(lived)} lived")
    for mutant in lived:
        print(f"  {mutant}")
    return 0 if killed >= TARGET * len(drawn) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
