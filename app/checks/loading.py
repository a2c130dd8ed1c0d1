"""Loading a bar: a place to stand at each sleeve, and room between the ends of two bars."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Point, Polygon

from app.checks.snag import Snag
from app.published.register import published
from app.scene.bar_lengths import bar_of
from app.scene.build import Placed, Scene
from app.scene.shapes import turn, turned_points
from app.scene.swept import put
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, Geometries, falls_short
from app.wording import lower

_KEY = "bar-end.standing-place-mm"
_APART = "bar-end.walk-past-mm"
SLEEVES = (("left", -1.0), ("right", 1.0))


def loading(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each racked bar with no place to stand at a sleeve, a note for near ends."""
    held = [placed for placed in scene.order if racked(scene, placed)]
    for bar in held:
        snag = _standing(scene, bar)
        if snag is not None:
            yield snag
    yield from _ends_apart(held)


def racked(scene: Scene, placed: Placed) -> bool:
    """Return whether a piece is a bar that lies in rests of something, both of them in use."""
    host = scene.placed.get(placed.piece.carried_by or "")
    carried = placed.kit.bar is not None and placed.in_use and not placed.piece.on_floor
    return carried and host is not None and bool(host.kit.rests) and host.in_use


def _standing(scene: Scene, bar: Placed) -> Snag | None:
    """Find the sleeves with no free square before or behind; what stands there is named.

    Of a sleeve that is not in the room at all the check of what lies outside tells, of one from
    which no plate comes off that of the room beyond its end.
    """
    clauses: list[str] = []
    for name, way in SLEEVES:
        if not scene.room.within.covers(Point(_end(bar, turn(way, 0.0, bar.pose.angle_deg)))):
            continue
        if _shut_in(scene, bar, way):
            continue
        before, behind = _beside(scene, bar, way)
        if before and behind:
            both = before == behind and before in scene.fixed_names
            where = f"{before} is in the way" if both else f"{before} is before, {behind} behind"
            clauses.append(f"at the {name} one {where}")
    if not clauses:
        return None
    side = published(_KEY)
    return Snag(
        code="room-to-load",
        hangs_on_place=True,
        while_training=True,
        severity="care",
        template="Nowhere to stand and put plates on: {}. Allow {:bare} x {:mm} before or behind "
        "each sleeve.",
        values=(", ".join(clauses), side, side),
        pieces=(bar.piece.id,),
        names=(bar.name, "loading"),
        measured=None,
        required=round(side),
        where=bar.at,
        source_keys=(_KEY,),
    )


def has_place_to_load(scene: Scene, bar: Placed, way: float) -> bool:
    """Return whether one can stand before or behind a sleeve of a racked bar, -1 left, 1 right."""
    before, behind = _beside(scene, bar, way)
    return not (before and behind)


def _beside(scene: Scene, bar: Placed, way: float) -> tuple[str | None, str | None]:
    """Return what takes the place before a sleeve and that behind it, None for one that is free."""
    return _taken(scene, bar, way, 1), _taken(scene, bar, way, -1)


def _shut_in(scene: Scene, bar: Placed, way: float) -> bool:
    """Return whether something at the height of the bar is nearer than a plate is thick."""
    key = "beyond a sleeve", bar.piece.id, bar.pose, way
    beyond = scene.memo(key, lambda: _beyond(bar, way))
    solids = scene.solids
    hits = scene.tree.query(beyond, predicate="intersects")
    hits = hits[solids.owner[hits] != scene.order.index(bar)]
    # in its rests, from the lowest to the highest
    low, high = (bar.lift_mm + rest for rest in bar.rest_mm)
    low, high = low + float(bar.shape.low_mm.min()), high + float(bar.shape.high_mm.max())
    met = (solids.low_mm[hits] < high) & (solids.high_mm[hits] > low)
    return bool(met.any())


def _beyond(bar: Placed, way: float) -> Polygon:
    """Return the place beyond a sleeve, as deep as a plate is thick."""
    end, half = bar.extent.width_mm / 2, published(_KEY) / 2
    far = end + published("bar-end.least-mm") - HALF_MM
    corners = [(way * x, y) for x, y in ((end, -half), (far, -half), (far, half), (end, half))]
    return put(Polygon(corners), bar, (0.0, 0.0))


