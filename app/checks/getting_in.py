"""Getting it in: every parcel through every place on the way, and stood up under the ceiling.

A stop only for what cannot go in the kindest case, and by figures better than memory. How many
people carry the heaviest part, and what is built upright, is one note.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from app.checks.heavy_glass import GLASS_KEYS, heaviest_glass, heavy_glass, heavy_glass_alone
from app.checks.mirrors import MIRROR, mirror_kg
from app.checks.on_end import TAPE_ERROR, measured_again, stood_up_before, tape_error_mm
from app.checks.snag import Severity, Snag, agreeing, kit_key
from app.formulas.getting_in import (
    POSTURES,
    Box,
    Posture,
    corner_length_mm,
    held_round,
    held_through,
    stood_up_mm,
)
from app.formulas.lifting import box_limit_kg, people_for
from app.library.parcels import Parcel, parcels
from app.model.room import Opening
from app.model.surroundings import Passage
from app.published.register import published, remembered_by_bytes
from app.scene.build import Placed, Scene
from app.scene.room import ROOMS_BYTES, RoomShape, room_bytes
from app.scene.standing_room import highest_over_square_mm
from app.scene.tolerance import falls_short
from app.units import KILO
from app.wording import Phrase, joined, lower, phrase

_ROOMS_AT_MOST = 8
"""Rooms in use at a time, each with the one size of square that things are stood up on."""


_METRE = KILO
_TURNS = ("corner", "landing")
_STEPS = ("stairs", "landing")
_WORDS = ("nobody", "one person", "two people", "three people", "four people")


def getting_in(scene: Scene) -> Iterator[Snag]:
    """Yield what does not pass or stand up, and one note on carrying. Poses do not matter."""
    for snag in scene.memo(("getting-in",), lambda: tuple(_all(scene))):
        yield replace(snag, where=scene.placed[snag.pieces[0]].at) if snag.pieces else snag


def _all(scene: Scene) -> Iterator[Snag]:
    coming = [
        (placed, parcels()[placed.kit.key])
        for placed in scene.order
        if placed.kit.key in parcels() and not placed.piece.stays
    ]
    if not coming:
        yield from heavy_glass_alone(scene)
        return
    for placed, parcel in coming:
        snag = _on_the_way(scene, placed, parcel)
        if snag is not None:
            yield snag
            continue
        carried = parcel.box(placed.extent)
        for passage in scene.plan.way_in:
            if _held(carried, passage) == "on end":
                care = stood_up_before(placed, parcel, carried, passage, _place(passage))
                yield from [care] if care else []
    upright, one_way = [], []
    barely: list[tuple[Placed, float]] = []
    standing = [(placed, parcel) for placed, parcel in coming if parcel.stands != "as-is"]
    highest = math.inf
    lowest = scene.room.shut.lowest_mm - tape_error_mm(scene)
    if any(_swept_long_mm(placed) > lowest for placed, _ in standing):
        highest = _highest_mm(scene.room, published("way-in.stand-mm"))
    for placed, parcel in standing:
        swept = _swept_mm(placed)
        if not falls_short(highest, swept) or _too_tall(placed, highest):
            if parcel.stands == "whole" and swept <= highest < _swept_long_mm(placed):
                one_way.append(placed)
            if parcel.stands == "whole" and highest - swept < tape_error_mm(scene):
                barely.append((placed, highest - swept))
            continue
        if parcel.stands == "whole":
            yield _will_not_stand(placed, parcel, swept, highest)
        else:
            upright.append(placed)
    yield from _carrying(scene, coming, upright, one_way, barely)
    yield from _asked(scene, coming)


def _swept_mm(placed: Placed) -> float:
    extent = placed.extent
    across = min(extent.width_mm, extent.depth_mm)
    return stood_up_mm(extent.height_mm, across) + placed.lift_mm


def _swept_long_mm(placed: Placed) -> float:
    """Return what a piece sweeps when it is stood up over its longer side."""
    extent = placed.extent
    across = max(extent.width_mm, extent.depth_mm)
    return stood_up_mm(extent.height_mm, across) + placed.lift_mm


def _too_tall(placed: Placed, highest_mm: float) -> bool:
    """Return whether a piece is higher than the room itself, which another check says."""
    return falls_short(highest_mm, placed.extent.height_mm + placed.lift_mm)


def _room_held(_: float, asked: tuple[Any, ...]) -> int:
    # the room is held as long as the answer is, though it is asked for by nobody else
    return room_bytes(asked[0])


@remembered_by_bytes(_ROOMS_AT_MOST, ROOMS_BYTES, _room_held)
def _highest_mm(room: RoomShape, side_mm: float) -> float:
    """Return the greatest clear height over a square of floor on which a thing is stood up."""
    return highest_over_square_mm(room, side_mm)


def _on_the_way(scene: Scene, placed: Placed, parcel: Parcel) -> Snag | None:
    """Find the first place on the way that a parcel does not pass; the room's own door is last."""
    carried = parcel.box(placed.extent)
    for passage in scene.plan.way_in:
        if _held(carried, passage) is None:
            if passage.kind in _TURNS:
                return _will_not_turn(placed, parcel, carried, passage)
            name = _place(passage)
            sizes = phrase("{:bare} x {:mm}", passage.width_mm, passage.height_mm)
            return _will_not_go(placed, parcel, carried, passage.id, name, sizes, passage.width_mm)
    doors = [o for o in scene.plan.room.openings if o.kind != "window"]
    if not doors or any(held_through(carried, o.width_mm, o.height_mm) for o in doors):
        return None
    widest = max(doors, key=lambda o: o.width_mm)
    sizes = phrase("{:bare} x {:mm}", widest.width_mm, widest.height_mm)
    name = _door(widest)
    return _will_not_go(placed, parcel, carried, widest.id, name, sizes, widest.width_mm)


