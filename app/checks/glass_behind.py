"""Glass behind a belt to run or walk on: who comes off the belt goes through it.

Behind a belt made to run on the sheets ask for 2000 whoever is on it; behind one made to walk on
alone what is wanted to anything is enough to glass as well, and less is a care, never a stop.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from app.checks.bare_walls import is_above_shoulders
from app.checks.flight import pane, window_name
from app.checks.mirror_areas import sheets
from app.checks.mirrors import MIRROR, edges_mm
from app.checks.one_fault import GLASS_BEHIND
from app.checks.snag import Severity, Snag
from app.library.use import Use
from app.model.situations import OUT
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.footing import ON_A_BELT, footing
from app.scene.shapes import SpaceShape
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, falls_short
from app.wording import lower

_LEAST, _WALKED = "running.behind.glass-mm", "walking.behind.recommended-mm"
GLASS_BESIDE = "running.behind.glass-beside-mm"
_RUN = "run"
_ASSUMED = "sight.stature-assumed-mm"
_END = "front"
"""The end of a belt that who walks or runs on it has behind them."""

_ASKED_FOR = ("want", "nice")


@dataclass(frozen=True, slots=True)
class _Pane:
    """Glass: its name, its piece or mirror of the fit-out, its form on the plan, its lower edge."""

    name: str
    piece_id: str | None
    sheet_id: str | None
    form: BaseGeometry
    low_mm: float


@dataclass(frozen=True, slots=True)
class _Target:
    """Glass behind a belt: how far beside the floor kept free there, how far off, and where."""

    aside_mm: float
    away_mm: float
    pane: _Pane
    where: tuple[float, float]


def glass_behind(scene: Scene) -> Iterator[Snag]:
    """Yield a row for each belt with glass behind it nearer than is asked for.

    A stop behind one to run on, a care behind one to walk on alone, and a care where it is beside
    the floor that is kept free behind one to run on, if nearly: nobody is thrown straight.
    """
    for placed in scene.order:
        if not placed.in_use:
            continue
        use, behind = belt_of(placed), behind_belt(placed)
        if use is None or not behind:
            continue
        head = placed.lift_mm + footing(placed, use).base_mm + tallest_on_mm(scene, placed)
        targets = [target for space in behind for target in _targets(scene, placed, space, head)]
        if targets:
            nearest = min(targets, key=lambda one: (one.aside_mm > 0, one.away_mm, one.pane.name))
            yield _snag(placed, behind[0], nearest)


def belt_of(placed: Placed) -> Use | None:
    """Return what a belt is used for, None for what is no belt."""
    return next((use for use in placed.kit.uses if use.movement in ON_A_BELT), None)


def asked_behind(placed: Placed) -> tuple[str, Severity]:
    """Return the row of how far off glass is to be behind a belt, and how grave less is."""
    if any(use.movement == _RUN for use in placed.kit.uses):
        return _LEAST, "stop"
    return _WALKED, "care"


def behind_belt(placed: Placed) -> list[SpaceShape]:
    """Return the floor behind a belt: to fall off into, else what is free at its end."""
    lanes = [s for s in placed.shape.spaces if s.outward]
    falls = [s for s in lanes if s.space.kind == "fall-off"]
    return falls or [s for s in lanes if s.space.side == _END]


def tallest_on_mm(scene: Scene, placed: Placed) -> float:
    """Return the stature of the tallest who may be on a belt.

    What it is made for counts unless somebody says no to it, what else is done there if asked for:
    who does not run may walk. Where everybody says no it stands there still, and anybody of the
    house may step on to it, as is taken for what is free behind it.
    """
    people = scene.plan.people
    done = [use.movement for use in placed.kit.uses if use.movement in ON_A_BELT]
    on_it = [
        one
        for one in people
        if any(one.wish_for(each) != "no" for each in done[:1])
        or any(one.wish_for(each) in _ASKED_FOR for each in done[1:])
    ]
    return max((one.stature_mm for one in on_it or people), default=published(_ASSUMED))


def _asked_mm(placed: Placed) -> float:
    return published(asked_behind(placed)[0])


def _targets(scene: Scene, placed: Placed, behind: SpaceShape, head_mm: float) -> Iterator[_Target]:
    """Yield the glass behind a belt that begins lower than the head of who stands on it.

    What stands before it from its lower edge to the head takes the fall, and is judged as what
    stands behind the belt.
    """
    mirrors = [
        other
        for other in scene.order
        if other.kit.key == MIRROR and other.piece.state != OUT and other.root != placed.root
    ]
    there = tuple((other.piece.id, other.pose) for other in mirrors)
    put_up = scene.plan.fit_out.mirrors
    belt = placed.piece.id, placed.pose, behind.space.key
    key = "glass in the lane", *belt, head_mm, there, put_up
    # most belts have no glass behind them, and then it does not matter what else is moved about
    glass = scene.memo(key, lambda: tuple(_glass(scene, placed, behind, head_mm, mirrors)))
    ox, oy = behind.outward or (0.0, 0.0)
    straight = lane_behind(placed, behind, _asked_mm(placed))
    for pane_there in glass:
        part = pane_there.form
        if pane_there.piece_id is None:
            part = _uncovered(scene, placed, behind, pane_there, head_mm)
        # who lands beside meets glass only below the shoulders
        beside = [] if is_above_shoulders(pane_there.low_mm) else [part]
        # what is straight behind is told before what is beside
        for one in (part.intersection(straight), *beside):
            xy = shapely.get_coordinates(one)
            if one.length <= TOLERANCE_MM or not _in_the_open(scene, placed, one):
                continue
            away = (xy - np.array(placed.at)) @ (ox, oy) - behind.edge_mm
            nearest = int(away.argmin())
            if falls_short(float(away[nearest]), _asked_mm(placed)):
                where = (float(xy[nearest][0]), float(xy[nearest][1]))
                aside = 0.0 if one is not part else float(one.distance(straight))
                yield _Target(aside, max(float(away[nearest]), 0.0), pane_there, where)
                break


def _glass(
    scene: Scene,
    placed: Placed,
    behind: SpaceShape,
    head_mm: float,
    mirrors: Sequence[Placed],
) -> Iterator[_Pane]:
    """Yield the glass in the lane behind a belt, and beside it, that begins below a head."""
    lane = lane_behind(placed, behind, _asked_mm(placed), _beside_mm(placed))
    every = [
        _Pane(window_name(shape), None, None, pane(shape), shape.opening.sill_mm)
        for shape in scene.room.openings
        if shape.opening.has_glass
    ]
    every += [
        _Pane(lower(other.name), other.piece.id, None, other.footprint, edges_mm(other)[0])
        for other in mirrors
    ]
    every += [
        _Pane(sheet.name, None, sheet.id, sheet.line, sheet.low_mm) for sheet in sheets(scene)
    ]
    for one in every:
        if not falls_short(one.low_mm, head_mm):
            continue
        part = lane.intersection(one.form)
        if not part.is_empty and part.length > TOLERANCE_MM:
            yield replace(one, form=part)


def _beside_mm(placed: Placed) -> float:
    """Return how far beside the floor behind a belt glass is thought of: where one runs."""
    return published(GLASS_BESIDE) if asked_behind(placed)[1] == "stop" else 0.0


def lane_behind(
    placed: Placed, behind: SpaceShape, far_mm: float, beside_mm: float = 0.0
) -> Polygon:
    """Return the floor straight behind a belt, as wide as what must be free there, and beside."""
    wider = HALF_MM + beside_mm
    low, high = behind.aside_mm[0] - wider, behind.aside_mm[1] + wider
    near, far = behind.edge_mm, behind.edge_mm + far_mm
    corners = np.array([(near, low), (near, high), (far, high), (far, low)])
    ox, oy = behind.outward or (0.0, 0.0)
    return Polygon(corners @ np.array([(ox, oy), (-oy, ox)]) + np.array(placed.at))


def _uncovered(
    scene: Scene,
    placed: Placed,
    behind: SpaceShape,
    glass: _Pane,
    head_mm: float,
) -> BaseGeometry:
    """Return what is left of a pane beside the things that stand before all of it."""
    solids = scene.solids
    end = scene.piece_solids
    part = glass.form
    before = lane_behind(placed, behind, _asked_mm(placed), _beside_mm(placed))
    own = placed.root
    far = _asked_mm(placed)
    ox, oy = behind.outward or (0.0, 0.0)
    for number in scene.tree.query(before, predicate="intersects"):
        if number >= end or scene.order[solids.owner[number]].root == own:
            continue
        if solids.low_mm[number] > glass.low_mm or falls_short(
            float(solids.high_mm[number]), head_mm
        ):
            continue
        core = solids.cores[number]
        shadow = shapely.transform(core, lambda xy: xy + np.array([ox, oy]) * far)
        part = part.difference(core.union(shadow).convex_hull)
    return part


def _in_the_open(scene: Scene, placed: Placed, part: BaseGeometry) -> bool:
    """Return whether no wall is between a machine and a pane."""
    line = LineString(shapely.get_coordinates(shapely.shortest_line(placed.footprint, part)))
    return bool(scene.room.free.buffer(TOLERANCE_MM).covers(line))


def _snag(placed: Placed, behind: SpaceShape, target: _Target) -> Snag:
    glass, away = target.pane, target.away_mm
    key, severity = asked_behind(placed)
    asked = "To glass {:bare} is the minimum." if severity == "stop" else "Allow {:bare}."
    template = "{:mm} to the {} {}. " + asked
    values: tuple[object, ...] = (away, lower(glass.name), behind.space.name, published(key))
    keys: tuple[str, ...] = (key,)
    if target.aside_mm > 0:
        severity, keys = "care", (key, GLASS_BESIDE)
        template = (
            "{:mm} to the {} {}, {:mm} beside the floor that is kept free there: nobody is thrown "
            "straight. Allow {:bare}, or {:bare} beside."
        )
        beside = target.aside_mm, published(key), published(GLASS_BESIDE)
        values = (away, lower(glass.name), behind.space.name, *beside)
    return Snag(
        code=GLASS_BEHIND,
        hangs_on_place=True,
        while_training=True,
        space=behind.space.key,
        severity=severity,
        template=template,
        values=values,
        pieces=tuple(filter(None, (placed.piece.id, glass.piece_id))),
        names=(placed.name, behind.space.name),
        measured=round(away),
        required=round(published(key)),
        where=target.where,
        sheet=glass.sheet_id,
        source_keys=keys,
    )
