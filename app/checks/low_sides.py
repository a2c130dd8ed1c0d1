"""Sides from which a box is not stepped onto because one does not stand upright before them."""

from __future__ import annotations

from app.checks.headroom import person_name
from app.checks.spots import SHUT, judge, spots
from app.scene.build import Placed, Scene
from app.scene.step_up import STEP_UP
from app.scene.tolerance import falls_short


def sides_too_low(scene: Scene, placed: Placed) -> tuple[frozenset[str], str]:
    """Return the sides of a box before which somebody who wants to step onto it has no headroom.

    And who that is. None of a box that nobody can use from any side, which is said as such, and of
    several people those of the one with fewest sides left.
    """
    places = [
        spot for spot in spots(scene).get(STEP_UP, ()) if spot.placed.piece.id == placed.piece.id
    ]
    low: frozenset[str] = frozenset()
    who = ""
    for person in scene.plan.people if places else ():
        if person.wish_for(STEP_UP) != "want":
            continue
        hit = frozenset(
            spot.side
            for spot in places
            if spot.side is not None
            if falls_short(judge(scene, person, spot, SHUT).spare_least_mm, 0.0)
        )
        if len(low) < len(hit) < len(places):
            low, who = hit, person_name(person, scene.plan.units)
    return low, who
