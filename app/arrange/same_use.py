"""Which pieces on a plan do already what another kit type would do."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from app.checks.goes_together import PLATE_STORES, is_plates
from app.library.kit import KitType
from app.scene.build import Placed

RACKS, BENCHES = "Racks", "Benches"


def already(order: Iterable[Placed], kit: KitType, instead: Iterable[str] = ()) -> Iterator[Placed]:
    """Yield the pieces that serve as a kit type would: the same type, or for the same use.

    Any rack with hooks is a rack, any bench without them a bench, a bar at least as long a bar,
    plates are plates, on the floor or on a tree; else all that is done at the type is done at the
    piece. `instead` are types that do as well.
    """
    types = {kit.key, *instead}
    for placed in order:
        if placed.kit.key in types or _serves(placed, kit):
            yield placed


def _serves(placed: Placed, kit: KitType) -> bool:
    mine = placed.kit
    if are_plates(kit):
        return mine.key in PLATE_STORES or is_plates(placed)
    if mine.group != kit.group:
        return False
    if kit.bar is not None:
        straight = mine.bar is not None and not mine.uses and not kit.uses
        return straight and mine.bar is not None and mine.bar.shaft_mm >= kit.bar.shaft_mm
    if kit.group in (RACKS, BENCHES):
        return bool(mine.rests) == bool(kit.rests)
    done = {use.movement for use in kit.uses}
    return bool(done) and done <= {use.movement for use in mine.uses}


def are_plates(kit: KitType) -> bool:
    """Return whether a kit type is plates, or what they are kept on."""
    return kit.key in PLATE_STORES or kit.key.endswith("-plates")
