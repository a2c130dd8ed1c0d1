"""Figures of two things each: a space and what may reach into it, or two solids; and kept.

What two things that stand still are to one another is measured once for a whole drag: of pieces
at other poses only those that were moved since are measured anew.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from app.scene.build import Scene
from app.scene.memory import NESTED_SHARE, memo_bytes

Numbers = NDArray[np.intp]
Floats = NDArray[np.float64]
Measure = Callable[[Numbers, Numbers], Floats]
"""Measures pairs by the numbers of both: one row of figures for each."""


class Half(NamedTuple):
    """One of the two of each pair: its numbers, whose piece each is, and how many there are."""

    numbers: Numbers
    owners: Numbers
    among: int


@dataclass(frozen=True, slots=True, eq=False)
class _Table:
    """What was measured last: where each piece stood, the pairs in rising order, their figures."""

    poses: Floats
    pairs: Numbers
    figures: Floats

    @property
    def held_bytes(self) -> int:
        return self.poses.nbytes + self.pairs.nbytes + self.figures.nbytes


class PairFigures:
    """The last figures of each part of the pairs of a plan; what is too much is not kept.

    `columns` are the figures of each pair.
    """

    def __init__(self, columns: int, bytes_at_most: int) -> None:
        self._columns = columns
        self._most = bytes_at_most
        self._tables: dict[int, _Table] = {}

    @property
    def held_bytes(self) -> int:
        """How many bytes the figures hold."""
        return sum(table.held_bytes for table in tuple(self._tables.values()))

    def measured(self, scene: Scene, part: int, one: Half, other: Half, measure: Measure) -> Floats:
        """Return the figures of pairs, those that are known as they were.

        `part` is the part of all that is asked about. Every scene that asks has the same pieces in
        the same order.
        """
        poses = scene.poses
        pairs = one.numbers * other.among + other.numbers
        figures, known = np.zeros((len(pairs), self._columns)), np.zeros(len(pairs), dtype=bool)
        table = self._tables.get(part)
        if table is not None and len(table.pairs) and len(pairs):
            place = np.searchsorted(table.pairs, pairs).clip(max=len(table.pairs) - 1)
            fixed = np.ones(len(scene.fixed_names), dtype=bool)
            stood = np.concatenate([(poses == table.poses).all(axis=1), fixed])
            known = table.pairs[place] == pairs
            known &= stood[one.owners] & stood[other.owners]
            figures[known] = table.figures[place[known]]
        new = np.flatnonzero(~known)
        if len(new):
            figures[new] = measure(one.numbers[new], other.numbers[new])
        order = np.argsort(pairs)
        self._hold(part, _Table(poses, pairs[order], figures[order]))
        return figures

    def _hold(self, part: int, table: _Table) -> None:
        before = self._tables.pop(part, None)
        if self.held_bytes + table.held_bytes <= self._most:
            self._tables[part] = table
        elif before is not None and self.held_bytes + before.held_bytes <= self._most:
            self._tables[part] = before


def pair_figures(scene: Scene, name: str, columns: int) -> PairFigures:
    """Return the figures of a name that are kept for all scenes that differ in poses alone."""
    most = memo_bytes(len(scene.order)) // NESTED_SHARE
    return scene.table(("pair figures", name), lambda: PairFigures(columns, most))
