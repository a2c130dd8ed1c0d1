"""Failing alone: what catches the bar when a lift fails, and what tips when somebody hangs on it.

A helper counts only with his place behind the head, rubber plates only with floor to drop the bar.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely
from shapely import Polygon

from app.checks.headroom import person_name
from app.checks.snag import Severity, Snag, is_many
from app.checks.spot import Spot
from app.checks.spots import SHUT, best_spot, spots
from app.checks.standing import snags_of_plan
from app.library.movements import movements
from app.model.people import Person
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.shapes import turned
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, falls_short
from app.wording import Phrase, lower, phrase

CAUGHT = ("bench-press", "squat")
GROWN = "spotter.stature-mm"
MILDER: dict[Severity, Severity] = {"stop": "care", "care": "note", "note": "note"}
_TIPS = frozenset({"pull-up", "dip", "squat", "bench-press"})
_LOOSE = frozenset({"none", "bolt", "ballast"})


@dataclass(frozen=True, slots=True)
class CatchHeights:
    """At which height to set the catches of a station for the bench press, in mm from its foot.

    `setting_mm` is the lowest setting of these catches between the two, None where there is none
    or where the catches' settings are not known.
    """

    pad_mm: float
    least_mm: float
    most_mm: float
    setting_mm: float | None


def is_caught(scene: Scene, root: str) -> bool:
    """Return whether anything of a station catches its bar: as each piece says, else as its row."""
    return any(
        placed.piece.catches or (placed.piece.catches is None and placed.kit.catches is not None)
        for placed in scene.order
        if placed.root == root
    )


def catch_heights(scene: Scene, root: str) -> CatchHeights | None:
    """Return the catch heights of a station with a bench in it, None without a bench."""
    station = [placed for placed in scene.order if placed.root == root]
    pads = [top for placed in station if (top := pad_top_mm(placed)) is not None]
    if not pads:
        return None
    pad = max(pads)
    least = pad + published("catch.above-pad-least-mm")
    most = pad + published("catch.above-pad-most-mm")
    for placed in station:
        catches = placed.kit.catches
        if catches is not None and placed.piece.catches is not False:
            steps = max(0.0, np.ceil((least - catches.low_mm) / catches.pitch_mm))
            setting = float(catches.low_mm + steps * catches.pitch_mm)
            fits = setting <= min(most, catches.high_mm)
            return CatchHeights(pad, least, most, setting if fits else None)
    return CatchHeights(pad, least, most, None)


def pad_top_mm(placed: Placed) -> float | None:
    """Return the top of a bench's largest pad above its foot in mm, None for what is no bench."""
    if placed.kit.group != "Benches":
        return None
    pads = np.array([part in ("pad", "back-pad") for part in placed.shape.parts], dtype=bool)
    if not pads.any():
        return None
    largest = int(shapely.area(placed.shape.polygons[pads]).argmax())
    return float(placed.shape.high_mm[pads][largest])


def alone(scene: Scene) -> Iterator[Snag]:
    """Yield a snag for each place where a wanted lift may fail with nothing to catch the bar."""
    offered = spots(scene)
    for movement in CAUGHT:
        # one row for a rack, though one may squat in it and before it
        places = first_of_each(offered.get(movement, ()))
        held = caught_places(scene, movement)
        bare = [spot for spot in places if spot not in held]
        people = [p for p in scene.plan.people if p.wish_for(movement) != "no"]
        if bare and people:
            caught = {one.id for one in people if fits_one_of(scene, one, held)}
            for spot in bare:
                yield _uncaught(scene, spot, people, caught)


def first_of_each(places: Iterable[Spot]) -> tuple[Spot, ...]:
    """Return the first of some places in each station: that at which its catches are."""
    first: dict[str, Spot] = {}
    for spot in places:
        first.setdefault(spot.placed.root, spot)
    return tuple(first.values())


def caught_places(scene: Scene, movement: str) -> tuple[Spot, ...]:
    """Return the places for a movement at which something catches the bar, one of each station."""
    return tuple(
        spot
        for spot in first_of_each(spots(scene).get(movement, ()))
        if scene.memo(("caught", spot.placed.root), partial(is_caught, scene, spot.placed.root))
    )


def fits_one_of(
    scene: Scene, person: Person, places: tuple[Spot, ...], margin: bool = False
) -> bool:
    """Return whether somebody has the least height at one of some places, or the margin too."""
    if not places:
        return False
    verdict, _ = best_spot(scene, person, places, SHUT)
    asked = verdict.demand.need_mm if margin else verdict.demand.least_mm
    return not falls_short(verdict.clear.clear_mm, asked)