def _door(opening: Opening) -> str:
    return lower(opening.label) if opening.label else "the door of the room"


def _held(carried: Box, passage: Passage) -> Posture | None:
    """Return the easiest way to hold a parcel through a place on the way, None where it is stuck.

    A half-landing is two corners: from the stairs into its strip, and out of it again.
    """
    if passage.kind in _TURNS:
        held = [held_round(carried, *turn, passage.height_mm) for turn in _turns(passage)]
        if None in held:
            return None
        return max((one for one in held if one is not None), key=POSTURES.index)
    if passage.kind == "hatch" and passage.beyond_mm is not None:
        return held_through(carried, passage.width_mm, passage.beyond_mm)
    return held_through(carried, passage.width_mm, passage.height_mm)


def _turns(passage: Passage) -> list[tuple[float, float]]:
    """Return the corners of a turn: the clear widths before and after each, in mm."""
    beyond = passage.beyond_mm or passage.width_mm
    if passage.kind == "landing":
        strip = passage.length_mm or min(passage.width_mm, beyond)
        return [(passage.width_mm, strip), (strip, beyond)]
    return [(passage.width_mm, beyond)]


def _longest_mm(carried: Box, passage: Passage) -> float:
    """Return the longest box as thick and high as this one that goes round a turn, in mm."""
    short, middle, _ = sorted(carried)
    thick = short if middle <= passage.height_mm else middle
    return min(corner_length_mm(*turn, thick) for turn in _turns(passage))


def _severity(parcel: Parcel) -> Severity:
    return "care" if parcel.status == "memory" else "stop"


def _will_not_go(
    placed: Placed,
    parcel: Parcel,
    carried: Box,
    place: str,
    name: str,
    sizes: Phrase,
    clear_mm: float,
) -> Snag:
    long, middle, short = sorted(carried, reverse=True)
    return Snag(
        code=f"way-in-{place}",
        eased_by=frozenset({"parts"}),
        severity=_severity(parcel),
        template="{}: {} ({:bare} x {:bare} x {:bare}) does not pass {}, {}, however it is turned. "
        "Ask for the sizes of the parcels, or for one that comes in parts.",
        values=(placed.name, parcel.part.split(";")[0], long, middle, short, name, sizes),
        pieces=(placed.piece.id,),
        names=(placed.name, "the way in"),
        measured=round(clear_mm),
        required=round(middle),
        source_keys=(kit_key(placed.kit.key, "parcel"),),
        working=(("parcel, length", long), ("width", middle), ("thickness", short)),
    )


