"""Which kind of layout a search looks for where it has too few to choose from: each in its turn."""

from __future__ import annotations

from collections.abc import Iterable

from app.arranging.best_layouts import Looks, halves
from app.arranging.problem import Problem
from app.arranging.proposals import Proposals

Kind = tuple[str, str]
STEPS_A_KIND = 6
"""Steps for one kind before the next has its turn: about what a first layout of it takes."""


class LackingKinds:
    """The kinds of layouts that there might be: the largest at a wall, the floor open in a half."""

    def __init__(self, problem: Problem, proposals: Proposals, number: int) -> None:
        """Begin with another kind in each search."""
        self.walls = proposals.walls()
        names = [problem.scene.room.walls[wall].id for wall in self.walls]
        self.kinds = [(name, half) for name in names for half in halves(problem.scene)]
        self._turn, self._made = number * max(len(self.kinds) // 4, 1), 0

    def sought(self, shown: Iterable[Looks]) -> Kind | None:
        """Return the kind that is looked for in the next step, None where none is lacking."""
        there = {(one.wall, one.half) for one in shown}
        if all(kind in there for kind in self.kinds):
            return None
        self._made += 1
        if self._made > STEPS_A_KIND:
            self._turn, self._made = self._turn + 1, 1
        while (kind := self.kinds[self._turn % len(self.kinds)]) in there:
            self._turn, self._made = self._turn + 1, 1
        return kind

    def wall_of(self, kind: Kind) -> int:
        """Return the number of the wall of a kind."""
        return self.walls[self.kinds.index(kind) // 2]
