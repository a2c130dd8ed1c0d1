"""The use cases of the works: planned once for each revision and day, ticked off, as a calendar."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime

from app.costs.cost import Costs
from app.model.plan import Plan
from app.recent import Recent
from app.scene.build import Scene
from app.store.entries import State
from app.takeoff.line import TakeOff
from app.usecases.accounts import Account, account_of, alike_but_for
from app.usecases.judged import scene_bytes
from app.usecases.plans import Elbowroom
from app.works.calendar_file import calendar_file
from app.works.moves import Move, moves
from app.works.room_ready import RoomReady
from app.works.task import WorksError
from app.works.works import WorksAnswer, works

PLANNED_AT_MOST = 8
PLANNED_BYTES = 32_000_000
BYTES_A_TASK = 4_000
"""What a task holds with its stretches; the scene is the one that the account holds anyway."""


def _planned_bytes(known: PlannedWorks) -> int:
    tasks = 0 if known.answer is None else len(known.answer.programme.tasks)
    return scene_bytes(known.scene) + tasks * BYTES_A_TASK


@dataclass(frozen=True, eq=False)
class PlannedWorks:
    """The works of one plan as seen at a minute of a day; `fault` says why there are none."""

    plan: Plan
    scene: Scene
    take_off: TakeOff
    costs: Costs
    today: date
    answer: WorksAnswer | None
    fault: str = ""
    now_min: int = 0
    lock: threading.Lock = field(default_factory=threading.Lock)
    _missed: dict[date, date | None] = field(default_factory=dict)
    _moves: list[tuple[Move, ...]] = field(default_factory=list)

    @property
    def ready(self) -> RoomReady | None:
        """What the works say to the months; None where they cannot be planned."""
        return None if self.answer is None else RoomReady(self.answer, self.costs.lines)

    @property
    def moves(self) -> tuple[Move, ...]:
        """What moves the first training, the worst first; made when it is first asked for."""
        if self.answer is None:
            return ()
        with self.lock:
            if not self._moves:
                self._moves.append(moves(self.answer))
            return self._moves[0]

    def if_missed(self, day: date) -> date | None:
        """Return the day of the first training if nothing is done on a day, None without one."""
        if self.answer is None:
            return None
        with self.lock:
            if day not in self._missed:
                try:
                    self._missed[day] = self.answer.if_missed(day)
                except WorksError:
                    self._missed[day] = None
            return self._missed[day]


def planned(account: Account, today: date, now_min: int = 0) -> PlannedWorks:
    """Plan the works of a plan that is counted already; nothing before a minute of today."""
    plan, scene = account.plan, account.scene
    answer, fault = None, ""
    try:
        answer = works(scene, account.take_off, account.costs, today, now_min=now_min)
    except WorksError as error:
        fault = error.sentence
    counted = account.take_off, account.costs
    return PlannedWorks(plan, scene, *counted, today, answer, fault, now_min)


def works_of(
    house: Elbowroom, plan_id: str, today: date, now_min: int = 0
) -> tuple[State, PlannedWorks]:
    """Return a plan as it stands with its works. Raises NotFoundError, StoreError."""
    state, account = account_of(house, plan_id)
    memory = _memory(house)
    with account.lock:
        known = memory.get(plan_id)
        if known is None or known.plan is not state.plan or not _seen(known, today, now_min):
            known = _planned_anew(account, today, now_min, known)
            memory.put(plan_id, known)
    return state, known


def is_planned(house: Elbowroom, plan_id: str, today: date, now_min: int = 0) -> bool:
    """Return whether the works of a plan as it stands are known without planning them anew."""
    plan, known = house.open(plan_id).plan, _memory(house).get(plan_id)
    return (
        known is not None
        and _seen(known, today, now_min)
        and (known.plan is plan or alike_but_for(plan, known.plan, ("phasing",)))
    )


def _seen(known: PlannedWorks, today: date, now_min: int) -> bool:
    return (known.today, known.now_min) == (today, now_min)


def _memory(house: Elbowroom) -> Recent[str, PlannedWorks]:
    return house.memory("works", PLANNED_AT_MOST, PLANNED_BYTES, _planned_bytes)


def _planned_anew(
    account: Account, today: date, now_min: int, known: PlannedWorks | None
) -> PlannedWorks:
    """Plan the works; what is bought in which month moves none of them."""
    alike = known is not None and _seen(known, today, now_min)
    if known is None or not alike or not alike_but_for(account.plan, known.plan, ("phasing",)):
        return planned(account, today, now_min)
    return replace(known, plan=account.plan, scene=account.scene)


def as_calendar(house: Elbowroom, plan_id: str, today: date, now_min: int = 0) -> bytes:
    """Return the works as a calendar file. Raises WorksError where they cannot be planned."""
    _, known = works_of(house, plan_id, today, now_min)
    if known.answer is None:
        raise WorksError(known.fault)
    return calendar_file(known.answer, plan_id, datetime.now(UTC))
