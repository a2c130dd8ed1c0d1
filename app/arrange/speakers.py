"""The checks that speak of a finding, asked alone: what they say of a change costs little."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager
from dataclasses import dataclass, field

from app.arrange.better import Weight, mends, outcome_of, weight_of, weights
from app.arrange.effort import FULL, SCREENED, work_of
from app.arrange.trial import Trials
from app.checks.run import AFTER_DROP, CHECKS, Check, judged_by
from app.checks.snag import Snag
from app.published.register import overridden
from app.scene.build import Scene

EVERY: tuple[Check, ...] = (*CHECKS, *AFTER_DROP)


def answers_of(checks: Iterable[Check], scene: Scene) -> tuple[Snag, ...]:
    """Return what some checks say of a scene."""
    return judged_by(checks, scene)


def each_says(checks: Iterable[Check], scene: Scene) -> dict[Check, tuple[Snag, ...]]:
    """Return what each of some checks says of a scene."""
    return {check: judged_by((check,), scene) for check in checks}


@dataclass(slots=True)
class Speakers:
    """Which checks say what of a plan as it stands, found once."""

    scene: Scene
    trials: Trials
    _findings: dict[Check, tuple[Snag, ...]] = field(default_factory=dict)
    _was: dict[tuple[str, Weight], dict[str, Weight]] = field(default_factory=dict)
    _by_kind: dict[tuple[object, ...], tuple[Check, ...]] = field(default_factory=dict)

    def helps(self, changed: Scene, snag: Snag, sane: Callable[[], bool] | None = None) -> bool:
        """Return whether the checks that speak of a finding say that a change helps with it.

        Where situations are judged one by one or no check alone speaks of it, it is not known to
        be no help. What is not `sane`, where that is asked, is none: it is known for far less.
        """
        mine = self._of(snag)
        if not mine:
            return True
        if not self.trials.budget.allows(work_of(changed, SCREENED)):
            return False
        if sane is not None and not sane():
            return False
        with self._values():
            after = answers_of(mine, changed)
        key, stations = (snag.key, weight_of(snag)), self.trials.stations
        if key not in self._was:
            before = (one for check in mine for one in self._findings[check])
            self._was[key] = weights((*before, snag), stations)
        return mends(outcome_of(self._was[key], after, stations), snag, stations)

    def _of(self, snag: Snag) -> tuple[Check, ...]:
        if self.scene.plan.situations:
            return ()
        if not self._findings and self.trials.budget.allows(work_of(self.scene, FULL)):
            with self._values():
                self._findings = each_says(EVERY, self.scene)
        kind = self.trials.kind(snag)
        if kind not in self._by_kind and self._findings:
            self._by_kind[kind] = tuple(
                check
                for check, said in self._findings.items()
                if any(self.trials.kind(one) == kind for one in said)
            )
        return self._by_kind.get(kind, ())

    def _values(self) -> AbstractContextManager[None]:
        overrides = self.scene.plan.overrides
        return overridden({override.id: override.value for override in overrides})
