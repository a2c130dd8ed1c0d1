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
    what the plan is now, where that is known.
    """

    plan_id: str
    plan: Plan
    revision: int
    undo_says: str | None
    redo_says: str | None
    undo_to: int | None = None
    redo_to: int | None = None
    same_as: int | None = None

    @property
    def can_undo(self) -> bool:
        """Return whether there is something to take back."""
        return self.undo_says is not None

    @property
    def can_redo(self) -> bool:
        """Return whether there is something to do again."""
        return self.redo_says is not None
