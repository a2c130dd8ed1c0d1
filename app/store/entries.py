"""What the store hands out: a line of the list of plans, and a plan as it stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from app.model.plan import Plan


@dataclass(frozen=True, slots=True)
class Entry:
    """One plan of the list. `deleted` is the moment it was deleted, None while it lives."""

    id: str
    name: str
    revision: int
    created: datetime
    changed: datetime
    deleted: datetime | None


@dataclass(frozen=True, slots=True)
class State:
    """A plan at one revision, and what an undo or redo would take back or do again.

    `undo_says` and `redo_says` are None where there is nothing to undo or redo. `undo_to` and
    `redo_to` are the revisions that held what the plan would then be. `same_as` is one that held
    what the plan is now, where that is known. `out_of_reach` are the first and last revision that
    cannot be read from the file; the plan is then as it was just before them.
    """

    plan_id: str
    plan: Plan
    revision: int
    undo_says: str | None
    redo_says: str | None
    undo_to: int | None = None
    redo_to: int | None = None
    same_as: int | None = None
    out_of_reach: tuple[int, int] | None = None

    @property
    def can_undo(self) -> bool:
        """Return whether there is something to take back."""
        return self.undo_says is not None

    @property
    def can_redo(self) -> bool:
        """Return whether there is something to do again."""
        return self.redo_says is not None

    @property
    def out_of_reach_says(self) -> str:
        """Return which changes cannot be read from the file; empty where all can."""
        if self.out_of_reach is None:
            return ""
        first, last = self.out_of_reach
        which = f"Revision {last}" if first == last else f"Revisions {first} to {last}"
        return (
            f"{which} cannot be read from the file and {'is' if first == last else 'are'} out of "
            f"reach: this is the plan before {'it' if first == last else 'them'}, and the next "
            "change goes on from here."
        )
