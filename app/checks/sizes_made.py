"""What is typed for a piece and does not go with its kind: a slip of the pen, or another thing.

Sizes that it is not made in, and room that its manual asks for at a place that it does not have.
"""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.snag import Snag, agreeing, kit_key, space_sources
from app.checks.standing import snags_of_plan
from app.scene.build import Placed, Scene
from app.scene.tolerance import falls_short
from app.wording import joined, phrase

_SIDES = (("width_mm", "wide"), ("depth_mm", "deep"), ("height_mm", "high"))


def sizes_made(scene: Scene) -> Iterator[Snag]:
    """Yield a note for each piece whose typed size lies outside what its kind is made in."""
    yield from snags_of_plan(scene, "sizes-made", _all)


def manuals_read(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each piece whose manual asks for room at a place its kind does not have."""
    yield from snags_of_plan(scene, "manuals-read", _unknown_places)


def _unknown_places(scene: Scene) -> Iterator[Snag]:
    for placed in scene.order:
        spaces = placed.kit.spaces
        known = {name for space in spaces for name in (space.key, space.name)}
        lost = [one for one in placed.piece.manual_mm if one.space not in known]
        if not lost:
            continue
        asked = joined(", ", (phrase("{:mm} “{}”", one.least_mm, one.space) for one in lost))
        there = joined(", ", (f"“{space.name}”" for space in spaces)) if spaces else "none"
        yield Snag(
            code="manual-not-used",
            severity="care",
            template="Of what its manual asks for is not used: {}. It has no such place, only: {}. "
            "Enter it at one of these.",
            values=(asked, there),
            pieces=(placed.piece.id,),
            names=(placed.name, "its manual"),
            unit=None,
            source_keys=tuple(space_sources(placed.kit, space)[0] for space in spaces)
            or (kit_key(placed.kit.key, ""),),
        )


def _all(scene: Scene) -> Iterator[Snag]:
    for placed in scene.order:
        outside = list(_outside(placed))
        if not outside:
            continue
        typed, bound = outside[0][1], outside[0][2][outside[0][1] > outside[0][2][1]]
        said = [phrase("{:bare} {}, made {:bare} to {:mm}", t, w, *m) for w, t, m in outside]
        yield Snag(
            code="size-not-made",
            severity="note",
            template="{} not usual in this size: {}. Measure again, or take another kind.",
            values=(agreeing(placed.name, "is", "are"), joined("; ", said)),
            pieces=(placed.piece.id,),
            names=(placed.name, "size"),
            measured=round(typed),
            required=round(bound),
            source_keys=(kit_key(placed.kit.key, ""),),
        )


def _outside(placed: Placed) -> Iterator[tuple[str, float, tuple[float, float]]]:
    """Yield each typed size outside its range: in which word, how much, and what is made."""
    for field, word in _SIDES:
        typed: float | None = getattr(placed.piece, field)
        made: tuple[float, float] | None = getattr(placed.kit.range, field)
        if typed is None or made is None:
            continue
        if falls_short(typed, made[0]) or falls_short(made[1], typed):
            yield word, typed, made
