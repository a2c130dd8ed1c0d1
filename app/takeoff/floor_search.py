"""The best floor: where to begin, which way, how far shifted and staggered, all sought together.

Fewest pieces and legs narrower than they should be come first, then joints that the covering asks
for, then stock pieces, staggered joints before straight ones, slits, pieces cut and metres of
knife; of equals the one that begins with whole pieces. A shift matters only where a joint comes
onto a corner of the floor or where a strip beside one is just wide enough: between two such places
nothing becomes narrow or ceases to be, so these places are tried first. Where a small floor then
takes more than its area, or has a narrow strip, a grid of places and other staggers are tried too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from app.errors import PlanError
from app.model.base import json_of
from app.model.flooring import FloorLaying, Joints
from app.recent import Recent
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.effort import (
    PIECES_CUT_AT_MOST,
)
from app.takeoff.floor_fronts import fronts_of
from app.takeoff.floor_joints import (
    corners_of,
    first_piece_mm,
    joint_within,
    narrow_strips,
    places_of_joints,
    stagger_mm,
    without_a_line,
)
from app.takeoff.floor_lines import lines
from app.takeoff.floor_region import (
    THIRD,
    Start,
    gap_of,
)
from app.takeoff.floor_row_sums import Nearest, Summed, cut_rows
from app.takeoff.floor_rows import RowCutter
from app.takeoff.floor_site import Site, check, ground_of, site_of, wider_gaps
from app.takeoff.floor_ways import (
    Nesting,
    Searched,
    Sizes,
    Way,
    aimed_of,
    best_of,
    joined_of,
    least_taken,
)

STAGGERS = (1 / 2, THIRD)
"""How far each row goes on from the one before, in pieces: half or a third, as one lays."""

SOUGHT = ("start_wall", "start_end", "along", "joints", "stagger", "first_mm", "first_row_mm")
"""What a laying may leave open for it to be sought."""

_SHIFTS_AT_MOST = 20
"""Places for the rows that are tried: those with the fewest narrow strips along the walls."""

_SHIFTS_A_ROW = 60
"""Joints along the rows that are tried for each of these, over all staggers."""

_FINER = 10
"""Into how many equal steps a piece is parted each way where a place that nothing narrow asks for
may yet save one: finer ones saved none more in rooms drawn by lot."""

_FINER_SHIFTS = 30
"""Places for the rows that are tried then."""

_FINER_STAGGERS = (0.4, 0.6, 0.25, 0.75, 0.6667)
"""Other ways to stagger that are tried then: none brings joints of two rows together."""

_FINER_PIECES = 60
"""Pieces of a floor on which one more is seen: a small room's."""


def search_floor(scene: Scene, laying: FloorLaying) -> Searched | None:
    """Return the best way to lay a floor; None where nothing is left to seek.

    What the laying says is kept; what it leaves open is sought. Raises PlanError naming the floor
    where there is nothing to cover or its wall is not in the room. Joints that cannot win are not
    sought: `search_ways` has them too.
    """
    return _sought_for(scene, laying, beside=False)


def search_ways(scene: Scene, laying: FloorLaying) -> Searched | None:
    """Return the same best way with the others worth a look beside it, of every kind of joints.

    It takes two to four times as long where the best is plain. Raises as `search_floor` does.
    """
    return _sought_for(scene, laying, beside=True)


def _sought_for(scene: Scene, laying: FloorLaying, beside: bool) -> Searched | None:
    if laying.joints == "balanced":
        return None
    try:
        check(laying)
    except PlanError:
        # a mat of no thickness lies on the same ground as one that can be laid: not kept for both
        return None
    key = ("in all", beside, *ground_of(scene, laying), tuple(fronts_of(scene, laying)))
    return _SOUGHT_LATELY.made(key, lambda: _sought_in_all(scene, laying, beside))


SEARCHES_AT_MOST = 256
"""Searches that are remembered: small, some for each floor and a few floors for each plan."""

