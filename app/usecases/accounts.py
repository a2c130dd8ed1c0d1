"""The use cases round quantities and money: lists, costs, floors side by side."""

from __future__ import annotations

import copy
import math
import threading
import time
from dataclasses import dataclass, field
from functools import cached_property

from app.costs.budget import Difference, budget_says, compare
from app.costs.cost import Costs, costs
from app.costs.ledger import read_csv
from app.errors import CommandError, NotFoundError, PlanError
from app.forms.money_edits import with_money
from app.library.finishes import GUIDE_CURRENCIES
from app.library.floor_products import FloorProduct, floor_products
from app.model.base import json_of
from app.model.flooring import FloorLaying
from app.model.plan import Plan
from app.published.register import overridden
from app.recent import Recent
from app.scene.build import Scene, build_scene
from app.store.entries import State
from app.takeoff import floor_list
from app.takeoff.floor import Layout, floor_layout
from app.takeoff.floor_list import Compared
from app.takeoff.floor_site import ground_of
from app.takeoff.floor_trade import Choice, trade
from app.takeoff.line import TakeOff
from app.takeoff.quantities import take_off
from app.usecases.judged import scene_bytes
from app.usecases.plans import Elbowroom
from app.works.months import Asked, JudgedWithout, Months, asked_of
from app.works.purchases import Buying
from app.works.room_ready import RoomReady
from app.works.sparing import spares_of

ACCOUNTS_AT_MOST = 8


@dataclass(frozen=True, slots=True)
class Beside:
    """One floor product beside the others; `row` is None where it cannot be laid, with the why.

    `to_come` tells that nobody has laid it yet.
    """

    key: str
    name: str
    laying: FloorLaying
    row: Compared | None
    why_not: str = ""
    to_come: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Ways:
    """Other ways to lay one floor: `layout` with what they take and what that says, and those to
    choose from.
    """

    layout: Layout
    trade: tuple[Choice, ...]


BESIDE_S = 0.4
"""How long a page that asks again waits for products beside its own."""
_BESIDE_AT_MOST = 200
"""Products laid beside floors of one plan that are remembered from one edit to the next."""


JUDGED_AT_MOST = 500
"""Rooms without some pieces that stay judged when the purse changes: some hundred bytes each."""
ACCOUNTS_BYTES = 64_000_000
"""What the accounts that are remembered hold together: eight of a garage, one or two of a hall."""


def _account_bytes(account: Account) -> int:
    return scene_bytes(account.scene)


