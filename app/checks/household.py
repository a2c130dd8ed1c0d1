"""Whose house it is, who hears and lives in it, leaving by a garage door: what follows."""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.alone import is_child
from app.checks.goes_together import is_plates
from app.checks.snag import Snag, agreeing
from app.checks.standing import snags_of_plan
from app.scene.build import Placed, Scene
from app.scene.footing import ON_A_BELT, has_motor
from app.scene.naming import opening_name
from app.scene.routes import ways_out
from app.scene.tolerance import falls_short
from app.units import MEGA
from app.wording import Phrase, in_a_row, lower, phrase

LOUD = frozenset({"bag", "skip", "run", "box-jump", "squat", "bench-press"})
"""Movements that are heard next door: what falls, strikes or drums."""
_STRIKES = LOUD - {"squat", "bench-press"}
"""Those that drum all the time; a bar is heard where it is set down."""
_WHILE = {"evening": "in the evening", "night": "early or late, while they sleep"}
_ON_END = "bar-holder"
_CAR = "car"
_SPRUNG = frozenset({"canopy", "tracks", "sectional"})


def household(scene: Scene) -> Iterator[Snag]:
    """Yield a care for what hurts children and animals and for a way out that wants power.

    What the household has not said is asked where it matters.
    """
    yield from snags_of_plan(scene, "household", _household)


def _household(scene: Scene) -> Iterator[Snag]:
    yield from _children(scene)
    yield from _drilling(scene)
    yield from _heard(scene)
    yield from _way_out(scene)
    yield from _car(scene)
    yield from _staying(scene)
    yield from _balance(scene)


def _children(scene: Scene) -> Iterator[Snag]:
    answer, who = (
        scene.plan.room.fabric.children_or_animals,
        "Children or animals live in the house",
    )
    if answer == "unknown" and any(map(is_child, scene.plan.people)):
        # nobody is asked what the plan says already
        answer, who = "yes", "A child trains here"
    for placed in scene.order:
        danger = None if answer == "no" else _danger(placed)
        if danger is None:
            continue
        if answer == "unknown":
            yield _ask("children", "whether children or animals live in the house")
            return
        yield Snag(
            code="children",
            severity="care",
            template="{}: {}.",
            values=(who, danger),
            pieces=(placed.piece.id,),
            names=(placed.name, "children and animals"),
            unit=None,
            where=placed.at,
        )


def _drilling(scene: Scene) -> Iterator[Snag]:
    """Yield a stop for each piece on fixings where nothing may be drilled, or ask who may."""
    fabric = scene.plan.room.fabric
    hung = [p for p in scene.order if p.kit.fixed is not None and not p.piece.stays]
    if not hung or fabric.may_drill == "yes":
        return
    if fabric.may_drill == "unknown":
        if fabric.whose in ("rented", "shared"):
            yield _ask("drilling", "whether walls and ceiling may be drilled: get it in writing")
        return
    for placed in hung:
        yield Snag(
            code="may-not-drill",
            eased_by=frozenset({"standing"}),
            severity="stop",
            template="The {} on fixings, and nothing may be drilled here: ask for leave in "
            "writing, or take kit that needs no fixing.",
            values=(agreeing(lower(placed.name), "hangs", "hang"),),
            pieces=(placed.piece.id,),
            names=(placed.name, "drilling"),
            unit=None,
            where=placed.at,
        )


def _heard(scene: Scene) -> Iterator[Snag]:
    """Yield a care, or a note within the house, for what is heard while others rest."""
    fabric = scene.plan.room.fabric
    while_they = _WHILE.get(fabric.trains_when)
    if fabric.heard_by not in ("neighbours", "household") or while_they is None:
        return
    next_door = fabric.heard_by == "neighbours"
    if not next_door and fabric.trains_when != "night":
        return
    for placed in scene.order:
        loud = {use.movement for use in placed.kit.uses} & LOUD
        if not loud or placed.piece.stays:
            continue
        drums = bool(loud & _STRIKES)
        yield Snag(
            code="heard",
            severity="care" if next_door else "note",
            template="The {} {} {}: {}{}.",
            values=(
                "neighbours hear the" if next_door else "household hears the",
                lower(placed.name),
                while_they if next_door else "early or late, while others sleep",
                _quieter(placed, drums),
                ", away from their wall" if next_door else "",
            ),
            pieces=(placed.piece.id,),
            names=(placed.name, "noise"),
            unit=None,
            where=placed.at,
        )


