"""The picture of an option, or of a plan before its later purchases, for the cards of pages."""

from __future__ import annotations

from collections.abc import Set

from app.drawing.small_picture import small_picture
from app.model.phases import as_of_now, without
from app.published.register import overridden
from app.recent import Recent
from app.scene.build import build_scene
from app.usecases.plans import Elbowroom

PICTURES_AT_MOST = 36
"""Pictures that are remembered: some plans with their options, now and later, month by month."""
PICTURES_BYTES = 20_000_000
"""What they hold together: one of 300 pieces is a megabyte."""


def small_picture_of(
    house: Elbowroom, plan_id: str, now: bool = False, missing: Set[str] = frozenset()
) -> str:
    """Return the picture of a plan as SVG, `now` without what is for later, else without `missing`.

    Pieces are named by their ids; what is not on the plan is missing anyway. Raises NotFoundError.
    """
    known: Recent[tuple[str, int, frozenset[str]], str] = house.memory(
        "small pictures", PICTURES_AT_MOST, PICTURES_BYTES, len
    )
    with house.lock(plan_id):
        seen = house.judged(plan_id)
        plan = seen.state.plan
        there = {piece.id for piece in plan.pieces}
        early = as_of_now(plan) if now else without(plan, missing & there)
        gone = frozenset(there - {piece.id for piece in early.pieces})
        key = (plan_id, seen.state.revision, gone)
        drawn = known.get(key)
        if drawn is None:
            with overridden({one.id: one.value for one in plan.overrides}):
                scene = seen.scene if early is plan else build_scene(early)
                drawn = small_picture(scene.in_training().with_doors(False))
            known.put(key, drawn)
        return drawn
