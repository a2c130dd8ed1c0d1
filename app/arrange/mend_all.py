"""Mend all: a short series of ways out, taken one after another and undone as one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from app.arrange.better import outcome
from app.arrange.effort import FULL, MEND_ALL_STEPS, STEPS_AT_MOST, work_of
from app.arrange.moves import Mover
from app.arrange.remedy import Remedy
from app.arrange.trial import Effect, price_of
from app.arrange.turns import net_move_words
from app.arrange.ways_out import remedy_for
from app.budget import Budget
from app.changes.commands import Command, apply
from app.changes.difference import difference
from app.checks.run import judged_as, run
from app.checks.snag import Snag
from app.model.plan import Plan
from app.scene.build import Scene, build_scene
from app.scene.drop import dropped
from app.wording import joined, lower, phrase


@dataclass(frozen=True, slots=True)
class Mending:
    """What mends a plan: the sentences of its steps, one command for all, and what stays open.

    `price` is one sentence of what is worse in the end than it was, or empty; `ended_early` says
    that not everything was tried: the search had done all that it may.
    """

    steps: tuple[str, ...]
    command: Command | None
    stops_left: int
    cares_left: int
    price: str = ""
    ended_early: bool = False


@dataclass(slots=True)
class _Step:
    """One step that may be taken; `after` is the plan after it, by sentence, where it is better."""

    scene: Scene
    verdict: tuple[Snag, ...]
    settled: set[str]
    mover: Mover
    after: dict[str, tuple[Scene, tuple[Snag, ...]]] = field(default_factory=dict)

    def is_better(self, remedy: Remedy, effect: Effect) -> bool:
        """Return whether a way out is better in all, and leaves no more open than there was."""
        plan = self.scene.plan
        for command in remedy.commands:
            plan = apply(plan, command)
        scene = self._after(plan, effect)
        if not self.mover.budget.allows(work_of(scene, FULL)):
            return False
        verdict = run(scene, weighed=True)
        result = outcome(self.verdict, verdict, self.mover.trials.stations)
        if not result.is_better:
            return False
        if _counts(verdict, self.settled) > _counts(self.verdict, self.settled):
            return False
        self.after[remedy.plain] = scene, verdict
        return True

    def _after(self, plan: Plan, effect: Effect) -> Scene:
        """Return the scene of the plan after the step: what was asked of it is not asked again."""
        tried = effect.scene
        scene = dropped(self.scene, plan)
        if scene is None:
            known = tried is not None and tried.plan == plan
            return tried if tried and known else build_scene(plan)
        if tried and tried.plan is self.scene.plan and (tried.poses == scene.poses).all():
            judged_as(scene, tried)
        return scene


@dataclass(slots=True)
class Progress:
    """How far a search is: what it looks at just now, as one sentence calls it, and what it took.

    Whoever waits reads it from another thread; it is only ever put in place of what was.
    """

    looking: str = ""
    taken: tuple[str, ...] = ()


def mend_all(
    plan: Plan,
    budget: Budget | None = None,
    progress: Progress | None = None,
    scene: Scene | None = None,
) -> Mending:
    """Take ways out until no stop is left or none helps any more, then the cares that have one.

    A step is taken only if it is better in all, leaves no more stops than before and, among those
    with as many, no more cares: so it ends, with never more than there was. What moves twice on
    the way is said, and done, as one move. What is settled is left alone, and nothing wanted is
    given up. `progress` follows the search. `scene` is that of the plan, where somebody has it:
    what was answered of it is not asked again.
    """
    steps, progress = list[Remedy](), progress or Progress()
    settled = {entry.id for entry in plan.settled}
    budget = budget or Budget(MEND_ALL_STEPS)
    first = scene = scene or build_scene(plan)
    # what it begins with is judged whatever it costs: else nothing could be said of what stays open
    budget.allows(work_of(scene, FULL))
    before = verdict = run(scene, weighed=True)
    refused: set[str] = set()
    mover = Mover(scene, verdict, budget)
    stations = mover.trials.stations
    while len(steps) < STEPS_AT_MOST and not budget.over:
        snag = next((s for s in verdict if _wants_mending(s, settled | refused)), None)
        if snag is None:
            break
        # What does not help now is not asked again: a later step could make it help, but the search
        # would not end.
        refused.add(snag.key)
        progress.looking = lower(", ".join(snag.names))
        step = _Step(scene, verdict, settled, mover)
        remedy = remedy_for(snag, mover, step.is_better)
        if remedy is None or remedy.gives_up or remedy.plain not in step.after:
            continue
        steps.append(remedy)
        progress.taken = tuple(one.plain for one in steps)
        scene, verdict = step.after[remedy.plain]
        mover = mover.next(scene, verdict)
    stops, cares = _counts(verdict, settled)
    worse = outcome(before, verdict, stations).worse
    sentences = tuple(_in_words(first, scene, steps))
    whole = difference(plan, scene.plan, "mend", "mend all")
    return Mending(sentences, whole, stops, cares, _price(worse, plan), ended_early=budget.over)


def _in_words(first: Scene, last: Scene, steps: list[Remedy]) -> Iterator[str]:
    """Yield what is done: stations that moved in several steps are said once, in place of these."""
    times = Counter(root for step in steps for root in step.moved)
    worded: set[str] = set()
    for step in steps:
        again = [root for root in step.moved if times[root] > 1]
        if not again:
            yield step.plain
            continue
        for root in sorted(step.moved - worded):
            worded.add(root)
            if last.placed[root].pose == first.placed[root].pose:
                continue
            yield net_move_words(first, root, last.placed[root].pose)


def _price(worse: tuple[Snag, ...], plan: Plan) -> str:
    """Return what is worse in the end than it was, as one sentence; empty where nothing is."""
    if not worse:
        return ""
    return phrase("{:cap}.", joined("; ", map(price_of, worse))).worded(plan.units)


def _wants_mending(snag: Snag, left_alone: set[str]) -> bool:
    return snag.severity != "note" and snag.key not in left_alone


def _counts(verdict: tuple[Snag, ...], settled: set[str]) -> tuple[int, int]:
    still_open = [snag.severity for snag in verdict if snag.key not in settled]
    return still_open.count("stop"), still_open.count("care")