_SOUGHT_LATELY: Recent[tuple[object, ...], Searched | None] = Recent(SEARCHES_AT_MOST)
"""Searches by the ground they were made on: a new price, a socket or a rack moved along changes
nothing in a floor."""


def _sought_in_all(scene: Scene, laying: FloorLaying, beside: bool) -> Searched | None:
    parts: list[Searched] = []
    for one, joints in _asked(laying):
        if parts and not beside and _beats_all(parts[0], one):
            break
        if (found := _search(scene, one, joints, laying)) is not None:
            parts.append(found)
    if not parts and (found := _search(scene, laying, None, laying)) is not None:
        # Of a roll too short for the room every joint may lie in a line.
        parts.append(found)
    return joined_of(parts) if parts else None


def _beats_all(found: Searched, other: FloorLaying) -> bool:
    """Return whether no floor with the other joints can be better: without a look at any."""
    best = found.best
    if best.narrow or best.other_joints:
        return False
    if other.kind == "roll":
        # by the metre lengths that are joined in the room are only offered
        return other.sold_by_metre
    if other.kind == "board":
        return True
    # None fewer would cover it by area, and whole pieces that lie uncut would leave nothing over.
    return _CUT_AWAY < best.mats - found.pieces < 1 - _CUT_AWAY


_CUT_AWAY = 0.1
"""Share of a piece that is surely cut away: of pieces that count as whole edges may lack half a
millimetre, a twentieth of a piece over a floor of small mats."""


def _asked(laying: FloorLaying) -> Iterator[tuple[FloorLaying, Joints | None]]:
    """Return each kind of joints to be sought by itself: all with the same effort, so that who
    asks for one of them gets what was found for it.
    """
    if laying.kind == "roll" and laying.joints == "staggered":
        yield laying, "staggered"
    elif laying.joints is not None or laying.kind == "tile":
        yield laying, None
    elif laying.kind == "roll":
        yield laying, "straight"
        yield laying, "staggered"
    else:
        # who says how far rows go on asks for that
        for joints in ("staggered", "straight")[: 1 if laying.stagger else 2]:
            yield FloorLaying.model_validate({**json_of(laying), "joints": joints}), None


def _search(
    scene: Scene, laying: FloorLaying, only: Joints | None, asked: FloorLaying
) -> Searched | None:
    """Search one kind of joints; tell where they are not those that were asked for."""
    fronts = tuple(fronts_of(scene, laying))
    key = (*ground_of(scene, laying), fronts, only)
    found = _SOUGHT_LATELY.made(key, lambda: _sought(scene, laying, fronts, only))
    if found is None or asked.joints is not None or laying.joints != "straight":
        return found

    # Nobody asked for staggered ones: loose mats lie in one line too where that saves one, boards
    # need the bond, so that it is only offered.
    def told(way: Way) -> Way:
        return way._replace(unstaggered=True, other_joints=asked.kind != "mat")

    aimed = tuple((name, told(way)) for name, way in found.aimed)
    return replace(found, best=told(found.best), aimed=aimed)


def _sought(
    scene: Scene, laying: FloorLaying, fronts: Sequence[Start], only: Joints | None
) -> Searched | None:
    ways: dict[tuple[object, ...], tuple[Way, Sizes]] = {}
    whole = True
    sites = _sites(scene, laying, fronts)
    for start, site in sites:
        cutter = RowCutter(site.region, site.grid)
        for way, sizes in _swept(scene, laying, start, site, cutter, only):
            at = way.start
            key = (at.wall, at.along, at.rows_at, at.phases, at.wider_mm)
            ways.setdefault(key, (way, sizes))
        whole = whole and cutter.looks <= PIECES_CUT_AT_MOST
    if not ways:
        return None
    nested = Nesting(scene, laying)
    if nested.edged:
        # The bound by area says little there: the fewest cuts are the likeliest.
        ranked = sorted(ways.values(), key=lambda e: (*e[0].rough[:2], e[0].cuts, e[0].knife_mm))
    else:
        ranked = sorted(ways.values(), key=lambda each: each[0].rough)
    best, sure = best_of(ranked, nested)
    looked_at = len(ways)
    small = laying.kind == "mat" and not nested.edged and best.mats <= _FINER_PIECES
    if small and (best.narrow or best.mats > min(way.bound for way, _ in ranked)):
        finer, looked = _finer(scene, laying, sites, best)
        looked_at, ranked = looked_at + looked, [*ranked, *finer]
        if finer:
            other, all_nested = best_of(finer, Nesting(scene, laying))
            sure = sure and all_nested
            best = min(best, other, key=lambda way: way.merit)
    equal = [w for w, _ in ranked if w.rough[:2] == best.rough[:2]]
    bound = min(w.bound for w in equal)
    aimed = tuple(aimed_of(ranked, nested))
    least = bound if sure else min(bound, best.mats)
    gaps = [more for start, _ in sites for more in start.wider_mm]
    pieces = min(site.region.area for _, site in sites) / (laying.length_mm * laying.width_mm)
    return Searched(
        best, (), looked_at, least, whole, aimed, (min(gaps), max(gaps)), pieces
    )  # fmt: skip


