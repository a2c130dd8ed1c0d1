"""What was found in a plan, and keeping it as long as somebody may soon ask again."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from operator import attrgetter
from typing import Any

from app.arrange.effort import MEND_ALL_STEPS, WAYS_OUT_STEPS
from app.arrange.mend_all import Mending, Progress, mend_all
from app.arrange.remedy import WaysOut
from app.arrange.ways_out import Rounds
from app.budget import Budget
from app.checks.run import in_few_words, run
from app.checks.snag import Snag
from app.drawing.desk import desk_figure
from app.model.plan import Plan
from app.model.situations import judged_situations
from app.recent import Recent
from app.scene.build import Scene
from app.scene.memory import memo_bytes
from app.scene.room import room_bytes
from app.store.entries import State
from app.usecases.judging import NOT_JUDGED, Judge, snags_or_fault, with_what_is_unused
from app.usecases.verdict import Row, verdict_of

NEWEST_AT_MOST = 24
PAST_AT_MOST = 40

BYTES_A_PIECE = 60_000
"""What one piece holds in a plan that was judged and drawn twice: the growth of the process was 40
to 52 kB in halls of 30, 100 and 300 pieces; the rest is for the ways out."""

BYTES_A_SNAG = 2_000
"""What one snag holds with its sentence and its row of the verdict, above what its piece does."""

BYTES_A_PLAN_PIECE = 4_000
"""What one piece holds in a plan alone; 1 kB was measured."""

NEWEST_BYTES = 128_000_000
PAST_BYTES = 160_000_000
"""What they hold at the most, but for one plan that alone is larger: all 40 of a plan of 30 pieces,
the last few of a hall. What is newest is held in both, and counts in both."""

STATES_BYTES = 32_000_000


def _never() -> None:
    """Go on at once."""


@dataclass(frozen=True, eq=False)
class Findings:
    """A plan's scene and all that was found in it. It hangs on the plan alone.

    `snags` are `every_snag` put in few words. `pause` is called before each step
    of what takes long.
    """

    scene: Scene
    every_snag: tuple[Snag, ...]
    pause: Callable[[], None] = _never
    lock: threading.Lock = field(default_factory=threading.Lock)
    judge: Judge = run
    mending_so_far: Progress = field(default_factory=Progress)

    @cached_property
    def snags(self) -> tuple[Snag, ...]:
        """The snags as people read them."""
        return in_few_words(self.every_snag)

    @cached_property
    def late(self) -> tuple[Snag, ...]:
        """What only the checks after a drop find."""
        quick = {snag.key for snag in snags_or_fault(self.scene, False, self.judge)}
        return tuple(snag for snag in self.every_snag if snag.key not in quick)

    @cached_property
    def _rounds(self) -> Rounds:
        return Rounds(self.scene, self.snags, Budget(WAYS_OUT_STEPS, self.pause))

    @property
    def first_ways_out(self) -> WaysOut:
        """What one change mends; of what is left for two nothing is said yet."""
        return self._of_rounds(attrgetter("first"))

    @property
    def ways_out(self) -> WaysOut:
        """What may be offered for each snag, by key, and what was tried for the others."""
        return self._of_rounds(attrgetter("both"))

    def _of_rounds(self, ways: Callable[[Rounds], WaysOut]) -> WaysOut:
        if self._failed:
            return WaysOut()
        try:
            return ways(self._rounds)
        except BaseException:
            # whoever asks next begins anew: it was broken off in the middle
            self.__dict__.pop("_rounds", None)
            raise

    @cached_property
    def mending(self) -> Mending:
        """What mends all of it."""
        if self._failed:
            return Mending((), None, stops_left=1, cares_left=0)
        budget = Budget(MEND_ALL_STEPS, self.pause)
        return mend_all(self.scene.plan, budget, self.mending_so_far, self.scene)

    @cached_property
    def drawing(self) -> str:
        """The desk's drawing as SVG markup."""
        return desk_figure(self.scene).svg

    @cached_property
    def rough(self) -> str:
        """The same with names where they can be put at once."""
        return desk_figure(self.scene, tidy=False).svg

    @property
    def _failed(self) -> bool:
        return NOT_JUDGED in self.every_snag


def find(scene: Scene, pause: Callable[[], None] = _never, judge: Judge = run) -> Findings:
    """Judge a scene; one that cannot be judged has one stop, which says so."""
    snags = with_what_is_unused(scene, snags_or_fault(scene, True, judge))
    return Findings(scene, snags, pause, judge=judge)


