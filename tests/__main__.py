"""Run everything: ``python -m tests``. What follows is handed to pytest (``-x``, ``--long``)."""

import os
import subprocess
import sys
from pathlib import Path

from tests.browser.chromium import CHOICE, NoBrowserError, make_sure

ROOT = Path(__file__).resolve().parent.parent


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
    print("== browser", flush=True)
    try:
        browser = make_sure()
    except NoBrowserError as fault:
        raise SystemExit(str(fault)) from None
    print(browser, flush=True)
    os.environ[CHOICE] = str(browser)
    step("pytest: everything", "pytest", *extra)


if __name__ == "__main__":
    main(sys.argv[1:])
