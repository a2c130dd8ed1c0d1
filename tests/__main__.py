"""Run everything: ``python -m tests``. What follows is handed to pytest.

``-x`` and ``--long`` for instance; ``-n 0`` runs the tests one after another.
"""

import os
import subprocess
import sys
from pathlib import Path

from tests.browser.chromium import CHOICE, NoBrowserError, make_sure

ROOT = Path(__file__).resolve().parent.parent

# One more than processors: while one worker waits for disk or browser another computes. Eight
# at most: each has a browser and a program of its own.
WORKERS = min((os.cpu_count() or 2) + 1, 8)

# Each worker begins with a stretch of the tests in their order and takes over half of another's
# rest when it is done: none is left alone with a long file, and few fixtures are made twice.
SHARED_OUT = ("-n", str(WORKERS), "--dist", "worksteal")


def step(title: str, *module: str) -> None:
    """Run one Python module from the project's folder; end with its exit code if it fails."""
    print(f"== {title}", flush=True)
    done = subprocess.run([sys.executable, "-m", *module], cwd=ROOT, check=False)
    if done.returncode:
        raise SystemExit(done.returncode)


def main(extra: list[str]) -> None:
    """Check style, types and a browser, then run every test."""
    step("ruff: rules", "ruff", "check", ".")
    step("ruff: layout", "ruff", "format", "--check", ".")
    step("mypy: types", "mypy")
    step("djlint: templates", "djlint", "templates", "--lint", "--quiet")
    step("scripts and styles: types, layout", "tests.scripts")
    print("== browser", flush=True)
    try:
        browser = make_sure()
    except NoBrowserError as fault:
        raise SystemExit(str(fault)) from None
    print(browser, flush=True)
    os.environ[CHOICE] = str(browser)
    step("pytest: everything", "pytest", *SHARED_OUT, *extra)


if __name__ == "__main__":
    main(sys.argv[1:])
