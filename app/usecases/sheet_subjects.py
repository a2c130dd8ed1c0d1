"""All that the sheets of a plan are drawn from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from app.checks.snag import Snag
from app.drawing.picture import Picture, picture
from app.drawing.picture_view import View
from app.drawing.sheet import TitleFields
from app.errors import PlanError
from app.model.phasing import month_of
from app.model.plan import Plan
from app.scene.build import Scene
from app.usecases.accounts import Account
from app.usecases.judged import Judged
from app.usecases.verdict import settled_by
from app.usecases.works import PlannedWorks, planned
from app.works.goal import has_purse
from app.works.paid_when import PaidWhen, paid_when
from app.works.task import next_half_hour_min


@dataclass(frozen=True)
class Subjects:
    """All that sheets are drawn from: a judged plan, its account, what the title block says.

    `money`: with the sheets of the household's purse; `prices`: with what things cost.
    """

    judged: Judged
    account: Account
    fields: TitleFields
    flags: bool = True
    money: bool = True
    prices: bool = True

    @property
    def scene(self) -> Scene:
        """The plan as geometry."""
        return self.judged.scene

    @property
    def plan(self) -> Plan:
        """The plan."""
        return self.judged.state.plan

    @cached_property
    def first_picture(self) -> Picture:
        """The picture from the first corner: of the cover, and of its own sheet."""
        return picture(self.scene, View(0))

    @cached_property
    def works(self) -> PlannedWorks:
        """The works as they are planned today: of their own sheet, and of what is ordered when."""
        at = datetime.now()
        return planned(self.account, at.date(), next_half_hour_min(at))

    @cached_property
    def paid(self) -> PaidWhen | None:
        """What the household's purse does to the works; None where it has none or it is not told.

        What is bought when is told to whoever may change the plan.
        """
        ready = self.works.ready
        if ready is None or not (self.money and self.fields.statures and has_purse(self.plan)):
            return None
        try:
            months = self.account.months(month_of(self.works.today), ready)
        except PlanError:
            return None
        return paid_when(ready, months)

    def snags(self) -> tuple[list[Snag], list[Snag]]:
        """Return the snags that are open and those that are settled."""
        settled = {entry.id: entry for entry in self.plan.settled}
        still: list[Snag] = []
        shut: list[Snag] = []
        for snag in self.judged.snags:
            (still if settled_by(settled, snag.key, snag) is None else shut).append(snag)
        return still, shut