@dataclass(frozen=True, eq=False)
class Judged:
    """One revision with all that was found in it. `numbers` are the flag numbers by key."""

    state: State
    findings: Findings
    numbers: Mapping[str, int]

    @property
    def scene(self) -> Scene:
        """The plan as geometry."""
        return self.findings.scene

    @property
    def snags(self) -> tuple[Snag, ...]:
        """The snags as people read them."""
        return self.findings.snags

    @property
    def drawing(self) -> str:
        """The desk's drawing as SVG markup."""
        return self.findings.drawing

    @property
    def drawing_at_once(self) -> tuple[str, bool]:
        """The drawing that can be had the soonest, and whether its names are in their places."""
        tidy = "drawing" in vars(self.findings)
        return (self.findings.drawing if tidy else self.findings.rough), tidy

    @cached_property
    def verdict(self) -> dict[str, Any]:
        """The verdict as JSON data."""
        return verdict_of(self.state.plan, self.snags, self.numbers)

    @cached_property
    def rows(self) -> Mapping[str, tuple[Snag, Row]]:
        """The snags by their keys, each with its row of the verdict."""
        pairs = zip(self.snags, self.verdict["snags"], strict=True)
        return {snag.key: (snag, row) for snag, row in pairs}


def findings_bytes(findings: Findings) -> int:
    """Return about how many bytes a revision's findings come to hold, drawings and all."""
    return scene_bytes(findings.scene) + len(findings.every_snag) * BYTES_A_SNAG


def scene_bytes(scene: Scene) -> int:
    """Return about how many bytes a scene comes to hold with its answers and drawings."""
    memos = (1 + len(judged_situations(scene.plan))) * memo_bytes(len(scene.order))
    return room_bytes(scene.room) + len(scene.order) * BYTES_A_PIECE + memos


def _judged_bytes(judged: Judged) -> int:
    return findings_bytes(judged.findings)


def plan_bytes(plan: Plan) -> int:
    """Return about how many bytes a plan holds."""
    return len(plan.pieces) * BYTES_A_PLAN_PIECE


def _state_bytes(state: State) -> int:
    return plan_bytes(state.plan)


class InUse:
    """The newest revision of the plans in use, and some that were; for many threads."""

    def __init__(self) -> None:
        self._newest = Recent[str, Judged](NEWEST_AT_MOST, NEWEST_BYTES, _judged_bytes)
        self._past = Recent[tuple[str, int], Findings](PAST_AT_MOST, PAST_BYTES, findings_bytes)
        self._states = Recent[str, State](NEWEST_AT_MOST, STATES_BYTES, _state_bytes)

    @property
    def held_bytes(self) -> int:
        """About how many bytes are held, by what each plan comes to hold."""
        return self._newest.held_bytes + self._past.held_bytes + self._states.held_bytes

    def arrived(self, state: State) -> None:
        """Take note of a plan's newest state, which is not judged yet."""
        self._states.put(state.plan_id, state)

    def state(self, plan_id: str) -> State | None:
        """Return the last state of a plan that was noted; there may be a newer one by now."""
        return self._states.get(plan_id)

    def newest(self, plan_id: str) -> Judged | None:
        """Return the newest revision that was judged."""
        return self._newest.get(plan_id)

    def scene_of(self, plan: Plan) -> Scene | None:
        """Return the scene of a plan that is the newest revision judged of its own."""
        for judged in self._newest.values():
            if judged.state.plan is plan:
                return judged.scene
        return None

    def alike(self, state: State) -> Findings | None:
        """Return what was found in a revision that held the same plan."""
        number = state.revision if state.same_as is None else state.same_as
        past = self._past.get((state.plan_id, number))
        # what was removed and brought back stands at the end of its list: not quite the same
        return past if past is not None and past.scene.plan == state.plan else None

    def keep(self, judged: Judged) -> None:
        """Keep a revision, and let go of what nobody asked for lately."""
        state = judged.state
        self._newest.put(state.plan_id, judged)
        self.keep_past(state, judged.findings)

    def keep_past(self, state: State, findings: Findings) -> None:
        """Keep what was found in a revision, newest or not."""
        self._past.put((state.plan_id, state.revision), findings)

    def forget(self, plan_id: str) -> None:
        """Let go of a plan."""
        self._newest.forget(plan_id)
        self._states.forget(plan_id)
