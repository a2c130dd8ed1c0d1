"""What a station needs free, as zones: working spaces, lanes, shut-offs, glass behind a belt.

Each zone is drawn as its check measures it, so that a thing meets the zone just where the check
finds too little left.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from shapely.geometry.base import BaseGeometry

from app.checks.between_posts import place_between
from app.checks.glass_behind import asked_behind, behind_belt, belt_of, tallest_on_mm
from app.checks.lanes import FLANK, LANE_SIDES, midst_wide_mm
from app.checks.layers import is_floor
from app.checks.loading import SLEEVES, racked
from app.checks.mirrors import MIRROR, edges_mm
from app.checks.opened import opens_in, risen
from app.checks.shut_offs import clear_keys
from app.checks.sleeves import heights_of_plates, slid_over
from app.checks.under_machines import floor_taken, seat_mm
from app.model.situations import OUT
from app.placing.convex import Ring, grown, rings
from app.placing.form import Band, Rule, What, Zone
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.footing import footing
from app.scene.shapes import SpaceShape
from app.scene.tolerance import CHORDS_A_QUARTER, HALF_MM, SHORT_MM, SKY_MM, TOLERANCE_MM, enough_mm

STRETCHES = 8
"""Places at which a stretch of floor before a shut-off or window is looked for, from end to end:
half a metre of play makes steps of some 7 cm. Of what lies between it errs on the refusing side."""

STRIPS_OF_LIDS = 16
"""Strips of a lid that swings up: those of 40 mm ask for some cm more than the judge at most."""

_FINER = 4
"""How many times finer a ring is drawn here than by the judge: on 2 m it is under 1 mm outside."""


def rules_of(
    scene: Scene,
    members: Sequence[Placed],
    counted: Sequence[Sequence[bool]],
    trains: bool,
    wanted: bool,
) -> tuple[Rule, ...]:
    """Return the rules of a station; `counted` tells which of its working spaces are judged.

    They keep free what is the least, or with `wanted` what is recommended. Glass behind a belt
    counts only where somebody trains.
    """
    rules: list[Rule] = []
    for placed, judged in zip(members, counted, strict=True):
        choice: list[Zone] = []
        chosen = [s for s in placed.shape.spaces if s.space.either]
        for space, counts in zip(placed.shape.spaces, judged, strict=True):
            if not counts or (space.space.kind == "access" and not wanted):
                continue
            if space.space.either:
                choice += [_whole(placed, space)] if wanted else _nearer_than_least(placed, space)
            elif wanted:
                rules.append((_whole(placed, space, _passed_over_mm(space)),))
            else:
                rules += _of_space(placed, space)
        if choice and len(choice) == len(chosen):
            rules.append(tuple(choice))
        rules += _shut_offs(scene, placed)
        rules += [(zone,) for zone in _over_lids(placed) if wanted]
        rules += [(zone,) for zone in _glass_behind(scene, placed, wanted) if trains]
        rules += [(zone,) for zone in _between_posts(scene, placed) if trains]
        rules += [(zone,) for zone in _under_machines(scene, placed) if trains]
        rules += [(zone,) for zone in _beside_sleeves(scene, placed) if trains]
    return tuple(rules)


def glass_of(members: Sequence[Placed]) -> tuple[tuple[Ring, float], ...]:
    """Return the mirrors of a station: outline and lower edge."""
    hung = [p for p in members if p.kit.key == MIRROR and p.piece.state != OUT]
    return tuple((ring, edges_mm(placed)[0]) for placed in hung for ring in rings(placed.footprint))


def floors_of(members: Sequence[Placed]) -> tuple[Ring, ...]:
    """Return floor of a station that must lie in the room like a solid."""
    return tuple(
        ring + placed.at
        for placed in members
        for space in placed.shape.spaces
        if is_floor(space.space)
        for ring in rings(space.core)
    )


def strip(
    placed: Placed,
    out: tuple[float, float],
    depths: tuple[float, float],
    aside: tuple[float, float],
) -> Ring:
    """Return a strip before a piece: between two depths along `out` and two lines across it."""
    (near, far), (low, high) = depths, aside
    corners = np.array([(near, low), (far, low), (far, high), (near, high)])
    ring = corners @ np.array([out, (-out[1], out[0])]) + placed.at
    return np.ascontiguousarray(ring)


def _of_space(placed: Placed, space: SpaceShape) -> Iterator[Rule]:
    row = space.space
    nearer = _nearer_than_least(placed, space)
    if not nearer:
        return
    if space.outward is None or row.side not in LANE_SIDES or row.kind == "access":
        yield from ((zone,) for zone in nearer)
        return
    # things that only flank a lane leave it as good as it is, whatever stands in its midst farther
    # on, see `app.checks.lanes`
    low, high = space.aside_mm[0] - HALF_MM, space.aside_mm[1] + HALF_MM
    offset = -placed.at[0] * space.outward[1] + placed.at[1] * space.outward[0]
    wide = midst_wide_mm(placed, row.kind == "fall-off")
    middle, half = (low + high) / 2 + offset, wide / 2 - TOLERANCE_MM
    band = Band(space.outward, middle - half - HALF_MM, middle + half + HALF_MM)
    # a zone with a band stands in a rule of several
    yield nearer[0], replace(nearer[0], band=band)


def _passed_over_mm(space: SpaceShape) -> float:
    """Return how far things may reach into each side of a lane that nobody minds both.

    Into the ends of room to get at a thing the judge lets a hand's width reach: nobody is told to
    put a thing there.
    """
    row = space.space
    is_lane = row.side in LANE_SIDES and row.kind == "body" and not row.either
    return published(FLANK) / 2 if is_lane else 0.0


def _whole(placed: Placed, space: SpaceShape, aside_mm: float = 0.0) -> Zone:
    """Return a space with its recommended depth, so much narrower on each side."""
    parts = tuple(ring + placed.at for ring in rings(space.core))
    if space.space.side == "ring":
        parts = _about(placed, _before_a_core_mm(space.space.recommended_mm))
    if space.outward is not None:
        depths = (
            space.edge_mm + HALF_MM,
            space.edge_mm + _before_a_core_mm(space.space.recommended_mm),
        )
        aside = space.aside_mm[0] + aside_mm, space.aside_mm[1] - aside_mm
        parts = (strip(placed, space.outward, depths, aside),)
    what: What = "bare" if space.space.bare else "standing"
    return Zone(parts, *space.heights_mm, what=what, walls=not is_floor(space.space))


def _before_a_core_mm(asked_mm: float) -> float:
    """Return how far from an edge a core begins before which less than so much is left.

    It lies within its thing by half the tolerance.
    """
    return enough_mm(asked_mm) + HALF_MM


def _about(placed: Placed, reach_mm: float) -> tuple[Ring, ...]:
    """Return the floor within a reach of a piece's outline, and under it."""
    count = CHORDS_A_QUARTER * _FINER
    about: BaseGeometry = placed.footprint.buffer(reach_mm, quad_segs=count)
    # the chords of an arc lie inside it: grown so that they touch it
    return tuple(rings(grown(about, reach_mm * (1 / np.cos(np.pi / (4 * count)) - 1))))


