"""A plan from the few fields of a first visit: a rectangular room, its door, who trains there."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import cast

from pydantic import ValidationError

from app.forms.people_edits import REACH_MM, STATURE_MM, see_reach
from app.forms.typed_fields import Typed
from app.model.faults import plan_error
from app.model.fit_out import FitOut
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
from app.model.turning import door_below
from app.units import usual_currency

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


ROOM_SIDE_MM = (1000.0, 30_000.0)
HEIGHT_MM = (1000.0, 8000.0)
DOOR_WIDTH_MM = (400.0, 8000.0)
DOOR_HEIGHT_MM = (1000.0, 6000.0)
THICKNESS_MM = (0.0, 300.0)


def plan_from_form(fields: Mapping[str, str]) -> Plan:
    """Make the plan of a rectangular room from the fields of the form.

    Fields: `name`, `units` (metric or feet), `width`, `depth`, `height`, `covering` (a key of
    COVERINGS, or `other` with `covering_mm`), `door` (one of DOORS) with `door_wall`,
    `door_width`, `door_height`, and for n from 1 to 4 `person{n}_name`, `person{n}_stature`,
    `person{n}_reach`, `person{n}_helped` (not empty: does not train alone), `currency` (three
    letters, or empty for the usual one of the units). Lengths are read as
    `app.units.parse_length_mm` does; a bare number too small to be meant in mm or inches counts
    as centimetres, metres or feet where only that makes sense. Walls run clockwise from the back
    left corner at (0, 0), before the plan is turned so that its door is drawn below; the door
    stands in the middle of its wall; the ceiling is flat at the lowest height.

    Raises PlanError with one Fault for each field that is wrong, under the field's own name.
    """
    typed = _Typed(fields, "feet" if fields.get("units", "").strip() == "feet" else "metric")
    name = typed.text("name") or "My room"
    width = typed.length("width", "the width", ROOM_SIDE_MM)
    depth = typed.length("depth", "the depth", ROOM_SIDE_MM)
    height = typed.length("height", "the lowest height", HEIGHT_MM)
    covering = _covering(typed)
    opening = _door(typed, width, depth, height)
    people = _people(typed)
    currency = typed.text("currency").upper() or usual_currency(typed.units)
    if not re.fullmatch("[A-Z]{3}", currency):
        typed.fault("currency", "a currency is three letters, such as EUR, GBP or USD")
    typed.done()
    corners = ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))
    walls = zip(WALLS, corners, strict=True)
    try:
        plan = Plan(
            name=name,
            units=typed.units,
            currency=currency,
            room=Room(
                walls=tuple(Wall(id=wall, x_mm=x, y_mm=y) for wall, (x, y) in walls),
                openings=() if opening is None else (opening,),
                floor=Floor(covering=covering),
                ceiling=Ceiling(planes=(Plane(id="ceiling", height_mm=height),)),
            ),
            people=people,
            fit_out=FitOut(nothing_assumed=True),
        )
        return door_below(plan)
    except ValidationError as error:
        raise plan_error(error) from None


class _Typed(Typed):
    """Fields that may come without a page: a choice that is none is told what there is."""

    def choice(self, field: str, choices: Sequence[str]) -> str:
        """Return one of the choices, the first where none is given."""
        given = self.text(field) or choices[0]
        if given in choices:
            return given
        self.fault(field, f"choose one of {', '.join(choices)}")
        return choices[0]


def _covering(typed: Typed) -> Covering:
    choice = typed.choice("covering", (*COVERINGS, "other"))
    if choice != "other":
        material, thickness = COVERINGS[choice]
        return Covering(material=material, thickness_mm=thickness)
    thickness = typed.length("covering_mm", "the covering", THICKNESS_MM, loose=True)
    return Covering(material="rubber", thickness_mm=thickness)


def _door(typed: Typed, width: float, depth: float, ceiling: float) -> Opening | None:
    kind = typed.choice("door", DOORS)
    if kind == "none":
        return None
    wall = typed.choice("door_wall", ("front", "back", "right", "left"))
    door_width = typed.length("door_width", "the door's width", DOOR_WIDTH_MM)
    door_height = typed.length("door_height", "the door's height", DOOR_HEIGHT_MM)
    across, along = ("width", width) if wall in ("back", "front") else ("depth", depth)
    if not typed.wrong("door_width", across) and door_width > along:
        typed.fault(
            "door_width",
            f"the door is {typed.say(door_width)} wide, its wall only {typed.say(along)} long",
        )
    if not typed.wrong("door_height", "height") and door_height > ceiling:
        typed.fault(
            "door_height",
            f"the door is {typed.say(door_height)} high, the lowest height only "
            f"{typed.say(ceiling)}: measure the opening up to what hangs lowest",
        )
    return Opening(
        id="door",
        wall=wall,
        kind=cast("OpeningKind", kind),
        offset_mm=max(0, (along - door_width) / 2),
        width_mm=door_width,
        height_mm=door_height,
        swing="out" if kind == "pair" else "in",
    )


def _people(typed: Typed) -> tuple[Person, ...]:
    rows = [
        row
        for row in (f"person{n}" for n in range(1, PEOPLE_ROWS + 1))
        if any(typed.fields.get(f"{row}_{of}", "").strip() for of in ("name", "reach", "stature"))
    ]
    if not rows:
        sentence = "say how tall the person who trains is: headroom follows it"
        typed.fault("person1_stature", sentence)
    people = (_person(typed, row) for row in rows)
    return tuple(person for person in people if person is not None)


def _person(typed: Typed, row: str) -> Person | None:
    name, reach_text = typed.text(f"{row}_name"), typed.text(f"{row}_reach")
    stature = typed.length(f"{row}_stature", "the height of a person", STATURE_MM)
    reach = typed.maybe_length(f"{row}_reach", "the reach", REACH_MM)
    if not typed.wrong(f"{row}_stature", f"{row}_reach"):
        see_reach(typed, f"{row}_reach", stature, reach)
    if typed.wrong(f"{row}_stature", f"{row}_reach"):
        return None
    return Person(
        id=row.replace("person", "person-"),
        label=name,
        stature_mm=stature,
        stature_typed=worth_keeping(typed.text(f"{row}_stature")),
        reach_mm=reach,
        reach_typed=worth_keeping(reach_text),
        trains_alone=not typed.yes(f"{row}_helped"),
    )