def _sites(scene: Scene, laying: FloorLaying, fronts: Sequence[Start]) -> list[tuple[Start, Site]]:
    """Return the starts with the ground of each, but for those from which nothing can be laid."""
    sites = []
    for start in fronts:
        try:
            plain = site_of(scene, laying, start)
            for wider in wider_gaps(laying, plain):
                one = replace(start, wider_mm=wider)
                sites.append((one, site_of(scene, laying, one) if any(wider) else plain))
        except PlanError:
            # A piece too long to lie that way, or far too many: another way may do.
            continue
    return sites


def _finer(
    scene: Scene,
    laying: FloorLaying,
    sites: Sequence[tuple[Start, Site]],
    best: Way,
) -> tuple[list[tuple[Way, Sizes]], int]:
    """Return ways of a finer sweep that may beat the best, likeliest first, and how many it saw."""
    ways: dict[Sizes, tuple[Way, Sizes]] = {}
    to_beat = best.narrow, best.other_joints, best.mats
    looked = 0
    for start, site in sites:
        cutter = RowCutter(site.region, site.grid)
        for way, sizes in _swept(scene, laying, start, site, cutter, finer=True):
            looked += 1
            if (way.narrow, way.other_joints, way.bound) < to_beat:
                known = ways.get(sizes)
                if known is None or way.rough < known[0].rough:
                    ways[sizes] = (way, sizes)
    return sorted(ways.values(), key=lambda each: each[0].rough), looked


