"""All that the sheets of a plan are drawn from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from app.checks.snag import Snag
from app.drawing.picture import Picture, picture
from app.drawing.picture_view import CORNERS, View
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

SEEN_AS_WELL = 0.1
"""By so much less of somebody may be seen from the opposite corner than from another one, as a
share of their points: it shows the other two sides of everything."""


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
        return self.picture_from(0)

    @cached_property
    def _pictures(self) -> dict[int, Picture]:
        return {}

    def picture_from(self, corner: int) -> Picture:
        """Return the picture from a corner, drawn once."""
        if corner not in self._pictures:
            self._pictures[corner] = picture(self.scene, View(corner))
        return self._pictures[corner]

    @cached_property
    def other_corner(self) -> int:
        """The corner of the set's second picture: the opposite one, unless it hides who trains."""
        corners = (CORNERS // 2, *(c for c in range(1, CORNERS) if c != CORNERS // 2))
        if not self.first_picture.figures:
            return corners[0]
        shares = [self.picture_from(c).names.people_seen for c in corners]
        best = max(shares)
        return corners[0] if shares[0] >= best - SEEN_AS_WELL else corners[shares.index(best)]

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