def _uncaught(scene: Scene, spot: Spot, people: list[Person], caught: AbstractSet[str]) -> Snag:
    bench = spot.use.movement == "bench-press"
    find = _helper_missing if bench else drop_missing
    missing = find(scene, spot)
    judged = [
        (how_grave(scene, person, spot.use.movement, missing, person.id in caught), person)
        for person in people
    ]
    worst = min((severity for severity, _ in judged), key=("stop", "care", "note").index)
    who = next(person for severity, person in judged if severity == worst)
    template, values = (
        _bench_words(scene, spot, who, missing)
        if bench
        else squat_words(scene, who, missing, "Fit catches")
    )
    row = movements()[spot.use.movement]
    keys = ("catch.above-pad-least-mm", "catch.above-pad-most-mm", "spotter.width-mm")
    return Snag(
        code="no-catches",
        lacks="catches",
        severity=worst,
        template=f"{row.name[:1].upper()}{row.name[1:]}: {template}",
        values=values,
        pieces=(spot.placed.root,),
        names=(row.name, lower(scene.placed[spot.placed.root].name)),
        movement=row.key,
        unit=None,
        where=spot.at,
        source_keys=(
            *((*keys, "spotter.depth-mm") if bench else ("catch.drop-floor-mm",)),
            *((GROWN,) if is_alone(scene, who) and not who.trains_alone else ()),
        ),
    )


def how_grave(
    scene: Scene, person: Person, movement: str, missing: str | None, elsewhere: bool
) -> Severity:
    """Return how grave it is that nothing catches the bar of somebody.

    `missing` is why a helper or falling plates have no room, None where they have; `elsewhere`
    that they can do the same where something does catch it.
    """
    bench, on_its_own = movement == "bench-press", is_alone(scene, person)
    helped = missing is None and (not on_its_own or not bench)
    severity: Severity = "care" if helped or not (bench or on_its_own) else "stop"
    return MILDER[severity] if elsewhere or person.wish_for(movement) == "nice" else severity


def _bench_words(
    scene: Scene, spot: Spot, who: Person, missing: str | None
) -> tuple[str, tuple[object, ...]]:
    heights = catch_heights(scene, spot.placed.root)
    fit = phrase("Fit catches")
    if heights is not None:
        fit = phrase("Fit catches at {:bare} to {:mm}", heights.least_mm, heights.most_mm)
    if is_alone(scene, who):
        alone_here = "nothing catches the bar if {} fails alone. {}, or do not press here alone."
        return alone_here, (person_name(who, scene.plan.units), fit)
    if missing is None:
        return "nothing catches the bar: a helper at the head each time. {} to do without.", (fit,)
    size = (published("spotter.width-mm"), published("spotter.depth-mm"))
    template = (
        "nothing catches the bar and the helper's place of {:bare} x {:mm} behind the head is "
        "not free: {}. {}."
    )
    return template, (*size, missing, fit)


def squat_words(
    scene: Scene, who: Person, missing: str | None, remedy: str
) -> tuple[str, tuple[object, ...]]:
    """Say that nothing catches the bar of a squat, and what to do: `remedy`, or let it drop."""
    floor = published("catch.drop-floor-mm")
    if missing is None:
        return "nothing catches the bar: drop it on the {:mm} of free floor.", (floor,)
    if is_alone(scene, who):
        template = (
            "nothing catches the bar if {} fails alone. {}, or use rubber plates and "
            "keep {:mm} of floor to drop it: {}."
        )
        return template, (person_name(who, scene.plan.units), remedy, floor, missing)
    return "nothing catches the bar: a helper at each end each time, or {}.", (lower(remedy),)


def is_alone(scene: Scene, person: Person) -> bool:
    """Return whether nobody is there who could lift a bar off somebody: a child cannot."""
    if person.trains_alone:
        return True
    named = next((one for one in scene.plan.people if one.id == person.trains_with), None)
    return named is not None and is_child(named)


def is_child(person: Person) -> bool:
    """Return whether somebody is so short that they are taken for a child."""
    return falls_short(person.stature_mm, published(GROWN))


def catch_settings(scene: Scene) -> Iterator[Snag]:
    """Yield a note for each station to press in whose catches have a right height: set them so."""
    yield from snags_of_plan(scene, "catch-settings", _settings)


def _settings(scene: Scene) -> Iterator[Snag]:
    if all(person.wish_for("bench-press") == "no" for person in scene.plan.people):
        return
    for root in dict.fromkeys(spot.placed.root for spot in spots(scene).get("bench-press", ())):
        words = catch_words(scene, root)
        if words is None:
            continue
        heights = catch_heights(scene, root)
        assert heights is not None
        yield Snag(
            code="catch-setting",
            severity="note",
            template="{:cap} for the bench press, and try them with an empty bar.",
            values=(words,),
            pieces=(root,),
            names=(scene.placed[root].name, "catches"),
            movement="bench-press",
            required=round(heights.least_mm),
            need=round(heights.most_mm),
            source_keys=("catch.above-pad-least-mm", "catch.above-pad-most-mm"),
        )


