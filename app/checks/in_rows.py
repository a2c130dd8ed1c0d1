"""What a household stores in rows, one behind another: that is chosen, and no fault of a plan."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from app.scene.build import Scene

IN_ROWS = frozenset({"bike-stored"})
"""Kit that is kept so: the one in front is rolled out first. Common practice, no source."""


def in_rows(scene: Scene, owners: NDArray[np.intp], others: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Return for which pairs of owners both are kept in rows and are said to stay.

    Where both stay no place mends it; where one may move it is asked to. Owners beyond the pieces
    are parts of the room.
    """
    kept = [p.piece.stays and p.kit.key in IN_ROWS for p in scene.order]
    stored = np.array([*kept, False], dtype=bool)
    both: NDArray[np.bool_] = stored[owners] & stored[np.minimum(others, len(kept))]
    return both
