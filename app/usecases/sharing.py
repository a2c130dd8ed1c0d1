"""The use cases of sharing: links for guests, remarks on the plan, votes, what others see."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from app.model.turning import turned_point
from app.store.plans import OWNER as OWNER
from app.store.sharing import Link as Link
from app.store.sharing import Remark as Remark
from app.store.sharing import Rights as Rights
from app.store.sharing import Vote as Vote
from app.usecases.news import Board as Board
from app.usecases.news import News as News
from app.usecases.plans import Elbowroom

MOST_HOURS = 24.0 * 3660
"""Ten years: longer than a link lives, which is refused with a sentence, and a date still."""


def make_link(
    house: Elbowroom,
    plan_id: str,
    name: str,
    rights: str,
    hours: float,
    ticks: bool = False,
    money: bool = False,
) -> tuple[Link, str]:
    """Make a link that opens a plan for so many hours; give it with its secret.

    With `money` what the kit costs is shared too. The secret is told this once. Raises
    NotFoundError, PlanError.
    """
    ends = datetime.now(UTC) + timedelta(hours=min(hours, MOST_HOURS))
    return house.store.sharing.make_link(plan_id, name, rights, ends, ticks, money)


def links(house: Elbowroom, plan_id: str) -> tuple[Link, ...]:
    """List the links of a plan that open it now, the newest first. Raises NotFoundError."""
    return tuple(link for link in house.store.sharing.links(plan_id) if link.lives())


def renew(house: Elbowroom, plan_id: str, link_id: str) -> tuple[Link, str]:
    """Give a link another secret, told this once; the old one is shut. Raises NotFoundError."""
    return house.store.sharing.renew(plan_id, link_id)


def withdraw(house: Elbowroom, plan_id: str, link_id: str) -> None:
    """Shut a link at once, for open pages too. Raises NotFoundError."""
    house.store.sharing.withdraw(plan_id, link_id)


def opened_by(house: Elbowroom, secret: str) -> Link | None:
    """Return the link that a secret opens now, None for any other secret."""
    return house.store.sharing.opened_by(secret)


def still_open(house: Elbowroom, link: Link) -> bool:
    """Return whether a link opens still."""
    return house.store.sharing.link(link.id).lives()


def remarks(house: Elbowroom, plan_id: str) -> tuple[Remark, ...]:
    """List the remarks on a plan in the order of their letters. Raises NotFoundError.

    Each lies where the plan as it is turned now has the place that was meant.
    """
    every_remark = house.store.sharing.remarks(plan_id)
    quarters = house.open(plan_id).plan.quarter_turns if every_remark else 0
    return tuple(_turned(remark, quarters) for remark in every_remark)


def _turned(remark: Remark, quarters: int) -> Remark:
    x, y = turned_point((remark.x_mm, remark.y_mm), quarters)
    return replace(remark, x_mm=x, y_mm=y)


def add_remark(
    house: Elbowroom, plan_id: str, x_mm: float, y_mm: float, text: str, voice: str, author: str
) -> int:
    """Pencil a letter on the plan and give the remark's id. Raises NotFoundError, PlanError."""
    # kept as on the plan before anybody turned it, so that a turn leaves it at its place
    x, y = turned_point((x_mm, y_mm), -house.open(plan_id).plan.quarter_turns)
    made = house.store.sharing.add_remark(plan_id, x, y, text, voice, author)
    house.board.remarked(plan_id)
    return made


def reply(
    house: Elbowroom, plan_id: str, remark_id: int, text: str, voice: str, author: str
) -> None:
    """Answer a remark. Raises NotFoundError, PlanError."""
    house.store.sharing.reply(plan_id, remark_id, text, voice, author)
    house.board.remarked(plan_id)


def settle(house: Elbowroom, plan_id: str, remark_id: int, settled: bool, author: str) -> None:
    """Settle a remark, or open it again. Raises NotFoundError."""
    house.store.sharing.settle_remark(plan_id, remark_id, settled, author)
    house.board.remarked(plan_id)


def votes(house: Elbowroom, plan_id: str) -> tuple[Vote, ...]:
    """List the votes on a plan. Raises NotFoundError."""
    return house.store.sharing.votes(plan_id)


def vote(house: Elbowroom, plan_id: str, voice: str, author: str, choice: str) -> None:
    """Vote on the plan as it stands. Raises NotFoundError, PlanError."""
    house.store.sharing.vote(plan_id, voice, author, choice)
    house.board.remarked(plan_id)
