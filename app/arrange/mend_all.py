"""Mend all: a short series of ways out, taken one after another and undone as one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from app.arrange.effort import STEPS_AT_MOST
from app.arrange.moves import Mover
from app.arrange.ways_out import remedy_for
from app.changes.commands import Command, apply
from app.changes.difference import difference
from app.checks.run import run
from app.checks.snag import Snag
from app.model.plan import Plan
from app.scene.build import build_scene


@dataclass(frozen=True, slots=True)
class Mending:
    """What mends a plan: the sentences of its steps, one command for all, and what stays open."""

    steps: tuple[str, ...]
    command: Command | None
    stops_left: int
    cares_left: int


def mend_all(plan: Plan, pause: Callable[[], None] | None = None) -> Mending:
    """Take ways out until no stop is left or none helps any more, then the cares that have one.

    A step is kept only if it leaves no more stops than before and, among those with as many,
    fewer snags: so it ends. What is settled is left alone, and nothing wanted is given up.
    """
    now, steps = plan, list[str]()
    settled = {entry.id for entry in plan.settled}
    scene = build_scene(now)
    verdict = run(scene)
    refused: set[str] = set()
    while len(steps) < STEPS_AT_MOST:
        snag = next((s for s in verdict if _wants_mending(s, settled | refused)), None)
        if snag is None:
            break
        mover = Mover(scene, verdict, pause) if pause else Mover(scene, verdict)
        remedy = remedy_for(scene, snag, verdict, mover)
        after = now
        for command in remedy.commands if remedy and not remedy.gives_up else ():
            after = apply(after, command)
        scene_after = build_scene(after)
        verdict_after = run(scene_after)
        # What does not help now is not asked again: a later step could make it help, but the search
        # would not end.
        if remedy is None or _weight(verdict_after, settled) >= _weight(verdict, settled):
            refused.add(snag.key)
            continue
        steps.append(remedy.sentence)
        now, scene, verdict = after, scene_after, verdict_after
    stops, cares = _weight(verdict, settled)
    return Mending(tuple(steps), difference(plan, now, "mend", "mend all"), stops, cares)


def _wants_mending(snag: Snag, left_alone: set[str]) -> bool:
    return snag.severity != "note" and snag.key not in left_alone


def _weight(verdict: tuple[Snag, ...], settled: set[str]) -> tuple[int, int]:
    still_open = [snag.severity for snag in verdict if snag.key not in settled]
    return still_open.count("stop"), still_open.count("care")
