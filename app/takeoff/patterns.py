"""Ways to cut one stock length: the search that finds the rich ones and leaves out none.

All lengths here are whole steps (see `STEPS_PER_MM`), the kerf already added to pieces and
stock: pieces fit when their sum is no more than the stock.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from app.takeoff.effort import SLACK

Counts = tuple[int, ...]


@dataclass(slots=True)
class Patterns:
    """Patterns (pieces of each length) and whether the search came to its end."""

    patterns: list[Counts] = field(default_factory=list)
    complete: bool = True


class Search:
    """All patterns of one stock length whose worth is enough, or the richest one.

    `worth` is what a piece of each length is worth. A pattern is looked at when no further piece
    that is still wanted fits. The search takes the lengths by worth for their length and gives a
    branch up when even a fraction of the next piece would not bring it to what is asked.
    """

    def __init__(
        self, lengths: Sequence[int], wanted: Sequence[int], stock: int, worth: Sequence[float]
    ) -> None:
        # By worth for length the bound of `_may_reach` is that of the knapsack with fractions, and
        # tight; of equal worth the long ones first, for they leave fewer ways open.
        order = sorted(range(len(lengths)), key=lambda i: (-worth[i] / lengths[i], -lengths[i]))
        self._order = [i for i in order if lengths[i] <= stock]
        self._lengths = [lengths[i] for i in self._order]
        self._wanted = [wanted[i] for i in self._order]
        self._worth = [worth[i] for i in self._order]
        self._count = len(lengths)
        self._stock = stock
        # Far below the solver's own rounding: here sums are compared that were added up in one
        # order.
        self._slack = SLACK**2
        # The shortest piece from each place on: once less is left, nothing more fits and the branch
        # ends.
        least = [0] * (len(self._order) + 1)
        for at in range(len(self._order) - 1, -1, -1):
            last = at == len(self._order) - 1
            least[at] = self._lengths[at] if last else min(self._lengths[at], least[at + 1])
        self._least = least
        self.looked = 0

    def richest(self, looks: int) -> tuple[float, Counts, bool]:
        """Return the greatest worth, its pattern, and whether that is certain."""
        self._best, self._best_counts = -1.0, [0] * len(self._order)
        self._answer, self._only_best, self._looks = Patterns(), True, looks
        self._go(0, self._stock, 0.0, [0] * len(self._order))
        self.looked = looks - max(self._looks, 0)
        return max(self._best, 0.0), self._spread(self._best_counts), self._answer.complete

    def worth_at_least(self, asked: float, most: int, looks: int) -> Patterns:
        """Return every pattern of at least this worth, up to so many."""
        self._best, self._only_best, self._looks = asked, False, looks
        self._answer, self._most = Patterns(), most
        self._go(0, self._stock, 0.0, [0] * len(self._order))
        return self._answer

    def _spread(self, counts: Sequence[int]) -> Counts:
        whole = [0] * self._count
        for i, count in zip(self._order, counts, strict=True):
            whole[i] = count
        return tuple(whole)

    def _go(self, at: int, left: int, worth: float, counts: list[int]) -> None:
        self._looks -= 1
        if self._looks < 0:
            self._answer.complete = False
            return
        if at == len(self._order) or left < self._least[at]:
            self._end(left, worth, counts)
            return
        if not self._may_reach(at, left, worth):
            return
        length = self._lengths[at]
        # Many first: rich patterns come early and the bound cuts sooner.
        for count in range(min(self._wanted[at], left // length), -1, -1):
            counts[at] = count
            self._go(at + 1, left - count * length, worth + count * self._worth[at], counts)
            if not self._answer.complete:
                break
        counts[at] = 0

    def _may_reach(self, at: int, left: int, worth: float) -> bool:
        bound = worth
        for i in range(at, len(self._order)):
            length = self._lengths[i]
            count = min(self._wanted[i], left // length)
            bound += count * self._worth[i]
            left -= count * length
            if count < self._wanted[i]:
                # A fraction of the next piece: more than any whole choice can get out of what is
                # left.
                bound += self._worth[i] * left / length
                break
        if self._only_best:
            return bound > self._best + self._slack
        return bound >= self._best - self._slack

    def _end(self, left: int, worth: float, counts: list[int]) -> None:
        if self._only_best:
            if worth > self._best + self._slack:
                self._best, self._best_counts = worth, counts.copy()
            return
        if worth < self._best - self._slack:
            return
        for length, wanted, count in zip(self._lengths, self._wanted, counts, strict=True):
            # Room for one more: the pattern with it is found too and is never worse.
            if count < wanted and length <= left:
                return
        if len(self._answer.patterns) >= self._most:
            self._answer.complete = False
            return
        self._answer.patterns.append(self._spread(counts))
