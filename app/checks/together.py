"""Training together: which stations get in one another's way, and how many can be used at once.

A station takes the floor of its solids, of its body and fall-off spaces and of the movements done
there. Two stations are in conflict where the floor that one needs for bodies meets what the other
takes. Places to get on, load or reach may be shared.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, STRtree

from app.checks.spot import Spot
from app.checks.spots import spots
from app.library.anchors import place
from app.library.movements import movements
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.swept import Held, across_mm, held_at, put
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, Geometries

STATIONS_IN_TABLE_AT_MOST = 40
"""Stations in the table of pairs: its work grows with their square, and a wider one is not
read."""


CONFLICTS_AT_MOST = 20_000
"""Pairs in conflict that are looked for: those of 200 stations that all want one place."""

BODIES_AT_A_TIME = 32
"""Places of bodies whose neighbours are asked for in one call: what is near them is not many."""

Numbers = NDArray[np.intp]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Together:
    """Who can train beside whom.

    `stations` are (id of the carrier, name), `conflicts` pairs of ids that are used in turn.
    `largest` is a largest group without a conflict, up to the number of people (of stations,
    where there are no people); `proven` tells that there is no larger one. Of `pairs_all` pairs
    `pairs_free` can be used at once. `unseen` stations were not looked at: too many conflicts.
    """

    stations: tuple[tuple[str, str], ...]
    conflicts: frozenset[frozenset[str]]
    largest: tuple[str, ...]
    proven: bool
    pairs_free: int
    pairs_all: int
    unseen: int

    def at_once(self, one: str, other: str) -> bool:
        """Return whether two stations can be used at once."""
        return frozenset((one, other)) not in self.conflicts


def together(scene: Scene) -> Together:
    """Find the conflicts between the stations at which people train, and a largest group."""
    numbers = trained_at(scene)
    ids = [scene.order[number].piece.id for number in numbers]
    pairs, unseen = conflicts(scene, numbers)
    people = len(scene.plan.people)
    limit = min(people or len(ids), len(ids))
    table = STATIONS_IN_TABLE_AT_MOST
    whole = len(ids) <= table
    first = set(range(min(len(ids), table)))
    inner = [(a, b) for a, b in pairs if a in first and b in first]
    group = largest_group(len(first), inner, min(limit, len(first)))
    count = len(ids) * (len(ids) - 1) // 2
    return Together(
        tuple((ids[i], scene.order[number].name) for i, number in enumerate(numbers)),
        frozenset(frozenset((ids[a], ids[b])) for a, b in pairs),
        tuple(ids[i] for i in group),
        whole or len(group) == limit,
        count - len(pairs),
        count,
        unseen,
    )


def trained_at(scene: Scene) -> tuple[int, ...]:
    """Return the numbers of the carriers of stations where people train, in their order."""
    busy = {
        int(root)
        for root, placed in zip(scene.roots, scene.order, strict=True)
        if placed.kit.uses or any(s.space.kind != "access" for s in placed.shape.spaces)
    }
    return tuple(sorted(busy))


def conflicts(scene: Scene, numbers: Sequence[int]) -> tuple[tuple[tuple[int, int], ...], int]:
    """Return the pairs in conflict, by their places among `numbers`, the smaller first.

    With them comes how many stations were not looked at, once there were more than anybody reads.
    """
    bodies, of_body, low, high = _bodies(scene)
    solids = scene.solids
    cores = solids.cores[: scene.piece_solids]
    if not len(bodies):
        return (), 0
    tree, solid_tree = STRtree(bodies), STRtree(cores)
    place_of = np.full(len(scene.order), -1, dtype=np.intp)
    place_of[list(numbers)] = np.arange(len(numbers))
    known: set[tuple[int, int]] = set()
    after = 0
    while after < len(bodies) and len(known) <= CONFLICTS_AT_MOST:
        before, after = after, after + BODIES_AT_A_TIME
        some = bodies[before:after]
        one, other = tree.query(some, predicate="intersects")
        body, solid = solid_tree.query(some, predicate="intersects")
        one, body = one + before, body + before
        lowest = np.minimum(high[body], solids.high_mm[solid])
        met = lowest - np.maximum(low[body], solids.low_mm[solid]) > TOLERANCE_MM
        first = np.concatenate([of_body[one], of_body[body[met]]])
        second = np.concatenate([of_body[other], scene.roots[solids.owner[solid[met]]]])
        a, b = place_of[first], place_of[second]
        valid = (a >= 0) & (b >= 0) & (a != b)
        a, b = np.minimum(a, b)[valid], np.maximum(a, b)[valid]
        # one number for each pair: pairs themselves are sorted slowly
        pairs = np.unique(a * len(numbers) + b)
        known.update(zip(*(part.tolist() for part in np.divmod(pairs, len(numbers))), strict=True))
    return tuple(sorted(known)), len(np.unique(of_body[after:]))


def _bodies(scene: Scene) -> tuple[Geometries, Numbers, Floats, Floats]:
    """Return the floor that bodies need: polygon, carrier, and between which heights."""
    spaces = scene.spaces
    taken = (
        s.space.kind != "access" and not _refused(scene, s.space.movement) for s in spaces.shapes
    )
    mine = np.array(list(taken), dtype=bool)
    areas: list[Polygon] = []
    owners: list[int] = []
    number = {placed.piece.id: i for i, placed in enumerate(scene.order)}
    for movement, places in spots(scene).items():
        for spot in places:
            if _has_its_own(spot.placed) or _refused(scene, movement):
                continue
            areas.append(_area(scene, spot))
            owners.append(number[spot.placed.root])
    low = published("route.step-over-mm") + scene.plan.room.floor.covering.thickness_mm
    high = published("route.overhead-note-mm")
    moved = np.array(areas, dtype=object)
    return (
        np.concatenate([spaces.cores[mine], moved]),
        np.concatenate([scene.roots[spaces.owner[mine]], np.array(owners, dtype=np.intp)]),
        np.concatenate([spaces.low_mm[mine], np.full(len(areas), low)]),
        np.concatenate([spaces.high_mm[mine], np.full(len(areas), high)]),
    )


def _refused(scene: Scene, movement: str | None) -> bool:
    """Return whether everybody says no to a movement: then its floor is not taken."""
    people = scene.plan.people
    return bool(movement and people) and all(p.wish_for(movement or "") == "no" for p in people)


def _has_its_own(placed: Placed) -> bool:
    """Say whether a piece's own spaces say where the body is; a bar sweeps more than its rack."""
    has_space = any(shape.space.kind != "access" for shape in placed.shape.spaces)
    return has_space and not placed.kit.rests


