"""Floor to lie on with arms overhead: a mat and the free floor beyond its ends, by the person."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from app.checks.headroom import person_name
from app.checks.layers import is_floor
from app.checks.snag import Snag
from app.formulas.body import fingertip_reach_typical_mm
from app.model.people import Person
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.shapes import turn, turned_points
from app.scene.tolerance import HALF_MM, falls_short

_MOVEMENT = "floor-work"
_REACH = "body.fingertip-reach.typical-ratio"
_STEPPED_OVER = "route.step-over-mm"


def lying(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each person who wants floor work and is too long for every mat here.

    Whoever lies with arms overhead reaches as far as one who stands so does up.
    """
    people = [person for person in scene.plan.people if person.wish_for(_MOVEMENT) == "want"]
    mats = [placed for placed in scene.order if _is_lain_on(placed)] if people else []
    free = [(length, mat) for mat in mats if (length := _free_mm(scene, mat)) is not None]
    if not free:
        return
    longest, mat = max(free, key=lambda one: round(one[0]))
    for person in people:
        asked = fingertip_reach_typical_mm(person.stature_mm)
        if falls_short(longest, asked):
            yield _snag(scene, person, mat, longest, asked)


def lain_on_mm(scene: Scene, placed: Placed) -> float:
    """Return how long the floor is wanted on which somebody lies with arms overhead; else nought.

    Shorter than that it is no place for floor work, whatever is free beyond its ends today.
    """
    people = [person for person in scene.plan.people if person.wish_for(_MOVEMENT) == "want"]
    asked = (fingertip_reach_typical_mm(person.stature_mm) for person in people)
    return max(asked, default=0.0) if _is_lain_on(placed) else 0.0


def _is_lain_on(placed: Placed) -> bool:
    """Return whether a piece is floor to lie on."""
    uses = {use.movement for use in placed.kit.uses}
    return placed.in_use and _MOVEMENT in uses and any(map(is_floor, placed.kit.spaces))


def _free_mm(scene: Scene, mat: Placed) -> float | None:
    """Return how long the floor is free along a mat, no farther than anybody reaches.

    None where something stands on the mat itself: that is said as such.
    """
    key = "lain along", mat.piece.id, mat.pose
    strip = scene.memo(key, lambda: _strip(mat, _reach_mm(scene)))
    solids = scene.solids
    hits = scene.tree.query(strip, predicate="intersects")
    # what one reaches over does not count, the mat neither
    reached_over = published(_STEPPED_OVER)
    hits = hits[
        (scene.order.index(mat) != solids.owner[hits])
        & (solids.high_mm[hits] > reached_over)
        & (solids.low_mm[hits] < reached_over)
    ]
    # it hangs on what stands along the mat, not on what else is moved about
    count = len(scene.order)
    there = tuple(
        (owner, scene.order[owner].pose if owner < count else None)
        for owner in dict.fromkeys(solids.owner[hits].tolist())
    )
    return scene.memo(
        ("free along", mat.piece.id, mat.pose, there), partial(_between, scene, mat, strip, hits)
    )


def _reach_mm(scene: Scene) -> float:
    return fingertip_reach_typical_mm(max(person.stature_mm for person in scene.plan.people))


def _strip(mat: Placed, reach_mm: float) -> Polygon:
    """Return the floor along a mat, as far beyond its ends as anybody reaches."""
    wide, deep = mat.extent.width_mm, mat.extent.depth_mm
    far, aside = max(wide, deep) / 2 + reach_mm, min(wide, deep) / 2 - HALF_MM
    ends = np.array(((aside, far), (aside, -far), (-aside, -far), (-aside, far)))
    corners = ends if deep >= wide else ends[:, ::-1]
    return Polygon(turned_points(corners, mat.pose.angle_deg) + mat.at)


def _between(scene: Scene, mat: Placed, strip: Polygon, hits: NDArray[np.intp]) -> float | None:
    """Return how long a strip along a mat is free between some solids; None where one is on it."""
    wide, deep = mat.extent.width_mm, mat.extent.depth_mm
    half = max(wide, deep) / 2
    far, solids = half + _reach_mm(scene), scene.solids
    along = turn(*((0.0, 1.0) if deep >= wide else (1.0, 0.0)), mat.pose.angle_deg)
    common = shapely.intersection(solids.cores[hits], strip)
    xy, index = shapely.get_coordinates(common, return_index=True)
    away = (xy - mat.at) @ np.array(along)
    ahead = behind = far
    for number in np.unique(index):
        near, end = float(away[index == number].min()), float(away[index == number].max())
        if near < half - HALF_MM * 2 and end > HALF_MM * 2 - half:
            return None
        if near > 0:
            ahead = min(ahead, near - HALF_MM)
        else:
            behind = min(behind, -end - HALF_MM)
    return ahead + behind


def _snag(scene: Scene, person: Person, mat: Placed, free_mm: float, asked_mm: float) -> Snag:
    who = person_name(person, scene.plan.units)
    return Snag(
        code="lying",
        hangs_on_place=True,
        while_training=True,
        severity="care",
        template="Lying with arms overhead {} takes {:mm}; {:mm} are free along the mat.",
        values=(who, asked_mm, free_mm),
        pieces=(mat.piece.id,),
        names=(mat.name, who),
        person=person.id,
        measured=round(free_mm),
        required=round(asked_mm),
        where=mat.at,
        source_keys=(_REACH,),
    )
