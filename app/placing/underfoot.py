"""What a station minds of the floor under it, as zones: steps, floor that is cut off, platforms.

A step is met by what stands across it, a platform by what comes to stand so much higher.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from shapely.geometry.base import BaseGeometry

from app.checks.hangers import hangs
from app.checks.layers import PLATFORM, is_layer
from app.checks.levels import edges, is_trodden, stands_level
from app.checks.platforms import deck_of, feet_of
from app.checks.spots import spots
from app.placing.convex import Ring, moved_shape, rings
from app.placing.form import Need, Rule, What, Zone
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.tolerance import HALF_MM, SKY_MM, TOLERANCE_MM

_ABOUT_MM = 1.0
"""A place is where its middle is: so much about it, that rounding errs on the refusing side."""


def decks_of(members: Sequence[Placed]) -> tuple[tuple[Ring, float], ...]:
    """Return the platforms of a station: outline and height."""
    return tuple(
        (ring, placed.extent.height_mm)
        for placed in members
        if placed.kit.key == PLATFORM and placed.in_use
        for ring in rings(deck_of(placed))
    )


def deck_heights(scene: Scene) -> tuple[float, ...]:
    """Return how high the platforms of a plan are, in mm."""
    under = (one for one in scene.order if one.kit.key == PLATFORM and one.in_use)
    return tuple(sorted({placed.extent.height_mm for placed in under}))


def over_steps(
    scene: Scene, members: Sequence[Placed], counted: Sequence[Sequence[bool]], wanted: bool
) -> Iterator[Rule]:
    """Yield the floor of a station that no step may run through, and none that is cut off.

    `counted` tells which of its working spaces are judged. With `wanted` every step counts that is
    a care as well.
    """
    if not edges(scene):
        return
    for placed, judged in zip(members, counted, strict=True):
        if stands_level(placed):
            what: What = "step" if wanted or placed.kit.group == "Racks" else "fall"
            yield _rule(placed.footprint.buffer(-TOLERANCE_MM, join_style="mitre"), what)
        if placed.root != placed.piece.id:
            continue
        for space, counts in zip(placed.shape.spaces, judged, strict=True):
            if counts and placed.kit.bar is None and is_trodden(space.space):
                core = space.core.buffer(-HALF_MM, join_style="mitre")
                yield _rule(moved_shape(core, *placed.at), "step" if wanted else "fall")
        if not hangs(placed) and placed.in_use:
            yield _rule(placed.footprint, "cut-off")


def _rule(area: BaseGeometry, what: What) -> Rule:
    return (Zone(tuple(rings(area)), 0.0, SKY_MM, what=what),)


def racks_on_decks(scene: Scene, members: Sequence[Placed], wanted: bool) -> Iterator[Rule]:
    """Yield for each rack and height of a platform: its feet on that, and what it then is under."""
    build = published("rack.stand-up-spare-mm") if wanted else 0.0
    for placed in members:
        if placed.kit.group != "Racks" or not placed.in_use or is_layer(placed):
            continue
        feet = tuple(ring for core in feet_of(placed) for ring in rings(core))
        for high in deck_heights(scene) if feet else ():
            parts, tops = [], []
            for core, top in zip(placed.shape.cores, placed.shape.high_mm.tolist(), strict=True):
                for ring in rings(core):
                    parts.append(ring + placed.at)
                    tops.append(top + placed.lift_mm + high + build)
            yield _on_deck(feet, high), Zone(tuple(parts), 0.0, SKY_MM, "low", tops=tuple(tops))


def done_on_decks(scene: Scene, members: Sequence[Placed], needs: Sequence[Need]) -> Iterator[Rule]:
    """Yield for each movement wanted at a station and height of a platform: its places on that.

    Each of them is then too low. That it may be done at another station besides is passed over.
    """
    heights = deck_heights(scene)
    here = {placed.piece.id: placed for placed in members}
    for need in needs if heights else ():
        at = [
            replace(spot, placed=here[spot.placed.piece.id]).at
            for spot in spots(scene)[need.movement]
            if spot.placed.piece.id in here
        ]
        about = _ABOUT_MM * np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)])
        squares = tuple(np.array(point) + about for point in at)
        for high in heights if need.places else ():
            low = (
                Zone(
                    tuple(part.area for part in place),
                    0.0,
                    SKY_MM,
                    "low",
                    tops=tuple(part.least_mm + high for part in place),
                )
                for place in need.places
            )
            yield _on_deck(squares, high), *low


def _on_deck(parts: tuple[Ring, ...], high_mm: float) -> Zone:
    return Zone(parts, 0.0, high_mm, what="deck")
