"""What goes together: rack, bar, plates and bench; hole and sleeve; bench and catches.

At most one snag a station, and only for what is really missing: catches are judged elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from app.checks.alone import catch_heights
from app.checks.between_posts import WIDER, wider_than
from app.checks.snag import Severity, Snag, is_many, kit_key
from app.checks.spots import served
from app.checks.standing import snags_of_plan
from app.formulas.statics import plates_on_sleeve
from app.published.register import published
from app.scene.bar_lengths import bar_of
from app.scene.build import Placed, Scene
from app.wording import joined, lower, phrase

PLATE_STORES = frozenset({"plate-tree", "plate-pegs"})
_LOOSE_PLATES = "plates"


def goes_together(scene: Scene) -> Iterator[Snag]:
    """Yield what the stations lack and what does not fit; where it stands does not matter."""
    yield from snags_of_plan(scene, "goes-together", _all)


def _all(scene: Scene) -> Iterator[Snag]:
    for host in scene.order:
        if host.kit.rests and host.root == host.piece.id:
            yield from list(_station(scene, host))[:1]
    yield from _holes(scene)


def _station(scene: Scene, host: Placed) -> Iterator[Snag]:
    mates = list(scene.stations[host.piece.id])
    yield from _missing(scene, host, mates)
    yield from _too_wide(host, mates)
    yield from _catches(scene, host)
    yield from _sleeves(scene, mates)


def any_plates(scene: Scene) -> bool:
    """Return whether there are plates in the plan: a stack, what keeps them, or on a bar."""
    return any(
        is_plates(p) or p.piece.type in PLATE_STORES or (p.kit.bar and p.piece.plate_mm)
        for p in scene.order
    )


def _missing(scene: Scene, host: Placed, mates: list[Placed]) -> Iterator[Snag]:
    moves = {use.movement for use in host.kit.uses if "bar" in use.needs}
    wishes = [person.wish_for(move) for person in scene.plan.people for move in moves]
    if wishes and set(wishes) == {"no"}:
        return
    bars = scene.memo(("all bars",), lambda: tuple(p for p in scene.order if p.kit.bar is not None))
    free = [bar for bar in bars if bar.root == host.piece.id or bar.root == bar.piece.id]
    plates = scene.memo(("any plates",), lambda: any_plates(scene))
    bench_press = [use for use in host.kit.uses if use.movement == "bench-press"]
    wants = any(person.wish_for("bench-press") == "want" for person in scene.plan.people)
    unserved = "bench-press" not in served(scene) and "bench" in (
        need for use in bench_press for need in use.needs
    )
    benches = any(mate.kit.group == "Benches" for mate in mates)
    lacks = [] if free else ["bar"]
    if not plates:
        lacks.append("plates")
    if wants and unserved and not benches:
        lacks.append("bench in it")
    if not lacks:
        return
    # what is all done elsewhere in the room leaves it idle: nothing is missed for that
    idle = lacks[0] == "bar" and bool(moves) and moves <= served(scene)
    severity: Severity = "note" if lacks == ["plates"] or idle else "care"
    need = "bench press needs one" if lacks == ["bench in it"] else "squat and press need them"
    if lacks == ["bar"]:
        need = "squat and press need one"
    this, has = ("These", "have") if is_many(host.name) else ("This", "has")
    yield Snag(
        code="incomplete",
        lacks="parts",
        severity=severity,
        template="{} {} {} no {}: {}.",
        values=(this, lower(host.name), has, " and no ".join(lacks), need),
        pieces=(host.piece.id,),
        names=(host.name, lacks[0]),
        unit=None,
        source_keys=(kit_key(host.kit.key, ""),),
    )


def is_plates(placed: Placed) -> bool:
    """Return whether a piece is a stack of plates."""
    return placed.kit.group == "Bars and weights" and _LOOSE_PLATES in placed.kit.key.split("-")


def plates_kg(scene: Scene) -> float | None:
    """Return the mass of all plates as it was typed in kg, None where nobody typed any."""
    typed = [one.piece.mass_kg for one in scene.order if is_plates(one) and one.piece.mass_kg]
    return math.fsum(typed) if typed else None


def _too_wide(host: Placed, mates: list[Placed]) -> Iterator[Snag]:
    for bench in mates:
        wider = wider_than(bench, host)
        if wider is None:
            continue
        name, wide, rack, inside = wider
        yield Snag(
            code="bench-too-wide",
            severity="care",
            template=WIDER,
            values=wider,
            pieces=(bench.piece.id, host.piece.id),
            names=(name, rack),
            measured=round(inside),
            required=round(wide),
            source_keys=("rack.inside-mm",),
        )


def _catches(scene: Scene, host: Placed) -> Iterator[Snag]:
    heights = catch_heights(scene, host.piece.id)
    catches = host.kit.catches
    if heights is None or catches is None or host.piece.catches is False:
        return
    if heights.setting_mm is not None:
        return
    yield Snag(
        code="catch-height",
        severity="care",
        template="The catches of the {} have no setting between {:bare} and {:mm}, which a bench "
        "of {:bare} wants.",
        values=(lower(host.name), heights.least_mm, heights.most_mm, heights.pad_mm),
        pieces=(host.piece.id,),
        names=(host.name, "catches"),
        required=round(heights.least_mm),
        need=round(heights.most_mm),
        source_keys=("catch.above-pad-least-mm", "catch.above-pad-most-mm"),
    )


def _sleeves(scene: Scene, mates: list[Placed]) -> Iterator[Snag]:
    """Yield a note where not even the thinnest plates all go on: half on each sleeve."""
    bars = [placed for placed in mates if placed.kit.bar is not None]
    if not bars:
        return
    stacks = scene.memo(
        ("plates with a hole",),
        lambda: tuple(p for p in scene.order if is_plates(p) and p.kit.hole_mm > 0),
    )
    if not stacks:
        return
    mass = sum(p.piece.mass_kg or p.kit.mass_kg for p in stacks)
    each = int(mass / published("plate.large-mass-kg") / 2)
    thin = published("plate.bumper-20-thin-mm")
    sleeve = max(shape.sleeve_mm for bar in bars if (shape := bar_of(bar)) is not None)
    room_for = plates_on_sleeve(sleeve, thin)
    if each <= room_for:
        return
    yield Snag(
        code="sleeve-full",
        severity="note",
        template="Of {} large plates a side, {} go on a sleeve of {:mm}.",
        values=(each, room_for, sleeve),
        pieces=(bars[0].piece.id,),
        names=(bars[0].name, "plates"),
        measured=round(sleeve),
        required=round(each * thin),
        source_keys=("plate.bumper-20-thin-mm", "plate.large-mass-kg"),
    )


def _holes(scene: Scene) -> Iterator[Snag]:
    """Yield a care for plates that go on no bar here, and ask where their hole is not known."""
    bars = [placed for placed in scene.order if placed.kit.bar is not None]
    stacks = [placed for placed in scene.order if is_plates(placed)]
    if not bars or not stacks:
        return
    key = "plate.hole-play-mm"
    sleeves = {bar.kit.bar.sleeve_diameter_mm for bar in bars if bar.kit.bar is not None}
    for stack in stacks:
        hole = stack.kit.hole_mm
        if hole == 0:
            sizes = joined(" or ", (phrase("{:mm}", size) for size in sorted(sleeves)))
            yield Snag(
                code="ask-plate-hole",
                question=True,
                severity="note",
                template="whether the hole of the {} is {}, as the sleeves are",
                values=(lower(stack.name), sizes),
                source_keys=(key,),
            )
        elif not any(0 <= hole - sleeve <= published(key) for sleeve in sleeves):
            sleeve = max(sleeves)
            tail = "they do not go on" if hole < sleeve else "they hang loose"
            yield Snag(
                code="plate-hole",
                severity="care",
                template="{}: the hole is {:mm}, the sleeve of the {} {:bare}: {}.",
                values=(stack.name, hole, lower(bars[0].name), sleeve, tail),
                pieces=(stack.piece.id, bars[0].piece.id),
                names=(stack.name, lower(bars[0].name)),
                measured=round(hole),
                required=round(sleeve),
                source_keys=(key,),
            )
