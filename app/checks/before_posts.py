"""A squat before the posts of a rack: out of the reach of the catches between them.

Who does not stand up between the posts squats before them, where nothing catches the bar: alone
that is a stop as on stands, and a care with rubber plates and the floor to drop it. Who stands up
there with less over the head than one should have has the choice of the two: a care.
"""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.alone import (
    caught_places,
    drop_missing,
    fits_one_of,
    how_grave,
    squat_words,
)
from app.checks.headroom import person_name
from app.checks.snag import Severity, Snag
from app.checks.spot import Spot
from app.checks.spots import PULL_UP_BAR, SHUT, Clear, best_spot, judge, spots
from app.checks.squat_setting import BELOW, BOTTOM, catches_of, setting_mm
from app.library.anchors import place
from app.model.people import Person
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.tolerance import falls_short
from app.wording import Phrase, joined, lower, phrase

_SQUAT, _DROP = "squat", "catch.drop-floor-mm"


def before_posts(scene: Scene) -> Iterator[Snag]:
    """Yield a snag for each person who squats before a rack that catches the bar between its posts.

    `stop` or `care` for what is wanted, milder if only nice.
    """
    for person in scene.plan.people:
        if person.wish_for(_SQUAT) in ("want", "nice"):
            for inside in caught_places(scene, _SQUAT):
                before = squats_before(scene, person, inside)
                if before is not None:
                    yield _uncaught(scene, person, inside, before)


def is_too_low_between(scene: Scene, person: Person, inside: Spot) -> bool:
    """Return whether somebody does not stand up between the posts of a rack."""
    here = judge(scene, person, inside, SHUT)
    return falls_short(here.clear.clear_mm, here.demand.least_mm)


def squats_before(scene: Scene, person: Person, inside: Spot) -> Spot | None:
    """Return where before its posts somebody squats whose rack has too little height between them.

    None who has the margin between them, or at another rack whose catches reach, and where there
    is no height before them either.
    """
    if fits_one_of(scene, person, caught_places(scene, _SQUAT), margin=True):
        return None
    there, spot = best_spot(scene, person, spots(scene)[_SQUAT], SHUT)
    fits = not falls_short(there.clear.clear_mm, there.demand.least_mm)
    return spot if fits and spot.placed is inside.placed and spot.use is not inside.use else None


def has_hooks_inside(placed: Placed) -> bool:
    """Return whether a bar can hang between the posts of a rack."""
    front = placed.extent.depth_mm / 2
    return any(place(rest.y, placed.extent) < front for rest in placed.kit.rests)


def _uncaught(scene: Scene, person: Person, inside: Spot, before: Spot) -> Snag:
    missing, low = drop_missing(scene, before), is_too_low_between(scene, person, inside)
    # under its own crossmember a rack is too low wherever it stands, under a duct where it does
    own = judge(scene, person, inside, SHUT).clear.own
    severity: Severity
    keys: tuple[str, ...]
    if low:
        elsewhere = fits_one_of(scene, person, caught_places(scene, _SQUAT))
        severity = how_grave(scene, person, _SQUAT, missing, elsewhere)
        words, keys = _too_tall(scene, person, inside, missing), (_DROP,)
    else:
        severity = "care" if person.wish_for(_SQUAT) == "want" else "note"
        words, keys = _the_choice(scene, person, inside, missing), (_DROP, BOTTOM, BELOW)
    return Snag(
        code="squat-before-posts" if own else "squat-before-posts-here",
        lacks="catches",
        hangs_on_place=not own,
        eased_by=frozenset({"taller"}) if own else frozenset(),
        while_training=True,
        severity=severity,
        template="{}",
        values=(words,),
        pieces=(inside.placed.root,),
        names=("squat", person_name(person, scene.plan.units)),
        person=person.id,
        movement=_SQUAT,
        unit=None,
        called="no catches where one squats",
        where=before.at,
        source_keys=keys,
    )


def _remedy(clear: Clear) -> str:
    """Say what gives more height between the posts."""
    if not clear.own:
        return "Move the rack"
    return "Set its pull-up bar higher" if clear.cause == PULL_UP_BAR else "Take a taller rack"


def _too_tall(scene: Scene, person: Person, inside: Spot, missing: str | None) -> Phrase:
    """Say what is missing before the posts for who does not stand up between them."""
    clear = judge(scene, person, inside, SHUT).clear
    remedy = _remedy(clear)
    template, values = squat_words(scene, person, missing, remedy)
    name = person_name(person, scene.plan.units), lower(inside.placed.name)
    before = phrase(template, *values)
    if clear.own and clear.cause != PULL_UP_BAR:
        words = "{} is too tall to squat between the posts of the {}; before them {}"
        return phrase(words, *name, before)
    words = "{} does not stand up between the posts of the {} under the {}; before them {}"
    return phrase(words, *name, lower(clear.cause), before)


def _the_choice(scene: Scene, person: Person, inside: Spot, missing: str | None) -> Phrase:
    """Say how much is over a head between the posts, where to set the catches, and what is else."""
    here = judge(scene, person, inside, SHUT)
    of_frame = here.clear.own and here.clear.cause != PULL_UP_BAR
    height = setting_mm(person.stature_mm, catches_of(scene, inside.placed.root))
    ready: list[object] = ["the bar on the hooks inside"] if has_hooks_inside(inside.placed) else []
    ready += [] if height is None else [phrase("the catches at {:mm}", height)]
    floor = phrase(" but the {:mm} of free floor", published(_DROP)) if missing is None else ""
    return phrase(
        "{} has {:mm} over the {} between the posts of the {}{}; allow {:bare}. Squat there{}{}, "
        "or {}: before the posts nothing catches the bar{}.",
        person_name(person, scene.plan.units),
        max(here.spare_least_mm, 0.0),
        here.clear.part,
        lower(inside.placed.name),
        "" if of_frame else f" under the {lower(here.clear.cause)}",
        here.demand.need_mm - here.demand.least_mm,
        " with " if ready else "",
        joined(" and ", ready),
        lower(_remedy(here.clear)),
        floor,
    )
