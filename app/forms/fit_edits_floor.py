"""Edits of the floor covering by fields: the product, how it is laid, and where.

A covering of the whole floor is the room's covering too: its thickness counts for the headroom.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from app.forms.choice_words import COVERINGS
from app.forms.field_table import (
    Table,
    choice,
    length,
    made,
    mass,
    money,
    number,
    text,
    tick,
    values_of,
    wall,
)
from app.forms.rectangle import Rectangle
from app.forms.thing_edits import Done, Edits, Things, plan_with
from app.forms.typed_fields import Typed
from app.library.own import kits_of
from app.model.flooring import FloorLaying
from app.model.kit import Piece
from app.model.plan import Plan

SIDE_MM = (50.0, 50_000.0)
KINDS = (("mat", "mat"), ("roll", "roll"), ("tile", "locking tile"), ("board", "board"))
JOINTS = (
    ("", "as a fitter would"),
    ("staggered", "staggered"),
    ("straight", "straight both ways"),
    ("balanced", "balanced edges"),
)
ALONG = (("", "whichever is better"), ("along", "along that wall"), ("across", "across it"))
STAGGERS = (("", "whichever is better"), ("0.5", "half a piece"), ("0.3333", "a third"))
ENDS = (("", "nearer the training"), ("left", "left end"), ("right", "right end"))


_ALONG_WORDS = {None: "", True: "along", False: "across"}


def _put(plan: Plan, at: str, fault: str, floors: tuple[FloorLaying, ...]) -> Plan:
    """Let the room's covering follow a covering of its whole floor that has been changed."""
    after = plan_with(plan, at, fault, floors)
    whole = [laying for laying in after.fit_out.floors if not laying.zone]
    old = [laying for laying in plan.fit_out.floors if not laying.zone]
    if not whole or whole == old:
        return after
    laying = whole[0]
    covering = {"material": laying.material, "thickness_mm": laying.thickness_mm}
    return plan_with(after, "room.floor.covering", "thickness", covering)


def _more_than_nothing(what: str) -> Callable[[float], str]:
    return lambda number: "" if number else f"{what} is more than nothing, or left empty"


def _whole(pack: float) -> str:
    return "" if pack and pack == int(pack) else "a pack holds a whole number of pieces, 1 or more"


PRODUCT = Table(
    FloorLaying,
    (
        text("label", "Name", "label", example="rubber mat", span=""),
        choice("kind", "Kind", "kind", choices=KINDS),
        choice("material", "Of", "material", choices=COVERINGS[1:]),
        length("length", "Length", "length_mm", what="the length", example="1.00 m",
               least=SIDE_MM[0], most=SIDE_MM[1]),
        length("width", "Width", "width_mm", what="the width", example="1.00 m",
               least=SIDE_MM[0], most=SIDE_MM[1]),
        length("thickness", "Thickness", "thickness_mm", what="the thickness", example="20 mm",
               least=0.5, most=300),
        mass("mass", "Mass of one", "mass_kg", what="the mass of one",
             example="by its density", least=0, most=5000,
             check=_more_than_nothing("the mass of one")),
        money("price", "Price of one", "price_minor", what="the price of one"),
        tick("by_metre", "a roll is sold by the metre: the price is for one", "by_metre"),
        number("pack", "Pieces in a pack", "pack", what="the number in a pack", example="1",
               empty=1, cast=int, check=_whole),
        number("lasts", "Lasts, years", "lasts_years", what="how long it lasts", least=0,
               most=100, check=_more_than_nothing("how long it lasts")),
    ),
    fresh={"pack": 1},
)  # fmt: skip
LAYING = Table(
    FloorLaying,
    (
        wall("start_wall", "From wall", at="start_wall", choices="start_walls", empty="",
             what="choose a wall of this room", cast=lambda wall_id: wall_id or None,
             show=lambda wall_id: wall_id or ""),
        choice("start_end", "Beginning at", "start_end", choices=ENDS),
        choice("along", "Long side", "along",
               choices=ALONG, show=lambda along: _ALONG_WORDS[along],
               cast={"along": True, "across": False}.get),
        choice("joints", "Joints", "joints", choices=JOINTS),
        choice("stagger", "Each row goes on by", "stagger", choices=STAGGERS,
               show=lambda share: "" if share is None else f"{share:g}",
               cast=lambda share: float(share) if share else None),
        length("first", "First piece", "first_mm", what="the first piece",
               example="as is best", least=0, most=SIDE_MM[1]),
        length("first_row", "First row", "first_row_mm", what="the first row",
               example="as is best", least=0, most=SIDE_MM[1]),
        length("gap", "Gap all round", "gap_mm", what="the gap", example="8 mm", least=0,
               most=200),
        length("least_strip", "Narrowest strip", "least_strip_mm", what="the least strip",
               example="150 mm", least=0, most=2000),
        length("kerf", "Lost at each cut", "kerf_mm", what="the kerf", example="0", least=0,
               most=20, empty=0),
        length("door_stop", "Short of the garage door by", "door_stop_mm",
               what="the stop at the door", example="100 mm", most=2000),
        tick("turns", "cuts may lie turned", "turns"),
        tick("factory_edges", "factory edges at every joint", "factory_edges"),
    ),
)  # fmt: skip
_WAY = ("start_wall", "start_end", "along", "joints", "stagger", "first", "first_row")
WAY = Table(FloorLaying, tuple(each for each in LAYING.fields if each.name in _WAY))
PLACE = Rectangle(
    wall("zone", "Where", at="", empty="", what="choose a wall of this room, or the whole floor",
         choices="zones", drawn="a zone, as drawn", span="", mark="zone_long"),
    "zone_", SIDE_MM, ("2.40 m", "2.40 m"), look={"span": "half zone-field"},
)  # fmt: skip