def _nearer_than_least(placed: Placed, space: SpaceShape) -> list[Zone]:
    """Return the part of a space in which anything leaves less than the least; none if none is."""
    row, (low, high) = space.space, space.heights_mm
    if row.side == "area":
        # what lies in a wall is outside the room, and is refused as that
        return [_whole(placed, space)]
    reach = _before_a_core_mm(row.least_mm)
    if reach <= HALF_MM:
        return []
    if space.outward is None:
        return [Zone(_about(placed, reach), low, high, what="standing")]
    depths = space.edge_mm + HALF_MM, space.edge_mm + reach
    ring = strip(placed, space.outward, depths, space.aside_mm)
    return [Zone((ring,), low, high, what="standing")]


def _shut_offs(scene: Scene, placed: Placed) -> Iterator[Rule]:
    """Yield the floor before what shuts off: itself, and each stretch as wide as is wanted."""
    for before in placed.shape.spaces:
        if not before.space.to_reach or before.outward is None:
            continue
        depth_key, width_key = clear_keys(placed)
        depth = max(published(depth_key), before.space.least_mm)
        width = published(width_key)
        half = min(placed.extent.width_mm, width) / 2
        reach = width - half
        step_over = published("shut-off.stepped-over-mm")
        low = scene.plan.room.floor.covering.thickness_mm + step_over
        depths = before.edge_mm + HALF_MM, before.edge_mm + _before_a_core_mm(depth)

        wide = enough_mm(width)
        # a stretch ends half a millimetre before the cores beside it, and a wall is none of these
        play = SHORT_MM / 2
        starts = np.linspace(play - reach, reach - wide - play, STRETCHES).tolist()
        zones = []
        itself = HALF_MM - half, half - HALF_MM
        for aside in (itself, *((x - HALF_MM, x + wide + HALF_MM) for x in starts)):
            ring = strip(placed, before.outward, depths, aside)
            zones.append(Zone((ring,), low, before.space.z[1], what="tall"))
        yield (zones[0],)
        yield tuple(zones[1:])


