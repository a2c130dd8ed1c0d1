"""How long an anchor must be that goes into a slab through what lies on it."""

from __future__ import annotations

from shapely import Polygon

from app.published.register import published
from app.scene.build import Placed, Scene

SLEEVES = {100: "sleeve-m10", 120: "sleeve-m10-120", 150: "sleeve-m10-150"}
"""Sleeve anchors M10 by their length in mm: what shops have, common practice, no source."""


def anchor_through(over_mm: float) -> str | None:
    """Return the shortest anchor that lies deep enough below a covering; None where none does."""
    least = over_mm + published("fixing.anchor-in-mm") + published("fixing.anchor-out-mm")
    return next((by for long_mm, by in sorted(SLEEVES.items()) if long_mm >= least), None)


def covering_under(scene: Scene, placed: Placed) -> float:
    """Return the thickness of what lies on the floor under a piece, in mm; 0 on the bare floor."""
    floors = scene.plan.fit_out.floors
    laid = scene.plan.room.floor.covering
    if not floors:
        return 0.0 if laid.material == "bare" else laid.thickness_mm
    return max(
        (
            one.thickness_mm
            for one in floors
            if len(one.zone) < _CORNERS or Polygon(one.zone).intersects(placed.footprint)
        ),
        default=0.0,
    )


_CORNERS = 3
"""What an outline has at the least; a floor without one lies everywhere."""