def _place(passage: Passage) -> str:
    """Name a place on the way as it stands within a sentence."""
    return passage.label or f"the {passage.kind}"


def _will_not_turn(placed: Placed, parcel: Parcel, carried: Box, passage: Passage) -> Snag:
    long, middle, short = sorted(carried, reverse=True)
    longest = _longest_mm(carried, passage)
    beyond = passage.beyond_mm or passage.width_mm
    corners = "two corners" if passage.kind == "landing" else "the corner"
    on_end = phrase("")
    if long > passage.height_mm:
        on_end = phrase(", and {:bare} is too low to stand it on end", passage.height_mm)
    return Snag(
        code=f"way-in-{passage.id}",
        eased_by=frozenset({"parts"}),
        severity=_severity(parcel),
        template="{}: {} ({:bare} x {:bare} x {:bare}) does not go round {}, {:bare} and {:mm} "
        "wide: as thick as it is, at most {:bare} long goes round {}{}. Open it before that and "
        "carry the parts, or ask for one that comes in parts.",
        values=(
            placed.name,
            parcel.part.split(";")[0],
            long,
            middle,
            short,
            _place(passage),
            passage.width_mm,
            beyond,
            longest,
            corners,
            on_end,
        ),
        pieces=(placed.piece.id,),
        names=(placed.name, "the way in"),
        measured=round(longest),
        required=round(long),
        source_keys=(kit_key(placed.kit.key, "parcel"),),
        working=(
            ("parcel, length", long),
            ("width", middle),
            ("thickness", short),
            ("longest that goes round", round(longest, 1)),
            ("clear height", passage.height_mm),
        ),
    )


def _will_not_stand(placed: Placed, parcel: Parcel, swept: float, highest: float) -> Snag:
    across = min(placed.extent.width_mm, placed.extent.depth_mm)
    room = highest - placed.lift_mm
    tallest = math.sqrt(max(0.0, room**2 - across**2))
    return Snag(
        code="will-not-stand-up",
        eased_by=frozenset({"lower", "parts"}),
        severity=_severity(parcel),
        template="{} stood up in one piece, over a side of {:bare}, which takes {:mm}; the room "
        "is {:bare} at most. Up to {:bare} high would go, or one that is built upright.",
        values=(agreeing(placed.name, "is", "are"), across, swept, highest, tallest),
        pieces=(placed.piece.id,),
        names=(placed.name, "standing it up"),
        measured=round(highest),
        required=round(swept),
        source_keys=(kit_key(placed.kit.key, "parcel"),),
        working=(("its height", placed.extent.height_mm), ("its depth or width", across)),
    )


