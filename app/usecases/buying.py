"""Months while they are looked for: the first choice at once, better ones as they are found."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date

from app.budget import Budget
from app.errors import EndingError, OutdatedError
from app.model.phasing import month_of
from app.recent import Recent
from app.usecases.accounts import Account
from app.usecases.judged import scene_bytes
from app.usecases.onlooker import Onlooker
from app.usecases.plans import Elbowroom
from app.usecases.works import works_of
from app.works.months import Asked, Months
from app.works.purchases import STEPS, Buying

RUNS_AT_MOST = 8
"""Plans of which the last search is remembered: each holds one choice."""
RUNS_BYTES = 32_000_000
FIRST_S = 0.1
"""How long a page waits for the whole answer: many plans have theirs by then, and nobody sees that
it took so long."""
REST_S = 1.0
"""How often one that rests looks whether it should end."""
AWAY_S = 600.0
"""How long one rests while nobody looks, before it ends: a page without script asks again only when
somebody presses, and should not find all of it begun anew."""


class Run:
    """One search for the months of one plan, in a thread of its own. `asked` is what it looks for.

    `look` is called before each step, and raises what ends the search. It rests while nobody looks.
    `clock` gives seconds that only grow.
    """

    def __init__(
        self,
        asked: Asked,
        look: Callable[[], None],
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self.asked = asked
        self._clock = clock
        self._onlooker = Onlooker(look, clock)
        self._look = look
        self._news = threading.Condition()
        self._newest: Buying | None = None
        self._running = True
        self._settled = False
        self._stopped = False
        self._fault: Exception | None = None
        # no daemon: a process that ends under the threads of the solver is aborted
        threading.Thread(target=self._seek, daemon=False).start()

    @property
    def running(self) -> bool:
        """Whether it still looks."""
        return self._running

    @property
    def settled(self) -> bool:
        """Whether it came to its end by itself: nothing better will be found."""
        return self._settled

    @property
    def has_choice(self) -> bool:
        """Whether there is a first choice to show."""
        return self._newest is not None

    def seen(self) -> None:
        """Note that somebody looks: one that rests goes on."""
        with self._news:
            self._onlooker.seen()
            self._news.notify_all()

    def stop(self) -> None:
        """Stop before the next step."""
        with self._news:
            self._stopped = True
            self._news.notify_all()

    def newest(self, seconds: float) -> tuple[Buying, bool]:
        """Return the best choice so far and whether it is the answer, where that comes in time.

        Waits for a first choice, whatever that takes.
        """
        with self._news:
            self._news.wait_for(lambda: not self._running, seconds)
            self._news.wait_for(lambda: not self._running or self._newest is not None)
            if self._newest is None:
                raise self._fault or EndingError("The search has ended before its first choice.")
            return self._newest, self._settled

    def _seek(self) -> None:
        settled = False
        try:
            with suppress(EndingError, OutdatedError):
                for choice in self.asked.choices(Budget(STEPS, self._go_on)):
                    with self._news:
                        self._newest = choice
                        self._news.notify_all()
                settled = True
        except Exception as fault:
            # whoever waits is told in their own thread, the rest in this one
            self._fault = fault
            raise
        finally:
            with self._news:
                self._settled, self._running = settled, False
                self._news.notify_all()

    def _go_on(self) -> None:
        """Wait while nobody looks; raise once that lasts, or the plan is another."""
        if self._newest is None:
            # a first choice takes some hundredths of a second, and whoever asked has a page to show
            return
        ends = self._clock() + AWAY_S
        while True:
            self._look()
            with self._news:
                over = self._stopped or not threading.main_thread().is_alive()
                if over or self._clock() > ends:
                    raise EndingError("Nobody waits for this any more.")
                if not self._onlooker.gone:
                    return
                self._news.wait(REST_S)


@dataclass(frozen=True, slots=True)
class SoFar:
    """The months as far as they are known; `looking`: a better order may still be found."""

    months: Months
    looking: bool


@dataclass(frozen=True, slots=True)
class _Underway:
    """The run of an account, for as long as the plan is that one."""

    account: Account
    first_month: str
    run: Run


def _scene_bytes(underway: _Underway) -> int:
    return scene_bytes(underway.account.scene)


def months_so_far(
    house: Elbowroom,
    plan_id: str,
    account: Account,
    today: date,
    seconds: float = FIRST_S,
    now_min: int = 0,
) -> SoFar:
    """Return the months of a plan's account from today's on, the best found within some seconds.

    Better ones are looked for in the background till they are proven. That rests while nobody
    asks, and ends once the plan is another or the program ends. Raises PlanError where there is
    nothing to spend.
    """
    first_month = month_of(today)
    known = account.months_known(first_month)
    if known is not None:
        return SoFar(known, looking=False)
    run = _run(house, plan_id, account, today, now_min)
    choice, settled = run.newest(seconds)
    months = account.months_as(run.asked, choice, settled_for=first_month if settled else "")
    return SoFar(months, looking=not settled)


def months_meanwhile(
    house: Elbowroom, plan_id: str, account: Account, today: date, now_min: int = 0
) -> SoFar | None:
    """Return the months as `months_so_far` does, without waiting for a first choice.

    None where there is none yet: it is looked for in the background from now on. Raises PlanError
    where there is nothing to spend.
    """
    if account.months_known(month_of(today)) is None:
        run = _run(house, plan_id, account, today, now_min)
        if run.running and not run.has_choice:
            return None
    return months_so_far(house, plan_id, account, today, 0, now_min)


def _run(house: Elbowroom, plan_id: str, account: Account, today: date, now_min: int) -> Run:
    """Return the search for an account's months, begun where there is none; one a plan."""
    first_month = month_of(today)
    runs: Recent[str, _Underway] = house.memory("buying", RUNS_AT_MOST, RUNS_BYTES, _scene_bytes)

    def going() -> Run | None:
        underway = runs.get(plan_id)
        if (
            underway is None
            or underway.account is not account
            or underway.first_month != first_month
        ):
            return None
        underway.run.seen()
        return underway.run if underway.run.running or underway.run.settled else None

    run = going()
    if run is not None:
        return run
    # with nothing to spend no works are planned for it
    purse = account.plan.phasing
    spends = purse.put_by_minor or purse.a_month_minor
    ready = works_of(house, plan_id, today, now_min)[1].ready if spends else None
    asked = account.asked(first_month, ready)
    with house.lock(plan_id):
        run = going()
        if run is None:
            underway = runs.get(plan_id)
            if underway is not None:
                underway.run.stop()
            run = Run(asked, house.waiting.pause_for(plan_id, account.plan))
            runs.put(plan_id, _Underway(account, first_month, run))
        return run
