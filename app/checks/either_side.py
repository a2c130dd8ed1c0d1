"""Spaces of which one free side is enough: where none is free, one row tells of them all."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace

from app.checks.snag import Snag
from app.library.kit import Space
from app.scene.build import Placed
from app.wording import joined, phrase

_WHERE = {"left": "on the left", "right": "on the right", "front": "in front", "back": "behind"}


def no_side_free(owner: Placed, sides: Sequence[tuple[Space, Snag, object]]) -> Snag:
    """Return one row for sides that are all short of room, in the order of the kit's own row.

    `sides` are each side's space, what would be said of it alone, and what stands there. The side
    with most room counts: there the least is missing. The row goes by the first side whichever
    that is, so that it stays the same row while something moves.
    """
    first, (space, best, _) = sides[0], max(sides, key=lambda side: side[1].measured or 0.0)
    places = [
        phrase("{} {:mm} to {}", _WHERE[one.side], snag.measured, name) for one, snag, name in sides
    ]
    stems = dict.fromkeys(one.name.split(",")[0] for one, _, _ in sides)
    against = {snag.against for _, snag, _ in sides}
    return replace(
        best,
        code=first[1].code,
        space=first[1].space,
        template="{:cap}. Allow {:bare} on one side.",
        values=(joined(", ", places), space.recommended_mm),
        pieces=tuple(dict.fromkeys(piece for _, snag, _ in sides for piece in snag.pieces)),
        names=(owner.name, " or ".join(stems)),
        source_keys=tuple(dict.fromkeys(key for _, snag, _ in sides for key in snag.source_keys)),
        other_mm=min(snag.measured or 0.0 for _, snag, _ in sides),
        # of several things it is the row of none
        against=against.pop() if len(against) == 1 else None,
    )


def no_high_side_free(short: Snag, low: Set[str], who: str) -> Snag:
    """Return a row of sides that are short of room, where the free ones are too low for somebody.

    `short` is the row of those that are short.
    """
    where = joined(" and ", [words for side, words in _WHERE.items() if side in low])
    return replace(
        short,
        template="{:cap}; {} it is too low for {} to stand. Allow {:bare} on one side.",
        values=(short.values[0], where, who, short.values[1]),
    )
