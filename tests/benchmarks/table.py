"""One row of the table of measurements, how it is timed, and how it is printed."""

import gc
import time
from collections.abc import Callable, Iterable

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


def fastest_ms(make: Callable[[], Callable[[], object]], times: int) -> float:
    """Give the quickest of several runs in ms; each run is made afresh, outside the time."""
    taken = []
    for _ in range(times):
        run = make()
        gc.collect()
        start = time.perf_counter()
        run()
        taken.append((time.perf_counter() - start) * 1000)
    return min(taken)
