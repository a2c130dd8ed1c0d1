"""Commands as the desk makes them, for tests."""

from collections.abc import Sequence

from app.changes.commands import Change, Command
from app.model.base import json_of
from app.model.plan import Plan, Settled


def removes(plan: Plan, piece_ids: Sequence[str], says: str = "") -> Command:
    """Build the command that takes pieces off the plan; what they carry is set free first."""
    gone = set(piece_ids)
    freed = tuple(
        Change(path=("pieces", p.id, "carried_by"), before=p.carried_by, after=None)
        for p in plan.pieces
        if p.carried_by in gone and p.id not in gone
    )
    return Command(
        name="remove",
        says=says,
        changes=freed
        + tuple(
            Change(path=("pieces", piece_id), before=json_of(plan.piece(piece_id)), after=None)
            for piece_id in piece_ids
        ),
    )


def settles(plan: Plan, settled: Settled) -> Command:
    """Build the command that settles a snag with a reason."""
    before = next((json_of(s) for s in plan.settled if s.id == settled.id), None)
    return Command(
        name="settle",
        changes=(Change(path=("settled", settled.id), before=before, after=json_of(settled)),),
    )
