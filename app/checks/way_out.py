"""Getting out: whether anybody gets to a door that is a way out, and what stands before it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon

from app.checks.snag import Snag, is_many
from app.checks.way_words import LEAST, WANTED, Neck, between, misses, named_together, pieces_of
from app.published.register import published
from app.scene.build import Scene
from app.scene.doors import OpeningShape
from app.scene.naming import opening_name
from app.scene.routes import NO_WAY, Routes, Way, in_the_way
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.wording import Phrase, lower, phrase


def cut_off(paths: Routes) -> list[int]:
    """Return the ways out from which no station is reached, by their places in the order."""
    return [
        door
        for door in range(len(paths.ways_out))
        if all(misses(ways[door], LEAST) for ways in paths.ways)
    ]


def gap(template: str, scene: Scene, way: Way) -> Phrase:
    """Say how wide a way is at most and where; nothing where there is no way at all."""
    return phrase(template, way.width_mm, between(scene, way)) if way.between else phrase("")


def way_out_blocked(scene: Scene, paths: Routes, shut: Sequence[int]) -> Snag | None:
    """Return a stop where no station is reached from any way out; `shut` are those cut off.

    Of one station alone that is said where something stands before the door: else the gap is the
    station's own.
    """
    if len(shut) < len(paths.ways_out):
        return None
    every = [(way, door) for ways in paths.ways for door, way in enumerate(ways)]
    way, door = max(every, key=lambda pair: pair[0].width_mm)
    before = () if way.between else _before(scene, paths.ways_out)
    if len(paths.stands) == 1 and not before:
        return None
    neck = Neck(way, tuple(range(len(paths.stands))))
    at = gap(". The widest gap is {:mm}, {}", scene, way)
    any_door = "it" if len(paths.ways_out) == 1 else "any door"
    cause = phrase("no station can be reached from {}{}", any_door, at)
    if before:
        cause = _stands_before(scene, before, paths.ways_out)
    pieces = before or (pieces_of(scene, paths, neck) if way.between else ())
    return _blocked(scene, paths, paths.ways_out[door], cause, pieces, way)


def nothing_passes(scene: Scene, paths: Routes) -> Snag | None:
    """Return a stop where nobody passes any way out of a room in which nothing is gone to."""
    doors, least = paths.ways_out, published(LEAST)
    if not doors or any(
        not falls_short(paths.into_mm(door, least), least) for door in range(len(doors))
    ):
        return None
    before = _before(scene, doors)
    if not before:
        return None
    cause = _stands_before(scene, before, doors)
    return _blocked(scene, paths, doors[0], cause, before, NO_WAY)


def door_cut_off(scene: Scene, paths: Routes, door: int) -> Snag:
    """Return what is to be said of one way out of several that no station is reached from."""
    shape = paths.ways_out[door]
    way = max((ways[door] for ways in paths.ways), key=lambda way: way.width_mm)
    name = lower(opening_name(scene, shape))
    # a garage door may be shut when somebody must leave: it is no second door to rely on
    left_by = [other for i, other in enumerate(paths.ways_out) if i != door]
    leaves = any(not other.opening.is_garage_door for other in left_by)
    before = () if way.between else _before(scene, [shape])
    neck = Neck(way, tuple(range(len(paths.stands))))
    at = gap("{:mm} is all there is, {}", scene, way) if way.between else phrase("there is no way")
    if before:
        at = _stands_before(scene, before, [shape])
    return Snag(
        code=f"door-cut-off-{shape.opening.id}",
        opening=shape.opening.id,
        hangs_on_place=True,
        severity="note" if leaves or shape.opening.is_garage_door else "care",
        template="Nobody gets to the {} from the kit: {}. A person needs {:mm}.",
        values=(name, at, published(LEAST)),
        pieces=before or (pieces_of(scene, paths, neck) if way.between else ()),
        names=("way out", name),
        measured=round(way.width_mm),
        required=round(published(LEAST)),
        need=round(published(WANTED)),
        where=way.where,
        source_keys=(LEAST,),
    )


def _blocked(
    scene: Scene,
    paths: Routes,
    door: OpeningShape,
    cause: Phrase,
    pieces: tuple[str, ...],
    way: Way,
) -> Snag:
    name = lower(opening_name(scene, door))
    only = len(paths.ways_out) == 1
    return Snag(
        code="way-out-blocked",
        hangs_on_place=True,
        blocked=True,
        severity="stop",
        template="{} is blocked: {}. A person needs {:mm}.",
        values=(
            f"The {name}, the only way out," if only else "Every way out",
            cause,
            published(LEAST),
        ),
        pieces=pieces,
        names=("way out", name),
        measured=round(way.width_mm),
        required=round(published(LEAST)),
        need=round(published(WANTED)),
        where=way.where,
        source_keys=(LEAST,),
    )


def _before(scene: Scene, doors: Sequence[OpeningShape]) -> tuple[str, ...]:
    """Return what stands before some doors where somebody who comes in must stand, by its root.

    That is the least width of a way deep, over the whole doorway.
    """
    deep = published(LEAST)
    solids = in_the_way(scene)
    solids = solids[scene.solids.owner[solids] < len(scene.order)]
    found: dict[str, None] = {}
    for door in doors:
        ix, iy = door.inward
        near = [door.left, door.right]
        far = [(x + ix * deep, y + iy * deep) for x, y in reversed(near)]
        mouth = Polygon([*near, *far]).buffer(-TOLERANCE_MM, join_style="mitre")
        met = solids[shapely.intersects(scene.solids.cores[solids], mouth)]
        for number in np.unique(scene.solids.owner[met]).tolist():
            found[scene.order[number].root] = None
    return tuple(found)


def _stands_before(scene: Scene, before: tuple[str, ...], doors: Sequence[OpeningShape]) -> Phrase:
    """Say what stands before a door."""
    names = [scene.placed[root].name for root in before]
    many = len(names) > 1 or is_many(names[0])
    return phrase(
        "{} {} before {}",
        named_together(names),
        "stand" if many else "stands",
        "it" if len(doors) == 1 else "them",
    )