LET_IN_AT_MOST_MM = 100
"""What is higher is no floor to stand on."""


def low_pieces(plan: Plan) -> tuple[Piece, ...]:
    """Return the pieces that a floor can be laid up to: low ones on the floor, and no areas."""
    kits = kits_of(plan)

    def is_low(piece: Piece) -> bool:
        kit = kits.get(piece.type)
        if kit is None or not kit.solids or piece.stays or piece.carried_by or kit.bar is not None:
            return False
        return (piece.height_mm or kit.height_mm) <= LET_IN_AT_MOST_MM

    return tuple(piece for piece in plan.pieces if is_low(piece))


def _zone_shown(plan: Plan, laying: FloorLaying | None) -> Mapping[str, Any]:
    return PLACE.shown(plan, laying.zone if laying else None)


def _read(
    plan: Plan, typed: Typed, old: FloorLaying | None, values: dict[str, Any]
) -> dict[str, Any]:
    zone = PLACE.read(plan, typed, values, () if old is None else old.zone, inside=False)
    if old is None:
        return {**values, "zone": zone}
    size = ("length_mm", "width_mm", "thickness_mm", "material", "mass_kg")
    *others, mass = (values[name] == getattr(old, name) for name in size)
    if mass and not all(others):
        # the mass of one piece of another size is another mass
        values["mass_kg"] = None
    under = tuple(p.id for p in plan.pieces if p.stays and typed.yes(f"under_{p.id}"))
    flush = tuple(p.id for p in low_pieces(plan) if typed.yes(f"flush_{p.id}"))
    return {**values, "zone": zone, "under": under, "flush": flush}


ZONE = Table(FloorLaying, PLACE.fields, shown=_zone_shown, finish=_read)
FLOORS = Things(
    "floor",
    replace(ZONE, fields=(*PRODUCT.fields, *LAYING.fields, *PLACE.fields)),
    "fit_out.floors",
    "length",
    ("add the {}", "the {}", "take the {} off"),
    "That covering is no longer in the plan; what is kept is shown.",
    lambda plan, laying: laying.name,
    put=_put,
    adds=replace(ZONE, fields=(*PRODUCT.fields, *PLACE.fields)),
)


def _other_product(plan: Plan, typed: Typed) -> Done:
    """Lay another product in the same place and way."""
    old = FLOORS.named(plan, typed)
    values = {"density_kg_m3": None, **values_of(PRODUCT, plan, typed, old)}
    laying = made(FloorLaying, "length", {**dict(old), **values})
    return FLOORS.swap(plan, laying)[0], f"lay {laying.name} instead"


def _other_way(plan: Plan, typed: Typed) -> Done:
    """Lay the same product from another place, with other joints."""
    old = FLOORS.named(plan, typed)
    laying = made(FloorLaying, "start_wall", {**dict(old), **values_of(WAY, plan, typed, old)})
    return FLOORS.swap(plan, laying)[0], f"lay the {laying.name} another way"


TABLES = {"product": PRODUCT, "laying": LAYING, "zone": ZONE, "way": WAY}
EDITS: Edits = {**FLOORS.edits(), "floor-product": _other_product, "floor-way": _other_way}