def _carrying(
    scene: Scene,
    coming: list[tuple[Placed, Parcel]],
    upright: list[Placed],
    one_way: list[Placed],
    barely: list[tuple[Placed, float]],
) -> Iterator[Snag]:
    placed, parcel = max(coming, key=lambda one: heaviest_part_kg(*one))
    mass = heaviest_part_kg(placed, parcel)
    clauses: list[Phrase] = []
    keys: list[str] = []
    glass = heavy_glass(scene)
    of_glass = glass is not None and glass[0] > mass
    if glass is not None and of_glass:
        clauses.append(heaviest_glass(glass))
        keys += GLASS_KEYS
        mass = glass[0]
    elif mass > published("lift.guide-kg"):
        people, enough = people_for(mass)
        text = "The heaviest part to carry in is {:kg} ({}): "
        figures: list[object] = [mass, _part(placed, parcel)]
        if not enough:
            text += f"too much for {_WORDS[people]}: open it and carry the parts, or roll it"
        elif mass / people > box_limit_kg():
            text += (
                f"{_WORDS[people]} at {{:kg}} each (the lifting equation: {{:bare-kg}} from the "
            )
            text += "floor), better opened and carried in parts"
            figures += [mass / people, box_limit_kg()]
        else:
            text += _WORDS[people]
        if any(passage.kind in _STEPS for passage in scene.plan.way_in):
            text += "; on stairs those below bear the most: nobody stands under it alone"
        clauses.append(phrase(text, *figures))
        keys += ["lift.guide-kg", "lift.load-kg"]
    if upright:
        names = " and ".join(dict.fromkeys(lower(p.name) for p in upright))
        verb = "is" if len(upright) == 1 else "are"
        words = f"{'the' if clauses else 'The'} {names} {verb} built upright, not stood up"
        clauses.append(phrase("{}", words))
        keys.append("way-in.stand-mm")
    for narrow in one_way:
        across = min(narrow.extent.width_mm, narrow.extent.depth_mm)
        words = (
            "the {} up over its {:bare} side only, sweeping {:bare}; over the other side "
            "it needs {:mm}"
        )
        swept = (_swept_mm(narrow), _swept_long_mm(narrow))
        named = agreeing(lower(narrow.name), "stands", "stand")
        clauses.append(phrase(words, named, across, *swept))
        keys.append("way-in.stand-mm")
    clauses += [measured_again(*one) for one in barely]
    keys += [TAPE_ERROR] * bool(barely)
    clauses += _postures(scene, coming)
    if clauses:
        yield Snag(
            code="carry-in",
            background=True,
            severity="note",
            template="{}.",
            values=(phrase("{:cap}", joined("; ", clauses)),),
            parts=tuple(phrase("{:cap}.", one) for one in clauses),
            pieces=(placed.piece.id,) if mass > published("lift.guide-kg") and not of_glass else (),
            names=("getting it in",),
            measured=round(mass),
            required=round(published("lift.guide-kg")),
            unit="kg",
            source_keys=tuple(keys) if of_glass else (*keys, kit_key(placed.kit.key, "parcel")),
        )


def _postures(scene: Scene, coming: list[tuple[Placed, Parcel]]) -> Iterator[Phrase]:
    """Say of each heavy parcel where on the way it goes otherwise than flat, and how it is held."""
    for placed, parcel in coming:
        if heaviest_part_kg(placed, parcel) <= published("lift.guide-kg"):
            continue
        carried = parcel.box(placed.extent)
        held = [(_held(carried, passage), passage) for passage in scene.plan.way_in]
        by_posture: dict[Posture, list[str]] = {}
        for posture, passage in held:
            if posture is not None and posture != "flat":
                by_posture.setdefault(posture, []).append(_place(passage))
        for posture, places in by_posture.items():
            where = " and ".join(dict.fromkeys(places))
            people, _ = people_for(heaviest_part_kg(placed, parcel))
            words = "the {}, goes through {} {} only: {}"
            yield phrase(words, _part(placed, parcel), where, posture, _WORDS[people])


def _part(placed: Placed, parcel: Parcel) -> str:
    return f"{lower(placed.name)}, {parcel.part.split(';')[0]}"


def heaviest_part_kg(placed: Placed, parcel: Parcel) -> float:
    """Return the mass of the heaviest part in kg, in step with a mass typed for the whole piece.

    What is put on or into a piece comes by itself: a mass typed for it says nothing of its frame.
    """
    if placed.kit.key == MIRROR:
        # as large as it is: the pane is all there is to carry
        return mirror_kg(placed)
    own = placed.piece.mass_kg
    if own is None or not parcel.heavy_kg or parcel.apart:
        return parcel.heavy_kg
    return own * parcel.heavy_kg / max(placed.kit.mass_kg, parcel.heavy_kg)


def _asked(scene: Scene, coming: list[tuple[Placed, Parcel]]) -> Iterator[Snag]:
    """Ask for the way in where something long comes and no garage door lets it in."""
    if scene.plan.way_in or any(o.is_garage_door for o in scene.plan.room.openings):
        return
    longest = max(max(parcel.box(placed.extent)) for placed, parcel in coming)
    if longest < published("way-in.long-mm"):
        return
    yield Snag(
        code="ask-way-in",
        question=True,
        severity="note",
        template="the doors, turns and stairs on the way in (the longest part is {:metres})",
        values=(longest,),
        unit=None,
        source_keys=("way-in.long-mm",),
    )
