"""A squat between the posts, its bar on the outer hooks: who takes it from there steps out with it.

Between the posts the height may be well and before them not: a duct over the place to step out to
is met by the head or by the plates. On the hooks inside nobody steps out.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely

from app.checks.before_posts import has_hooks_inside
from app.checks.footing import under_its_grip
from app.checks.headroom import person_name
from app.checks.hung_over import hung_places, lowest_over, under
from app.checks.one_fault import STEPPING_OUT
from app.checks.snag import Snag
from app.checks.spot import Spot
from app.checks.spots import SHUT, demand_of, judge, spots, stepped_out_to
from app.formulas.headroom import Demand
from app.library.anchors import place
from app.library.use import Use
from app.model.people import Person
from app.scene.build import Scene
from app.scene.swept import held_by, parts_from, put
from app.scene.tolerance import TOLERANCE_MM, Geometries, falls_short
from app.wording import Phrase, lower, phrase

_SQUAT = "squat"
_NAMES = {"bar": "the bar's ends", "plates": "the plates"}
_Over = tuple[str, float | None, float, str, tuple[float, float], Phrase | None]
"""A part that rises, what is held of it, how much is clear over it in mm, under what, where, and
how far that is below where it is gripped."""


def stepping_out(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each person who hits something stepping out to squat; a note if only nice.

    What hits between the posts as well is said there.
    """
    for spot in spots(scene).get(_SQUAT, ()):
        out = stepped_out_to(spot)
        if out is None:
            continue
        key = "stepped out", spot.placed.piece.id, spot.placed.pose, spot.rest, hung_places(scene)
        parts = scene.memo(key, partial(_clear_over, scene, spot, out))
        for person in scene.plan.people:
            if person.wish_for(_SQUAT) not in ("want", "nice"):
                continue
            found = [(over, demand_of(scene, person, spot, over[1])) for over in parts]
            over, demand = min(found, key=lambda one: one[0][2] - one[1].least_mm)
            if not falls_short(over[2], demand.least_mm):
                continue
            here = judge(scene, person, spot, SHUT)
            if not falls_short(here.clear.clear_mm, here.demand.least_mm):
                yield _snag(scene, person, spot, over, demand)


def _clear_over(scene: Scene, spot: Spot, out: Use) -> tuple[_Over, ...]:
    placed = spot.placed
    at, was = (tuple(place(anchor, placed.extent) for anchor in use.at) for use in (out, spot.use))
    rest = was[0] + spot.rest[0] - at[0], was[1] + spot.rest[1] - at[1]
    rising = parts_from(_SQUAT, held_by(scene, placed.root), rest)
    areas: Geometries = np.array(
        [put(part.area, placed, (at[0], at[1])) for part in rising], dtype=object
    )
    areas = shapely.buffer(areas, -TOLERANCE_MM / 2, join_style="mitre")
    clear, causes = scene.overhead.clear(areas)
    hung = lowest_over(scene, placed.root, under(placed, areas, [part.is_held for part in rising]))
    middle = areas[0].centroid
    found: list[_Over] = []
    for part, high, cause, other in zip(rising, clear.tolist(), causes.tolist(), hung, strict=True):
        name = scene.overhead.items[cause].name if cause >= 0 else "sky"
        grip = None
        if other is not None and other[0] < high:
            high, name = other[0], other[1].name
            grip = under_its_grip(other[1], high)
        found.append((part.name, part.held_mm, high, name, (middle.x, middle.y), grip))
    return tuple(found)


def _snag(scene: Scene, person: Person, spot: Spot, over: _Over, demand: Demand) -> Snag:
    part, _, clear, name, at, grip = over
    who = person_name(person, scene.plan.units)
    tail = " Hang the bar on the hooks inside, and squat between the posts."
    tail = tail if has_hooks_inside(spot.placed) else ""
    return Snag(
        code=STEPPING_OUT,
        hangs_on_place=True,
        while_training=True,
        severity="care" if person.wish_for(_SQUAT) == "want" else "note",
        template="Stepped out with the bar from the outer hooks, {} hit the {}, {:mm} too low: "
        "{:bare} of the {:bare} needed{}." + tail,
        values=(
            _NAMES.get(part, "head and shoulders"),
            lower(name),
            demand.least_mm - clear,
            clear,
            demand.least_mm,
            "" if grip is None else phrase("; {}", grip),
        ),
        pieces=(spot.placed.root,),
        names=("squat", who),
        person=person.id,
        movement=_SQUAT,
        measured=round(clear),
        required=round(demand.least_mm),
        where=at,
        source_keys=demand.source_keys,
        working=tuple((term.label, round(term.mm, 1)) for term in demand.least),
    )
