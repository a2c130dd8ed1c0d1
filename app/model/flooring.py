"""What is laid on the floor: the product, and how it is to be laid."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from app.model.base import Frozen, Id, Label, Length, Point
from app.model.finishing import Typed
from app.model.money import Minor
from app.model.room import CoveringMaterial

FloorKind = Literal["mat", "roll", "tile", "board"]
Joints = Literal["staggered", "straight", "balanced"]


class FloorLaying(Frozen):
    """One covering of one zone, or of the whole floor where `zone` is empty.

    Kinds: mat and board (loose pieces with straight edges), roll (its length is unrolled along
    the rows), tile (its edges lock into its neighbours, so an edge at a joint must be a factory
    edge and a cut piece is not turned). What is left None is as a fitter would do it:
    `start_wall`, `along` (the long side along that wall), `first_mm` and `first_row_mm` (length of
    the first piece of the first row and depth of that row) and `stagger` (how far each row goes
    on, in pieces) are sought together, `start_end` (seen from inside with one's face to the wall)
    is the end nearer to the training, `joints` are staggered for mats and boards and straight for
    others, gap, least strip and the stop short of a garage door are the register's. Straight:
    joints in one line both ways. Balanced: the same with equal cuts of
    half a piece or more at both edges. `turns`: a cut may lie turned in the stock piece.
    `factory_edges`: no cut edge may lie at a joint. `under` names staying pieces that are laid
    under; the others that stand on the floor are laid round. Mass is for one stock piece and wins
    over the density. Prices are for one stock piece.
    """

    id: Id
    label: Label = ""
    kind: FloorKind = "mat"
    material: CoveringMaterial = "rubber"
    length_mm: Typed = 1000
    width_mm: Typed = 1000
    thickness_mm: Typed = 20
    density_kg_m3: Typed | None = None
    mass_kg: Typed | None = None
    price_minor: Minor | None = None
    pack: int = Field(default=1, ge=0, le=10_000)
    lasts_years: Typed | None = None
    start_wall: Id | None = None
    start_end: Literal["left", "right"] | None = None
    along: bool | None = None
    joints: Joints | None = None
    stagger: float | None = Field(default=None, gt=0, lt=1)
    first_mm: Typed | None = None
    first_row_mm: Typed | None = None
    gap_mm: Typed | None = None
    kerf_mm: Typed = 0
    least_strip_mm: Typed | None = None
    door_stop_mm: Length | None = None
    turns: bool = True
    factory_edges: bool = False
    zone: tuple[Point, ...] = ()
    under: tuple[Id, ...] = ()

    @property
    def name(self) -> str:
        """What people call it."""
        return self.label or f"{self.material} {self.kind}"
