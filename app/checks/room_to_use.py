"""Working spaces: anything solid in the room that a piece needs while it is used."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from app.checks.snag import Severity, Snag, kit_key, lower
from app.scene.build import Scene
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, Geometries, heights_meet

Numbers = NDArray[np.intp]
Floats = NDArray[np.float64]


def room_to_use(scene: Scene) -> Iterator[Snag]:
    """Yield a snag for each working space that something solid reaches into.

    Under the least depth of a body or fall-off space it is a `stop`, under the recommended a
    `care`; in an access space always a `care`. The nearest thing is named.
    """
    spaces, solids = scene.spaces, scene.solids
    of, hit = scene.tree.query(spaces.cores)
    keep = _strangers(scene, spaces.owner[of], solids.owner[hit])
    keep &= scene.kept(("spaces wanted",), lambda: _wanted(scene))[of]
    of, hit = of[keep], hit[keep]
    low, high = spaces.low_mm[of], spaces.high_mm[of]
    keep = heights_meet(low, high, solids.low_mm[hit], solids.high_mm[hit])
    of, hit = of[keep], hit[keep]
    if not len(of):
        return
    common = shapely.intersection(spaces.cores[of], solids.cores[hit])
    measured, nearest = _depths(scene, of, common)
    # of several that leave nothing free the one that takes most of it is named
    order = np.lexsort((-shapely.area(common), measured, of))
    starts = order[np.flatnonzero(np.r_[True, np.diff(of[order]) != 0])]
    short = starts[measured[starts] < spaces.wanted_mm[of[starts]] - TOLERANCE_MM]
    for i in _without_a_choice(scene, of, short, measured):
        at = (float(nearest[i, 0]), float(nearest[i, 1]))
        yield _snag(scene, int(of[i]), int(solids.owner[hit[i]]), float(measured[i]), at)


def _without_a_choice(
    scene: Scene, of: Numbers, short: Numbers, measured: Floats
) -> Iterator[np.intp]:
    """Of spaces of which one is enough, pass over all if one is free, else keep the deepest."""
    choices: dict[int, list[np.intp]] = {}
    for i in short:
        if scene.spaces.shapes[of[i]].space.either:
            choices.setdefault(int(scene.spaces.owner[of[i]]), []).append(i)
        else:
            yield i
    for owner, found in choices.items():
        if len(found) == sum(s.space.either for s in scene.order[owner].shape.spaces):
            yield max(found, key=lambda i: measured[i])


def _strangers(scene: Scene, owners: Numbers, others: Numbers) -> NDArray[np.bool_]:
    """Tell which solids do not belong to the station of the space."""
    piece = others < len(scene.order)
    mate = np.where(piece, others, owners)
    strangers: NDArray[np.bool_] = ~piece | (scene.roots[owners] != scene.roots[mate])
    return strangers


def _wanted(scene: Scene) -> NDArray[np.bool_]:
    """Tell which spaces anybody needs: not those of a movement that everybody says no to."""
    people = scene.plan.people

    def refused(movement: str | None) -> bool:
        if movement is None or not people:
            return False
        return all(person.said(movement) == "no" for person in people)

    return np.array([not refused(s.space.movement) for s in scene.spaces.shapes], dtype=bool)


def _depths(scene: Scene, of: Numbers, common: Geometries) -> tuple[Floats, Floats]:
    """Measure how deep each space is free before the thing in it, and where that is.

    In a strip it is the distance from the edge outwards, for a ring that from the outline, for an
    area nothing. Spaces that are not reached after all get infinity.
    """
    spaces = scene.spaces
    measured, nearest = np.full(len(of), np.inf), np.zeros((len(of), 2))
    xy, index = shapely.get_coordinates(common, return_index=True)
    if not len(xy):
        return measured, nearest
    space = of[index]
    out = spaces.outward[space]
    reach = ((xy - scene.at[spaces.owner[space]]) * out).sum(axis=1) - spaces.edge_mm[space]
    for i in np.unique(index[(out == 0).all(axis=1)]):
        # rings and areas are few: measured one by one
        mine = index == i
        ring = spaces.shapes[of[i]].space.side == "ring"
        outline = scene.order[spaces.owner[of[i]]].footprint
        away = shapely.distance(shapely.points(xy[mine]), outline) if ring else 0.0
        reach[mine] = away
    # assignment keeps the last of several values for one place, so the least depth wins
    order = np.argsort(-reach, kind="stable")
    measured[index[order]] = np.maximum(reach[order] - HALF_MM, 0.0)
    nearest[index[order]] = xy[order]
    return measured, nearest


def _snag(scene: Scene, number: int, other: int, measured: float, at: tuple[float, float]) -> Snag:
    space = scene.spaces.shapes[number].space
    owner = scene.order[scene.spaces.owner[number]]
    area = space.side == "area"
    severity: Severity = "care"
    required = space.recommended_mm
    if space.kind != "access" and (area or measured < space.least_mm - TOLERANCE_MM):
        severity, required = "stop", space.least_mm
    pieces: tuple[str, ...] = (owner.piece.id,)
    if other < len(scene.order):
        name = f"the {lower(scene.order[other].name)}"
        pieces += (scene.order[other].piece.id,)
    else:
        name = scene.fixed_names[other - len(scene.order)]
    least = f", {space.least_mm:.0f} is the least" if severity == "stop" else ""
    wanted = (space.recommended_mm, least)
    values: tuple[object, ...] = (measured, name, *wanted)
    template = "There are {:.0f} mm, then {}; {:.0f} are wanted{}."
    if area:
        template, values = "{} stands on the floor that it needs free.", (_upper(name),)
    elif measured <= TOLERANCE_MM:
        template = "{} stands right against it; {:.0f} mm are wanted{}."
        values = (_upper(name), *wanted)
    return Snag(
        code=f"room-{_slug(space.name)}",
        severity=severity,
        template=template,
        values=values,
        pieces=pieces,
        names=(owner.name, space.name),
        measured=None if area else round(measured),
        required=None if area else round(required),
        need=None if area else round(space.recommended_mm),
        unit=None if area else "mm",
        where=at,
        source_keys=(kit_key(owner.kit.key, space.name),),
    )


def _slug(name: str) -> str:
    return "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())


def _upper(name: str) -> str:
    return name[:1].upper() + name[1:]
