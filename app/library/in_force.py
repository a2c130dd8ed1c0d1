"""A kit type with the values that a household has set, and as its people use it.

A space, and the height of a use, name rows of the register. As loaded they hold the rows' own
values; for a plan that sets some of them otherwise they hold those.
"""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from functools import cache

from app.library.kit import KitType, Space, kit_types
from app.published.register import can_stand, overridden

Values = tuple[tuple[str, float], ...]


def keys_of(kit: KitType) -> frozenset[str]:
    """Return the register's keys that a kit type's spaces and uses name."""
    spaces = (key for space in kit.spaces for key in space_keys(space))
    uses = (key for use in kit.uses for key in (use.base_key, use.nose) if key)
    return frozenset((*spaces, *uses))


def space_keys(space: Space) -> tuple[str, ...]:
    """Return the register's keys that a space names: depths first, then width and heights."""
    less = space.without.recommended if space.without is not None else None
    named = (space.least, space.recommended, less, space.to_wall, space.wide, *space.between)
    return tuple(dict.fromkeys(key for key in named if key))


def in_force(kit: KitType, values: Values) -> KitType:
    """Return a kit type with some rows of the register set otherwise; the same one if none is."""
    names = keys_of(kit)
    mine = tuple((key, value) for key, value in values if key in names and can_stand(key, value))
    if not mine:
        return kit
    data = kit.model_dump()
    for space in data["spaces"]:
        for depth in ("least", "recommended"):
            if space[depth]:
                # as loaded it is the published one, and would hold where a household asks for less
                del space[f"{depth}_mm"]
    with overridden(dict(mine)):
        return KitType.model_validate({**data, "values": mine})


def used_without(kit: KitType, refused: AbstractSet[str]) -> KitType:
    """Return a kit type as those use it who refuse some movements; the same one if none matters.

    Where everything that is done at it is refused it is judged as it is made.
    """
    mine = {space.without.movement for space in kit.spaces if space.without is not None} & refused
    if not mine or {use.movement for use in kit.uses} <= refused:
        return kit
    data = kit.model_dump()
    for space in data["spaces"]:
        if space["without"] is not None and space["without"]["movement"] in mine:
            recommended = space["without"]["recommended"]
            space.update(least=None, least_mm=0, recommended=recommended, recommended_mm=0)
    with overridden(dict(kit.values)):
        return KitType.model_validate({**data, "without": tuple(sorted(mine))})


@cache
def refusable() -> frozenset[str]:
    """Return what is done at the kit of the library that needs less room without some of that."""
    less = (
        kit
        for kit in kit_types().values()
        if any(space.without is not None for space in kit.spaces)
    )
    return frozenset(use.movement for kit in less for use in kit.uses)
