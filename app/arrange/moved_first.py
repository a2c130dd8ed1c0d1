"""Of several findings of one station the stop comes first: no care moves it in another way."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Protocol

from app.arrange.trial import Effect, Trials
from app.checks.snag import Snag


class Moving(Protocol):
    """What moves some stations."""

    @property
    def moved(self) -> frozenset[str]:
        """The stations that it moves."""


@dataclass(slots=True)
class MovedFirst:
    """Passes over what moves a station for a care and leaves a stop for which it is moved as well.

    Else who follows one row after the other moves a thing twice, and who follows the care alone has
    moved what still cannot stay. `moved` are findings with the stations that their ways out move,
    `left` is the stop that was left.
    """

    trials: Trials
    snag: Snag
    moved: Iterable[tuple[Snag, frozenset[str]]]
    left: Snag | None = field(default=None, init=False)

    def leaves_none(self, change: Moving, effect: Effect) -> bool:
        """Return whether a change leaves no such stop."""
        if self.snag.severity == "stop":
            return True
        for one, stations in self.moved:
            both = one.severity == "stop" and change.moved & stations
            if both and self.trials.leaves(effect, one):
                self.left = one
                return False
        return True

    def waits(self) -> bool:
        """Return whether a change was passed over for leaving such a stop."""
        return self.left is not None