def _over_lids(placed: Placed) -> Iterator[Zone]:
    """Yield the room over what opens upwards, under the room's own low things and under kit."""
    shut = placed.lift_mm + float(placed.shape.high_mm.max(initial=0.0))
    for state in opens_in(placed):
        made = risen(placed, state, STRIPS_OF_LIDS)
        if made is None:
            continue
        parts, tops = [], []
        for area, top in zip(made.areas, (made.tops_mm + placed.lift_mm).tolist(), strict=True):
            for ring in rings(area):
                parts.append(ring + placed.at)
                tops.append(top)
        yield Zone(tuple(parts), shut, SKY_MM, what="low", tops=tuple(tops))
        yield from (
            Zone((ring,), shut, top, walls=False) for ring, top in zip(parts, tops, strict=True)
        )


def _between_posts(scene: Scene, placed: Placed) -> Iterator[Zone]:
    """Yield the floor between the posts of a rack."""
    inner = place_between(scene, placed)
    if inner is not None:
        parts = tuple(ring + placed.at for ring in rings(inner))
        top = placed.lift_mm + placed.extent.height_mm
        yield Zone(parts, placed.lift_mm, top, what="strange", walls=False)


def _under_machines(scene: Scene, placed: Placed) -> Iterator[Zone]:
    """Yield the floor over which a machine is used."""
    taken = floor_taken(scene, placed)
    if taken is not None:
        parts = tuple(ring + placed.at for ring in rings(taken))
        yield Zone(parts, placed.lift_mm, seat_mm(placed), what="standing", walls=False)


def _beside_sleeves(scene: Scene, placed: Placed) -> Iterator[Zone]:
    """Yield where plates slide on to a bar that lies in a rack."""
    for _, way in SLEEVES if racked(scene, placed) else ():
        parts = tuple(ring + placed.at for ring in rings(slid_over(placed, way)))
        yield Zone(parts, *heights_of_plates(placed), what="standing", walls=False)


def _glass_behind(scene: Scene, placed: Placed, wanted: bool) -> Iterator[Zone]:
    """Yield the floor behind a belt on which glass must not stand.

    What stands before the glass is passed over: this errs on the refusing side. Where it would be
    a care alone, only what is `wanted` keeps it off.
    """
    use = belt_of(placed)
    if not placed.in_use or use is None:
        return
    key, severity = asked_behind(placed)
    if severity != "stop" and not wanted:
        return
    head = placed.lift_mm + footing(placed, use).base_mm + tallest_on_mm(scene, placed)
    far = enough_mm(published(key))
    for space in behind_belt(placed):
        if space.outward:
            aside = space.aside_mm[0] - HALF_MM, space.aside_mm[1] + HALF_MM
            depths = space.edge_mm, space.edge_mm + far
            ring = strip(placed, space.outward, depths, aside)
            yield Zone((ring,), -np.inf, enough_mm(head), what="glass")