def catch_words(scene: Scene, root: str) -> Phrase | None:
    """Say at which height to set the catches of a station; None where no setting is right."""
    heights = catch_heights(scene, root)
    if heights is None or not is_caught(scene, root):
        return None
    name, between = lower(scene.placed[root].name), (heights.least_mm, heights.most_mm)
    if heights.setting_mm is not None:
        words = "set the catches of the {} at {:mm}, between {:bare} and {:bare}"
        return phrase(words, name, heights.setting_mm, *between)
    # of catches that are no row's own the steps are not known
    known = any(p.kit.catches is not None for p in scene.order if p.root == root)
    if known:
        return None
    return phrase("set the catches of the {} between {:bare} and {:mm}", name, *between)


def _helper_missing(scene: Scene, spot: Spot) -> str | None:
    """Say what stands in the place of a helper behind the head, None where it is free."""
    mates = [p for p in scene.order if p.root == spot.placed.root and p.kit.group == "Benches"]
    bench = mates[0] if mates else spot.placed
    half, back = published("spotter.width-mm") / 2, -bench.extent.depth_mm / 2
    far = back - published("spotter.depth-mm")
    return _in_the_way(scene, bench, (-half, far, half, back), (0.0, 0.0))


def drop_missing(scene: Scene, spot: Spot) -> str | None:
    """Say why the bar cannot be dropped, None where rubber plates have their floor."""
    bars = [p for p in scene.order if p.root == spot.placed.root and p.kit.bar is not None]
    if not any(bar.piece.bumper_plates for bar in bars):
        return "these plates are not marked as rubber"
    half = max(bar.extent.width_mm for bar in bars) / 2
    deep = published("catch.drop-floor-mm") / 2
    at = (spot.at[0] - spot.placed.at[0], spot.at[1] - spot.placed.at[1])
    return _in_the_way(scene, spot.placed, (-half, -deep, half, deep), at)


def _in_the_way(
    scene: Scene,
    placed: Placed,
    box: tuple[float, float, float, float],
    shift: tuple[float, float],
) -> str | None:
    area = turned(shapely.box(*box), placed.pose.angle_deg)
    at = np.array(placed.at) + np.array(shift)
    area = shapely.transform(area, lambda xy: xy + at)
    core: Polygon = area.buffer(-HALF_MM, join_style="mitre")
    solids = scene.solids
    hits = scene.tree.query(core, predicate="intersects")
    low, high = published("route.step-over-mm"), published("route.overhead-note-mm")
    met = np.minimum(solids.high_mm[hits], high) - np.maximum(solids.low_mm[hits], low)
    for owner in np.unique(solids.owner[hits[met > TOLERANCE_MM]]):
        if owner >= len(scene.order):
            return f"{scene.fixed_names[owner - len(scene.order)]} is there"
        if scene.order[owner].root != placed.root:
            return f"the {lower(scene.order[owner].name)} stands there"
    return None if scene.room.within.covers(core) else "it lies outside the room"


def tipping(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each light loose rack or tower that is hung on or loaded."""
    yield from snags_of_plan(scene, "tipping", _tipping)


def _tipping(scene: Scene) -> Iterator[Snag]:
    deep, heavy = published("rack.light-depth-mm"), published("rack.light-mass-kg")
    for placed in scene.order:
        kit, piece = placed.kit, placed.piece
        uses = {use.movement for use in kit.uses} & _TIPS
        tall = kit.group == "Racks" or kit.fixing in ("bolt", "ballast")
        if not uses or not tall or piece.bolted or kit.fixing not in _LOOSE:
            continue
        wishes = [p.wish_for(use) for p in scene.plan.people for use in uses]
        mass = piece.mass_kg or kit.mass_kg
        shallow = falls_short(placed.extent.depth_mm, deep)
        light = mass < heavy
        if not (shallow or light) or (wishes and set(wishes) == {"no"}):
            continue
        measured, required = (mass, heavy) if light else (placed.extent.depth_mm, deep)
        what = "{:kg}" if light else "{:mm} deep"
        many = is_many(placed.name)
        hold = f"{'Weigh' if kit.fixing == 'ballast' else 'Bolt'} {'them' if many else 'it'} down"
        their = "their" if many else "its"
        # a rack deep enough to lift in has pegs behind, stands have none
        on_pegs = kit.group == "Racks" and kit.catches is not None
        pegs = f", or store plates on {their} rear pegs" if on_pegs else ""
        yield Snag(
            code="tips",
            eased_by=frozenset() if kit.fixing == "ballast" else frozenset({"bolts"}),
            severity="care",
            template="{} {} not bolted down and only " + what + ": {} can tip. {}{}.",
            values=(
                placed.name,
                "are" if many else "is",
                measured,
                "they" if many else "it",
                hold,
                pegs,
            ),
            pieces=(piece.id,),
            names=(placed.name, "tipping"),
            measured=round(measured),
            required=round(required),
            unit="kg" if light else "mm",
            source_keys=("rack.light-depth-mm", "rack.light-mass-kg"),
        )
