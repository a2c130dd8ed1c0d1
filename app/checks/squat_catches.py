"""At which height to set the catches for squats: just under the bar at the bottom."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from app.checks.alone import catch_settings, is_caught
from app.checks.headroom import person_name
from app.checks.snag import Snag
from app.checks.spots import spots
from app.checks.stepping_out import is_too_low_between
from app.library.kit import Catches
from app.published.register import published
from app.scene.build import Scene
from app.wording import Phrase, joined, lower, phrase

_BOTTOM, _BELOW = "squat.bar-at-bottom-ratio", "catch.below-squat-mm"
_SQUAT = "squat"


def catches_set(scene: Scene) -> Iterator[Snag]:
    """Yield one note for each station with catches: their height for the press and for squats."""
    pressing = {snag.pieces[0]: snag for snag in catch_settings(scene)}
    for squatting in _settings(scene):
        press = pressing.pop(squatting.pieces[0], None)
        if press is None:
            yield squatting
            continue
        both = (press.wording, squatting.wording)
        keys = (*press.source_keys, *squatting.source_keys)
        yield replace(press, template="{} {}", values=both, parts=both, source_keys=keys)
    yield from pressing.values()


def setting_mm(stature_mm: float, catches: Catches | None) -> float | None:
    """Return the height of the catches for squats above the foot of a rack, in mm.

    The highest setting under the bar at the bottom of a squat with the thighs level and the trunk
    at 45 degrees; None where the lowest setting is above it. Without known settings the height.
    Worked: 1800: 0.489 x 1800 - 50 = 830.
    """
    most = published(_BOTTOM) * stature_mm - published(_BELOW)
    if catches is None:
        return most
    if most < catches.low_mm:
        return None
    steps = math.floor((min(most, catches.high_mm) - catches.low_mm) / catches.pitch_mm)
    return float(catches.low_mm + steps * catches.pitch_mm)


def _settings(scene: Scene) -> Iterator[Snag]:
    people = [person for person in scene.plan.people if person.wish_for(_SQUAT) == "want"]
    # the first place of a rack is that between its posts, where the catches are
    first = {spot.placed.root: spot for spot in reversed(spots(scene).get(_SQUAT, ()))}
    for root, spot in reversed(first.items()):
        if not people or not is_caught(scene, root):
            continue
        catches = next((p.kit.catches for p in scene.stations[root] if p.kit.catches), None)
        inside = [
            one for one in people if not (spot.use.inside and is_too_low_between(scene, one, spot))
        ]
        heights = [(person, setting_mm(person.stature_mm, catches)) for person in inside]
        phrases: list[Phrase] = [
            phrase("{:mm} for {}", height, person_name(person, scene.plan.units))
            for person, height in heights
            if height is not None
        ]
        if not phrases:
            continue
        yield Snag(
            code="catch-setting-squat",
            severity="note",
            template="For squats set the catches of the {} at {}, just under the bar at the "
            "bottom; try them with an empty bar.",
            values=(lower(scene.placed[root].name), joined(", ", phrases)),
            pieces=(root,),
            names=(scene.placed[root].name, "catches"),
            movement=_SQUAT,
            where=scene.placed[root].at,
            required=round(min(height for _, height in heights if height is not None)),
            source_keys=(_BOTTOM, _BELOW),
        )