def _squares(bar: Placed, way: float, side: int) -> Geometries:
    """Return places to stand clear of the plates: in at the sleeve, over its middle, at its end."""
    shape = bar_of(bar)
    assert shape is not None
    wide = published(_KEY)
    near = (bar.piece.plate_mm or published("plate.large-diameter-mm")) / 2
    end, sleeve = bar.extent.width_mm / 2, shape.sleeve_mm
    ys = (side * near, side * (near + wide))
    middles = np.array([end - sleeve / 2, end - sleeve + wide / 2, end])
    xs = way * np.stack([middles - wide / 2, middles + wide / 2])[[0, 1, 1, 0]].T
    corners = np.stack([xs, np.broadcast_to(np.array(ys)[[0, 0, 1, 1]], xs.shape)], axis=-1)
    there = turned_points(corners.reshape(-1, 2), bar.pose.angle_deg) + np.array(bar.at)
    squares = shapely.polygons(there.reshape(corners.shape))
    cored: Geometries = shapely.buffer(squares, -HALF_MM, join_style="mitre")
    return cored


def _places(scene: Scene, bar: Placed, way: float, side: int) -> tuple[Geometries, list[bool]]:
    squares = _squares(bar, way, side)
    inside: list[bool] = shapely.covers(scene.room.within, squares).tolist()
    return squares, inside


def _taken(scene: Scene, bar: Placed, way: float, side: int) -> str | None:
    """Say what stands on one side of a sleeve; None where a square there is free."""
    key = ("loading squares", bar.piece.id, *bar.at, bar.pose.angle_deg, way, side)
    squares, inside = scene.memo(key, lambda: _places(scene, bar, way, side))
    covering = scene.plan.room.floor.covering.thickness_mm
    low = covering + published("route.step-over-mm")
    high = published("route.overhead-note-mm")
    solids = scene.solids
    number = scene.order.index(bar)
    of, hit = scene.tree.query(squares, predicate="intersects")
    met = (
        (solids.owner[hit] != number)
        & (solids.low_mm[hit] < high - TOLERANCE_MM)
        & (solids.high_mm[hit] > low + TOLERANCE_MM)
    )
    of, hit = of[met], hit[met]
    for i in range(len(squares)):
        if inside[i] and not (of == i).any():
            return None
    owners = np.unique(solids.owner[hit[of == of.min()]]) if len(of) else np.array([], dtype=int)
    if not len(owners):
        return "the end of the room"
    owner = int(owners[0])
    if owner < len(scene.order):
        return f"the {lower(scene.order[owner].name)}"
    return scene.fixed_names[owner - len(scene.order)]


def _ends_apart(bars: list[Placed]) -> Iterator[Snag]:
    """Yield one note for the nearest two ends of bars that face one another."""
    wanted, least = published(_APART), published("bar-end.recommended-mm")
    nearest: tuple[float, Placed, Placed] | None = None
    for i, one in enumerate(bars):
        for other in bars[i + 1 :]:
            gap = _gap_mm(one, other)
            if gap is None or not falls_short(gap, wanted) or falls_short(gap, least):
                continue
            if nearest is None or gap < nearest[0]:
                nearest = gap, one, other
    if nearest is None:
        return
    gap, one, other = nearest
    yield Snag(
        code="bar-ends-apart",
        hangs_on_place=True,
        severity="note",
        template="{:mm} between the ends of the two bars; {:bare} let two people load at once.",
        values=(gap, wanted),
        pieces=(one.piece.id, other.piece.id),
        names=(one.name, lower(other.name)),
        measured=round(gap),
        required=round(wanted),
        where=one.at,
        source_keys=(_APART,),
    )


def _gap_mm(one: Placed, other: Placed) -> float | None:
    """Return how far apart two bars' ends are that face one another, None where none do."""
    abreast = published("bar-end.ample-mm")
    nearest = None
    for _, way in SLEEVES:
        out = turn(way, 0.0, one.pose.angle_deg)
        for _, back in SLEEVES:
            theirs = turn(back, 0.0, other.pose.angle_deg)
            a, b = _end(one, out), _end(other, theirs)
            dx, dy = b[0] - a[0], b[1] - a[1]
            ahead = dx * out[0] + dy * out[1]
            aside = abs(dx * out[1] - dy * out[0])
            if out[0] * theirs[0] + out[1] * theirs[1] < 0 < ahead and aside < abreast:
                nearest = ahead if nearest is None else min(nearest, ahead)
    return nearest


def _end(bar: Placed, out: tuple[float, float]) -> tuple[float, float]:
    half = bar.extent.width_mm / 2
    return bar.at[0] + out[0] * half, bar.at[1] + out[1] * half
