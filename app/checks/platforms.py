"""What stands and is done on a lifting platform stands so much nearer to the ceiling."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Point, Polygon

from app.checks.headroom import person_name
from app.checks.layers import PLATFORM, is_layer
from app.checks.snag import Snag
from app.checks.spot import Spot
from app.checks.spots import SHUT, Verdict, of_parts, spots
from app.library.movements import movements
from app.model.people import Person
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, Geometries, falls_short
from app.wording import lower

STAND_UP_ON = "platform-stand-up"
_BUILD = "rack.stand-up-spare-mm"
_SOURCE = ("scene.touch-tolerance-mm",)


def platforms(scene: Scene) -> Iterator[Snag]:
    """Yield a stop for what hits overhead only for the platform under it.

    A rack that stands on it with some of its feet is a care: it is not level.
    """
    under = [one for one in scene.order if one.kit.key == PLATFORM and one.in_use]
    if not under:
        return
    for placed in scene.order:
        if placed.kit.group == "Racks" and placed.in_use:
            yield from _rack(scene, placed, under)
    for movement, places in spots(scene).items():
        for person in scene.plan.people:
            if person.wish_for(movement) == "want":
                yield from _done_on(scene, person, places, under)


def _on(under: list[Placed], spot: Spot) -> Placed | None:
    """Return the platform that a place is on, but for its own."""
    at = Point(spot.at)
    return next((p for p in under if p is not spot.placed and p.footprint.intersects(at)), None)


def _higher(scene: Scene, person: Person, spot: Spot, high_mm: float) -> tuple[float, Verdict]:
    """Return what is left above the least on a deck so high, in mm, and the part that decides it.

    The piece itself stands on the deck as well: under its own rails nothing is lost.
    """
    (parts,) = of_parts(scene, person, (spot,), SHUT)
    spares = [one.spare_least_mm - (0.0 if one.clear.own else high_mm) for one in parts]
    worst = min(range(len(parts)), key=spares.__getitem__)
    return spares[worst], parts[worst]


def _done_on(
    scene: Scene, person: Person, places: tuple[Spot, ...], under: list[Placed]
) -> Iterator[Snag]:
    found = []
    for spot in places:
        on = _on(under, spot)
        high = on.extent.height_mm if on else 0.0
        spare, verdict = _higher(scene, person, spot, high)
        found.append((spare, high, verdict, spot, on))
    spare, high, verdict, spot, on = max(found, key=lambda one: one[0])
    # what hits without the platform too is said as such
    if on is None or not falls_short(spare, 0.0) or falls_short(verdict.spare_least_mm, 0.0):
        return
    row, needed = movements()[spot.use.movement], verdict.demand.least_mm + high
    yield Snag(
        code="platform-headroom",
        hangs_on_place=True,
        while_training=True,
        severity="stop",
        template="On the {}, {:mm} high, it is {:mm} too low under the {}: {:bare} of the {:bare} "
        "needed.",
        values=(
            lower(on.name),
            high,
            -spare,
            lower(verdict.clear.cause),
            verdict.clear.clear_mm,
            needed,
        ),
        pieces=tuple(dict.fromkeys((spot.placed.root, on.piece.id))),
        names=(row.name, person_name(person, scene.plan.units)),
        person=person.id,
        movement=row.key,
        measured=round(verdict.clear.clear_mm),
        required=round(needed),
        where=spot.at,
        source_keys=verdict.demand.source_keys,
        working=(
            *((term.label, round(term.mm, 1)) for term in verdict.demand.least),
            (lower(on.name), round(high, 1)),
        ),
    )


def feet_of(rack: Placed) -> Geometries:
    """Return the cores of what of a rack stands on the floor, in the room."""
    feet = rack.shape.cores[rack.shape.low_mm <= TOLERANCE_MM]
    there: Geometries = shapely.transform(feet, lambda xy: xy + np.array(rack.at))
    return there


def deck_of(platform: Placed) -> Polygon:
    """Return the core of what one stands on of a platform: what touches its edge is beside it."""
    core: Polygon = platform.footprint.buffer(-HALF_MM, join_style="mitre")
    return core


def _rack(scene: Scene, rack: Placed, under: list[Placed]) -> Iterator[Snag]:
    cores = shapely.transform(rack.shape.cores, lambda xy: xy + np.array(rack.at))
    feet = feet_of(rack)
    for on in under:
        if is_layer(rack) or not len(feet):
            continue
        edge = on.footprint.buffer(HALF_MM, join_style="mitre")
        stand = np.asarray(shapely.intersects(feet, deck_of(on)))
        if not stand.any():
            continue
        high = on.extent.height_mm
        whole = bool(shapely.covers(edge, feet).all())
        build = published(_BUILD)
        clear, cause = scene.overhead.clear(cores)
        tops = rack.shape.high_mm + rack.lift_mm
        spares = clear - tops
        worst = int(spares.argmin())
        spare = float(spares[worst])
        if not falls_short(spare, 0.0) and falls_short(spare, high):
            top = float(tops[worst]) + high
            name = scene.overhead.items[int(cause[worst])].name
            yield Snag(
                code="platform-too-tall",
                hangs_on_place=True,
                severity="stop",
                template="On the {} it reaches {:bare}, and the {} is at {:bare}: {:mm} too high.",
                values=(lower(on.name), top, lower(name), float(clear[worst]), high - spare),
                pieces=(rack.piece.id, on.piece.id),
                names=(rack.name, lower(on.name)),
                measured=round(float(clear[worst])),
                required=round(top),
                where=rack.at,
                source_keys=_SOURCE,
            )
        elif whole and not falls_short(spare, high) and falls_short(spare, high + build):
            yield Snag(
                code=STAND_UP_ON,
                hangs_on_place=True,
                severity="care",
                template="On the {} it reaches {:bare}, and the {} is at {:bare}: {:mm} are left "
                "to stand it up. Allow {:bare}, or lift its top on last.",
                values=(
                    lower(on.name),
                    float(tops[worst]) + high,
                    lower(scene.overhead.items[int(cause[worst])].name),
                    float(clear[worst]),
                    max(spare - high, 0.0),
                    build,
                ),
                pieces=(rack.piece.id,),
                names=(rack.name, lower(on.name)),
                measured=round(float(clear[worst])),
                required=round(float(tops[worst]) + high + build),
                where=rack.at,
                source_keys=(_BUILD,),
            )
        elif not whole:
            yield Snag(
                code="platform-in-part",
                hangs_on_place=True,
                severity="care",
                template="Only some of its feet stand on the {}, {:mm} high: put all of them on "
                "it, or none.",
                values=(lower(on.name), high),
                pieces=(rack.piece.id, on.piece.id),
                names=(rack.name, lower(on.name)),
                unit=None,
                where=rack.at,
                source_keys=_SOURCE,
            )