def _area(scene: Scene, spot: Spot) -> Polygon:
    """Return floor that a movement takes where it is done; kept while its piece stands there."""
    placed = spot.placed
    key = ("movement area", placed.piece.id, *placed.at, placed.pose.angle_deg, id(spot.use))
    return scene.memo(key, lambda: _measured(placed, spot, held_at(scene, placed, spot.use)))


def _measured(placed: Placed, spot: Spot, held: Held | None) -> Polygon:
    row = movements()[spot.use.movement]
    w, d = across_mm(row, held) / 2 - HALF_MM, row.area_depth_mm / 2 - HALF_MM
    x, y = (place(anchor, placed.extent) for anchor in spot.use.at)
    return put(Polygon([(-w, -d), (w, -d), (w, d), (-w, d)]), placed, (x, y))


def largest_group(count: int, pairs: Sequence[tuple[int, int]], limit: int) -> tuple[int, ...]:
    """Return a largest set of `count` things with no pair in conflict, of at most `limit`.

    Branch and bound on the whole tree of choices, so there is none larger. Of several the first.
    """
    against = [0] * count
    for a, b in pairs:
        against[a] |= 1 << b
        against[b] |= 1 << a
    best: list[int] = []

    def search(chosen: list[int], free: int) -> bool:
        nonlocal best
        if len(chosen) > len(best):
            best = chosen
        if len(best) >= limit:
            return True
        while free and len(chosen) + _bound(free, against) > len(best):
            # the one with the fewest conflicts left is in some largest set if it has at most one
            i = min(_members(free), key=lambda k: ((against[k] & free).bit_count(), k))
            free &= ~(1 << i)
            if search([*chosen, i], free & ~against[i]):
                return True
            if (against[i] & free).bit_count() <= 1:
                return False
        return False

    search([], (1 << count) - 1)
    return tuple(sorted(best))


def _members(free: int) -> Iterator[int]:
    while free:
        lowest = free & -free
        yield lowest.bit_length() - 1
        free ^= lowest


def _bound(free: int, against: Sequence[int]) -> int:
    """Return a number that no set within `free` exceeds: that of cliques that cover it."""
    cliques = 0
    while free:
        clique = free & -free
        common = against[clique.bit_length() - 1] & free
        free ^= clique
        while common:
            lowest = common & -common
            free ^= lowest
            common = (common ^ lowest) & against[lowest.bit_length() - 1]
        cliques += 1
    return cliques
