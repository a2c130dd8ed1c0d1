"""What is sought in a plan: ways out, mending all, places. It ends when nobody waits any more.

Every search takes `gone`, which tells whether who asked has left, and a budget of steps. It may
raise EndingError; where the plan is changed meanwhile it begins anew in the newer one.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from functools import partial
from typing import TypeVar

from app.arrange.effort import FOUR_WALLS_STEPS, OFFER_STEPS
from app.arrange.four_walls import Place
from app.arrange.four_walls import four_walls as try_walls
from app.arrange.joining import Joined, joined
from app.arrange.mend_all import Mending
from app.arrange.offer import Offer, fits, tallest_mm
from app.arrange.remedy import WaysOut
from app.arrange.where_it_fits import Spot, where_it_fits
from app.budget import Budget
from app.errors import CommandError, OutdatedError
from app.scene.build import Scene
from app.units import Units
from app.usecases.judged import Findings
from app.usecases.plans import Elbowroom
from app.usecases.waiting import Gone, never_leaves

T = TypeVar("T")

__all__ = ["fit_offer", "joining", "mend_all", "remedies", "tallest_mm"]


def remedies(
    house: Elbowroom, plan_id: str, gone: Gone = never_leaves, *, first: bool = False
) -> tuple[int, WaysOut]:
    """Return the revision that was looked at, and a way out of each of its snags.

    The `first` are those of one change, which come sooner.
    """

    def seek(findings: Findings) -> WaysOut:
        return findings.first_ways_out if first else findings.ways_out

    return _in_the_background(house, plan_id, seek, gone)


def mend_all(house: Elbowroom, plan_id: str, gone: Gone = never_leaves) -> tuple[int, Mending]:
    """Return the revision that was looked at, and what mends all of it as one command."""
    return _in_the_background(house, plan_id, lambda findings: findings.mending, gone)


def fit_offer(
    house: Elbowroom,
    plan_id: str,
    sizes_mm: tuple[float, float, float],
    type_key: str | None = None,
    gone: Gone = never_leaves,
) -> Offer:
    """Return whether and where a thing of a width, depth and height fits."""

    def seek(scene: Scene, budget: Budget) -> Offer:
        return fits(scene, *sizes_mm, type_key, budget)

    return at_the_desk(house, plan_id, seek, OFFER_STEPS, gone)


def places_for(
    house: Elbowroom,
    plan_id: str,
    sizes_mm: tuple[float, float, float],
    type_key: str | None = None,
    gone: Gone = never_leaves,
) -> tuple[tuple[Spot, ...], Units]:
    """Return places where a new thing could stand, the best first, and the units of the plan."""

    def seek(scene: Scene, budget: Budget) -> tuple[tuple[Spot, ...], Units]:
        return where_it_fits(scene, sizes_mm, type_key, budget), scene.plan.units

    return at_the_desk(house, plan_id, seek, OFFER_STEPS, gone)


def joining(
    house: Elbowroom,
    plan_id: str,
    type_key: str,
    chosen: str | None,
    gone: Gone = never_leaves,
) -> Joined | None:
    """Return in which rack a new bar or bench is used, None where it stands for itself."""

    def seek(scene: Scene, budget: Budget) -> Joined | None:
        return joined(scene, type_key, chosen, budget)

    return at_the_desk(house, plan_id, seek, OFFER_STEPS, gone)


def four_walls(
    house: Elbowroom, plan_id: str, piece_id: str, gone: Gone = never_leaves
) -> tuple[tuple[Place, ...], tuple[str, ...]]:
    """Return the best place along each wall for the station of a piece, and the walls left out.

    A plan may be too large to try them all. Raises CommandError for an unknown piece.
    """

    def seek(scene: Scene, budget: Budget) -> tuple[tuple[Place, ...], tuple[str, ...]]:
        if piece_id not in scene.placed:
            raise CommandError(f"There is no piece {piece_id!r} in the plan.")
        return try_walls(scene, scene.placed[piece_id].root, budget), budget.left_out

    return at_the_desk(house, plan_id, seek, FOUR_WALLS_STEPS, gone)


def at_the_desk(
    house: Elbowroom,
    plan_id: str,
    seek: Callable[[Scene, Budget], T],
    steps: int,
    gone: Gone = never_leaves,
) -> T:
    """Return what a search finds that somebody waits for: no drag of another goes before it."""
    while True:
        scene = house.judged(plan_id).scene
        look = partial(house.waiting.look, plan_id, scene.plan, gone)
        with suppress(OutdatedError):
            return seek(scene, Budget(steps, look))


def _in_the_background(
    house: Elbowroom, plan_id: str, seek: Callable[[Findings], T], gone: Gone
) -> tuple[int, T]:
    with house.waiting.asking(gone):
        while True:
            seen = house.judged(plan_id)
            with suppress(OutdatedError), seen.findings.lock:
                return seen.state.revision, seek(seen.findings)
