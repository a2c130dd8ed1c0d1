"""Kit types of one plan: those of the library and, made from what was entered, its own."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from app.library.in_force import Values, in_force, refusable, used_without
from app.library.kit import GROUPS, KitType, Solid, Space, kit_types
from app.model.base import LABEL_LIMIT
from app.model.own_kit import OwnKit, OwnSpace
from app.model.plan import Plan
from app.published.register import overridden
from app.recent import Recent

OWN_SOURCE = "entered for this plan"
MANUAL_SOURCE = "the maker's manual, as entered for this plan"
PLAIN = "entered by its three sizes: only its box is known"
PLANS_AT_MOST = 64

BYTES_A_TYPE = 20_000
"""What a kit type holds with its spaces, solids and states: 6 to 17 kB were measured."""

BYTES_A_NAME = 100
"""What one entry of a table of kit types holds beside the type."""

KITS_BYTES = 8_000_000
"""What the tables and the types each hold together: some hundred types that were entered."""

SIDE_KEYS = {
    "front": "in-front",
    "back": "behind",
    "left": "at-its-left",
    "right": "at-its-right",
    "ring": "all-round",
}
SIDE_WORDS = {
    "front": "in front",
    "back": "behind",
    "left": "at its left",
    "right": "at its right",
    "ring": "all round",
}


def kits_of(plan: Plan) -> Mapping[str, KitType]:
    """Return every kit type that a plan can name, by key, its own after those of the library."""
    values = tuple((one.id, one.value) for one in plan.overrides)
    refused = refused_by_all(plan)
    if not (plan.own_kit or values or refused):
        return kit_types()
    return _kits(plan.own_kit, values, refused)


def refused_by_all(plan: Plan) -> frozenset[str]:
    """Return what everybody says no to, of what is done at kit that then needs less room.

    Kit of the plan's own has uses only as a copy of the library's, so that knows them all.
    """
    if not plan.people:
        return frozenset()
    return frozenset(
        movement
        for movement in refusable()
        if all(person.wish_for(movement) == "no" for person in plan.people)
    )


def _kits_bytes(kits: Mapping[str, KitType]) -> int:
    library = kit_types()
    made = sum(kit is not library.get(key) for key, kit in kits.items())
    return made * BYTES_A_TYPE + len(kits) * BYTES_A_NAME


KITS = Recent[tuple[tuple[OwnKit, ...], Values, frozenset[str]], Mapping[str, KitType]](
    PLANS_AT_MOST, KITS_BYTES, _kits_bytes
)
_TYPES = Recent[OwnKit, KitType](KITS_BYTES // BYTES_A_TYPE)


def _kits(
    own: tuple[OwnKit, ...], values: Values, refused: frozenset[str]
) -> Mapping[str, KitType]:
    return KITS.made((own, values, refused), partial(_every, own, values, refused))


def _every(
    own: tuple[OwnKit, ...], values: Values, refused: frozenset[str]
) -> Mapping[str, KitType]:
    with overridden({}):
        every = {**kit_types(), **{row.id: kit_of(row) for row in own}}
    if values:
        every = {key: in_force(kit, values) for key, kit in every.items()}
    return {key: used_without(kit, refused) for key, kit in every.items()}


def kit_of(own: OwnKit) -> KitType:
    """Return the kit type of an own row; see `_made`."""
    return _TYPES.made(own, partial(_made, own))


def _made(own: OwnKit) -> KitType:
    """Make a kit type of an own row.

    A copied row keeps the outline of what it was copied from, set to its own sizes, with its
    states and the movements done at it. One that was only entered is a box. Of a copied row that
    the library no longer has only the box is left.
    """
    base = kit_types().get(own.like or "")
    group = own.group if own.group in GROUPS else GROUPS[-1]
    entered = {
        "own": own.id,
        "name": own.name,
        "group": group,
        "width_mm": own.width_mm,
        "depth_mm": own.depth_mm,
        "height_mm": own.height_mm,
        "mass_kg": own.mass_kg,
        "power_w": own.power_w,
        "price_minor": own.price_minor,
        "feet": own.feet,
        "note": own.manual[:LABEL_LIMIT],
    }
    if base is None:
        box = Solid(x=("l", "r"), y=("b", "f"), z=("0", "t"), part="body")
        spaces = tuple(made for space in own.spaces if (made := _space(space, None)) is not None)
        return KitType.model_validate(
            {
                **entered,
                "key": own.id,
                "solids": (box,),
                "spaces": spaces,
                "plain_because": PLAIN,
                "source": OWN_SOURCE,
                "status": "read",
            }
        )
    return KitType.model_validate(
        {**base.model_dump(), **entered, "spaces": _spaces(base, own.spaces)}
    )


def stated_space(base: KitType | None, side: str) -> Space | None:
    """Return the space of a library row that an own space of this side stands for."""
    if base is None:
        return None
    return next((space for space in base.spaces if space.side == side), None)


def _spaces(base: KitType, own: tuple[OwnSpace, ...]) -> tuple[Space, ...]:
    left = {space.side: space for space in own}
    spaces: list[Space] = []
    for old in base.spaces:
        entered = left.pop(old.side, None) if old.side in left else None
        made = old if entered is None else _space(entered, old)
        if made is not None:
            spaces.append(made)
    spaces += [made for entered in left.values() if (made := _space(entered, None)) is not None]
    return tuple(spaces)


def _space(own: OwnSpace, old: Space | None) -> Space | None:
    """Return a space as entered, across the edge as the old one; None where none is needed."""
    asked = own.manual_mm or 0
    recommended = max(own.recommended_mm, asked)
    if not recommended:
        return None
    before = {} if old is None else old.model_dump()
    return Space.model_validate(
        {
            "key": SIDE_KEYS[own.side],
            "name": SIDE_WORDS[own.side],
            **before,
            "least": None,
            "recommended": None,
            "side": own.side,
            "kind": own.kind,
            "least_mm": max(own.least_mm, asked),
            "recommended_mm": recommended,
            "source": MANUAL_SOURCE if asked > own.least_mm else OWN_SOURCE,
            "status": "read",
        }
    )
