"""Why tasks find no room in free hours, in words: too few hands, or none when they may be done."""

from __future__ import annotations

from collections.abc import Sequence

from app.works.lives import Lives
from app.works.task import Task, WorksError

NAMED = 3
"""Tasks named in one sentence; with more nobody reads to its end."""


def enough_hands(tasks: Sequence[Task], lives: Lives) -> None:
    """Raise WorksError, naming tasks and hours, where some take more people than there ever are."""
    most = lives.most_people
    short = [
        task
        for task in tasks
        if task.who == "own" and task.minutes and task.least > most and task.done_on is None
    ]
    if not short:
        return
    people = max(task.least for task in short)
    never = f"n your free hours there are never more than {most}"
    names = list(dict.fromkeys(task.name for task in short))
    if len(names) == 1:
        raise WorksError(f"{names[0]} takes {people} people; i{never}. Say when somebody helps.")
    named = "; ".join(
        [*names[:NAMED], *([f"and {len(names) - NAMED} more"] if names[NAMED:] else [])]
    )
    hours = sum(task.hours / task.least for task in short)
    raise WorksError(
        f"{len(names)} tasks take {people} people, {hours:.0f} h together: {named}. I{never}: say "
        "when somebody helps."
    )


def no_room(task: Task) -> str:
    """Return why one task finds no room."""
    if task.loud:
        return (
            f"{task.name} is loud, and none of your free hours lie in those in which noise is "
            "agreed. Change one of the two."
        )
    if task.paint:
        return (
            f"{task.name} is paint, and no free hours within three years are warm and long enough "
            "for it. Plan a heater, or other days."
        )
    if task.tip:
        return (
            f"{task.name} finds no free hours within three years on a day on which the tip is "
            "open. Change one of the two."
        )
    return f"{task.name} finds no room in your free hours within three years: name more of them."
