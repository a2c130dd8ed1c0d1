"""How a layout does by each preference, from 0 to 1; where one has no object it is met."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
import shapely
from numpy.typing import NDArray

from app.arrange.better import TRIFLE_SHARE, weight_of
from app.arranging.across import gets_to_all, leads_to_the_floor, straight_in
from app.arranging.company import has_company, is_long
from app.arranging.layout import Layout
from app.arranging.shares import mean, ramp
from app.arranging.standing import (
    SIDES,
    asked_mm,
    at_a_garage_door,
    at_a_wall,
    back_at_most_mm,
    back_fades_mm,
    corners_of,
    goes_to_a_wall,
    is_disc,
    is_tall,
    is_weighty,
    keeps_its_floor,
)
from app.arranging.used_together import go_together, parts_a_room
from app.checks.hung_across import hung_across_of
from app.checks.narrowest import narrowest
from app.checks.snag import Snag
from app.checks.spots import SHUT, best_spot, judge, spots
from app.published.register import published
from app.scene.build import Placed
from app.scene.routes import routes
from app.scene.tolerance import TOLERANCE_MM, falls_short

Floats = NDArray[np.float64]
LOW_SEATED = frozenset({"bench-press", "machine-row", "ride", "bike", "seated-press"})
"""Movements done sitting or lying, which the low side of a roof is good enough for."""
SLOPING_MM = 150
"""Difference of height in a room from which its low side is worth something."""
HALF = 0.5
LEFT_BY_TALL = 0.25
"""What is left of the share of backs for each tall thing in the middle."""
LEFT_BY_HEAVY = 0.5
"""What is left of the share of backs for each low and heavy thing in the middle, each machine, and
what only holds others: a bike stood before a rack because it just went in there."""
LEFT_BY_ANY = 0.8
"""The same for anything else, a bench, a box or a bag: it is walked round each time."""
HEAVY = 2
"""How much more the floor of what is tall or heavy counts: nobody will shift it to sweep."""


def no_care(layout: Layout) -> float:
    """Return 1 without cares that hang on place, less by each and by what it is short of.

    What stands in the outline of something else counts as much as a space that is wholly taken.
    """
    if layout.short is not None:
        return 1 / (1 + layout.short)
    return 1 / (1 + lacking(layout.verdict) + nested(layout))


def nested(layout: Layout) -> int:
    """Return how many pieces stand in the outline of another one that keeps its floor.

    A shelf may go over a rail without touching it; nobody could use what the rail is of. Nor does
    anything stand below the bar of a rack: plates go on and come down there.
    """
    order = layout.scene.order
    keep = [p for p in layout.standing.pieces if keeps_its_floor(p)]
    bars = [p for p in order if p.kit.bar is not None and p.root != p.piece.id]
    if len(keep) + len(bars) < 2:
        return 0
    outlines = np.array([p.footprint for p in (*keep, *bars)], dtype=object)
    # two that touch are no more than a touch apart, either way
    lean = shapely.buffer(outlines, -published("layout.gaps.touch-mm") / 2)
    one, other = shapely.STRtree(lean).query(lean, predicate="intersects")
    roots = np.array([p.root for p in (*keep, *bars)])
    return int(((one < other) & (one < len(keep)) & (roots[one] != roots[other])).sum())


def lacking(verdict: Iterable[Snag]) -> float:
    """Return what the cares of a verdict that hang on place come to, each thing as `burden_of`."""
    cares = [snag for snag in verdict if snag.severity == "care" and snag.hangs_on_place]
    things: dict[str, list[float]] = {}
    for snag in cares:
        about = snag.pieces[0] if snag.pieces else snag.key
        things.setdefault(about, []).append(weight_of(snag).share)
    whole = np.array([sum(shares) for shares in things.values()])
    worst = np.array([max(shares) for shares in things.values()])
    return float(burden_of(whole, worst).sum())


def burden_of(whole: Floats, worst: Floats) -> Floats:
    """Return what the cares about things count: that there are any, and all that they lack.

    `whole` is what each thing's cares lack together, as shares of what is wanted, `worst` the most
    of them. Each thing is one more to mind in every session, however little it lacks, and a belt
    with 400 of 500 to either side is one; only a trifle is less.
    """
    each = published("layout.no-care.each")
    burden: Floats = whole + each * np.minimum(worst / TRIFLE_SHARE, 1.0)
    return burden


def one_floor(layout: Layout) -> float:
    """Return how much of the floor that people want lies open in one piece."""
    return 0.0 if layout.floor is None else layout.floor.share(layout.people)


def backs(layout: Layout) -> float:
    """Return the share of pieces, half by floor and half by count, whose back is at a wall.

    What is heavy counts twice by its floor, and by either the first thing that stands in the middle
    more than the next. Each tall thing in the middle leaves a quarter of that, what is low and
    heavy, a shelf or a machine half, and whatever else most: nobody would pay for a rack there. A
    machine in the midst is one that somebody can walk round: with an end by the edge of the room it
    parts nothing.
    """
    shares, pieces = with_backs(layout), layout.standing.pieces
    floors = [
        (placed.footprint.area * (HEAVY if is_weighty(placed) else 1), shares[placed.piece.id])
        for placed in pieces
    ]
    whole = sum(area for area, _ in floors)
    if not whole:
        return 1.0
    by_floor = sum(area * share for area, share in floors) / whole
    each = HALF * by_floor**2 + HALF * mean(list(shares.values())) ** 2
    for placed in pieces:
        if placed.kit.for_wall:
            # across a window it is at no wall, but nobody walks round it
            continue
        # half a back is no middle any more
        alone = max(0.0, 1 - shares[placed.piece.id] / HALF)
        if alone and not _is_by_the_edge(layout, placed):
            each *= 1 - alone * (1 - left_in_the_middle(placed))
    return float(each)


def left_in_the_middle(placed: Placed) -> float:
    """Return what is left of the share of backs where a piece stands in the middle of the floor."""
    if not parts_a_room(placed):
        return LEFT_BY_ANY
    return LEFT_BY_TALL if is_tall(placed) else LEFT_BY_HEAVY


def _is_by_the_edge(layout: Layout, placed: Placed) -> bool:
    """Return whether a machine has an end so near the edge of the room that nobody walks there."""
    if placed.kit.group != "Machines":
        return False
    passing = published("layout.way-in.none-mm")
    back_left, back_right, front_right, front_left = corners_of(placed)
    ends = shapely.linestrings([(back_left, back_right), (front_left, front_right)])
    away = shapely.distance(layout.scene.room.free.exterior, ends)
    return bool(away.min() < passing - TOLERANCE_MM)


def with_backs(layout: Layout) -> dict[str, float]:
    """Return of each piece that stands whether its back is at a wall: 1, half for back to back, 0.

    What asks for room behind it, air or a place to pass, stands at a wall that is so far off, and
    less and less at one up to where a broom goes; what is round at any wall that nobody walks along
    behind it, at a garage door half; what is much deeper than wide with its side as well, a machine
    that asks for nothing there with its tail. Back to back stand two of a kind that each have the
    other behind half of them; what is behind the back of something at a wall is at a wall. The side
    of another is no back, nor is a shelf in the middle of the floor one for a bike. What is long
    and stands out into the room with nothing along its sides counts half.
    """
    most = published("layout.backs.most-mm") + TOLERANCE_MM
    met = {
        placed.piece.id: at_a_wall(layout.scene, placed)
        or HALF * at_a_garage_door(layout.scene, placed)
        for placed in layout.standing.pieces
        if is_disc(placed)
    }
    behind: set[tuple[str, str]] = set()
    for one in layout.standing.facing:
        placed, at_back = one.placed, one.side == 0
        ends = SIDES[one.side] in ("back", "front")
        own = placed.extent.width_mm if ends else placed.extent.depth_mm
        if one.long_mm < own / 2:
            continue
        if one.other is None:
            if at_back:
                at_wall, none = back_at_most_mm(placed) + TOLERANCE_MM, back_fades_mm(placed)
                share = 1 - ramp(one.gap_mm, at_wall, none + TOLERANCE_MM)
            else:
                share = float(one.gap_mm <= most and goes_to_a_wall(placed, SIDES[one.side]))
            met[placed.piece.id] = max(met.get(placed.piece.id, 0.0), share)
        elif at_back and one.other_side == 0 and one.gap_mm <= most:
            behind.add((placed.piece.id, one.other.piece.id))
    shares = {placed.piece.id: met.get(placed.piece.id, 0.0) for placed in layout.standing.pieces}
    kinds = {placed.piece.id: placed.kit.key for placed in layout.standing.pieces}
    for one_id, other_id in behind:
        if met.get(other_id, 0.0) > HALF:
            shares[one_id] = 1.0
        elif (other_id, one_id) in behind and kinds[one_id] == kinds[other_id]:
            shares[one_id] = max(shares[one_id], HALF)
    for placed in layout.standing.pieces:
        if placed.kit.for_wall and hung_across_of(layout.scene, placed):
            # a mirror over glass or a shelf before it is at no wall
            shares[placed.piece.id] = 0.0
        long_one = shares[placed.piece.id] > HALF and is_long(placed)
        if long_one and not has_company(layout.scene, placed):
            shares[placed.piece.id] = HALF
    return shares


def way_in(layout: Layout) -> float:
    """Return how wide and straight the way from the door to the open floor is, and to all else.

    A way to some station that is narrower than a body leaves nothing, for what is got at sideways
    is got at seldom; one that is less than easy up to half. Without ways only what lies or stands
    across it counts, and whether a body gets there at all.
    """
    if layout.way_in is None:
        return 1.0
    straight = straight_in(layout)
    if not layout.with_ways:
        return straight * guessed_to_all(layout) if leads_to_the_floor(layout) else 0.0
    width, turns = layout.main_way
    wide = ramp(width, published("layout.way-in.none-mm"), published("layout.way-in.full-mm"))
    return (
        max(0.0, wide - turns * published("layout.way-in.turn-share")) * straight * _to_all(layout)
    )


def guessed_to_all(layout: Layout) -> float:
    """Return about what `_to_all` comes to: half of it where some station is not got at."""
    share = gets_to_all(layout)
    return share if share == 1 else HALF * share


def _to_all(layout: Layout) -> float:
    """Return how wide the narrowest of the best ways to the stations is.

    Where some are got at by another door alone the room is parted: nothing is left of it.
    """
    width, body = narrowest(layout.scene).width_mm, published("layout.way-in.none-mm")
    if width is None:
        return 1.0
    if falls_short(width, body) or is_parted(layout):
        return 0.0
    return HALF + HALF * ramp(width, body, published("route.easy-mm"))


def is_parted(layout: Layout) -> bool:
    """Return whether a body comes to some station by another door and not by that one comes in by.

    A thing that lies from wall to wall makes two rooms of one, however many doors there are.
    """
    if layout.way_in is None:
        return False
    paths = routes(layout.scene)
    main, body = paths.ways_out.index(layout.way_in), published("layout.way-in.none-mm")
    for stand, ways in enumerate(paths.ways):
        way = ways[main]
        if falls_short(way.width_mm, body) and not falls_short(paths.best(stand).width_mm, body):
            return True
    return False


def gaps(layout: Layout) -> float:
    """Return 1 less the length of dead gaps, over the perimeter of the room."""
    touch, broom = published("layout.gaps.touch-mm"), published("layout.gaps.broom-mm")
    dead = 0.0
    ground = {placed.piece.id for placed in layout.standing.on_floor}
    for one in layout.standing.facing:
        if one.placed.piece.id not in ground or is_disc(one.placed):
            continue
        asked = asked_mm(one.placed, one.side)
        if one.other is not None:
            if one.other.piece.id not in ground or is_disc(one.other):
                continue
            asked = max(asked, asked_mm(one.other, one.other_side))
        if touch < one.gap_mm < broom and one.gap_mm > asked + touch:
            # a gap between two pieces is met from both sides
            dead += one.long_mm if one.other is None else one.long_mm * HALF
    return max(0.0, 1 - dead / layout.scene.room.free.exterior.length)


def height(layout: Layout) -> float:
    """Return the height to spare over the need of what is wanted, low places for what is low.

    A low place is worth nothing to what somebody who wants to use it bends down on there.
    """
    scene = layout.scene
    full = published("layout.height.spare-mm")
    shares = []
    for movement, places in spots(scene).items():
        for person in scene.plan.people:
            if person.wish_for(movement) == "want":
                verdict, _ = best_spot(scene, person, places, SHUT)
                shares.append(ramp(verdict.spare_need_mm, 0.0, full))
    overhead = scene.room.shut
    over = [item.coefficients for item in overhead.items if any(item.coefficients[1:])]
    if over:
        corners = shapely.points(shapely.get_coordinates(scene.room.free.exterior))
        heights, _ = overhead.clear(np.asarray(shapely.buffer(corners, 1.0), dtype=object))
        low, high = float(heights.min()), float(heights.max())
        if high - low > SLOPING_MM:
            bent = _bent(layout)
            shares += [
                0.0 if placed.piece.id in bent else 1 - ramp(_over(layout, placed), low, high)
                for placed in layout.standing.pieces
                if _is_seated(placed)
            ]
    return mean(shares)


def pairs(layout: Layout) -> float:
    """Return the share of pairs of stations that two can use at once."""
    free, count = pairs_at_once(layout)
    return 1.0 if len(layout.scene.plan.people) < 2 or not count else free / count


def pairs_at_once(layout: Layout) -> tuple[int, int]:
    """Return how many pairs of stations two can use at once, and of how many.

    A bench and what is lifted on it are one station: nobody else takes from it meanwhile.
    """
    groups = layout.together
    ids = {key for key, _ in groups.stations}
    one = [pair for pair in go_together(layout.scene.order) if pair <= ids]
    free = sum(pair not in groups.conflicts for pair in one)
    return groups.pairs_free - free, groups.pairs_all - len(one)


def deep(layout: Layout) -> float:
    """Return how far from the door the tall and the heavy stand, over the length of the room."""
    door = layout.door_at
    if door is None:
        return 1.0
    corners = shapely.get_coordinates(layout.scene.room.free.exterior)
    long = max(math.dist(door, corner) for corner in corners)
    return mean(
        [
            min(1.0, math.dist(door, placed.at) / long)
            for placed in layout.standing.on_floor
            if is_weighty(placed)
        ]
    )


def _is_seated(placed: Placed) -> bool:
    return bool(placed.kit.uses) and all(use.movement in LOW_SEATED for use in placed.kit.uses)


def _bent(layout: Layout) -> frozenset[str]:
    """Return the pieces on which somebody who wants to use them lacks height where they stand."""
    scene = layout.scene
    return frozenset(
        spot.placed.piece.id
        for movement, places in spots(scene).items()
        if movement in LOW_SEATED
        for person in scene.plan.people
        if person.wish_for(movement) == "want"
        for spot in places
        if falls_short(judge(scene, person, spot, SHUT).spare_need_mm, 0.0)
    )


def _over(layout: Layout, placed: Placed) -> float:
    heights, _ = layout.scene.room.shut.clear(np.array([placed.footprint], dtype=object))
    return float(heights[0])
