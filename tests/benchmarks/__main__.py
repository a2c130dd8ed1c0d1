"""How fast it is: ``python -m tests.benchmarks``, with the names of parts or none for all.

Prints one table; the exit code is 1 if a ratio is over its limit.
"""

import sys
from collections.abc import Callable

from tests.benchmarks import (
    arranging,
    cutting,
    desk,
    drag,
    full,
    judge,
    phases,
    picture,
    placing,
    routes,
    sheets,
    starting,
    store,
    taking_off,
    weight,
    works,
)
from tests.benchmarks.table import Row, ok, printed
from tests.compiling import compiled_once

PARTS: dict[str, Callable[[], list[Row]]] = {
    "arranging": arranging.rows,
    "drag": drag.rows,
    "desk": desk.rows,
    "full": full.rows,
    "judge": judge.rows,
    "phases": phases.rows,
    "picture": picture.rows,
    "placing": placing.rows,
    "starting": starting.rows,
    "weight": weight.rows,
    "routes": routes.rows,
    "sheets": sheets.rows,
    "store": store.rows,
    "takeoff": taking_off.rows,
    "cutting": cutting.rows,
    "works": works.rows,
}


def main(asked: list[str]) -> int:
    """Measure the parts that are asked for, or all; give the exit code."""
    strange = [name for name in asked if name not in PARTS]
    if strange:
        print(f"There is no part {strange[0]!r}; there are {', '.join(PARTS)}.")
        return 2
    # a second start finds what the first one compiled, as it does in a household
    with compiled_once():
        rows = [row for name in asked or PARTS for row in PARTS[name]()]
    print(printed(rows))
    return 0 if all(map(ok, rows)) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
