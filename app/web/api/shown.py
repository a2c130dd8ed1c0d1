"""What of a plan is told to whom: all of it to who may change it, to others what they are shown.

Whoever may only look, or pencil remarks, sees the drawing and the sentences. How tall people are,
what things cost (unless a link shares it), why something was settled and what was noted stays with
those who plan.
"""

from __future__ import annotations

from typing import Any

from app.changes.commands import Command
from app.model.base import json_of
from app.model.plan import Plan
from app.store.plans import Check, anything
from app.usecases.crowds import guests_limits
from app.usecases.judged import Judged
from app.usecases.lookers import for_lookers
from app.web.guard.guard import RefusedError
from app.web.guard.requester import link

OF_A_SNAG = ("key", "number", "severity", "who", "sentence", "lines", "where")


def plans_along() -> bool:
    """Return whether who asks may change the plan: the owner, or a guest whose link says so."""
    guest = link()
    return guest is None or guest.rights == "edit"


def sees_money() -> bool:
    """Return whether who asks is shown what things cost: planners, and where a link shares it."""
    guest = link()
    return plans_along() or (guest is not None and guest.money)


def limits_of_asker() -> Check:
    """Return what a change is held to besides what every plan is: guests have limits."""
    return anything if link() is None else guests_limits


def lays_own_picture(plan: Plan, asked: Command) -> None:
    """Refuse a guest's command that names a picture which is not the plan's. Raises RefusedError.

    Pictures are kept once for all plans: by the name of one that belongs to another plan a guest
    would come to see it.
    """
    if link() is None:
        return
    known = set(plan.photos)
    for change in asked.changes:
        if change.path[0] not in ("works", "room"):
            continue
        if _photos_in(change.after, "photos" in change.path) - known:
            raise RefusedError("A photo is added on its own page, not by a command.")
    own = None if plan.picture is None else plan.picture.id
    for change in asked.changes:
        if change.path[0] == "picture":
            after = change.after
            named = after.get("id") if isinstance(after, dict) else after
            whole = len(change.path) == 1 or change.path[1] == "id"
            if whole and named not in (None, own):
                raise RefusedError("A picture is laid under the plan by its owner alone.")


def _photos_in(value: Any, are_photos: bool) -> set[str]:
    """Return all photos that a value names; `are_photos` tells that it stands where they do."""
    if isinstance(value, dict):
        return set().union(*(_photos_in(one, name == "photos") for name, one in value.items()))
    if isinstance(value, list | tuple):
        return set().union(*(_photos_in(one, are_photos) for one in value))
    return {str(value)} if are_photos and value is not None else set()


def shown_json(seen: Judged) -> dict[str, Any]:
    """Return what the page of a guest who may only look shows, as JSON data."""
    plan = seen.state.plan
    return {
        "ok": True,
        "id": seen.state.plan_id,
        "revision": seen.state.revision,
        "plan": {"name": plan.name, "picture": plan.picture and json_of(plan.picture)},
        "verdict": shown_verdict(seen),
        "drawing": seen.drawing,
    }


def shown_verdict(seen: Judged) -> dict[str, Any]:
    """Return of a verdict the counts and the list; of a reason only that there is one."""
    verdict = for_lookers(seen).verdict
    return {
        "counts": verdict["counts"],
        "snags": [
            {**{key: snag[key] for key in OF_A_SNAG}, "settled": snag["settled"] is not None}
            for snag in verdict["snags"]
        ],
    }
