"""What the day is called that the works lead to: a purse may come later than they ask for it."""

from __future__ import annotations

from app.model.plan import Plan

FIRST_TRAINING = "first training"
IN_TIME = f"{FIRST_TRAINING}, if all is paid in time"


def has_purse(plan: Plan) -> bool:
    """Return whether a sum is typed that things are bought from month by month."""
    return bool(plan.phasing.put_by_minor or plan.phasing.a_month_minor)


def goal_name(plan: Plan, is_late: bool | None = None) -> str:
    """Return what the day is called that the works lead to.

    They ask for each thing on its day; a purse may come later, which takes a search to know:
    `is_late` is what was found, where it was sought.
    """
    return IN_TIME if (has_purse(plan) if is_late is None else is_late) else FIRST_TRAINING