def _swept(
    scene: Scene,
    laying: FloorLaying,
    start: Start,
    site: Site,
    cutter: RowCutter,
    only: Joints | None = None,
    finer: bool = False,
) -> Iterator[tuple[Way, Sizes]]:
    grid = site.grid
    u0, v0, u1, v1 = site.region.bounds
    free = laying.kind == "roll" and laying.joints != "straight"
    origin = v0 if laying.zone else gap_of(laying) + start.wider_mm[1]
    sign = -1.0 if start.from_right else 1.0
    if laying.first_row_mm is not None:
        downs = [origin + laying.first_row_mm]
    else:
        at_v = site.middles[1]
        downs = places_of_joints(site.region, 1, grid.depth, grid.least, origin, (0.0,), at_v)
        if finer:
            downs += [origin + grid.depth * i / _FINER for i in range(1, _FINER)]
        edges = corners_of(site.region)[:, 1]
        narrow = narrow_strips(edges, np.array(downs), grid.depth, grid.least)
        downs = [downs[i] for i in np.argsort(narrow, kind="stable")]
        if free and not start.along:
            # a roll that lies across the wall has its head joints between the rows: in one line
            downs = [d for d in downs if not joint_within(d, grid.depth, v0, v1)] or downs
    patterns = _patterns(laying, start)
    if finer and laying.stagger is None and start.joints == "staggered":
        apart = ((s, min(s, 1 - s) * grid.length) for s in _FINER_STAGGERS)
        patterns += [("staggered", s, False) for s, mm in apart if mm >= grid.least]
    if only == "staggered":
        # Only lengths along the wall: across it their joints lie between the rows.
        by_metre = laying.sold_by_metre and laying.joints is None
        staggers = STAGGERS if laying.stagger is None else (laying.stagger,)
        along = start.along or laying.along is False
        patterns = [("staggered", s, by_metre) for s in staggers] if along else []
    if not patterns:
        return
    offsets = tuple(
        {
            k * stagger_mm(s, grid.length)
            for _, s, _ in patterns
            for k in range(round(1 / s) if s else 1)
        }
    )
    # many ways come to the same rows, and many rows to the same cuts
    summed: dict[tuple[int, ...], Summed] = {}
    taken: dict[Sizes, int] = {}
    size = (grid.length, grid.depth)
    each = least_taken(laying, start.along, 1, (), size)
    for down in downs[: _FINER_SHIFTS if finer else _SHIFTS_AT_MOST]:
        rows = lines(v0, v1, down, grid.depth)
        strips = [cutter.strip(low, high) for low, high in pairwise(rows)]
        first = strips[0].corners
        at = float(first[-1 if start.from_right else 0]) if len(first) else 0.0
        backs = tuple(-sign * o for o in offsets)
        near = places_of_joints(site.region, 0, grid.length, grid.least, at, backs, site.middles[0])
        nearest = Nearest(near, grid.length)
        ups = near if laying.first_mm is None else [at + sign * laying.first_mm]
        if finer and laying.first_mm is None:
            ups = [*near, *(at + grid.length * i / _FINER for i in range(1, _FINER))]
        ways = [(joints, stagger, other, up) for joints, stagger, other in patterns for up in ups]
        if free:
            ways = without_a_line(ways, grid.length, u0, u1) or ([] if only else ways)
        on = np.array([stagger_mm(stagger, grid.length) for _, stagger, _, _ in ways])
        places = np.array([up for *_, up in ways])
        steps = sign * on
        narrow = np.zeros(len(ways), dtype=np.int64)
        for k, strip in enumerate(strips):
            narrow += narrow_strips(strip.corners, places + k * steps, grid.length, grid.least)
        likeliest = np.argsort(narrow, kind="stable")[:_SHIFTS_A_ROW]
        for joints, stagger, other, up in (ways[i] for i in likeliest):
            if cutter.looks > PIECES_CUT_AT_MOST:
                return
            step = sign * stagger_mm(stagger, grid.length)
            phases, cut = cut_rows(cutter, strips, up, step, nearest)
            trimmed = round((rows[1] - rows[0]) < grid.depth - TOLERANCE_MM)
            off = (up - at) % grid.length
            trimmed += TOLERANCE_MM < off < grid.length - TOLERANCE_MM
            # written out: there are thousands, and copying field by field takes its time
            where = Start(
                start.wall, start.from_right, start.along, joints, down, phases, stagger,
                start.wider_mm,
            )  # fmt: skip
            rows_cut = tuple(map(id, cut))
            whole = summed.get(rows_cut)
            if whole is None:
                whole = summed[rows_cut] = Summed(cut)
            if whole.sizes not in taken:
                taken[whole.sizes] = least_taken(laying, start.along, 0, whole.sizes, size)
            bound = whole.count * each + taken[whole.sizes]
            yield (
                Way(
                    where,
                    whole.narrow,
                    other,
                    bound,
                    bound,
                    whole.slits,
                    whole.cuts,
                    whole.knife_mm,
                    trimmed,
                    whole.least_mm,
                    first_piece_mm(sign * (up - at), grid.length),
                    first_piece_mm(down - origin, grid.depth),
                    head_joints=free and joints == "staggered",
                ),
                whole.sizes,
            )


def _patterns(laying: FloorLaying, start: Start) -> list[tuple[Joints, float, bool]]:
    """Return joints, how far each row goes on, and whether that is other than asked for."""
    if start.joints != "staggered":
        return [("straight", 0.0, False)]
    staggers = STAGGERS if laying.stagger is None else (laying.stagger,)
    return [("staggered", s, False) for s in staggers]
