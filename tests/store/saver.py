"""A process that saves a plan in a loop and says each time what has been kept; to be killed."""

import os
import sys
from pathlib import Path

from app.changes.commands import moves
from app.model.kit import Pose
from app.store.plans import Store


def main(folder: str, plan_id: str, count: str) -> None:
    """Move the rack one mm further each time; write the number of each revision once it is kept."""
    store = Store(Path(folder))
    state = store.read(plan_id)
    os.write(1, b"ready\n")
    for _ in range(int(count)):
        pose = Pose(x_mm=state.revision + 1, y_mm=0)
        state = store.do(plan_id, moves(state.plan, {"rack-1": pose}), known=state)
        os.write(1, b"kept %d\n" % state.revision)
    store.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
