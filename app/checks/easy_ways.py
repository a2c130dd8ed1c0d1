"""Ways that are passable but not easy, and those on which plates are carried."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from app.checks.low_ways import Low
from app.checks.snag import Snag
from app.checks.way_words import (
    EASY,
    LEAST,
    WANTED,
    WAYS_NAMED_AT_MOST,
    Neck,
    between,
    misses,
    names_of,
    owner_name,
)
from app.published.register import published
from app.scene.bar_lengths import bar_of
from app.scene.build import Placed, Scene
from app.scene.routes import Routes, Way
from app.scene.shapes import turn
from app.wording import Phrase, joined, lower, phrase

PLATES = "plate-store.way-mm"
PLATE_STORES = ("plate-tree", "plate-pegs", "iron-plates", "rubber-plates")


def plate_ways(scene: Scene, paths: Routes, key: str = PLATES) -> Iterator[tuple[Placed, Way]]:
    """Return the way from each plate store of its own to the nearest of the bars, carrying.

    Only ways are told that are narrower than a published width, that for plates if none is named.
    """
    least = published(LEAST)
    bars = [p for p in scene.order if p.kit.bar is not None]
    stands = {stand.number: stand for stand in paths.stands}
    if not bars:
        return
    ends = np.concatenate([_beside_sleeves(p, least) for p in bars])
    for number, placed in enumerate(scene.order):
        if placed.kit.key not in PLATE_STORES or number not in stands:
            continue
        points = stands[number].points
        # whether there is a way as wide is told for far less than which is the widest
        if key != PLATES and paths.is_way(points, ends, published(key)):
            continue
        way = paths.between(points, ends)
        if misses(way, key) and way.between:
            yield placed, way


def _beside_sleeves(bar: Placed, least_mm: float) -> NDArray[np.float64]:
    """Return the places before and behind each sleeve from which plates are slid on."""
    shape = bar_of(bar)
    assert shape is not None
    x = (bar.extent.width_mm - shape.sleeve_mm) / 2
    y = ((bar.piece.plate_mm or published("plate.large-diameter-mm")) + least_mm) / 2
    places = [turn(dx, dy, bar.pose.angle_deg) for dx in (-x, x) for dy in (-y, y)]
    return np.array(places, dtype=np.float64) + np.array(bar.at, dtype=np.float64)


def plates_snag(scene: Scene, store: Placed, way: Way) -> Snag:
    """Say that the way with plates is narrower than is recommended even without."""
    makes = [scene.order[o].piece.id for o in way.between if o < len(scene.order)]
    return Snag(
        code="plates-way",
        while_training=True,
        severity="care",
        template="From the {} to the bar plates are carried through {:mm}, {}; {:bare} is easy.",
        values=(lower(store.name), way.width_mm, between(scene, way), published(PLATES)),
        pieces=tuple(dict.fromkeys((store.piece.id, *makes))),
        names=("way with plates", store.name),
        measured=round(way.width_mm),
        required=round(published(WANTED)),
        need=round(published(PLATES)),
        where=way.where,
        source_keys=(PLATES, WANTED),
        hangs_on_place=True,
    )


def less_than_easy(
    scene: Scene,
    paths: Routes,
    necks: Sequence[Neck],
    plates: Sequence[tuple[Placed, Way]],
    low: Sequence[Low],
) -> Iterator[Snag]:
    """Say in one note what is passable but not easy."""
    clauses: dict[tuple[int, ...], tuple[float, Phrase]] = {}
    for neck in necks:
        to = names_of(scene, paths, neck.to)
        text = phrase("{:mm} to {}, {}", neck.way.width_mm, to, between(scene, neck.way))
        clauses[neck.way.between] = neck.way.width_mm, text
    for _, way in plates:
        text = phrase("{:mm} with plates to the bar, {}", way.width_mm, between(scene, way))
        clauses.setdefault(way.between, (way.width_mm, text))
    ordered = sorted(clauses.values(), key=_narrow_first)
    most = WAYS_NAMED_AT_MOST
    texts = [text for _, text in ordered[:most]]
    if len(ordered) > most:
        texts.append(phrase("{} more", len(ordered) - most))
    # both heights are from the bare floor, the covering in what is needed
    height = "{:bare} of {:mm} of height under the {}"
    texts += [phrase(height, one.height_mm, one.needed_mm, lower(one.name)) for one in low]
    if not texts:
        return
    narrowest = round(ordered[0][0]) if ordered else None
    makes = min(clauses, key=lambda key: _narrow_first(clauses[key])) if clauses else ()
    keys = (EASY,) if ordered else ()
    yield Snag(
        code="ways-not-easy",
        background=True,
        severity="note",
        template="Passable, not easy: {}.{}",
        values=(
            joined("; ", texts),
            phrase(" {:mm} is easy.", published(EASY)) if ordered else "",
        ),
        parts=tuple(phrase("{:cap}.", text) for text in texts),
        names=("ways on foot", *(owner_name(scene, owner) for owner in makes)),
        measured=narrowest,
        required=round(published(EASY)) if ordered else None,
        unit="mm" if ordered else None,
        source_keys=(*keys, *(("route.overhead-note-mm",) if low else ())),
    )


def _narrow_first(clause: tuple[float, Phrase]) -> tuple[float, str]:
    return clause[0], clause[1].worded("metric")