@dataclass(frozen=True, eq=False)
class Account:
    """One plan with its list of quantities and what it costs; each made when first asked for."""

    plan: Plan
    scene: Scene
    lock: threading.RLock = field(default_factory=threading.RLock)
    judged: JudgedWithout = field(default_factory=dict)
    _months: dict[str, Months] = field(default_factory=dict)
    laid_beside: dict[tuple[str, FloorLaying], Beside] = field(default_factory=dict)
    ways_on: set[tuple[object, ...]] = field(default_factory=set)
    _asked_beside: set[str] = field(default_factory=set)

    @cached_property
    def take_off(self) -> TakeOff:
        """The list of quantities."""
        return take_off(self.scene)

    @cached_property
    def costs(self) -> Costs:
        """What it costs."""
        return costs(self.scene, self.take_off)

    @cached_property
    def budget(self) -> str:
        """Whether the budget holds, what breaks it, and the least that left out mends it."""
        if not self.costs.over_minor:
            return budget_says(self.costs)
        with overridden({one.id: one.value for one in self.plan.overrides}):
            return budget_says(self.costs, *spares_of(self.scene, self.costs))

    def months(self, first_month: str, ready: RoomReady | None) -> Months:
        """Return the purchases month by month from a month such as "2027-03".

        `ready` says when the works want each thing. Waits till no better order is looked for; made
        once for each first month. Raises PlanError where there is nothing to spend.
        """
        known = self.months_known(first_month)
        if known is None:
            asked = self.asked(first_month, ready)
            # not under the lock: who only wants to see the page does not wait for this
            known = self.months_as(asked, asked.best(), settled_for=first_month)
        return known

    def months_known(self, first_month: str) -> Months | None:
        """Return the purchases month by month where they have been made already."""
        return self._months.get(first_month)

    def asked(self, first_month: str, ready: RoomReady | None) -> Asked:
        """Return what is asked of the months. Raises as `months` does."""
        with self.lock, overridden({one.id: one.value for one in self.plan.overrides}):
            return asked_of(self.scene, self.costs, first_month, self.judged, ready)

    def months_as(self, asked: Asked, buying: Buying, settled_for: str = "") -> Months:
        """Return the months as they were chosen; kept where that is settled for a first month."""
        with self.lock, overridden({one.id: one.value for one in self.plan.overrides}):
            months = asked.months(buying)
            if settled_for:
                self._months[settled_for] = months
            return months

    def laying(self, floor_id: str = "") -> FloorLaying:
        """Return a floor by its id, the first one for none. Raises NotFoundError without any."""
        for laying in self.plan.fit_out.floors:
            if floor_id in ("", laying.id):
                return laying
        raise NotFoundError("No floor covering is chosen: choose one on the page of quantities.")

    def layout(self, floor_id: str = "", compare: bool = False) -> Layout:
        """Return a floor as it is to be laid, where asked with what other ways take.

        Raises NotFoundError, PlanError.
        """
        with self.lock, overridden({one.id: one.value for one in self.plan.overrides}):
            return floor_layout(self.scene, self.laying(floor_id), compare)

    def ways(self, floor_id: str, wait: bool = True) -> Ways | None:
        """Return the other ways to lay a floor. Who does not wait gets None where laying them all
        takes its time. Raises NotFoundError, PlanError.
        """
        laying = self.laying(floor_id)
        with self.lock, overridden({one.id: one.value for one in self.plan.overrides}):
            ground = (*ground_of(self.scene, laying), bool(laying.laid))
            if not (wait or laying.laid or ground in self.ways_on):
                return None
            ways = Ways(floor_layout(self.scene, laying), trade(self.scene, laying))
            self.ways_on.add(ground)
            return ways

    def asked_before(self, floor_id: str) -> bool:
        """Return whether somebody has asked for products beside a floor as it is now."""
        return floor_id in self._asked_beside

    def beside(self, floor_id: str, wait_s: float = math.inf) -> tuple[Beside, ...]:
        """Lay every product of the library in the place and way of a floor; its own is first.

        Its own is laid each time, others while `wait_s` is not over, for the first time none but
        those that were laid before; the rest is to come.
        """
        own = self.laying(floor_id)
        guide = self.plan.currency in GUIDE_CURRENCIES
        layings = [("", own.name, own)]
        layings += [(p.key, p.name, _laid_with(own, p, guide)) for p in floor_products().values()]
        rows = []
        if floor_id not in self._asked_beside and wait_s < math.inf:
            wait_s = 0.0
        self._asked_beside.add(floor_id)
        laid = self.laid_beside
        ends = time.monotonic() + wait_s
        with self.lock, overridden({one.id: one.value for one in self.plan.overrides}):
            for key, name, laying in layings:
                if (key, laying) in laid:
                    rows.append(laid[key, laying])
                    continue
                if key and time.monotonic() >= ends:
                    rows.append(Beside(key, name, laying, None, to_come=True))
                    continue
                try:
                    (row,) = floor_list.compare(self.scene, [laying])
                    laid[key, laying] = Beside(key, name, laying, row)
                except PlanError as error:
                    why = error.faults[0].sentence if error.faults else error.sentence
                    laid[key, laying] = Beside(key, name, laying, None, why)
                rows.append(laid[key, laying])
        return tuple(rows)


def product_laying(product: FloorProduct, currency: str, laying_id: str = "floor-1") -> FloorLaying:
    """Return a product of the library as a floor, at its guide price where that makes sense."""
    return _laid_with(FloorLaying(id=laying_id), product, currency in GUIDE_CURRENCIES)


