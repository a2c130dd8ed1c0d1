"""Run everything: ``python -m tests``. What follows is handed to pytest.

``-x`` and ``--long`` for instance; ``-n 0`` runs the tests one after another.
"""

import os
import subprocess
import sys
from pathlib import Path

from tests.browser.chromium import CHOICE, NoBrowserError, make_sure
from tests.compiling import compiled_once

ROOT = Path(__file__).resolve().parent.parent

# One more than processors: while one worker waits for disk or browser another computes. Eight
# at most: each has a browser and a program of its own.
WORKERS = min((os.cpu_count() or 2) + 1, 8)

# Each worker begins with a stretch of the tests in their order and takes over half of another's
# rest when it is done: none is left alone with a long file, and few fixtures are made twice.
SHARED_OUT = ("-n", str(WORKERS), "--dist", "worksteal")

# Beside each other, and beside the tests what takes longest: it keeps one processor busy and no
# more, and would let the other wait.
TYPES = ("mypy",)
CHECKS = {
    "scripts and styles: types, layout": ("tests.scripts",),
    "djlint: templates": ("djlint", "templates", "--lint", "--quiet"),
    "ruff: rules": ("ruff", "check", "."),
    "ruff: layout": ("ruff", "format", "--check", "."),
    # what can be loaded is compiled then, once for all workers
    "pytest: loading": ("pytest", "--collect-only", "-qq"),
}
ONLY_FAULTS = frozenset({"pytest: loading"})
"""What prints a line for each file where nothing is wrong."""


def begun(module: tuple[str, ...]) -> subprocess.Popen[bytes]:
    """Begin to run a module; what it prints is kept back."""
    return subprocess.Popen(
        [sys.executable, "-m", *module],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )


def check() -> None:
    """Run the short checks that run no test; end with the exit code of the first that fails.

    Each prints when it is done, in the order of the table, so that no line mixes with another's.
    """
    running = {title: begun(module) for title, module in CHECKS.items()}
    failed = 0
    for title, process in running.items():
        printed, _ = process.communicate()
        print(f"== {title}", flush=True)
        if process.returncode or title not in ONLY_FAULTS:
            sys.stdout.buffer.write(printed)
            sys.stdout.flush()
        failed = failed or process.returncode
    if failed:
        raise SystemExit(failed)


def main(extra: list[str]) -> None:
    """Check style and a browser, then run every test, and the types beside all of it."""
    with compiled_once():
        types = begun(TYPES)
        try:
            check()
            browser = sure_browser()
            os.environ[CHOICE] = str(browser)
            # told only where something is wrong, so that pytest has the last word
            print("== mypy: types, beside the tests", flush=True)
            print("== pytest: everything", flush=True)
            tests = subprocess.run(
                [sys.executable, "-m", "pytest", *SHARED_OUT, *extra], cwd=ROOT, check=False
            )
            printed, _ = types.communicate()
        finally:
            types.kill()
    if types.returncode:
        print("== mypy: types", flush=True)
        sys.stdout.buffer.write(printed)
        sys.stdout.flush()
    if tests.returncode or types.returncode:
        raise SystemExit(tests.returncode or types.returncode)


def sure_browser() -> Path:
    """Say which browser is used, and return it.

    Ends the program where there is none.
    """
    print("== browser", flush=True)
    try:
        browser = make_sure()
    except NoBrowserError as fault:
        raise SystemExit(str(fault)) from None
    print(browser, flush=True)
    return browser


if __name__ == "__main__":
    main(sys.argv[1:])
