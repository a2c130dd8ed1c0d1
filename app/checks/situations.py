"""States judged together: the garage door open or shut, the car in or out, kit folded or in use.

A plan without situations is judged as it stands. Else each situation is judged by itself and what
is found in all of them is said once, without naming any; what is found in some names those. What
asks for somebody who trains counts where somebody trains alone; where nobody does in any that is
named, that is the room as it is drawn, without a car. What is drawn folded or stood up, and is
used in no situation, is judged in use as well: there it must have its place and its room.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator
from dataclasses import replace

from app.checks.snag import SEVERITIES, Snag
from app.model.plan import Situation
from app.model.situations import OUT, judged_situations
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.tolerance import falls_short
from app.wording import lower, phrase

_PERSON = "route.least-mm"
Judge = Callable[[Scene], tuple[Snag, ...]]


def in_each(scene: Scene, judge: Judge) -> tuple[Snag, ...]:
    """Judge a scene in each situation of its plan and put the verdicts together."""
    situations = judged_situations(scene.plan)
    if not situations:
        return _in_use_besides(scene, judge, judge(scene))
    by_key: dict[str, list[tuple[Situation, Snag]]] = {}
    usable: list[Snag] = []
    used: set[str] = set()
    for situation in situations:
        there = scene.in_situation(situation)
        verdict = judge(there)
        if situation.trains:
            used |= {placed.piece.id for placed in there.order if placed.in_use}
        else:
            verdict = tuple(s for s in verdict if not s.while_training)
        for snag in verdict:
            by_key.setdefault(replace(snag, situation=None).key, []).append((situation, snag))
        usable += _with_the_car(there, situation, verdict)
    trained_in = sum(situation.trains for situation in situations)
    merged = [_in_one(entries, len(situations), trained_in) for entries in by_key.values()]
    besides = _in_use_besides(scene.in_training(), judge, merged, used)
    return (*besides, *usable, *_never_used(scene, used))


def situation_name(situation: Situation) -> str:
    """Say which situation: its label, else what it is."""
    if situation.label:
        return situation.label
    return "garage door open" if situation.door_open else situation.id.replace("-", " ")


def _in_one(entries: list[tuple[Situation, Snag]], count: int, trained_in: int) -> Snag:
    """Put what several situations say of one thing into one snag: the worst of them.

    It names those that say so, unless all `count` of them do, or all in which somebody trains.
    """
    rank = {severity: i for i, severity in enumerate(SEVERITIES)}
    _, worst = min(entries, key=lambda entry: rank[entry[1].severity])
    as_bad = [name for name, snag in entries if snag.severity == worst.severity]
    if len(as_bad) == (trained_in if worst.while_training else count):
        return replace(worst, situation=None)
    return _said_in(worst, ", ".join(situation_name(situation) for situation in as_bad))


def _said_in(snag: Snag, names: str) -> Snag:
    """Return a snag that says in which situations it is so."""
    return replace(
        snag,
        situation=names,
        template=snag.template + " ({}.)",
        values=(*snag.values, f"{names[:1].upper()}{names[1:]}"),
        parts=tuple(phrase("{} ({:cap}.)", part, names) for part in snag.parts),
    )


def _in_use_besides(
    scene: Scene, judge: Judge, said: Iterable[Snag], used: Container[str] = ()
) -> tuple[Snag, ...]:
    """Return what was said and what is found of each thing that is drawn put away, once in use.

    One at a time, the rest as drawn: two that fold out onto the same floor are used in turn. What
    a thing in use costs others is left to them, as it is put away whenever they are wanted; but
    nothing may stand where it is used. What was said of a movement as if nothing were there for
    it is left out where this is.
    """
    stands = list(said)
    known = {(replace(snag, situation=None).key, snag.severity) for snag in stands}
    found: list[Snag] = []
    for placed in scene.order:
        piece = placed.piece
        if placed.in_use or piece.state == OUT or piece.id in used or not _wanted(scene, placed):
            continue
        called = f"{lower(placed.name)} in use"
        station = {one.piece.id for one in scene.stations[placed.root]}
        verdict = judge(scene.with_in_use(piece.id))
        without = {(snag.code, snag.person, snag.movement) for snag in verdict if not snag.pieces}
        stands = [
            snag
            for snag in stands
            if snag.pieces
            or snag.movement is None
            or (snag.code, snag.person, snag.movement) in without
        ]
        for snag in verdict:
            as_bad = SEVERITIES[: SEVERITIES.index(snag.severity) + 1]
            told = any((snag.key, severity) in known for severity in as_bad)
            if told or snag.severity == "note" or not station & {*snag.pieces}:
                continue
            if snag.pieces[0] in station or snag.code.startswith("clash"):
                found.append(_said_in(snag, called))
    return (*stands, *found)


def _wanted(scene: Scene, placed: Placed) -> bool:
    """Return whether anybody does what it is for."""
    return any(
        person.wish_for(use.movement) != "no"
        for person in scene.plan.people
        for use in placed.kit.uses
    )


def _never_used(scene: Scene, used: Container[str]) -> Iterator[Snag]:
    """Yield a note of what to train at is out or put away whenever somebody trains."""
    away = [
        placed
        for placed in scene.order
        if placed.kit.uses and placed.in_use and placed.piece.id not in used
    ]
    if away:
        yield Snag(
            code="never-used",
            severity="note",
            template="Out or put away whenever somebody trains: use is not judged. Say in which "
            "situation somebody uses what.",
            values=(),
            pieces=tuple(placed.piece.id for placed in away),
            names=tuple(placed.name for placed in away),
            unit=None,
            where=away[0].at,
            source_keys=(),
        )


def _with_the_car(scene: Scene, situation: Situation, verdict: tuple[Snag, ...]) -> Iterator[Snag]:
    """Yield a note of what can be used while the car is in."""
    cars = [p for p in scene.order if p.kit.key == "car" and p.piece.state != OUT]
    if not cars or not situation.trains:
        return
    blocked = {
        scene.placed[piece_id].root
        for snag in verdict
        if snag.severity == "stop"
        for piece_id in snag.pieces
        if piece_id in scene.placed
    }
    car_ids = {car.piece.id for car in cars}
    blocked |= {
        scene.placed[snag.pieces[0]].root
        for snag in verdict
        if snag.against in car_ids and _leaves_no_place(scene, snag)
    }
    free = [
        lower(scene.placed[root].name)
        for root in dict.fromkeys(placed.root for placed in scene.order)
        if root not in blocked
        and any(p.kit.uses and p.in_use for p in scene.order if p.root == root)
    ]
    yield Snag(
        code="usable-with-car",
        severity="note",
        template="With the car in, these can be used: {}.",
        values=(", ".join(free) or "nothing",),
        names=("the car",),
        situation=situation_name(situation),
        unit=None,
        where=cars[0].at,
        source_keys=("scene.touch-tolerance-mm", _PERSON),
    )


def _leaves_no_place(scene: Scene, snag: Snag) -> bool:
    """Return whether so little is free where one moves or lands that nobody stands there."""
    spaces = scene.placed[snag.pieces[0]].kit.spaces
    moved_in = {space.key for space in spaces if space.kind != "access"}
    short = snag.measured is not None and falls_short(snag.measured, published(_PERSON))
    return snag.space in moved_in and short
