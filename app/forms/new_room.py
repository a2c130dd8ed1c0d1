"""A plan from the few fields of a first visit: a rectangular room, its door, who trains there."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple, cast

from pydantic import ValidationError

from app.errors import Fault, LengthError, PlanError
from app.model.faults import plan_error
from app.model.people import Person, worth_keeping
from app.model.plan import Plan
from app.model.room import (
    Ceiling,
    Covering,
    CoveringMaterial,
    Floor,
    Opening,
    OpeningKind,
    Plane,
    Room,
    Wall,
)
from app.units import Units, format_length, read_length_mm, usual_currency

PEOPLE_ROWS = 4
WALLS = ("back", "right", "front", "left")
DOORS = (
    "none",
    "hinged",
    "pair",
    "canopy",
    "tracks",
    "sectional",
    "roller",
    "side-sliding",
)
COVERINGS: Mapping[str, tuple[CoveringMaterial, float]] = {
    "bare": ("bare", 0),
    "rubber-10": ("rubber", 10),
    "rubber-15": ("rubber", 15),
    "rubber-20": ("rubber", 20),
    "rubber-30": ("rubber", 30),
    "foam-20": ("foam", 20),
}
"""Choice on the form -> material and thickness in mm; `other` asks for the thickness."""


class _Asked(NamedTuple):
    """What one length is and the bounds in mm within which it makes sense."""

    what: str
    least_mm: float
    most_mm: float


_ROOM_SIDE = (1000, 30_000)
_WIDTH = _Asked("the width", *_ROOM_SIDE)
_DEPTH = _Asked("the depth", *_ROOM_SIDE)
_HEIGHT = _Asked("the lowest height", 1000, 8000)
_DOOR_WIDTH = _Asked("the door's width", 400, 8000)
_DOOR_HEIGHT = _Asked("the door's height", 1000, 6000)
_THICKNESS = _Asked("the covering", 0, 300)
_STATURE = _Asked("the height of a person", 1000, 2300)
_REACH = _Asked("the reach", 1000, 3500)


def plan_from_form(fields: Mapping[str, str]) -> Plan:
    """Make the plan of a rectangular room from the fields of the form.

    Fields: `name`, `units` (metric or feet), `width`, `depth`, `height`, `covering` (a key of
    COVERINGS, or `other` with `covering_mm`), `door` (one of DOORS) with `door_wall`,
    `door_width`, `door_height`, and for n from 1 to 4 `person{n}_name`, `person{n}_stature`,
    `person{n}_reach`, `person{n}_helped` (not empty: does not train alone), `currency` (three
    letters, or empty for the usual one of the units). Lengths are read as
    `app.units.parse_length_mm` does; a bare number too small to be meant in mm or inches counts
    as centimetres, metres or feet where only that makes sense. Walls run clockwise from the back
    left corner at (0, 0); the door stands in the middle of its wall; the ceiling is flat at the
    lowest height.

    Raises PlanError with one Fault for each field that is wrong, under the field's own name.
    """
    return _Reader(fields).plan()


class _Reader:
    """Reads the fields one by one and gathers what is wrong with them."""

    def __init__(self, fields: Mapping[str, str]) -> None:
        self.fields = fields
        self.faults: list[Fault] = []
        self.units: Units = "feet" if self._text("units") == "feet" else "metric"

    def plan(self) -> Plan:
        name = self._text("name") or "My room"
        if len(name) > 120:
            self._fault("name", f"the name has {len(name)} letters; 120 is the most")
        width = self._length("width", _WIDTH)
        depth = self._length("depth", _DEPTH)
        height = self._length("height", _HEIGHT)
        covering = self._covering()
        opening = self._door(width, depth, height)
        people = self._people()
        currency = self._text("currency").upper() or usual_currency(self.units)
        if not re.fullmatch("[A-Z]{3}", currency):
            self._fault("currency", "a currency is three letters, such as EUR, GBP or USD")
        if self.faults:
            raise PlanError(*self.faults)
        corners = ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))
        try:
            return Plan(
                name=name,
                units=self.units,
                currency=currency,
                room=Room(
                    walls=tuple(
                        Wall(id=wall, x_mm=x, y_mm=y)
                        for wall, (x, y) in zip(WALLS, corners, strict=True)
                    ),
                    openings=() if opening is None else (opening,),
                    floor=Floor(covering=covering),
                    ceiling=Ceiling(planes=(Plane(id="ceiling", height_mm=height),)),
                ),
                people=people,
            )
        except ValidationError as error:
            raise plan_error(error) from None

    def _text(self, field: str) -> str:
        return " ".join(self.fields.get(field, "").split())

    def _fault(self, field: str, sentence: str) -> None:
        self.faults.append(Fault(field, sentence))

    def _choice(self, field: str, choices: tuple[str, ...]) -> str:
        given = self._text(field) or choices[0]
        if given not in choices:
            self._fault(field, f"choose one of {', '.join(choices)}")
            return choices[0]
        return given

    def _length(self, field: str, asked: _Asked) -> float:
        """Read one length; a fault leaves its least, so that the rest can be read too."""
        text = self._text(field)
        if not text:
            self._fault(field, f"{asked.what} is missing")
            return asked.least_mm
        try:
            length = read_length_mm(text, self.units, (asked.least_mm, asked.most_mm))
        except LengthError as error:
            self._fault(field, error.sentence)
            return asked.least_mm
        if asked.least_mm <= length <= asked.most_mm:
            return length
        least, most = self._say(asked.least_mm), self._say(asked.most_mm)
        self._fault(
            field, f"{asked.what} is read as {self._say(length)}; it must be {least} to {most}"
        )
        return asked.least_mm

    def _say(self, length_mm: float) -> str:
        return format_length(length_mm, self.units)

    def _covering(self) -> Covering:
        choice = self._choice("covering", (*COVERINGS, "other"))
        if choice != "other":
            material, thickness = COVERINGS[choice]
            return Covering(material=material, thickness_mm=thickness)
        return Covering(material="rubber", thickness_mm=self._length("covering_mm", _THICKNESS))

    def _door(self, width: float, depth: float, ceiling: float) -> Opening | None:
        kind = self._choice("door", DOORS)
        if kind == "none":
            return None
        wall = self._choice("door_wall", ("front", "back", "right", "left"))
        faults_before = len(self.faults)
        door_width = self._length("door_width", _DOOR_WIDTH)
        door_height = self._length("door_height", _DOOR_HEIGHT)
        across, along = ("width", width) if wall in ("back", "front") else ("depth", depth)
        wrong = {fault.field for fault in self.faults}
        if not wrong & {"door_width", across} and door_width > along:
            self._fault(
                "door_width",
                f"the door is {self._say(door_width)} wide, its wall only {self._say(along)} long",
            )
        if not wrong & {"door_height", "height"} and door_height > ceiling:
            self._fault(
                "door_height",
                f"the door is {self._say(door_height)} high, the lowest height only "
                f"{self._say(ceiling)}: measure the opening up to what hangs lowest",
            )
        if len(self.faults) > faults_before:
            return None
        return Opening(
            id="door",
            wall=wall,
            kind=cast("OpeningKind", kind),
            offset_mm=max(0, (along - door_width) / 2),
            width_mm=door_width,
            height_mm=door_height,
            swing="out" if kind == "pair" else "in",
        )

    def _people(self) -> tuple[Person, ...]:
        people = []
        for row in range(1, PEOPLE_ROWS + 1):
            person = self._person(f"person{row}", f"person-{row}")
            if person is not None:
                people.append(person)
        if not people and not any(fault.field.startswith("person") for fault in self.faults):
            self._fault(
                "person1_stature", "say how tall the person who trains is: headroom follows it"
            )
        return tuple(people)

    def _person(self, row: str, person_id: str) -> Person | None:
        name, reach_text = self._text(f"{row}_name"), self._text(f"{row}_reach")
        if not (name or reach_text or self._text(f"{row}_stature")):
            return None
        before = len(self.faults)
        if len(name) > 120:
            self._fault(f"{row}_name", f"the name has {len(name)} letters; 120 is the most")
        stature = self._length(f"{row}_stature", _STATURE)
        reach = self._length(f"{row}_reach", _REACH) if reach_text else None
        if len(self.faults) == before and reach and not stature < reach < 2 * stature:
            self._fault(
                f"{row}_reach",
                f"{self._say(reach)} does not go with a height of {self._say(stature)}: measure "
                "barefoot, arms locked overhead, to the middle of a gripped bar",
            )
        if len(self.faults) > before:
            return None
        return Person(
            id=person_id,
            label=name,
            stature_mm=stature,
            stature_typed=worth_keeping(self._text(f"{row}_stature")),
            reach_mm=reach,
            reach_typed=worth_keeping(reach_text),
            trains_alone=not self._text(f"{row}_helped"),
        )
