"""What was taped on a walk round a room: walls and turns, diagonals, heights, all as typed."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from app.model.base import Frozen, Id, Label, Length, Size

TurnWord = Literal["in", "straight", "out"]
Hand = Literal["left", "right"]
MeasuredWith = Literal["tape", "laser"]
AsTyped = Label
Number = Annotated[int, Field(ge=1, le=200)]


class WalkStep(Frozen):
    """One wall of the walk and the turn at its end; `wall` is the wall of the room it stands for.

    `in` turns towards the room, `out` away from it, `straight` goes on: right angles are meant,
    but only roughly.
    """

    length_mm: Size
    typed: AsTyped = ""
    turn: TurnWord = "in"
    wall: Id | None = None


class Diagonal(Frozen):
    """A length through the air between two corners, counted from 1 at the start of the walk."""

    start: Number
    end: Number
    length_mm: Size
    typed: AsTyped = ""


class HeightAt(Frozen):
    """A height from bare floor to ceiling: along a wall (counted from 1), and out from it."""

    wall: Number
    along_mm: Length = 0
    out_mm: Length = 0
    height_mm: Size
    typed: AsTyped = ""
    along_typed: AsTyped = ""
    out_typed: AsTyped = ""


class Walk(Frozen):
    """A walk round the whole room, back to its start, with the walls at one hand.

    `rises_from` is the wall (counted from 1) from which the ceiling was said to rise, where its
    heights leave that open.
    """

    steps: tuple[WalkStep, ...] = Field(max_length=200)
    diagonals: tuple[Diagonal, ...] = Field(default=(), max_length=400)
    heights: tuple[HeightAt, ...] = Field(default=(), max_length=200)
    rises_from: Number | None = None
    hand: Hand = "left"
    measured_with: MeasuredWith = "tape"