def _quieter(placed: Placed, drums: bool) -> str:
    """Say what makes a piece less heard: what hangs stands on nothing."""
    if not drums:
        return "set weights down, never drop them, on thick rubber"
    if placed.kit.fixing == "ceiling":
        return "agree hours with them, and hang it on a spring"
    if not placed.kit.solids:
        # a space to move in is no thing
        return "agree hours with them, and lay a thick mat there"
    return "agree hours with them, and stand it on a thick mat"


def _danger(placed: Placed) -> str | None:
    """Say what to do about a piece that hurts a child or an animal, None where it is no such."""
    kit, name = placed.kit, lower(placed.name)
    if has_motor(placed) and any(use.movement in ON_A_BELT for use in kit.uses):
        return f"take the key out of the {name} and pull its plug when nobody trains"
    if kit.key == _ON_END:
        return f"a bar that stands on end or leans falls: strap it to the {name}, or lay it down"
    if is_plates(placed) and not _lies_flat(placed):
        return f"lay the {name} flat or keep it on pegs: a plate on edge rolls and falls"
    return None


def _lies_flat(placed: Placed) -> bool:
    """Return whether somebody has typed a stack of plates lower than it is wide and deep."""
    across = min(placed.extent.width_mm, placed.extent.depth_mm)
    return placed.piece.height_mm is not None and falls_short(placed.piece.height_mm, across)


def _car(scene: Scene) -> Iterator[Snag]:
    """Ask where a car stands that is kept here and that nobody has drawn."""
    kept = scene.plan.room.climate.car_kept_here == "yes"
    if kept and not any(placed.kit.key == _CAR for placed in scene.order):
        yield _ask("car", "where the car stands: draw it, and say what is done while it is out")


def _staying(scene: Scene) -> Iterator[Snag]:
    """Ask where the things stand that stay in the room and that nobody has drawn.

    A thing is drawn where a piece is called so, or its type: two bicycles are by a bicycle.
    """
    works = scene.plan.works
    if works.is_empty:
        return
    drawn = {placed.name.lower() for placed in scene.order}
    drawn |= {placed.kit.name.lower() for placed in scene.order}
    undrawn = [
        thing
        for thing in works.stored
        if thing.becomes == "stays"
        and thing.label
        and not any(one in thing.label.lower() or thing.label.lower() in one for one in drawn)
    ]
    if undrawn:
        names = in_a_row(list(dict.fromkeys(lower(thing.label) for thing in undrawn)))
        area = sum(thing.width_mm * thing.depth_mm for thing in undrawn) / MEGA
        words = "where what stays is to stand ({}, {:area} of floor): draw it under that name"
        yield _ask("what-stays", phrase(words, names, area))


def _way_out(scene: Scene) -> Iterator[Snag]:
    """Yield what concerns a garage door that is the only way out."""
    out = ways_out(scene)
    if not out or not all(shape.opening.is_garage_door for shape in out):
        return
    answers = [shape.opening.opens_without_power for shape in out]
    if "yes" in answers:
        return
    if "unknown" in answers:
        yield _ask(
            "door-power", "whether the garage door, the only way out, opens from inside by hand"
        )
        return
    door = lower(opening_name(scene, out[0]))
    yield Snag(
        code="door-needs-power",
        severity="care",
        template="The {} is the only way out and does not open from inside without power: have a "
        "release fitted that is reached from inside.",
        values=(door,),
        names=(door, "way out"),
        unit=None,
        where=out[0].left,
    )


def _balance(scene: Scene) -> Iterator[Snag]:
    """Yield a note where the room is being lined and a sprung door may be lined with it."""
    room = scene.plan.room
    lined = room.ceiling.finish_mm > 0 or any(wall.lining_mm > 0 for wall in room.walls)
    if lined and any(opening.kind in _SPRUNG for opening in room.openings):
        yield Snag(
            code="door-balance",
            background=True,
            severity="note",
            template="Panels hung on the garage door change its balance: a garage door fitter sets "
            "it, and nobody else touches the springs.",
            names=("garage door",),
            unit=None,
        )


def _ask(what: str, question: str | Phrase) -> Snag:
    return Snag(
        code=f"ask-{what}", question=True, severity="note", template="{}", values=(question,)
    )
