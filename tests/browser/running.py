"""The real program, started as a user starts it, and stopped again."""

import os
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Mapping
from pathlib import Path
from types import TracebackType
from typing import Self

ROOT = Path(__file__).resolve().parent.parent.parent
GREETING = "Elbowroom is at "
PLACE = "Plans are kept in "
START_SECONDS = 180.0
"""How long a start may take where others keep every processor busy: a bound, no pause."""
STOP_SECONDS = 60.0


class RunningApp:
    """``python -m app`` as a process of its own, from its greeting until the block ends.

    ``url`` ends in a slash. ``data`` is the folder that the plans are kept in. Leaving the block
    raises ``AssertionError`` if the program wrote a traceback.
    """

    def __init__(
        self,
        data: Path,
        *more: str,
        folder: Path = ROOT,
        environment: Mapping[str, str] | None = None,
    ) -> None:
        self.data = data
        self.url = ""
        self._lines: list[str] = []
        self._arrived: queue.Queue[str | None] = queue.Queue()
        self._process = subprocess.Popen(
            [sys.executable, "-m", "app", "--no-browser", "--port", "0", "--data", data, *more],
            cwd=folder,
            env={**os.environ, **(environment or {})},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
        )
        self._reader = threading.Thread(target=self._read, daemon=True)

    @property
    def output(self) -> str:
        """All the program has written so far, both streams."""
        return "".join(self._lines)

    @property
    def process_id(self) -> int:
        """The number that the machine has given the process."""
        return self._process.pid

    def __enter__(self) -> Self:
        self._reader.start()
        try:
            self.url = self._after(GREETING).split()[0]
            assert Path(self._after(PLACE)) == self.data, self.output
        except BaseException:
            self._end()
            raise
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._end()
        assert "Traceback (most recent call last)" not in self.output, self.output

    def _read(self) -> None:
        assert self._process.stdout is not None
        for line in self._process.stdout:
            self._lines.append(line)
            self._arrived.put(line)
        self._arrived.put(None)

    def _after(self, beginning: str) -> str:
        end = time.monotonic() + START_SECONDS
        while True:
            try:
                line = self._arrived.get(timeout=max(0.0, end - time.monotonic()))
            except queue.Empty:
                raise AssertionError(
                    f"The program did not say {beginning!r} in time:\n{self.output}"
                ) from None
            if line is None:
                raise AssertionError(f"The program ended at its start:\n{self.output}")
            if line.startswith(beginning):
                return line.removeprefix(beginning).strip()

    def wait_for_line(self, beginning: str) -> None:
        """Wait until a line that begins so has come, and all that was printed before it."""
        self._after(beginning)

    def stop(self) -> None:
        """Ask the program to end and wait until it has."""
        self._process.terminate()
        self._process.wait(STOP_SECONDS)

    def _end(self) -> None:
        self._process.terminate()
        try:
            self._process.wait(STOP_SECONDS)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._reader.join(STOP_SECONDS)
        if self._process.stdout is not None:
            self._process.stdout.close()
