"""The critical path method: earliest and latest times of a network of tasks, and their float.

J. E. Kelley and M. R. Walker, Critical-path planning and scheduling, 1959. A forward pass gives
the earliest start of each task, a backward pass the latest; what lies between is its float.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from app.works.task import WorksError


@dataclass(frozen=True, slots=True)
class Times:
    """Earliest and latest starts and finishes of every task by id, in the unit of the durations."""

    early_start: dict[str, float]
    early_finish: dict[str, float]
    late_start: dict[str, float]
    late_finish: dict[str, float]
    duration: float

    def slack(self, task_id: str) -> float:
        """Return how much later a task may begin without moving the end."""
        return self.late_start[task_id] - self.early_start[task_id]


def in_order(after: Mapping[str, Sequence[str]], names: Mapping[str, str]) -> list[str]:
    """Return the ids so that each comes after all that it waits for; else as they were given.

    Raises WorksError that names the ring, where tasks wait for one another, by `names`.
    """
    waiting = {task_id: len(set(before)) for task_id, before in after.items()}
    followers: dict[str, list[str]] = {task_id: [] for task_id in after}
    for task_id, before in after.items():
        for other in set(before):
            followers[other].append(task_id)
    ready = [task_id for task_id, count in waiting.items() if not count]
    order: list[str] = []
    for task_id in ready:
        order.append(task_id)
        for follower in followers[task_id]:
            waiting[follower] -= 1
            if not waiting[follower]:
                ready.append(follower)
    if len(order) < len(after):
        ring = _ring(after, set(after) - set(order))
        in_words = ", which waits for ".join(names.get(one, one) for one in [*ring, ring[0]])
        raise WorksError(f"These wait for one another in a ring: {in_words}. Take one of them out.")
    return order


def _ring(after: Mapping[str, Sequence[str]], left: set[str]) -> list[str]:
    """Return the ids of one ring among what is left; each waits for the next."""
    path = [min(left)]
    while True:
        following = min(other for other in after[path[-1]] if other in left)
        if following in path:
            return path[path.index(following) :]
        path.append(following)


def critical_path(
    durations: Mapping[str, float],
    links: Mapping[str, Mapping[str, float]],
    names: Mapping[str, str] | None = None,
) -> Times:
    """Return the times of a network; `links` say what each task waits for and how long after it.

    Raises WorksError for a ring. Worked: A 2, then B 3 and C 5, then D 1: 8, B has 2 of float.
    """
    order = in_order({task_id: tuple(links.get(task_id, {})) for task_id in durations}, names or {})
    start: dict[str, float] = {}
    finish: dict[str, float] = {}
    for task_id in order:
        before = links.get(task_id, {})
        start[task_id] = max((finish[other] + lag for other, lag in before.items()), default=0.0)
        finish[task_id] = start[task_id] + durations[task_id]
    end = max(finish.values(), default=0.0)
    late_finish = dict.fromkeys(durations, end)
    late_start: dict[str, float] = {}
    for task_id in reversed(order):
        begins = late_start[task_id] = late_finish[task_id] - durations[task_id]
        for other, lag in links.get(task_id, {}).items():
            late_finish[other] = min(late_finish[other], begins - lag)
    return Times(start, finish, late_start, late_finish, end)
