"""One row of the table of measurements, how it is timed, and how it is printed."""

import gc
import time
from collections.abc import Callable, Iterable, Sequence
from typing import TypeVar

Given = TypeVar("Given")
Row = tuple[str, float, float, float, str]
"""Name, ms (or what the name says), the baseline's, the ratio (or exponent), its limit."""

HEAD = ("", "ms", "baseline ms", "ratio", "limit", "")


def ok(row: Row) -> bool:
    """Tell whether a row keeps to its limit; a row without one always does."""
    return not row[4] or row[3] <= float(row[4])


def printed(rows: Iterable[Row]) -> str:
    """Give the rows as lines of text under a heading."""
    cells = [HEAD] + [
        (r[0], f"{r[1]:.2f}", f"{r[2]:.2f}", f"{r[3]:.2f}", r[4], "ok" if ok(r) else "OVER")
        for r in rows
    ]
    wide = [max(len(line[i]) for line in cells) for i in range(len(HEAD))]
    lines = []
    for first, *others in cells:
        columns = [cell.rjust(width) for cell, width in zip(others, wide[1:], strict=True)]
        lines.append("  ".join([first.ljust(wide[0]), *columns]))
    return "\n".join(lines)


def fastest_ms(
    fresh: Callable[[], Given], runs: Sequence[Callable[[Given], object]], times: int
) -> list[float]:
    """Give the quickest of several turns of each run, in ms of the processor's own time.

    The runs take turns, each on something made afresh outside the time, so that what else the
    machine does falls on all of them alike.
    """
    taken: list[list[float]] = [[] for _ in runs]
    for _ in range(times):
        for mine, run in zip(taken, runs, strict=True):
            given = fresh()
            gc.collect()
            start = time.process_time()
            run(given)
            mine.append((time.process_time() - start) * 1000)
    return [min(mine) for mine in taken]
