"""Ways out by two changes: a thing is used otherwise, and what stands in the way of that goes too.

A box on its side takes more floor than on end, a bar on the hooks of a rack has ends that need
room, a pull-up bar set lower hangs in the way of who squats under it. Each is refused alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from app.arrange.better import place_of
from app.arrange.effort import FULL, work_of
from app.arrange.moves import Mover, hangs_on_place
from app.arrange.proposed import proposed
from app.arrange.swaps import Proposal, proposals
from app.changes.commands import apply, moves
from app.checks.run import run
from app.checks.snag import Snag
from app.errors import ElbowroomError
from app.model.plan import Plan
from app.scene.build import Scene

FIRSTS_AT_MOST = 3
"""Changes after which a second is looked for: each takes a search of its own."""


@dataclass(frozen=True, slots=True)
class Both:
    """Two changes in words, the plan after both, and the stations that the second moves."""

    sentence: str
    plan: Plan
    moved: frozenset[str] = frozenset()


def two_changes(
    mover: Mover, snag: Snag, kind: Callable[[Scene, Snag], Iterator[Proposal]]
) -> Iterator[Both]:
    """Yield changes of a kind, each with a second one that takes the stop away which it makes.

    For a care nothing is done but that a thing is moved off what it would stand in.
    """
    for number, (sentence, command) in enumerate(kind(mover.scene, snag)):
        if number >= FIRSTS_AT_MOST:
            return
        try:
            changed = proposed(mover.scene, command)
        except ElbowroomError:
            continue
        if not mover.budget.allows(work_of(changed, FULL)):
            return
        after = run(changed)
        made = _made(mover, after)
        if made is None or (snag.severity != "stop" and not _is_of_place(made)):
            continue
        for second in _seconds(mover.next(changed, after), made):
            yield Both(f"{sentence} {second.sentence}", second.plan, second.moved)


def _is_of_place(made: Snag) -> bool:
    """Return whether a stop is of what stands there, and not of the height over it."""
    return hangs_on_place(made) and made.meets != "height"


def _made(mover: Mover, after: tuple[Snag, ...]) -> Snag | None:
    """Return the first stop that a change makes."""
    stations = mover.trials.stations
    known = {place_of(one, stations) for one in mover.before if one.severity == "stop"}
    return next(
        (one for one in after if one.severity == "stop" and place_of(one, stations) not in known),
        None,
    )


def _seconds(mover: Mover, made: Snag) -> Iterator[Both]:
    """Yield what takes a stop away that a first change made: a move, or another use of the kit.

    Another use where somebody has too little height: nobody gets another bar to lay this one down.
    """
    scene = mover.scene
    if hangs_on_place(made):
        move = mover.shift(made)
        if move is not None:
            roots = frozenset(scene.placed[piece].root for piece in move.poses)
            yield Both(move.sentence, apply(scene.plan, moves(scene.plan, move.poses)), roots)
    for sentence, command in proposals(scene, made) if made.meets == "height" else ():
        yield Both(sentence, apply(scene.plan, command))
