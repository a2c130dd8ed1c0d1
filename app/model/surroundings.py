"""What the room hangs on: its electricity, its air and warmth, its age, and the way in."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator

from app.model.base import Frozen, Id, Label, Length, Size, by_id

YesNo = Literal["yes", "no", "unknown"]
FeedKind = Literal["unknown", "fused-spur", "one-circuit", "own-board"]
Whose = Literal["own", "shared", "rented", "unknown"]
HeardBy = Literal["nobody", "household", "neighbours", "unknown"]
TrainsWhen = Literal["day", "evening", "night", "unknown"]
PassageKind = Literal["door", "corridor", "corner", "stairs", "landing", "hatch"]
Celsius = Annotated[float, Field(ge=-60, le=60)]


class Circuit(Frozen):
    """One circuit that sockets of the room hang on."""

    id: Id
    amps: Annotated[float, Field(gt=0, le=125)]
    label: Label = ""


class Electricity(Frozen):
    """What feeds the room. `amps` is that of the feed: the spur's fuse, the circuit, the board."""

    volts: Literal[120, 230] = 230
    feed: FeedKind = "unknown"
    amps: Annotated[float, Field(gt=0, le=125)] | None = None
    residual_current_protection: YesNo = "unknown"
    circuits: tuple[Circuit, ...] = ()

    @field_validator("circuits")
    @classmethod
    def _in_order(cls, circuits: tuple[Circuit, ...]) -> tuple[Circuit, ...]:
        return by_id(circuits)


class Climate(Frozen):
    """Air and warmth. Temperatures in C on a cold day, relative humidity in per cent."""

    outside_c: Celsius = -2
    wanted_c: Celsius = 15
    unheated_c: Celsius = 5
    humidity_percent: Annotated[float, Field(ge=1, le=100)] = 80
    air_changes_per_hour: Annotated[float, Field(ge=0, le=60)] = 0.5
    session_minutes: Annotated[float, Field(gt=0, le=600)] = 60
    fuel_burned_here: YesNo = "unknown"
    car_kept_here: YesNo = "no"


class Fabric(Frozen):
    """What is known of the building itself, of whose it is and of who else lives in it.

    `whose` tells who has a say: `shared` is a flat or house of which others own a part. `heard_by`
    is whoever hears thuds and motors of this room, `trains_when` the part of the day in which
    somebody trains most: `night` is early or late, while others sleep.
    """

    built_before_2000: YesNo = "unknown"
    below: Literal["ground", "room", "unknown"] = "unknown"
    under_the_house: YesNo = "unknown"
    post_tensioned: YesNo = "unknown"
    floor_dry: YesNo = "unknown"
    children_or_animals: YesNo = "unknown"
    whose: Whose = "unknown"
    may_drill: YesNo = "unknown"
    heard_by: HeardBy = "unknown"
    trains_when: TrainsWhen = "unknown"


class Passage(Frozen):
    """One place on the way from the street to the room, in the order in which it is met.

    `width_mm` and `height_mm` are clear. A corner joins `width_mm` and `beyond_mm`; stairs and
    corridors have a `length_mm`.
    """

    id: Id
    kind: PassageKind
    width_mm: Size
    height_mm: Size = 2000
    beyond_mm: Size | None = None
    length_mm: Length = 0
    label: Label = ""
