"""Between the posts of a rack somebody lifts: nothing else stands there, or goes through.

The posts are solids, and what is between them is air: a rower goes through and meets nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

from app.checks.crowding import ROWS_AT_LEAST, not_looked_at
from app.checks.layers import layers
from app.checks.met import what_is_met
from app.checks.snag import Snag, agreeing, kit_key
from app.library.anchors import place
from app.library.kit import KitType
from app.scene.build import Placed, Scene
from app.scene.shapes import QUARTERS
from app.scene.tolerance import HALF_MM, Geometries, falls_short, heights_meet
from app.wording import lower

RACKS: Final = "Racks"
BENCHES: Final = "Benches"
_STEP_OVER = "route.step-over-mm"
BETWEEN = frozenset({"post", "arm"})
"""Parts of a rack between which somebody lifts."""
LEAST_WIDE_MM = HALF_MM
"""How wide the place between two posts alone is, which stand in one line: what only touches that
line, drawn in as it is by half a millimetre, does not meet it."""


def may_be_there(kit: KitType) -> bool:
    """Return whether a thing belongs between the posts of a rack, or does no harm there.

    A bench is used there. A bar lies there, or on the next rack, and is judged by its ends. A box,
    a step or a few plates are put down there and taken out with one hand.
    """
    bench = kit.group == BENCHES and not kit.rests
    return bench or kit.bar is not None or kit.between_posts


def place_between(scene: Scene, placed: Placed) -> Polygon | None:
    """Return the floor between the posts of a rack as turned, in its own frame; None if none is.

    It ends at the middles of the posts: what reaches no farther in than half a post is in
    nobody's way. Two posts alone have a line between them.
    """
    if placed.kit.group != RACKS:
        return None
    # what it hangs on besides is kept with the plan's kit
    key = "between posts", placed.piece.id, placed.pose.angle_deg
    return scene.memo(key, lambda: _between(placed))


def _between(placed: Placed) -> Polygon | None:
    shape = placed.shape
    posts = [p for part, p in zip(shape.parts, shape.polygons, strict=True) if part == "post"]
    if len(posts) < 2:
        return None
    parts = [p for part, p in zip(shape.parts, shape.polygons, strict=True) if part in BETWEEN]
    hull = MultiPolygon(parts).convex_hull
    # posts are square: a side is a quarter of what is round one
    half = min(post.length for post in posts) / QUARTERS / 2
    inner = hull.buffer(LEAST_WIDE_MM / 2 - half, join_style="mitre")
    return None if inner.is_empty else inner


def _there(scene: Scene, placed: Placed, inner: Polygon) -> Polygon:
    key = "between posts there", placed.piece.id, *placed.at, placed.pose.angle_deg
    return scene.memo(key, lambda: shapely.transform(inner, lambda xy: xy + placed.at))


def inside_mm(host: Placed) -> float | None:
    """Return the clear width between the posts of a rack in mm, None for what has no posts."""
    posts = [solid for solid in host.kit.solids if solid.part == "post" and solid.x is not None]
    left: list[list[float]] = []
    right: list[list[float]] = []
    for solid in posts:
        assert solid.x is not None
        ends = sorted(place(end, host.extent) for end in solid.x)
        (left if sum(ends) < 0 else right).append(ends)
    if not left or not right:
        return None
    return min(ends[0] for ends in right) - max(ends[1] for ends in left)


WIDER = "{} is {:mm} wide, between the posts of the {} there are {:bare}."
"""Says it of a bench, by what `wider_than` returns."""


def wider_than(bench: Placed, rack: Placed) -> tuple[str, float, str, float] | None:
    """Return names and widths where a bench is wider than its rack is between the posts, in mm."""
    inside = inside_mm(rack) if rack.kit.group == RACKS else None
    wide = bench.extent.width_mm
    if inside is None or bench.kit.group != BENCHES or not falls_short(inside, wide):
        return None
    return bench.name, wide, lower(rack.name), inside


def standing_in_racks(scene: Scene) -> frozenset[int]:
    """Return the numbers of pieces whose middles are between the posts of a rack.

    They are reached from where one lifts, over its bar: no way on foot of their own leads there.
    """
    found: set[int] = set()
    for number, placed in enumerate(scene.order):
        inner = place_between(scene, placed)
        if inner is not None:
            within = shapely.contains_xy(_there(scene, placed, inner), *scene.at.T)
            found |= {*np.flatnonzero(within & (scene.roots != scene.roots[number])).tolist()}
    return frozenset(found)


def between_posts(scene: Scene) -> Iterator[Snag]:
    """Yield a `stop` for each piece or column between the posts of a rack that is in use.

    What is low enough to step over lies there as a mat does. Of a heap two hundred rows are told.
    """
    rows: list[Snag] = []
    unseen = 0
    for number, placed in enumerate(scene.order):
        inner = place_between(scene, placed)
        if inner is None:
            continue
        there = _there(scene, placed, inner)
        hits = _within(scene, number, there)
        if not len(hits):
            continue
        if len(rows) >= ROWS_AT_LEAST:
            unseen += len(hits)
            continue
        cores = scene.solids.cores[hits]
        met = np.asarray(shapely.intersects(there, cores), dtype=bool)
        owners = scene.solids.owner[hits[met]]
        for other in np.unique(owners).tolist():
            stands = scene.order[other].pose if other < len(scene.order) else None
            mine = cores[met][owners == other]
            key = "stands between posts", placed.piece.id, placed.pose, other, stands
            rows.append(scene.memo(key, partial(_snag, scene, placed, other, there, mine)))
    yield from rows[:ROWS_AT_LEAST]
    unseen += max(len(rows) - ROWS_AT_LEAST, 0)
    yield from not_looked_at("between-posts-unseen", "what is between posts of racks", unseen)


def _within(scene: Scene, number: int, there: Polygon) -> NDArray[np.intp]:
    """Return the solids whose boxes are there, in rising order, but for what belongs there."""
    placed, solids = scene.order[number], scene.solids
    hits = np.sort(scene.tree.query(there))
    owners = solids.owner[hits]
    strange = scene.memo(("strange to racks",), lambda: _strange(scene))[owners]
    mates = np.where(owners < len(scene.order), owners, number)
    strange &= (owners >= len(scene.order)) | (scene.roots[mates] != scene.roots[number])
    hits = hits[strange]
    low = np.array(placed.lift_mm)
    high = low + placed.extent.height_mm
    meet = heights_meet(low, high, solids.low_mm[hits], solids.high_mm[hits])
    kept: NDArray[np.intp] = hits[meet]
    return kept


def _strange(scene: Scene) -> NDArray[np.bool_]:
    """Return which owners of solids do not belong between posts: walls are not among them."""
    pieces = [not may_be_there(placed.kit) for placed in scene.order]
    walls = len(scene.room.walls)
    fixed = [number >= walls for number in range(len(scene.fixed_names))]
    return np.array([*pieces, *fixed], dtype=bool) & ~layers(scene)


def _snag(scene: Scene, rack: Placed, other: int, there: Polygon, cores: Geometries) -> Snag:
    name, others, code, meets = what_is_met(scene, other, "between-posts")
    middle = shapely.union_all(shapely.intersection(there, cores)).centroid
    return Snag(
        code=code,
        hangs_on_place=True,
        while_training=True,
        meets=meets,
        severity="stop",
        template="{:cap} between the posts of the {}, where somebody lifts.",
        values=(agreeing(name, "is", "are"), lower(rack.name)),
        pieces=(*others, rack.piece.id),
        names=(name, lower(rack.name)),
        unit=None,
        where=(middle.x, middle.y),
        source_keys=(kit_key(rack.kit.key, "posts"), _STEP_OVER),
    )
