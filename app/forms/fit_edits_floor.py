"""Edits of the floor covering by fields: the product, how it is laid, and where.

A covering of the whole floor is the room's covering too: its thickness counts for the headroom.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from pydantic import ValidationError

from app.errors import CommandError, Fault, PlanError
from app.forms.typed_fields import Typed
from app.forms.typed_money import typed_sum
from app.model.base import json_of
from app.model.faults import plan_error
from app.model.flooring import FloorKind, FloorLaying, Joints
from app.model.plan import Plan
from app.model.room import CoveringMaterial
from app.model.room_overhead import Place, rectangle
from app.model.room_walls import fresh_id

SIDE = (50.0, 50_000.0)
THICK = (0.5, 300.0)
GAP = (0.0, 200.0)
KERF = (0.0, 20.0)
OFFSET = (0.0, 60_000.0)

Floors = tuple[FloorLaying, ...]
FloorEdit = Callable[[Plan, Typed], tuple[Floors, str]]


def with_floors(before: Plan, after: Plan) -> Plan:
    """Let the room's covering follow a covering of its whole floor that has been changed."""
    whole = [laying for laying in after.fit_out.floors if not laying.zone]
    old = [laying for laying in before.fit_out.floors if not laying.zone]
    if not whole or whole == old:
        return after
    laying = whole[0]
    covering = {"material": laying.material, "thickness_mm": laying.thickness_mm}
    data = json_of(after)
    data["room"]["floor"]["covering"] = covering
    return Plan.model_validate(data)


def _laying(typed: Typed) -> dict[str, Any]:
    """Read how it is laid; empty fields mean as a fitter would."""
    start_end = typed.text("start_end")
    return {
        "start_wall": typed.text("start_wall") or None,
        "start_end": typed.choice("start_end", ("left", "right")) if start_end else None,
        "along": typed.choice("along", ("along", "across")) == "along",
        "joints": typed.one_of("joints", Joints) if typed.text("joints") else None,
        "gap_mm": typed.maybe_length("gap", "the gap", GAP),
        "kerf_mm": typed.length("kerf", "the kerf", KERF, empty=0),
        "least_strip_mm": typed.maybe_length("least_strip", "the least strip", (0.0, 2000.0)),
        "door_stop_mm": typed.length("door_stop", "the stop at the door", (0.0, 2000.0), empty=0),
        "turns": typed.yes("turns"),
        "factory_edges": typed.yes("factory_edges"),
    }


def _product(plan: Plan, typed: Typed) -> dict[str, Any]:
    pack = typed.number("pack", "the number in a pack", (0, 10_000), empty=1)
    if pack != int(pack) or pack == 0:
        typed.fault("pack", "a pack holds a whole number of pieces, 1 or more")
    return {
        "label": typed.text("label"),
        "kind": typed.one_of("kind", FloorKind),
        "material": typed.choice(
            "material",
            [m for m in CoveringMaterial.__args__ if m != "bare"],  # type: ignore[attr-defined]
        ),
        "length_mm": typed.length("length", "the length", SIDE),
        "width_mm": typed.length("width", "the width", SIDE),
        "thickness_mm": typed.length("thickness", "the thickness", THICK),
        "mass_kg": _above_nothing(typed, "mass", "the mass of one", 5000),
        "price_minor": typed_sum(typed, "price", "the price of one", plan.currency),
        "pack": int(pack),
        "lasts_years": _above_nothing(typed, "lasts", "how long it lasts", 100),
    }


def _above_nothing(typed: Typed, field: str, what: str, most: float) -> float | None:
    number = typed.maybe_number(field, what, (0, most))
    if number == 0:
        typed.fault(field, f"{what} is more than nothing, or left empty")
    return number


def _zone(plan: Plan, typed: Typed, old: FloorLaying | None) -> tuple[tuple[float, float], ...]:
    wall = typed.text("zone")
    if wall == "as-drawn" and old is not None:
        return old.zone
    if not wall:
        return ()
    if wall not in {w.id for w in plan.room.walls}:
        typed.fault("zone", "choose a wall of this room, or the whole floor")
        return ()
    place = Place(
        wall,
        typed.length("zone_along", "the distance along the wall", OFFSET, empty=0),
        typed.length("zone_long", "the length", SIDE),
        typed.length("zone_away", "the distance from the wall", OFFSET, empty=0),
        typed.length("zone_wide", "the width", SIDE),
    )
    return () if typed.faults else rectangle(plan.room, place)


def _made(plan: Plan, values: dict[str, Any]) -> FloorLaying:
    if values["start_wall"] not in {None, *(w.id for w in plan.room.walls)}:
        raise PlanError(Fault("start_wall", "choose a wall of this room"))
    try:
        return FloorLaying.model_validate(values)
    except ValidationError as error:
        raise PlanError(*(Fault("length", f.sentence) for f in plan_error(error).faults)) from None


def _old(plan: Plan, typed: Typed) -> FloorLaying:
    for laying in plan.fit_out.floors:
        if laying.id == typed.text("id"):
            return laying
    raise CommandError("That covering is no longer in the plan; what is kept is shown.")


def _put(plan: Plan, laying: FloorLaying) -> Floors:
    """Put a covering where it stood, or after the others: the order is that of laying."""
    floors = plan.fit_out.floors
    if all(one.id != laying.id for one in floors):
        return (*floors, laying)
    return tuple(laying if one.id == laying.id else one for one in floors)


def _floor(plan: Plan, typed: Typed) -> tuple[Floors, str]:
    old = _old(plan, typed)
    zone = _zone(plan, typed, old)
    values = {**_product(plan, typed), **_laying(typed)}
    under = [p.id for p in plan.pieces if p.stays and typed.yes(f"under_{p.id}")]
    typed.done()
    before = old.model_dump(mode="json")
    if (values["length_mm"], values["width_mm"], values["thickness_mm"], values["material"]) != (
        old.length_mm, old.width_mm, old.thickness_mm, old.material,
    ) and values["mass_kg"] == old.mass_kg:  # fmt: skip
        # the mass of one piece of another size is another mass
        values["mass_kg"] = None
    laying = _made(plan, {**before, **values, "zone": zone, "under": under})
    return _put(plan, laying), f"the {laying.name}"


def _add_floor(plan: Plan, typed: Typed) -> tuple[Floors, str]:
    new_id = fresh_id("floor", {laying.id for laying in plan.fit_out.floors})
    zone = _zone(plan, typed, None)
    values = {**_product(plan, typed), "start_wall": None, "turns": True}
    typed.done()
    laying = _made(plan, {"id": new_id, **values, "zone": zone})
    return _put(plan, laying), f"add the {laying.name}"


def _product_of(plan: Plan, typed: Typed) -> tuple[Floors, str]:
    """Lay another product in the same place and way."""
    old = _old(plan, typed)
    values = _product(plan, typed)
    typed.done()
    laying = _made(plan, {**old.model_dump(mode="json"), "density_kg_m3": None, **values})
    return _put(plan, laying), f"lay {laying.name} instead"


def _remove(plan: Plan, typed: Typed) -> tuple[Floors, str]:
    old = _old(plan, typed)
    rest = tuple(one for one in plan.fit_out.floors if one.id != old.id)
    return rest, f"take the {old.name} off"


FLOORS: Mapping[str, FloorEdit] = {
    "floor": _floor,
    "add-floor": _add_floor,
    "floor-product": _product_of,
    "remove-floor": _remove,
}
"""The edits of the floor by name."""
