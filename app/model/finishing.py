"""What is chosen for walls, ceiling and floor: paint, light strip, fittings, mirrors, projection.

Numbers that would spoil a calculation (a kerf below nothing, a rate of nothing) are kept as they
were typed: the take-off names the line they stand in and counts the rest.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator

from app.model.base import (
    Coordinate,
    Frozen,
    Hundredth,
    Id,
    Label,
    Length,
    MoreThanNothing,
    Point,
    Size,
    by_id,
)
from app.model.surroundings import Celsius

Surface = Literal["walls", "ceiling", "floor"]
PaintTool = Literal["brush", "short-roller", "long-roller", "spray"]
MeasuredBy = Literal["net", "over-1-m2", "over-2-5-m2"]
Typed = Annotated[float, Field(ge=-1e6, le=1e6), Hundredth]
"""A number as typed, judged only where it is used."""


class PaintJob(Frozen):
    """One coating on one kind of surface.

    `walls` empty means every wall; `outline` empty means the whole floor. Empty texture, coats,
    tool, colour and rate mean: by what the surface is made of, and the coating's own. `film_um`
    is the dry film of each coat; with it the rate follows from the coating's solids. `in_parts`
    tells in how many parts a floor is done that cannot be emptied.
    """

    id: Id
    surface: Surface
    walls: tuple[Id, ...] = ()
    outline: tuple[Point, ...] = ()
    coating: Id = "emulsion"
    texture: Id | None = None
    coats: Annotated[int, Field(ge=1, le=6)] | None = None
    filler: bool = False
    tool: PaintTool | None = None
    colour: Label = ""
    rate_m2_l: Typed | None = None
    film_um: Typed | None = None
    in_parts: Annotated[int, Field(ge=1, le=3)] = 1


class StripRun(Frozen):
    """Light strip along a line on a wall or under the ceiling.

    On a wall `points` are (distance along the wall from its starting corner, height); on the
    ceiling they are points of the plan. `cable_mm` is the way from the supply to its first feed.
    """

    id: Id
    wall: Id | None = None
    points: tuple[Point, ...] = Field(min_length=2, max_length=200)
    strip: Id = "strip-12v-60"
    profile: Id | None = "profile-surface"
    stock_mm: Typed | None = None
    kerf_mm: Typed = 3
    cable_mm: Length = 3000
    label: Label = ""


class LightChoice(Frozen):
    """The light to train by: the illuminance wanted and the fitting."""

    wanted_lux: Annotated[float, Field(gt=0, le=5000), Hundredth, MoreThanNothing] | None = None
    fitting: Id = "batten-1500"
    other: Id = "batten-1200"
    dirty: bool = False


class MirrorArea(Frozen):
    """An area of a wall to cover with mirror: `offset_mm` runs from the wall's starting corner."""

    id: Id
    wall: Id
    offset_mm: Length
    width_mm: Size
    bottom_mm: Length = 500
    height_mm: Size = 1500
    sheet: Id = "mirror-sheet-6"
    held: Literal["adhesive", "clips"] = "clips"
    foot: Literal["ledge", "batten"] = "ledge"


class Projection(Frozen):
    """A picture thrown on a wall to trace or to look at; its middle is `middle_mm` along."""

    id: Id
    wall: Id
    middle_mm: Length
    throw_ratio: Typed = 1.5
    distance_mm: Size = 3000
    lens_mm: Coordinate = 1000
    lumens: Typed = 3000
    aspect: Annotated[float, Field(gt=0, le=10)] = 1.78


class Finishing(Frozen):
    """All that is chosen for the surfaces, in one place.

    `measured_by` is the rule for openings: deduct all, or only those over 1 or 2.5 square metres.
    `painted_at_c` and `painted_at_percent` are air and humidity while painting; empty means those
    of the room unheated. `nothing_assumed` leaves out what the plan does not choose. `seal` tells
    that the garage door is sealed against rain and draught.
    """

    measured_by: MeasuredBy = "net"
    painted_at_c: Celsius | None = None
    painted_at_percent: Annotated[float, Field(ge=1, le=100)] | None = None
    nothing_assumed: bool = False
    seal: bool = False
    paint: tuple[PaintJob, ...] = Field(default=(), max_length=60)
    strips: tuple[StripRun, ...] = Field(default=(), max_length=60)
    light: LightChoice | None = None
    mirrors: tuple[MirrorArea, ...] = Field(default=(), max_length=40)
    projections: tuple[Projection, ...] = Field(default=(), max_length=10)

    @field_validator("paint", "strips", "mirrors", "projections")
    @classmethod
    def _in_order(cls, things: tuple[PaintJob, ...]) -> tuple[PaintJob, ...]:
        return by_id(things)
