"""What is laid on the floor: the product, and how it is to be laid."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator

from app.model.base import Coordinate, Frozen, Id, Label, Length, Point, Size, by_id
from app.model.finishing import Typed
from app.model.money import Minor
from app.model.room import CoveringMaterial

FloorKind = Literal["mat", "roll", "tile", "board"]
Joints = Literal["staggered", "straight", "balanced"]


Corners = tuple[Length, Length, Length, Length]
"""Left, top, right and bottom of a rectangle in its stock piece, in mm."""
CORNERS_AT_MOST = 400
PIECES_AT_MOST = 4000


class Ring(Frozen):
    """What stands within a piece: the outline of the hole."""

    outline: tuple[Point, ...] = Field(min_length=3, max_length=CORNERS_AT_MOST)


PIECE_NUMBER = r"^[1-9][0-9]{0,4}$"


class LaidPiece(Frozen):
    """One piece of a floor that is being laid; its id is its number.

    `outline` and `holes` are where it lies on the plan, `rect` what it is cut from its stock piece
    and `quarters` how often it lies turned there, clockwise. Of one that is `down` also the `blank`
    that it was cut from is known and what was `left` of that: offcuts in the hand.
    """

    id: Annotated[str, Field(pattern=PIECE_NUMBER)]
    outline: tuple[Point, ...] = Field(min_length=3, max_length=CORNERS_AT_MOST)
    holes: tuple[Ring, ...] = Field(default=(), max_length=CORNERS_AT_MOST)
    sheet: int = Field(ge=1, le=PIECES_AT_MOST)
    rect: Corners
    quarters: int = Field(default=0, ge=0, le=3)
    down: bool = False
    blank: Corners | None = None
    left: tuple[Corners, ...] = Field(default=(), max_length=CORNERS_AT_MOST)


class Begun(Frozen):
    """Where the joints of a floor run that is being laid, so that they stay where they are.

    `points` are the left end of the start wall and a point straight before it, `long_mm` how long
    the wall was. Joints between rows lie at `rows_at`, those of each row at its one of `phases`
    (mm in the frame of these points; both go on by a piece); the first of them is that of the row
    that ends `first_row` rows from there. `ends_wider_mm` is how much more than the gap stays
    free at the walls at the ends of the rows, `along_wider_mm` at those along them.
    """

    points: tuple[Point, Point]
    wall: Id
    long_mm: Size
    from_right: bool
    along: bool
    joints: Joints
    stagger: float = Field(ge=0, lt=1)
    rows_at: Coordinate
    phases: tuple[Coordinate, ...] = Field(min_length=1, max_length=PIECES_AT_MOST)
    first_row: int = Field(ge=-PIECES_AT_MOST, le=PIECES_AT_MOST)
    ends_wider_mm: Coordinate = 0.0
    along_wider_mm: Coordinate = 0.0


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
    under; the others that stand on the floor are laid round. `flush` names pieces that are let in:
    they lie on the bare floor, and it is laid up to them without a gap. Mass is for one stock piece
    and wins over the density. Prices are for one stock piece, or for a metre of a roll that is sold
    `by_metre`: its length is the longest in which it comes then. Once the first piece lies, `begun`
    and `laid` hold how the rest goes on, `spoiled` what was cut and can be laid nowhere.
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
    by_metre: bool = False
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
    flush: tuple[Id, ...] = ()
    begun: Begun | None = None
    laid: tuple[LaidPiece, ...] = Field(default=(), max_length=PIECES_AT_MOST)
    spoiled: tuple[LaidPiece, ...] = Field(default=(), max_length=PIECES_AT_MOST)

    @field_validator("laid", "spoiled")
    @classmethod
    def _in_order(cls, pieces: tuple[LaidPiece, ...]) -> tuple[LaidPiece, ...]:
        return by_id(pieces)

    @property
    def name(self) -> str:
        """What people call it."""
        return self.label or f"{self.material} {self.kind}"

    @property
    def sold_by_metre(self) -> bool:
        """Return whether a shop measures it off a roll."""
        return self.by_metre and self.kind == "roll"

    @property
    def piece_name(self) -> str:
        """What one stock piece is called."""
        return "length" if self.sold_by_metre else self.kind
