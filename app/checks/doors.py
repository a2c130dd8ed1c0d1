"""Doors: how far a leaf opens, what a garage door meets, shut and open."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray

from app.checks.hangers import goes_through, hung_from_above
from app.checks.snag import Severity, Snag, agreeing
from app.checks.spots import OPEN
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.doors import OpeningShape, Sweep
from app.scene.naming import opening_name
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, falls_short
from app.wording import lower

Numbers = NDArray[np.intp]
Points = NDArray[np.float64]
UNDER = "door.under-leaf-mm"
_PERSON = "route.least-mm"


def doors(scene: Scene) -> Iterator[Snag]:
    """Yield a snag for each door whose leaf meets a piece, turning, sliding or open overhead."""
    for shape in scene.room.openings:
        # of two leaves that meet one thing the one that opens less is told
        opens: dict[str, Snag] = {}
        for sweep in shape.sweeps:
            if sweep.hinge is None:
                hits, _ = _hits(scene, sweep.polygon, sweep.low_mm, sweep.high_mm)
                if len(hits):
                    yield _in_the_way(scene, shape, sweep, hits)
                continue
            hits, mats = _hits(scene, sweep.polygon, leaf_from_mm(scene, sweep), sweep.high_mm)
            for number in _mats(scene, mats):
                yield _over_mat(scene, shape, number)
            if len(hits):
                # it hangs on what the leaf may meet, not on what else is moved about
                meets = (scene.order[owner] for owner in scene.solids.owner[hits].tolist())
                there = tuple(dict.fromkeys((one.piece.id, one.pose) for one in meets))
                left_by = _other_leaf(scene, shape, sweep)
                key = "opens to", shape.opening.id, sweep.hinge, there, left_by
                snag = scene.memo(key, partial(_opens_to, scene, shape, sweep, hits, left_by))
                if snag is not None:
                    opens[snag.key] = min(snag, opens.get(snag.key, snag), key=_angle_told)
        yield from opens.values()
        for hanging in shape.when_open:
            hits, _ = _hits(scene, hanging.polygon, hanging.bottom_mm, hanging.top_mm)
            for number in np.unique(scene.solids.owner[hits]):
                yield _under_leaf(scene, shape, int(number), hanging.bottom_mm, hits)
            met = {scene.order[owner].piece.id for owner in scene.solids.owner[hits].tolist()}
            for placed in hung_from_above(scene):
                if placed.piece.id not in met and goes_through(placed, hanging):
                    yield _through_leaf(scene, shape, placed, hanging.bottom_mm)


def _angle_told(snag: Snag) -> float:
    return snag.measured or 0.0


def leaf_from_mm(scene: Scene, sweep: Sweep) -> float:
    """Return the height of the lower edge of a leaf that turns, in mm above the bare floor."""
    covering = scene.plan.room.floor.covering.thickness_mm
    return max(covering, sweep.low_mm) + published(UNDER)


def _hits(
    scene: Scene, polygon: shapely.Polygon, low_mm: float, high_mm: float
) -> tuple[Numbers, Numbers]:
    """Return solids of pieces that reach into a place between two heights: all but mats, mats.

    They come in the order of the pieces: the tree's own hangs on how the room lies, and of several
    in the way the first is named.
    """
    core = scene.memo(
        ("core of a sweep", polygon.wkb), lambda: polygon.buffer(-HALF_MM, join_style="mitre")
    )
    hit: Numbers = np.sort(scene.tree.query(core, predicate="intersects"))
    hit = hit[hit < scene.piece_solids]
    solids = scene.solids
    met = np.minimum(solids.high_mm[hit], high_mm) - np.maximum(solids.low_mm[hit], low_mm)
    hit = hit[met > TOLERANCE_MM]
    # a mat is no obstacle that a leaf stops at: it is trimmed, or rolled up
    soft = [set(scene.order[owner].shape.parts) == {"mat"} for owner in solids.owner[hit].tolist()]
    mats = np.array(soft, dtype=bool)
    return hit[~mats], hit[mats]


def _mats(scene: Scene, hits: Numbers) -> list[int]:
    """Return the pieces, by number, that some solids belong to."""
    return [int(number) for number in np.unique(scene.solids.owner[hits])]


def _over_mat(scene: Scene, shape: OpeningShape, number: int) -> Snag:
    mat = scene.order[number]
    high = float(scene.solids.high_mm[: scene.piece_solids][_of(scene, number)].max())
    high -= scene.plan.room.floor.covering.thickness_mm
    tail = ", and it is a way out" if shape.opening.way_out else ""
    return Snag(
        code=f"door-over-mat-{shape.opening.id}",
        meets="door",
        opening=shape.opening.id,
        hangs_on_place=True,
        severity="care",
        template="The {} swings over the {}, {:bare} high{}: {:mm} is usual under a leaf. Move it, "
        "trim it, or measure the gap.",
        values=(lower(opening_name(scene, shape)), lower(mat.name), high, tail, published(UNDER)),
        pieces=(mat.piece.id,),
        names=(opening_name(scene, shape), lower(mat.name)),
        called=_in_its_way(scene, shape, mat),
        measured=round(high),
        required=round(published(UNDER)),
        where=mat.at,
        source_keys=(UNDER,),
    )


def _of(scene: Scene, number: int) -> NDArray[np.bool_]:
    mine: NDArray[np.bool_] = scene.solids.owner[: scene.piece_solids] == number
    return mine


def _other_leaf(scene: Scene, shape: OpeningShape, sweep: Sweep) -> bool:
    """Return whether a pair has another leaf by which a person leaves."""
    return any(
        leaf.hinge is not None
        and leaf is not sweep
        and not falls_short(leaf.leaf_mm, published(_PERSON))
        and _angle(scene, leaf) >= published("door.leave-angle-deg")
        for leaf in shape.sweeps
    )


def _angle(scene: Scene, sweep: Sweep) -> float:
    """Return to how many degrees a leaf turns before it meets something."""
    hits, _ = _hits(scene, sweep.polygon, leaf_from_mm(scene, sweep), sweep.high_mm)
    angles = _met_at(scene, sweep, hits)[1]
    return float(angles.min()) if len(angles) else published("door.open-angle-deg")


def _met_at(scene: Scene, sweep: Sweep, hits: Numbers) -> tuple[Points, Points, Numbers]:
    """Return where a leaf meets some solids, at how many degrees, and which of them it is."""
    assert sweep.hinge is not None
    assert sweep.shut is not None
    common = shapely.intersection(scene.solids.cores[hits], sweep.polygon)
    xy, index = shapely.get_coordinates(common, return_index=True)
    away = xy - np.array(sweep.hinge)
    far = np.hypot(away[:, 0], away[:, 1]) > TOLERANCE_MM
    cosine = (away[far] @ np.array(sweep.shut)) / np.hypot(away[far, 0], away[far, 1])
    return xy[far], np.degrees(np.arccos(np.clip(cosine, -1, 1))), index[far]


def _opens_to(
    scene: Scene, shape: OpeningShape, sweep: Sweep, hits: Numbers, left_by: bool
) -> Snag | None:
    """Return what a leaf meets before it is open; `left_by` tells of another leaf to leave by."""
    xy, angles, index = _met_at(scene, sweep, hits)
    if not len(angles):
        return None
    angle, alike = float(angles.min()), math.degrees(TOLERANCE_MM / sweep.leaf_mm)
    full = published("door.open-angle-deg")
    if angle >= full - alike:
        return None
    # of several that it meets at one angle the first is named: which is nearer by rounding hangs
    # on how the room lies
    owners = scene.solids.owner[hits[index]]
    number = int(owners[angles <= angle + alike].min())
    first = int(np.where(owners == number, angles, np.inf).argmin())
    leave = published("door.leave-angle-deg")
    trapped = shape.opening.way_out and angle < leave and not left_by
    other = scene.order[number]
    severity: Severity = "stop" if trapped else "care"
    leaf = "One leaf of the {}" if shape.opening.kind == "pair" else "The {}"
    template = leaf + " opens to {:.0f} degrees, then meets the {}{}."
    tail = f": you cannot get out this way, it needs {leave:.0f}" if trapped else ""
    at = xy[first]
    return Snag(
        code=f"door-opens-{shape.opening.id}",
        meets="door",
        opening=shape.opening.id,
        hangs_on_place=True,
        severity=severity,
        template=template,
        values=(lower(opening_name(scene, shape)), angle, lower(other.name), tail),
        pieces=(other.piece.id,),
        names=(opening_name(scene, shape), lower(other.name)),
        called=_in_its_way(scene, shape, other),
        measured=round(angle),
        required=round(leave if trapped else full),
        need=round(full),
        unit="degree",
        where=(float(at[0]), float(at[1])),
        source_keys=("door.leave-angle-deg", "door.open-angle-deg"),
    )


def _in_its_way(scene: Scene, shape: OpeningShape, placed: Placed) -> str:
    """Return what a door meets as it is within a sentence."""
    return f"the {lower(placed.name)} in the way of the {lower(opening_name(scene, shape))}"


def _in_the_way(scene: Scene, shape: OpeningShape, sweep: Sweep, hits: Numbers) -> Snag:
    number = int(scene.solids.owner[hits[0]])
    placed = scene.order[number]
    slides = shape.opening.kind == "side-sliding"
    middle = scene.solids.cores[hits[0]].centroid
    door = lower(opening_name(scene, shape))
    template = {
        "open leaf": "{} where the leaf of the {} slides along the wall.",
        "back of the leaf": "{} right behind the {}: keep {:mm} off it.",
    }.get(
        sweep.name,
        "{} where the {} swings up: keep {:mm} off it, or open it once and mark the floor.",
    )
    sectional = shape.opening.kind == "sectional"
    behind = "sectional.behind" if sectional else "retractable.keep-free"
    keys = {
        "open leaf": "garage.side-sliding.strip-mm",
        "back of the leaf": f"garage.{behind}-mm",
    }
    key = keys.get(sweep.name, "garage.retractable.keep-behind-mm")
    return Snag(
        code=f"door-{'-'.join(sweep.name.split())}-{shape.opening.id}",
        meets="door",
        opening=shape.opening.id,
        hangs_on_place=True,
        severity="stop" if slides else "care",
        template=template,
        values=(agreeing(placed.name, "stands", "stand"), door, published(key)),
        pieces=(placed.piece.id,),
        names=(placed.name, opening_name(scene, shape)),
        called=_in_its_way(scene, shape, placed),
        unit=None,
        where=(middle.x, middle.y),
        source_keys=(key,),
    )


def _under_leaf(
    scene: Scene, shape: OpeningShape, number: int, bottom_mm: float, hits: Numbers
) -> Snag:
    placed = scene.order[number]
    mine = hits[scene.solids.owner[hits] == number]
    top = float(scene.solids.high_mm[mine].max())
    door = lower(opening_name(scene, shape))
    middle = scene.solids.cores[mine[0]].centroid
    return Snag(
        code=f"door-overhead-{shape.opening.id}",
        meets="door",
        opening=shape.opening.id,
        eased_by=frozenset({"lower"}),
        hangs_on_place=True,
        severity="stop",
        template="{} {:bare}; the open leaf of the {} hangs at {:mm}: it cannot open.",
        values=(agreeing(placed.name, "reaches", "reach"), top, door, bottom_mm),
        pieces=(placed.piece.id,),
        names=(placed.name, opening_name(scene, shape)),
        situation=OPEN,
        shuts_door=True,
        measured=round(bottom_mm),
        required=round(top),
        where=(middle.x, middle.y),
        source_keys=("garage.up-and-over.height-loss-most-mm",),
    )


def _through_leaf(scene: Scene, shape: OpeningShape, placed: Placed, bottom_mm: float) -> Snag:
    door = lower(opening_name(scene, shape))
    return Snag(
        code=f"door-overhead-{shape.opening.id}",
        meets="door",
        opening=shape.opening.id,
        hangs_on_place=True,
        severity="stop",
        template="What the {} hangs by goes up through where the open leaf of the {} comes to lie, "
        "{:mm} high: it cannot open.",
        values=(lower(placed.name), door, bottom_mm),
        pieces=(placed.piece.id,),
        names=(placed.name, opening_name(scene, shape)),
        situation=OPEN,
        shuts_door=True,
        unit=None,
        where=placed.at,
        source_keys=("garage.up-and-over.height-loss-most-mm",),
    )
