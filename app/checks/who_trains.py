"""Who trains: a child alone on kit, a reach that nobody has, a bar typed above its own rack."""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.alone import GROWN, is_child
from app.checks.headroom import person_name
from app.checks.snag import Snag
from app.checks.spots import spots
from app.checks.standing import snags_of_plan
from app.formulas.body import grip_reach_range_mm
from app.model.people import Person
from app.published.register import published
from app.scene.build import Scene
from app.scene.tolerance import falls_short
from app.wording import lower

_AGE = "training.least-age-years"
_SLOPE = "body.grip-reach.cautious-slope"
_OFFSET = "body.grip-reach.cautious-offset-mm"
_ERRORS = "body.grip-reach.cautious-two-standard-errors-mm"
_HUNG = ("wall", "ceiling")
_ON_A_BAR = ("pull-up", "dip")


def who_trains(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each child alone on kit, and what is to be measured again."""
    yield from snags_of_plan(scene, "who trains", _all)


def _all(scene: Scene) -> Iterator[Snag]:
    for person in scene.plan.people:
        yield from _child(scene, person)
        yield from _reach(scene, person)
    yield from _bars_above(scene)


def _child(scene: Scene, person: Person) -> Iterator[Snag]:
    if not person.trains_alone or not is_child(person):
        return
    offered = spots(scene)
    kit = [
        spot.placed
        for wish in person.wishes
        if wish.wish != "no"
        for spot in offered.get(wish.movement, ())
        # a mat or a rope is no equipment
        if set(spot.placed.shape.parts) - {"mat"}
    ]
    if kit:
        name = person_name(person, scene.plan.units)
        yield Snag(
            code="child-alone",
            severity="care",
            template="Shorter than {:mm}: if this is a child, never alone on training kit, which "
            "is made for {:.0f} years and over. A grown-up stays by.",
            values=(published(GROWN), published(_AGE)),
            pieces=(kit[0].piece.id,),
            names=(name, "alone"),
            person=person.id,
            measured=round(person.stature_mm),
            required=round(published(GROWN)),
            where=kit[0].at,
            source_keys=(GROWN, _AGE),
        )


def _reach(scene: Scene, person: Person) -> Iterator[Snag]:
    """Yield a note for a reach farther from what is usual than four standard errors."""
    reach = person.reach_mm
    if reach is None:
        return
    least, most = grip_reach_range_mm(person.stature_mm)
    if not falls_short(reach, least) and not falls_short(most, reach):
        return
    name = person_name(person, scene.plan.units)
    bound = least if reach < least else most
    yield Snag(
        code="reach-not-usual",
        severity="note",
        template="A grip reach of {:mm} at a stature of {:bare}: {:bare} to {:mm} is usual. "
        "Measure again, to the middle of a gripped bar.",
        values=(reach, person.stature_mm, round(least), round(most)),
        names=(name, "reach"),
        person=person.id,
        measured=round(reach),
        required=round(bound),
        source_keys=(_SLOPE, _OFFSET, _ERRORS),
    )


def _bars_above(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each bar typed higher than the top of what stands and carries it."""
    for placed in scene.order:
        bar, top = placed.piece.bar_height_mm, placed.extent.height_mm
        hung_from = any(use.movement in _ON_A_BAR for use in placed.kit.uses)
        if bar is None or not hung_from or placed.kit.fixing in _HUNG or not falls_short(top, bar):
            continue
        yield Snag(
            code="bar-above-its-rack",
            severity="care",
            template="The bar of the {} is typed at {:mm}, and its top is at {:bare}: measure "
            "both again.",
            values=(lower(placed.name), bar, top),
            pieces=(placed.piece.id,),
            names=(placed.name, "bar"),
            measured=round(top),
            required=round(bar),
            where=placed.at,
            source_keys=("scene.touch-tolerance-mm",),
        )
