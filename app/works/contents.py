"""What stands in the room today: how much of it is sorted, sold, tipped, carried out of the way."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from app.model.works import Full, Stored
from app.published.register import published
from app.scene.build import Scene
from app.takeoff.surfaces import MM2_A_M2, floor_area
from app.units import MEGA, MM_PER_M

COVERED_SHARES: Mapping[Full, str] = {
    "little": "works.covered-share.little",
    "half": "works.covered-share",
    "full": "works.covered-share.full",
    "unknown": "works.covered-share",
}

COLD_STORES = frozenset({"chest-freezer", "fridge"})
"""Kit types that hold food, which keeps only so long without power."""


@dataclass(frozen=True, slots=True)
class Contents:
    """How much there is: floor covered in m2, things to sell, loads to tip, m2 that are carried.

    `assumed` tells that nothing was named; then a share of the floor is taken.
    """

    covered_m2: float
    sells: float
    loads: float
    carried_m2: float
    assumed: bool


def contents(scene: Scene) -> Contents:
    """Return what stands in the room, as typed, else as is usual."""
    works = scene.plan.works
    if works.is_empty:
        return Contents(0, 0, 0, 0, False)
    if not works.stored:
        share = published(COVERED_SHARES[works.full])
        covered = float(floor_area(scene).area) / MM2_A_M2 * share
        return Contents(
            covered,
            round(covered * published("works.sells-per-m2")),
            math.ceil(covered * published("works.loads-per-m2")),
            covered * published("works.carried-share"),
            True,
        )
    by_fate: dict[str, list[Stored]] = {}
    for thing in works.stored:
        by_fate.setdefault(thing.becomes, []).append(thing)
    volume = sum(one.width_mm * one.depth_mm * one.height_mm for one in by_fate.get("tip", ()))
    cubic = volume / MEGA / MM_PER_M
    return Contents(
        sum(area_m2(one) for one in works.stored),
        len(by_fate.get("sell", ())),
        math.ceil(cubic / published("works.load-m3")) if cubic else 0,
        sum(area_m2(one) for one in by_fate.get("stays", ())),
        False,
    )


def area_m2(thing: Stored) -> float:
    """Return the floor that a thing takes, in m2."""
    return thing.width_mm * thing.depth_mm / MEGA


def staying(scene: Scene) -> tuple[Stored, ...]:
    """Return what stays in the room while one works there."""
    return tuple(one for one in scene.plan.works.stored if one.becomes == "stays")
