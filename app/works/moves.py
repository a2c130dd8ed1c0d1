"""What moves the first training: a delivery or a visit a week late, a cold week when one paints."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.wording import lower
from app.works.orders import Order
from app.works.task import WorksError
from app.works.works import WorksAnswer

A_WEEK = 7
"""How late a delivery is, how long a frost lasts, that one asks about: what carriers put off by."""


@dataclass(frozen=True, slots=True)
class Move:
    """One thing that may go wrong and what it does; `first_training` is None where no end is found.

    `later` counts the tasks that begin on a later day.
    """

    what: str
    first_training: date | None
    days: int
    later: int


def moves(answer: WorksAnswer) -> tuple[Move, ...]:
    """Return what each thing that may go wrong moves, the worst first."""
    moved = [
        _move(answer, comes_late(order), order) for order in answer.orders if not order.settled
    ]
    made = answer.programme
    coats = [one.starts.date() for one in made.tasks if one.task.paint and not one.done]
    if coats:
        first = min(coats)
        words = f"A week too cold for paint from {first:%a} {first.day} {first:%b}"
        moved.append(_move(answer, words, first))
    return tuple(sorted(moved, key=lambda move: (-move.days, move.what)))


def comes_late(order: Order) -> str:
    """Say that an order is late."""
    return f"{order.short} {'come' if len(order.lines) > 1 else 'comes'} a week late"


def _move(answer: WorksAnswer, what: str, of: Order | date) -> Move:
    try:
        made = answer.if_frost(of, A_WEEK) if isinstance(of, date) else answer.if_late(of, A_WEEK)
    except WorksError:
        # it is said that there is no end
        return Move(what, None, A_WEEK, 0)
    days = (made.first_training - answer.programme.first_training).days
    return Move(what, made.first_training, max(days, 0), len(made.later))


def move_sentences(every_move: tuple[Move, ...], answer: WorksAnswer) -> list[str]:
    """Say what moves the date and by how much; what does not is named in one line."""
    first = answer.programme.first_training
    sentences = []
    for move in every_move:
        if move.first_training is None:
            sentences.append(f"{move.what}: the works find no end.")
        elif move.days:
            then = move.first_training
            tasks = f"{move.later} task{'s' if move.later != 1 else ''} later"
            sentences.append(
                f"{move.what}: first training {then:%a} {then.day} {then:%b}, "
                f"{move.days} day{'s' if move.days != 1 else ''} later; {tasks}."
            )
    still = [lower(move.what) for move in every_move if not move.days]
    if still:
        sentences.append(
            f"First training stays on {first:%a} {first.day} {first:%b} if: {'; '.join(still)}."
        )
    return sentences
