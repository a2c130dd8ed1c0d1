"""At which height to set the catches for squats: just under the bar at the bottom."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from app.checks.alone import catch_settings, caught_places
from app.checks.before_posts import has_hooks_inside, is_too_low_between, squats_before
from app.checks.headroom import person_name
from app.checks.snag import Snag
from app.checks.spots import stepped_out_to
from app.checks.squat_setting import BELOW, BOTTOM, catches_of, setting_mm
from app.scene.build import Scene
from app.wording import Phrase, joined, lower, phrase

_SQUAT = "squat"
_HANG_INSIDE = "hang the bar on the hooks inside and "
"""From the hooks before the posts one steps out of the catches' reach."""


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


def _settings(scene: Scene) -> Iterator[Snag]:
    people = [person for person in scene.plan.people if person.wish_for(_SQUAT) == "want"]
    for spot in caught_places(scene, _SQUAT) if people else ():
        root = spot.placed.root
        catches = catches_of(scene, root)
        # who squats before the posts is told there what reaches them
        inside = [
            one
            for one in people
            if not spot.use.inside
            or not (is_too_low_between(scene, one, spot) or squats_before(scene, one, spot))
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
            template="For squats {}set the catches of the {} at {}, just under the bar at the "
            "bottom; try them with an empty bar.",
            values=(
                _HANG_INSIDE if stepped_out_to(spot) and has_hooks_inside(spot.placed) else "",
                lower(scene.placed[root].name),
                joined(", ", phrases),
            ),
            pieces=(root,),
            names=(scene.placed[root].name, "catches"),
            movement=_SQUAT,
            where=scene.placed[root].at,
            required=round(min(height for _, height in heights if height is not None)),
            source_keys=(BOTTOM, BELOW),
        )
