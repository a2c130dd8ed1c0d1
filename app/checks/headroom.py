"""Headroom: can this person do this movement here without hitting what is overhead.

`clear` is the lowest ceiling or low thing over what rises, the piece's own top included. Below
`least` it is a stop for what is wanted, below `need` a care; for what would only be nice a note.
Of several places for one movement the best counts: one is enough. What a person has not spoken
of is said in one line of its own, and only where it hits.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache, partial
from itertools import chain

from app.checks.boarding import TODAY, fits_today
from app.checks.footing import belt_words, under_its_grip
from app.checks.hang import hang
from app.checks.held_parts import PLATES, part_name, without_plates
from app.checks.hung_over import hung_places
from app.checks.on_end import tape_error_mm
from app.checks.snag import Severity, Snag
from app.checks.spot import Spot
from app.checks.spots import (
    BARE,
    OPEN,
    PULL_UP_BAR,
    SHUT,
    TRAINING,
    Clear,
    Verdict,
    best_spot,
    judge,
    measure,
    served,
    spots,
)
from app.library.movements import movements
from app.model.people import Person
from app.model.surroundings import YesNo
from app.scene.build import Scene
from app.scene.footing import ON_A_BELT
from app.scene.tolerance import falls_short
from app.units import Units, format_length
from app.wording import Phrase, joined, lower, phrase

_LEAF = "garage.up-and-over.height-loss-most-mm"
_DOOR_OPEN = "door-open-headroom"
_ROPE = "skip.rope-ratio"
_IN_ONE = {
    "measure-again": "{0} passes by {1:mm} under {2:bare}",
    _DOOR_OPEN: "{0}, {2:mm} clear under it",
}
_INTRO = {
    "measure-again": "Within your measuring error, so measure the height there again",
    _DOOR_OPEN: "Shut the garage door for",
}


def headroom(scene: Scene) -> Iterator[Snag]:
    """Yield the snags of each person and movement that does not pass with its margin."""
    places = spots(scene)
    hung = hung_places(scene)
    where = {
        movement: (
            *((s.placed.piece.id, *s.placed.at, s.placed.pose.angle_deg, *s.rest) for s in there),
            *hung,
        )
        for movement, there in places.items()
    }
    every = tuple(chain.from_iterable(places.values()))
    # all that is not known is measured in one go, at the first question that nobody has answered
    ready = cache(partial(measure, scene, every, SHUT))
    of_all: list[Snag] = []
    asks = False
    for person in scene.plan.people:
        unsaid = []
        for movement, there in places.items():
            wish = person.wish_for(movement)
            if wish is None:
                key = ("unsaid", person.id, movement, where[movement])
                if scene.memo(key, partial(_hits, scene, person, there, ready)):
                    unsaid.append(movements()[movement].name)
            elif wish != "no":
                key = ("headroom", person.id, movement, where[movement])
                here = scene.memo(key, partial(_all_judged, scene, person, movement, there, ready))
                of_all += [snag for snag in here if snag.person is None]
                by_itself = [snag for snag in here if snag.person is not None]
                asks = asks or any(snag.code == _DOOR_OPEN for snag in by_itself)
                yield from by_itself
        if unsaid:
            yield _open_wishes(scene, person, unsaid)
    for code in _IN_ONE:
        alike = [snag for snag in of_all if snag.code == code]
        if alike:
            yield _in_one(alike)
    if asks:
        yield Snag(
            code="ask-door-open",
            question=True,
            severity="note",
            template="{}",
            values=("whether the garage door is open while somebody trains",),
            source_keys=(_LEAF,),
        )


def served_movements(scene: Scene) -> frozenset[str]:
    """Return the movements that something in the plan is there for."""
    return served(scene)


def person_name(person: Person, units: Units) -> str:
    """Say who: the label, else the stature."""
    return person.label or format_length(person.stature_mm, units)


def _all_judged(
    scene: Scene,
    person: Person,
    movement: str,
    places: tuple[Spot, ...],
    ready: Callable[[], object],
) -> tuple[Snag, ...]:
    # all places of all people at once are measured far quicker than one by one
    ready()
    return tuple(_judged(scene, person, movement, places))


def _judged(
    scene: Scene, person: Person, movement: str, places: tuple[Spot, ...]
) -> Iterator[Snag]:
    opened = _judged_open(scene)
    verdict, spot = best_spot(scene, person, places, SHUT)
    hits = falls_short(verdict.clear.clear_mm, verdict.demand.least_mm)
    stays_open = scene.room.open_while_training == "yes"
    under_leaf = False
    if opened and stays_open and not hits:
        leaf, there = best_spot(scene, person, places, TRAINING)
        under_leaf = falls_short(leaf.clear.clear_mm, leaf.demand.least_mm)
        if under_leaf:
            yield _under_leaf(scene, person, there, leaf, "yes")
        else:
            verdict, spot = leaf, there
    if opened and not hits and not under_leaf and scene.room.open is not scene.room.training:
        leaf, there = best_spot(scene, person, places, OPEN)
        answer: YesNo = "unknown" if scene.room.may_be_open else "no"
        if falls_short(leaf.clear.clear_mm, leaf.demand.least_mm):
            yield _under_leaf(scene, person, there, leaf, answer)
        elif _only_shut(person, verdict, leaf, answer):
            yield _remark(scene, person, there, _DOOR_OPEN, leaf)
    if hits or (falls_short(verdict.clear.clear_mm, verdict.demand.need_mm) and not under_leaf):
        situation = OPEN if opened and stays_open and not hits else SHUT
        yield _snag(scene, person, spot, verdict, "stop" if hits else "care", situation)
    error = tape_error_mm(scene)
    if not hits and 0 <= _least_spare(verdict) < error and person.wish_for(movement) == "want":
        yield _remark(scene, person, spot, "measure-again", verdict, _least_spare(verdict))
    if movement == "pull-up" and not hits:
        yield from hang(scene, person, spot, person_name(person, scene.plan.units))


def _only_shut(person: Person, shut: Verdict, leaf: Verdict, open_while_training: YesNo) -> bool:
    """Return whether a wanted movement has its margin with the door shut alone."""
    if open_while_training == "no":
        return False
    if person.wish_for(shut.demand.movement) != "want":
        return False
    margin = not falls_short(shut.clear.clear_mm, shut.demand.need_mm)
    return margin and falls_short(leaf.clear.clear_mm, leaf.demand.need_mm)


def _judged_open(scene: Scene) -> bool:
    """Return whether the open leaf is judged besides: not where a situation has it open."""
    if not scene.room.opens or scene.door_open:
        return False
    return not any(s.door_open and s.trains for s in scene.plan.situations)


def _under_leaf(
    scene: Scene, person: Person, spot: Spot, verdict: Verdict, open_while_training: YesNo
) -> Snag:
    """Return what is too low under an open leaf, which is said to be so or not, and else fits."""
    row, wish = movements()[spot.use.movement], person.wish_for(spot.use.movement)
    if wish != "want" or open_while_training == "no":
        return _remark(scene, person, spot, _DOOR_OPEN, verdict)
    least, clear = verdict.demand.least_mm, verdict.clear.clear_mm
    return Snag(
        code="headroom" if open_while_training == "yes" else _DOOR_OPEN,
        lacks="height",
        hangs_on_place=True,
        meets="height",
        while_training=True,
        severity="stop" if open_while_training == "yes" else "care",
        template="{:mm} too low under the open door: {:bare} of {:bare}; fits with it shut.",
        values=(least - clear, clear, least),
        pieces=(spot.placed.root,),
        names=(row.name, person_name(person, scene.plan.units)),
        person=person.id,
        movement=row.key,
        situation=OPEN,
        measured=round(clear),
        required=round(least),
        need=round(verdict.demand.need_mm),
        where=spot.at,
        source_keys=(*verdict.demand.source_keys, _LEAF),
        working=tuple((term.label, round(term.mm, 1)) for term in verdict.demand.least),
    )


def _least_spare(verdict: Verdict) -> float:
    """Return what is left above the mark that is just passed: the need, else the least."""
    return verdict.spare_need_mm if verdict.spare_need_mm >= 0 else verdict.spare_least_mm


def _remark(
    scene: Scene,
    person: Person,
    spot: Spot,
    code: str,
    verdict: Verdict,
    spare_mm: float = 0.0,
) -> Snag:
    """Return one line of a note that is put together for everybody."""
    row = movements()[spot.use.movement]
    key = "measure.tape-error-mm" if code == "measure-again" else _LEAF
    return Snag(
        code=code,
        hangs_on_place=code == _DOOR_OPEN,
        background=code == _DOOR_OPEN,
        severity="note",
        template=_IN_ONE[code],
        values=(
            f"{row.name} ({person_name(person, scene.plan.units)})",
            spare_mm,
            verdict.clear.clear_mm,
        ),
        pieces=(spot.placed.root,),
        names=("measure again" if code == "measure-again" else "garage door open",),
        measured=round(spare_mm),
        where=spot.at,
        source_keys=(key,),
    )


def _in_one(alike: list[Snag]) -> Snag:
    """Put what several movements have in common into one note."""
    parts = [snag.wording for snag in alike]
    intro = _INTRO[alike[0].code]
    return replace(
        alike[0],
        template="{}: {}.",
        values=(intro, joined("; ", parts)),
        parts=tuple(phrase("{}: {}.", intro, part) for part in parts),
        pieces=tuple(dict.fromkeys(piece for snag in alike for piece in snag.pieces)),
        measured=None,
        unit=None,
    )


def _hits(
    scene: Scene, person: Person, places: tuple[Spot, ...], ready: Callable[[], object]
) -> bool:
    ready()
    verdict, _ = best_spot(scene, person, places, SHUT)
    return falls_short(verdict.clear.clear_mm, verdict.demand.least_mm)


def _open_wishes(scene: Scene, person: Person, names: list[str]) -> Snag:
    """Return one note of all that hits and of which a person has said nothing."""
    who = person_name(person, scene.plan.units)
    return Snag(
        code="headroom-unsaid",
        while_training=True,
        severity="note",
        template="Too low for {} where the kit stands: {}. Say on the card which of them you want.",
        values=(who, ", ".join(names)),
        names=("headroom", who),
        person=person.id,
        unit=None,
        source_keys=("body.grip-reach.typical-ratio",),
    )


def _of_what(own: bool, spot: Spot) -> str:
    """Say whose part is overhead, where it is one of the piece itself."""
    return f" of the {lower(spot.placed.name)}" if own else ""


def _low_side(scene: Scene, clear: Clear) -> str:
    """Say where it is so low under a slope: a bar is long, and only one of its ends may hit."""
    if clear.piece is not None:
        return ""
    slopes = (any(one.coefficients[1:]) for one in scene.room.shut.items if one.name == clear.cause)
    return " on its low side" if any(slopes) else ""


def _snag(
    scene: Scene, person: Person, spot: Spot, verdict: Verdict, severity: Severity, situation: str
) -> Snag:
    row = movements()[spot.use.movement]
    hits = severity == "stop"
    least, need, clear = verdict.demand.least_mm, verdict.demand.need_mm, verdict.clear
    required = least if hits else need
    if hits:
        template = "{} hit {}, {:mm} too low: {:bare} of the {:bare} needed{}."
    else:
        template = "{} pass under {}, {:mm} short of the margin: {:bare} of {:bare}{}."
    rope = not hits and any(term.key == _ROPE for term in verdict.demand.need)
    if rope:
        template = "{} comes too near {}, {:mm} short: {:bare} of {:bare}{}."
    tail: str | Phrase = ""
    if not hits and person.reach_mm is None and row.held == "bar":
        tail = ". Measure your reach: it may be enough"
    bare = partial(_bare_mm, scene, person, spot)
    if situation == SHUT and fits_today(scene, bare, required):
        tail = f"; {TODAY}"
    elif verdict.clear.on_floor:
        tail = f" before the {lower(spot.placed.name)}, on the floor"
    elif row.key in ON_A_BELT:
        tail = phrase("; {}", belt_words(spot.placed, spot.use))
    elif hits and clear.part == PLATES:
        tail = without_plates(scene, person, spot, situation)
    its_bar = clear.own and clear.cause == PULL_UP_BAR
    over = scene.placed[clear.piece] if clear.piece else spot.placed if its_bar else None
    hung = over and under_its_grip(over, clear.clear_mm)
    if hung:
        tail = phrase("{}; {}", tail, hung)
    terms = verdict.demand.least if hits else verdict.demand.need
    values = (
        "The rope" if rope else part_name(clear.part),
        f"the {lower(clear.cause)}{_of_what(clear.own, spot) or _low_side(scene, clear)}",
        required - clear.clear_mm,
        clear.clear_mm,
        required,
        tail,
    )
    return Snag(
        code="headroom",
        lacks="height",
        hangs_on_place=True,
        meets="height",
        while_training=True,
        severity=severity if person.wish_for(row.key) == "want" else "note",
        template=template,
        values=values,
        pieces=(spot.placed.root, *((verdict.clear.piece,) if verdict.clear.piece else ())),
        names=(row.name, person_name(person, scene.plan.units)),
        person=person.id,
        movement=row.key,
        situation=situation if scene.room.opens and not scene.plan.situations else None,
        measured=round(clear.clear_mm),
        required=round(least),
        need=round(need),
        where=spot.from_at if verdict.clear.on_floor else spot.at,
        source_keys=verdict.demand.source_keys,
        working=tuple((term.label, round(term.mm, 1)) for term in terms),
    )


def _bare_mm(scene: Scene, person: Person, spot: Spot) -> float:
    """Return the clear height at a place under the ceiling as it is today, in mm."""
    return judge(scene, person, spot, BARE).clear.clear_mm
