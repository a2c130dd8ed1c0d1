"""Carrying out what a search found: on the very plan in which it was judged, or not at all.

A way out was judged with everything where it stood. Of two that were offered together the first may
spoil the second, even where they move different things, so that what is merged of both keeps the
promise of neither.
"""

from __future__ import annotations

from app.changes.commands import Command
from app.errors import ConflictError
from app.model.plan import Plan
from app.store.plans import Check, anything
from app.usecases.plans import Elbowroom

EARLIER = (
    "The plan has changed since this was found, so it was not done: it may no longer do what it "
    "says. What helps now is looked for anew."
)


class FoundEarlierError(ConflictError):
    """What is to be carried out was found in a plan that has been changed since."""

    code = "outdated"

    def __init__(self) -> None:
        super().__init__(EARLIER)


def do_as_found(
    house: Elbowroom,
    plan_id: str,
    command: Command,
    author: str,
    seen: int | None,
    limits: Check = anything,
) -> None:
    """Carry out a command that was found in revision `seen`, if that is the plan as it stands.

    Raises FoundEarlierError where it is not, or is not told, and else as `Elbowroom.do`; then
    nothing changes.
    """
    found = house.open(plan_id)
    if found.revision != seen:
        raise FoundEarlierError

    def untouched(after: Plan, before: Plan | None) -> None:
        # somebody may have been quicker since it was read
        if before != found.plan:
            raise FoundEarlierError
        limits(after, before)

    house.do(plan_id, command, author, None, untouched)