def _laid_with(own: FloorLaying, product: FloorProduct, guide: bool) -> FloorLaying:
    free = product.kind in ("mat", "board") or own.joints != "staggered"
    return FloorLaying.model_validate(
        {
            **json_of(own),
            "label": product.name,
            "kind": product.kind,
            "material": product.material,
            "length_mm": product.length_mm,
            "width_mm": product.width_mm,
            "thickness_mm": product.thickness_mm,
            "density_kg_m3": None,
            "mass_kg": None,
            "price_minor": product.price_minor if guide else None,
            "pack": 1,
            "by_metre": product.by_metre,
            "lasts_years": product.lasts_years,
            "joints": own.joints if free else None,
        }
    )


def account_of(house: Elbowroom, plan_id: str) -> tuple[State, Account]:
    """Return a plan as it stands, with its account. Raises NotFoundError, StoreError."""
    state = house.open(plan_id)
    accounts: Recent[str, Account] = house.memory(
        "accounts", ACCOUNTS_AT_MOST, ACCOUNTS_BYTES, _account_bytes
    )
    with house.lock(plan_id):
        known = accounts.get(plan_id)
        if known is None or known.plan is not state.plan:
            known = _account(state.plan, known)
            accounts.put(plan_id, known)
    with known.lock:
        # made under the lock, so that two that ask at once do not count twice
        _ = known.costs
    return state, known


def read_prices(house: Elbowroom, plan_id: str, text: str, author: str) -> tuple[str, ...]:
    """Take prices and standings out of a table; return what is wrong, row by row.

    Rows that are wrong are left out, the others are kept, all as one command.
    """
    plan = house.open(plan_id).plan
    money, problems = read_csv(text, plan)
    command = with_money(plan, money, "prices from a table")
    if command is not None:
        house.do(plan_id, command, author)
    return problems


def compare_costs(
    house: Elbowroom, plan_id: str, other_id: str
) -> tuple[Costs, Costs, tuple[Difference, ...]]:
    """Return the costs of two plans and the lines in which they differ.

    Raises CommandError for two currencies: nothing is converted.
    """
    one, other = account_of(house, plan_id)[1].costs, account_of(house, other_id)[1].costs
    try:
        return one, other, compare(one, other)
    except ValueError as error:
        raise CommandError(f"These cannot be compared: {error}.") from None


def _account(plan: Plan, known: Account | None) -> Account:
    """Return a plan's account; where only the purse changed, what was counted stays counted."""
    account = Account(plan, _scene(plan, known))
    if (
        known is not None
        and _furnished_alike(plan, known.plan)
        and len(known.laid_beside) < _BESIDE_AT_MOST
    ):
        # the same product on the same floor takes the same
        account.laid_beside.update(known.laid_beside)
        account.ways_on.update(known.ways_on)
    if known is not None and alike_but_for(plan, known.plan, ("phasing",)):
        counted = ("take_off", "costs")
        if len(known.judged) < JUDGED_AT_MOST:
            account.judged.update(known.judged)
        vars(account).update({name: vars(known)[name] for name in counted if name in vars(known)})
    return account


def alike_but_for(one: Plan, other: Plan, but_for: tuple[str, ...]) -> bool:
    """Return whether two plans say the same, whatever some fields of theirs say."""
    names = (name for name in type(one).model_fields if name not in but_for)
    return all(getattr(one, name) == getattr(other, name) for name in names)


def _scene(plan: Plan, known: Account | None) -> Scene:
    """Build the scene of a plan; where only fit-out and money changed the old one will do."""
    if known is not None and _furnished_alike(plan, known.plan):
        scene = copy.copy(known.scene)
        scene.plan = plan
        return scene
    return build_scene(plan)


def _furnished_alike(one: Plan, other: Plan) -> bool:
    rest = ("fit_out", "money", "phasing", "currency", "name", "drawn_for", "settled")
    return alike_but_for(one, other, rest)
