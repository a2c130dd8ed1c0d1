"""How one hangs from a pull-up bar as high as it is: straight, legs bent or knees drawn up.

The height asked for over a bar is the same for all three: what is assumed is said.
"""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.snag import Snag
from app.checks.spot import Spot
from app.formulas.headroom import HangForm, hang_demand, hang_forms
from app.model.people import Person
from app.published.register import published
from app.scene.build import Scene
from app.scene.footing import bar_mm
from app.wording import phrase

_LOWEST: HangForm = "tucked"
_STRAIGHT: HangForm = "straight"
_DONE: dict[HangForm, str] = {
    "bent": "with the lower legs bent back there is room",
    "tucked": "there is room with the knees drawn up",
}


def hang(scene: Scene, person: Person, spot: Spot, who: str) -> Iterator[Snag]:
    """Yield a care when even drawn-up knees meet the floor: never more, a mat hurts nobody.

    And a note of how somebody hangs who wants to, where that is not with straight legs. `who` is
    what the person is called in a row.
    """
    bar = bar_mm(spot.placed, spot.use) + spot.placed.lift_mm
    floor = scene.plan.room.floor.covering.thickness_mm
    forms = hang_forms(bar, person.stature_mm, person.reach_mm, floor)
    wanted = person.wish_for("pull-up") == "want"
    if not forms:
        key = f"body.hang.{_LOWEST}-ratio"
        yield Snag(
            code="hang",
            while_training=True,
            severity="care" if wanted else "note",
            template="The bar at {:mm} is so low that drawn-up knees meet the floor.",
            values=(bar,),
            pieces=(spot.placed.root,),
            names=("pull-ups", who),
            person=person.id,
            movement="pull-up",
            measured=round(bar),
            required=round(floor + published(key) * person.stature_mm),
            where=spot.at,
            source_keys=(key,),
        )
    elif wanted and _STRAIGHT not in forms:
        asked = hang_demand(_STRAIGHT, person.stature_mm, person.reach_mm, floor)
        yield Snag(
            code="hang-form",
            background=True,
            severity="note",
            template="The bar at {:mm} is too low to hang from with straight legs, which takes "
            "{:mm}; {}.",
            values=(bar, asked.least_mm, phrase(_DONE[forms[0]])),
            pieces=(spot.placed.root,),
            names=("pull-ups", who),
            person=person.id,
            movement="pull-up",
            measured=round(bar),
            required=round(asked.least_mm),
            where=spot.at,
            source_keys=tuple(f"body.hang.{form}-ratio" for form in (_STRAIGHT, forms[0])),
        )
