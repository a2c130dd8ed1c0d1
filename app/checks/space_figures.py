"""Figures of spaces and what may reach into them, kept from one judgement to the next.

What two things that stand still are to one another is measured once for a whole drag: of pieces
at other poses only those that were moved since are measured anew.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.scene.build import Scene
from app.scene.memory import NESTED_SHARE, memo_bytes

Numbers = NDArray[np.intp]
Floats = NDArray[np.float64]
COLUMNS = 5
"""Whether the two meet, the free depth in mm, the area of the solid in mm2, and where (x, y)."""

Measure = Callable[[Numbers, Numbers], Floats]
"""Measures pairs of a space and a solid, by their numbers: one row of figures for each."""


@dataclass(frozen=True, slots=True, eq=False)
class _Kept:
    """What was measured last: where each piece stood, the pairs in rising order, their figures."""

    poses: Floats
    pairs: Numbers
    figures: Floats

    @property
    def held_bytes(self) -> int:
        return self.poses.nbytes + self.pairs.nbytes + self.figures.nbytes


class SpaceFigures:
    """The last figures of each part of the spaces of a plan; what is too much is not kept."""

    def __init__(self, bytes_at_most: int) -> None:
        self._most = bytes_at_most
        self._kept: dict[int, _Kept] = {}

    @property
    def held_bytes(self) -> int:
        """How many bytes the figures hold."""
        return sum(kept.held_bytes for kept in tuple(self._kept.values()))

    def measured(
        self, scene: Scene, part: int, of: Numbers, hit: Numbers, measure: Measure
    ) -> Floats:
        """Return the figures of pairs of a space and a solid, those that are known as they were.

        `part` is the part of the spaces that is asked about. Every scene that asks has the same
        pieces in the same order.
        """
        poses = np.column_stack([scene.at, [one.pose.angle_deg for one in scene.order]])
        pairs = of * len(scene.solids.owner) + hit
        figures, known = np.zeros((len(of), COLUMNS)), np.zeros(len(of), dtype=bool)
        kept = self._kept.get(part)
        if kept is not None and len(kept.pairs):
            place = np.searchsorted(kept.pairs, pairs).clip(max=len(kept.pairs) - 1)
            fixed = np.ones(len(scene.fixed_names), dtype=bool)
            stood = np.concatenate([(poses == kept.poses).all(axis=1), fixed])
            known = kept.pairs[place] == pairs
            known &= stood[scene.spaces.owner[of]] & stood[scene.solids.owner[hit]]
            figures[known] = kept.figures[place[known]]
        new = np.flatnonzero(~known)
        if len(new):
            figures[new] = measure(of[new], hit[new])
        order = np.argsort(pairs)
        self._keep(part, _Kept(poses, pairs[order], figures[order]))
        return figures

    def _keep(self, part: int, kept: _Kept) -> None:
        before = self._kept.pop(part, None)
        if self.held_bytes + kept.held_bytes <= self._most:
            self._kept[part] = kept
        elif before is not None and self.held_bytes + before.held_bytes <= self._most:
            self._kept[part] = before


def space_figures(scene: Scene) -> SpaceFigures:
    """Return the figures kept for a scene and all those that differ from it in poses alone."""
    most = memo_bytes(len(scene.order)) // NESTED_SHARE
    return scene.memo(("space figures",), lambda: SpaceFigures(most))
