"""The checks that speak of a finding, asked alone: what they say of a change costs little."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import AbstractContextManager
from dataclasses import dataclass, field

from app.arrange.better import mends, outcome
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

    def helps(self, changed: Scene, snag: Snag) -> bool:
        """Return whether the checks that speak of a finding say that a change helps with it.

        Where situations are judged one by one or no check alone speaks of it, it is not known to
        be no help.
        """
        mine = self._of(snag)
        if not mine:
            return True
        if not self.trials.budget.allows(work_of(changed, SCREENED)):
            return False
        with self._values():
            after = answers_of(mine, changed)
        before = tuple(one for check in mine for one in self._findings[check])
        stations = self.trials.stations
        return mends(outcome((*before, snag), after, stations), snag, stations)

    def _of(self, snag: Snag) -> tuple[Check, ...]:
        if self.scene.plan.situations:
            return ()
        if not self._findings and self.trials.budget.allows(work_of(self.scene, FULL)):
            with self._values():
                self._findings = each_says(EVERY, self.scene)
        kind = self.trials.kind(snag)
        return tuple(
            check
            for check, kinds in self._findings.items()
            if any(self.trials.kind(one) == kind for one in kinds)
        )

    def _values(self) -> AbstractContextManager[None]:
        overrides = self.scene.plan.overrides
        return overridden({override.id: override.value for override in overrides})
