"""The plan sheet of a plan that has been judged."""

from __future__ import annotations

from datetime import date

from app.drawing.plan_sheet import plan_sheet
from app.drawing.sheet import Sheet, TitleFields
from app.usecases.judged import Judged
from app.usecases.verdict import settled_by


def sheet_of(
    judged: Judged, paper: str, scale: int | None, flags: bool, statures: bool = True
) -> Sheet:
    """Draw the plan sheet with what is open and what is settled. Raises SheetError."""
    state = judged.state
    revision = str(state.revision) if state.plan_id else ""
    settled = {entry.id: entry for entry in state.plan.settled}
    still_open = [s for s in judged.snags if settled_by(settled, s.key, s) is None]
    shut = [s for s in judged.snags if settled_by(settled, s.key, s) is not None]
    fields = TitleFields(revision=revision, date=date.today().isoformat(), statures=statures)
    return plan_sheet(
        judged.scene,
        still_open,
        paper=paper,
        scale=scale,
        flags=flags,
        numbers=judged.numbers,
        fields=fields,
        settled=[(judged.numbers[s.key], f"{s.who}: {s.worded(state.plan.units)}") for s in shut],
    )
