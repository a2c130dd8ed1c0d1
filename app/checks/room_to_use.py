"""Working spaces: anything solid in the room that a piece needs while it is used."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import numpy as np
import shapely
from numpy.typing import NDArray

from app.checks.snag import Severity, Snag, kit_key, lower
from app.published.register import published
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
    of, hit = scene.tree.query(spaces.cores, predicate="intersects")
    keep = _strangers(scene, spaces.owner[of], solids.owner[hit])
    keep &= scene.kept(("spaces wanted",), lambda: _wanted(scene))[of]
    of, hit = of[keep], hit[keep]
    low, high = spaces.low_mm[of], spaces.high_mm[of]
    keep = heights_meet(low, high, solids.low_mm[hit], solids.high_mm[hit])
    of, hit = of[keep], hit[keep]
    if not len(of):
        return
    told = _measured(scene, of, hit)
    measured, nearest = told[:, 0], told[:, 2:]
    # of several that leave nothing free the one that takes most of it is named
    order = np.lexsort((-told[:, 1], measured, of))
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

    # a bench in its rack is used from the rack: who sits down steps in from there
    seated = [p.kit.group == "Benches" and p.root != p.piece.id for p in scene.order]
    return np.array(
        [
            not refused(shape.space.movement) and not seated[owner]
            for shape, owner in zip(scene.spaces.shapes, scene.spaces.owner, strict=True)
        ],
        dtype=bool,
    )


def _measured(scene: Scene, of: Numbers, hit: Numbers) -> Floats:
    """Give for each space and what is in it: free depth in mm, area taken in mm2, where (x, y).

    What two things that stand still are to one another is measured once for a whole drag.
    """
    known = scene.kept(("room to use",), dict[tuple[object, ...], tuple[float, ...]])
    poses: list[object] = [(*placed.at, placed.pose.angle_deg) for placed in scene.order]
    poses += [None for _ in scene.fixed_names]
    owners, others = scene.spaces.owner[of].tolist(), scene.solids.owner[hit].tolist()
    keys = [
        (space, solid, poses[owner], poses[other])
        for space, solid, owner, other in zip(
            of.tolist(), hit.tolist(), owners, others, strict=True
        )
    ]
    new = [i for i, key in enumerate(keys) if key not in known]
    if new:
        if len(known) > published("scene.shapes-kept") + 2 * len(keys):
            known.clear()
            new = list(range(len(keys)))
        common = shapely.intersection(scene.spaces.cores[of[new]], scene.solids.cores[hit[new]])
        depths, nearest = _depths(scene, of[new], common)
        rows = np.column_stack([depths, shapely.area(common), nearest])
        known.update(zip([keys[i] for i in new], map(tuple, rows.tolist()), strict=True))
    return np.array([known[key] for key in keys], dtype=np.float64)


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
    round_about = (out == 0).all(axis=1)
    if round_about.any():
        reach[round_about] = _from_outlines(scene, space[round_about], xy[round_about])
    # assignment keeps the last of several values for one place, so the least depth wins
    order = np.argsort(-reach, kind="stable")
    measured[index[order]] = np.maximum(reach[order] - HALF_MM, 0.0)
    nearest[index[order]] = xy[order]
    return measured, nearest


def _from_outlines(scene: Scene, space: Numbers, xy: Floats) -> Floats:
    """Give how far each point in a ring is from the piece's outline; in an area it is nothing."""
    away = np.zeros(len(space))
    rings = [n for n in np.unique(space) if scene.spaces.shapes[n].space.side == "ring"]
    outlines = np.empty(len(scene.spaces.shapes), dtype=object)
    for n in rings:
        outlines[n] = scene.order[scene.spaces.owner[n]].footprint
    mine = np.isin(space, rings)
    away[mine] = shapely.distance(shapely.points(xy[mine]), outlines[space[mine]])
    return away


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


@cache
def _slug(name: str) -> str:
    return "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())


def _upper(name: str) -> str:
    return name[:1].upper() + name[1:]
