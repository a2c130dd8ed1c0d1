"""What fits into the room of a plan beside what stands there, kept for as long as it stands so."""

from __future__ import annotations

from contextlib import suppress
from functools import partial

from app.arranging.new_places import Spot
from app.arranging.whatfits import AtSpot, Fits, at_spot, fits
from app.budget import Budget
from app.errors import OutdatedError
from app.library.kit import kit_types
from app.recent import Recent
from app.usecases.plans import Elbowroom
from app.usecases.waiting import Gone, never_leaves

ANSWERS_AT_MOST = 16
"""Answers that are remembered: one a plan, for as long as it stays as it is."""
ANSWERS_BYTES = 2_000_000
BYTES_OF_AN_ANSWER = 30_000
"""What one answer holds: a pose and some names for each kit type."""


def fitting(house: Elbowroom, plan_id: str, gone: Gone = never_leaves) -> Fits:
    """Return what fits into a plan as it stands. Raises NotFoundError.

    It ends with EndingError when who asked has left.
    """
    answers = _answers(house)
    while True:
        state = house.open(plan_id)
        look = partial(house.waiting.look, plan_id, state.plan, gone)
        seek = partial(fits, state.plan, None, Budget(len(kit_types()), look))
        with suppress(OutdatedError):
            return answers.made((plan_id, state.revision), seek)


def fitting_at(house: Elbowroom, plan_id: str, spot: Spot, gone: Gone = never_leaves) -> AtSpot:
    """Return what fits over a spot of a plan as it stands, as `fitting` does for the room."""
    answers = _at_spots(house)
    while True:
        state = house.open(plan_id)
        look = partial(house.waiting.look, plan_id, state.plan, gone)
        seek = partial(at_spot, state.plan, spot, Budget(len(kit_types()), look))
        with suppress(OutdatedError):
            return answers.made((plan_id, state.revision, spot), seek)


def fitting_at_known(house: Elbowroom, plan_id: str, spot: Spot) -> AtSpot | None:
    """Return what fits over a spot where that is known already. Raises NotFoundError."""
    return _at_spots(house).get((plan_id, house.open(plan_id).revision, spot))


def fitting_known(house: Elbowroom, plan_id: str) -> Fits | None:
    """Return what fits where that is known already. Raises NotFoundError."""
    return _answers(house).get((plan_id, house.open(plan_id).revision))


def _at_spots(house: Elbowroom) -> Recent[tuple[str, int, Spot], AtSpot]:
    return house.memory(
        "what fits at spots", ANSWERS_AT_MOST, ANSWERS_BYTES, lambda _: BYTES_OF_AN_ANSWER
    )


def _answers(house: Elbowroom) -> Recent[tuple[str, int], Fits]:
    return house.memory("what fits", ANSWERS_AT_MOST, ANSWERS_BYTES, lambda _: BYTES_OF_AN_ANSWER)
