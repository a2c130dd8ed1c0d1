"""Walking about: is there a way on foot from a door to each station, how wide, how high."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from weakref import WeakKeyDictionary

import numpy as np
import shapely
from shapely import Point

from app.checks.between_posts import standing_in_racks
from app.checks.easy_ways import less_than_easy, plate_ways, plates_snag
from app.checks.hangers import hangs, hung_solids
from app.checks.layers import layers
from app.checks.low_ways import Low, crawled_under, low_for_heads, low_of_the_way
from app.checks.one_fault import LOW_OVER_WAY
from app.checks.shut_offs import SHUT_OFFS, STEP, clear_keys
from app.checks.snag import Snag, agreeing, is_many
from app.checks.way_out import cut_off, door_cut_off, gap, nothing_passes, way_out_blocked
from app.checks.way_out_size import ON_FOOT, way_out_size
from app.checks.way_words import (
    EASY,
    LEAST,
    WANTED,
    Neck,
    between,
    misses,
    names_of,
    necks_of,
    pieces_of,
)
from app.library.kit import OF_THE_HOUSE
from app.model.phases import without
from app.published.register import published
from app.scene.build import Placed, Scene, build_scene
from app.scene.routes import Routes, Way, head_mm, routes
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.wording import lower


def walking(scene: Scene) -> Iterator[Snag]:
    """Yield what is wrong with the ways on foot.

    `stop`: no way as wide as the least to a station, the only way out, or what shuts off
    electricity, gas or water; a way that is crawled. `care`: narrower than recommended, or so low
    that the tallest head may meet it. What is only less than easy is said by `ways_not_easy`.
    """
    paths = routes(scene)
    small = way_out_size(scene, paths)
    if small is not None:
        yield small
    stands = paths.stands
    if not stands:
        blocked = nothing_passes(scene, paths)
        if blocked is not None:
            yield blocked
        return
    if not paths.ways_out:
        yield _no_door()
        return
    shut = cut_off(paths)
    blocked = way_out_blocked(scene, paths, shut)
    if blocked is not None:
        yield blocked
        return
    if len(shut) == 1 and len(paths.ways_out) > 1:
        # with one way out alone the gap is said of the station that it bars, or of its own space
        yield door_cut_off(scene, paths, shut[0])
    for i, way in _to_shut_offs(scene, paths):
        placed = scene.order[stands[i].number]
        short = falls_short(way.width_mm, published(LEAST))
        if short and not _reached_over_low_things(scene, placed):
            yield _shut_off(scene, placed, way)
    ways = _ways(scene, paths)
    for neck in necks_of(ways, 0.0, LEAST):
        yield _no_way(scene, paths, neck)
    narrow = _narrow_necks(ways)
    for neck in narrow:
        yield _narrow(scene, paths, neck)
    low = _low_for_heads(scene, paths)
    if low is not None:
        yield _low(scene, paths, low) if low.care else _crawled(scene, paths, low)
    for store, way in _tight_with_plates(plate_ways(scene, paths, WANTED), narrow):
        yield plates_snag(scene, store, way)


def ways_not_easy(scene: Scene) -> Iterator[Snag]:
    """Say in one note which ways on foot are passable, but not easy: `walking` tells the rest."""
    paths = routes(scene)
    if not paths.stands or not paths.ways_out:
        return
    if way_out_blocked(scene, paths, cut_off(paths)) is not None:
        return
    ways = _ways(scene, paths)
    tight = _tight_with_plates(plate_ways(scene, paths), _narrow_necks(ways))
    yield from less_than_easy(
        scene,
        paths,
        necks_of(ways, published(WANTED), EASY),
        [(store, way) for store, way in tight if not misses(way, WANTED)],
        low_of_the_way(scene, paths) if _low_for_heads(scene, paths) is None else (),
    )


_ways_known: WeakKeyDictionary[Scene, dict[int, Way]] = WeakKeyDictionary()
_low_known: WeakKeyDictionary[Scene, Low | None] = WeakKeyDictionary()


def _ways(scene: Scene, paths: Routes) -> dict[int, Way]:
    """Return by stand the ways that are judged: in the room, and narrow before they are there.

    What stands in a rack is reached from there. Found once and kept as long as the scene: two
    checks ask.
    """
    ways = _ways_known.get(scene)
    if ways is None:
        in_racks = standing_in_racks(scene)
        every = {i: paths.best(i) for i in range(len(paths.stands)) if in_the_room(scene, paths, i)}
        ways = _ways_known[scene] = {
            i: way
            for i, way in every.items()
            if scene.order[paths.stands[i].number].kit.key not in SHUT_OFFS
            and paths.stands[i].number not in in_racks
            and not at_its_own_place(scene, paths, i, way)
            and not _hangs_over_kit(scene, paths, i)
        }
    return ways


def _to_shut_offs(scene: Scene, paths: Routes) -> Iterator[tuple[int, Way]]:
    """Yield the stands before what shuts off electricity, gas or water, with the ways there."""
    for i, stand in enumerate(paths.stands):
        shuts_off = scene.order[stand.number].kit.key in SHUT_OFFS
        if shuts_off and in_the_room(scene, paths, i):
            yield i, paths.best(i)


def _narrow_necks(ways: dict[int, Way]) -> list[Neck]:
    return necks_of(ways, published(LEAST), WANTED)


def _low_for_heads(scene: Scene, paths: Routes) -> Low | None:
    """Return what is crawled under, or else what the tallest head may meet, on the only way.

    Found once for both checks.
    """
    if scene not in _low_known:
        _low_known[scene] = crawled_under(scene, paths) or low_for_heads(scene, paths)
    return _low_known[scene]


def _tight_with_plates(
    plates: Iterable[tuple[Placed, Way]], narrow: Sequence[Neck]
) -> list[tuple[Placed, Way]]:
    """Return the ways with plates that are wide enough to pass and are not named already."""
    named = {neck.way.between for neck in narrow}
    return [
        (store, way)
        for store, way in plates
        if not falls_short(way.width_mm, published(LEAST)) and way.between not in named
    ]


def in_the_room(scene: Scene, paths: Routes, stand: int) -> bool:
    """Return whether any place of use lies in the room: if none does, that is said elsewhere."""
    return bool(shapely.contains_xy(scene.room.free, *paths.stands[stand].points.T).any())


def _hangs_over_kit(scene: Scene, paths: Routes, stand: int) -> bool:
    """Return whether something hangs over other kit and has no floor of its own to stand on.

    One walks round what stands there, and that it stands there is told by the space it takes.
    """
    number = paths.stands[stand].number
    if not hangs(scene.order[number]):
        return False
    points = shapely.points(paths.stands[stand].points)
    inside = shapely.contains_xy(scene.room.free, *paths.stands[stand].points.T)
    point, hit = scene.tree.query(points, predicate="intersects")
    solids = scene.solids
    stands = ~layers(scene)[solids.owner[hit]] & ~hung_solids(scene)[hit]
    taken = np.isin(np.arange(len(paths.stands[stand].points)), point[stands])
    return bool((taken | ~inside).all())


def at_its_own_place(scene: Scene, paths: Routes, stand: int, way: Way) -> bool:
    """Return whether the narrow place is where the station itself is used, judged as its space."""
    if way.where is None:
        return False
    count = len(scene.order)
    own = [o for o in way.between if o < count and scene.roots[o] == paths.stands[stand].number]
    if not own:
        return False
    # Before a face along a wall every place is as narrow as the next, and rounding picks one: it
    # is enough that there is no more room wherever one stands. A circle through samples of two
    # parallel outlines is at most so wide.
    widest_mm = math.hypot(way.width_mm, paths.samples.spacing_mm)
    nodes = paths.stand_nodes[stand]
    if np.all(2 * paths.graph.radius_mm[nodes[nodes >= 0]] <= widest_mm):
        return True
    reach = shapely.dwithin(paths.stands[stand].spaces, Point(way.where), TOLERANCE_MM)
    return bool(np.any(reach))


def _no_door() -> Snag:
    return Snag(
        code="no-way-out",
        severity="note",
        template="No door of this room is marked as a way out: ways on foot cannot be judged.",
        names=("ways on foot",),
        unit=None,
    )


def _reached_over_low_things(scene: Scene, placed: Placed) -> bool:
    """Return whether nothing bars the way to a shut-off but what is stepped over to get there.

    That may be higher than what one steps over all day: the way is looked for without it.
    """
    high = scene.plan.room.floor.covering.thickness_mm + published(STEP)
    low = {
        root
        for root, members in scene.stations.items()
        if root != placed.root
        and all(
            not falls_short(high, m.shape.high_mm.max(initial=0.0) + m.lift_mm) for m in members
        )
    }
    if not low:
        return False
    rest = {key: one.pose for key, one in scene.placed.items() if one.root not in low}
    # the plan of a scene in which something is moved has it where it was
    there = build_scene(without(scene.plan, scene.placed.keys() - rest.keys())).moved(rest)
    paths = routes(there)
    return any(
        there.order[stand.number].piece.id == placed.piece.id
        and not falls_short(paths.best(i).width_mm, published(LEAST))
        for i, stand in enumerate(paths.stands)
    )


def _only_trained_at(scene: Scene, paths: Routes, to: Sequence[int]) -> bool:
    """Return whether some places are gone to for training alone: nobody needs them besides."""
    return all(scene.order[paths.stands[one].number].kit.group != OF_THE_HOUSE for one in to)


def _shut_off(scene: Scene, placed: Placed, way: Way) -> Snag:
    name = SHUT_OFFS[placed.kit.key]
    count = len(scene.order)
    others = tuple(scene.order[o].piece.id for o in way.between if o < count)
    at = gap(": {:mm} is the widest way, {}", scene, way)
    depth, width = clear_keys(placed)
    template = "The {} cannot be reached{}. Keep {:bare} wide and {:mm} deep before it free."
    return Snag(
        code=f"{name.replace(' ', '-')}-blocked",
        hangs_on_place=True,
        blocked=True,
        severity="stop",
        template=template,
        values=(name, at, published(width), published(depth)),
        pieces=tuple(dict.fromkeys((placed.piece.id, *others))),
        names=(name,),
        measured=round(way.width_mm),
        required=round(published(LEAST)),
        need=round(published(depth)),
        where=way.where or placed.at,
        source_keys=(LEAST, width, depth),
    )


def _no_way(scene: Scene, paths: Routes, neck: Neck) -> Snag:
    way = neck.way
    at = gap("{:mm} is the widest, {}", scene, way)
    to = names_of(scene, paths, neck.to)
    return Snag(
        code="no-way",
        hangs_on_place=True,
        severity="stop",
        template="No way on foot to {}: {}. A person needs {:mm}.",
        values=(
            to,
            at if way.between else "everything is closed off",
            published(LEAST),
        ),
        pieces=pieces_of(scene, paths, neck),
        names=("way on foot", to),
        called=f"the way to {to}",
        while_training=_only_trained_at(scene, paths, neck.to),
        measured=round(way.width_mm),
        required=round(published(LEAST)),
        need=round(published(WANTED)),
        where=way.where or scene.order[paths.stands[neck.to[0]].number].at,
        source_keys=(LEAST,),
    )


def _narrow(scene: Scene, paths: Routes, neck: Neck) -> Snag:
    way = neck.way
    to = names_of(scene, paths, neck.to)
    return Snag(
        code="way-narrow",
        hangs_on_place=True,
        severity="care",
        template="The way to {} is {:mm} wide {}. Allow {:bare}.",
        values=(
            to,
            way.width_mm,
            between(scene, way),
            published(WANTED),
        ),
        pieces=pieces_of(scene, paths, neck),
        names=("way on foot", to),
        called=f"the way to {to}",
        while_training=_only_trained_at(scene, paths, neck.to),
        measured=round(way.width_mm),
        required=round(published(WANTED)),
        where=way.where,
        source_keys=(WANTED,),
    )


def _low(scene: Scene, paths: Routes, low: Low) -> Snag:
    return Snag(
        code=LOW_OVER_WAY,
        severity="care",
        template="On the way to {} the {} at {:mm}: the tallest head in shoes needs {:bare}.",
        values=(
            names_of(scene, paths, low.to),
            agreeing(lower(low.name), "hangs", "hang"),
            low.height_mm,
            low.needed_mm,
        ),
        names=("way on foot", low.name),
        called=f"the way under the {lower(low.name)}",
        measured=round(low.height_mm),
        required=round(low.needed_mm),
        where=low.where,
        source_keys=("route.overhead-spare-mm", "body.shoe-mm"),
    )


def _crawled(scene: Scene, paths: Routes, low: Low) -> Snag:
    return Snag(
        code=LOW_OVER_WAY,
        severity="stop",
        template="The way to {} leads under the {}, which {} at {:mm}: under {:mm} nobody "
        "passes on foot. The tallest head in shoes needs {:mm}.",
        values=(
            names_of(scene, paths, low.to),
            lower(low.name),
            "hang" if is_many(low.name) else "hangs",
            low.height_mm,
            low.needed_mm,
            head_mm(scene) + published("route.overhead-spare-mm"),
        ),
        names=("way on foot", low.name),
        called=f"the way under the {lower(low.name)}",
        measured=round(low.height_mm),
        required=round(low.needed_mm),
        where=low.where,
        source_keys=(ON_FOOT, "route.overhead-spare-mm", "body.shoe-mm"),
    )
