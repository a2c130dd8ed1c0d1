"""Types and layout of what the browser gets: ``python -m tests.scripts``.

The type checker and the formatter are programs of node. What they need is installed beside
this file from its lock file, once. Where there is no node, or nothing can be fetched, this says
so and leaves them out; where ``CI`` is set in the environment that is a failure.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
MODULES = HERE / "node_modules"
LOCK = HERE / "package-lock.json"
# What was installed: a lock file that says otherwise means installing anew.
INSTALLED = MODULES / ".installed-lock.json"

CHECKS = {
    "types": (MODULES / "typescript" / "bin" / "tsc", "--project", HERE / "tsconfig.json"),
    "layout": (HERE / "format.js",),
}


class LackingError(Exception):
    """What the checks need is not on this machine; the message says what."""


def make_sure() -> str:
    """Return the path of node, with what the checks need installed beside this file.

    Raises LackingError where there is no node or nothing can be fetched.
    """
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None:
        raise LackingError("node and npm are not on this machine")
    if not INSTALLED.is_file() or INSTALLED.read_bytes() != LOCK.read_bytes():
        quiet = ("--no-audit", "--no-fund", "--loglevel=error")
        done = subprocess.run([npm, "ci", *quiet], cwd=HERE, check=False)
        if done.returncode:
            raise LackingError("npm could not fetch what the checks need")
        shutil.copy(LOCK, INSTALLED)
    return node


def main() -> int:
    """Check side by side, print what is wrong; return the exit code."""
    try:
        node = make_sure()
    except LackingError as lacking:
        print(f"types and layout of scripts and styles are not checked: {lacking}")
        return 1 if os.environ.get("CI") else 0
    running = {
        name: subprocess.Popen(
            [node, *command], cwd=HERE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        for name, command in CHECKS.items()
    }
    wrong = False
    for name, process in running.items():
        printed, _ = process.communicate()
        if process.returncode:
            wrong = True
            print(f"{name}:\n{printed}")
    return int(wrong)


if __name__ == "__main__":
    sys.exit(main())
