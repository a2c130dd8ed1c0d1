"""How high a piece stands: what lies under it, and what a bar rests on."""

from __future__ import annotations

from collections.abc import Mapping

from app.library.anchors import Extent, place
from app.library.forms import extent_of
from app.library.kit import KitType
from app.model.flooring import FloorLaying
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.situations import out_while_training
from app.published.register import published

ROLLED_OFF = frozenset({"car", "motorbike", "bike-stored"})
"""What stays but is rolled off the floor for the day of laying, and back onto it."""


def lift_mm(plan: Plan, kit: KitType, piece: Piece | None = None) -> float:
    """Return what lies under a piece in mm: the covering, unless it hangs clear of the floor.

    What stays where it is while a floor is laid round it stands on the bare floor.
    """
    extent = Extent(kit.width_mm, kit.depth_mm, kit.height_mm)
    hangs = kit.bar is None and kit.solids and min(place(s.z[0], extent) for s in kit.solids) > 0
    floors = plan.fit_out.floors
    bare = piece is not None and bool(floors) and all(passes_by(plan, piece, f) for f in floors)
    return 0.0 if hangs or bare else plan.room.floor.covering.thickness_mm


def passes_by(plan: Plan, piece: Piece, laying: FloorLaying) -> bool:
    """Return whether nothing of a floor is laid under a piece that stands there already.

    What rolls, or is out of the room at times, has the floor under it.
    """
    return (
        piece.stays
        and piece.id not in laying.under
        and piece.type not in ROLLED_OFF
        and piece.id not in out_while_training(plan)
    )


def rest_mm(
    piece: Piece, kit: KitType, host: Piece | None, kits: Mapping[str, KitType]
) -> tuple[float, float]:
    """Return the least and greatest height of a bar's middle above the foot of what it rests on."""
    if kit.bar is None:
        return 0.0, 0.0
    if host is not None and host.type in kits and kits[host.type].rests:
        carrier = kits[host.type]
        extent = extent_of(host, carrier)
        ends = [place(z, extent) for rest in carrier.rests for z in rest.z]
        return min(ends), max(ends)
    half = (piece.plate_mm or published("plate.large-diameter-mm")) / 2
    return half, half
