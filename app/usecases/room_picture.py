"""The picture beside the plan: drawn once a revision, and following each step of a drag."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from app.drawing.picture_order import Compared
from app.drawing.picture_sheet import picture_figure, picture_words
from app.drawing.picture_steps import Base, base_of
from app.drawing.picture_view import CORNERS
from app.errors import CommandError
from app.model.kit import Pose
from app.published.register import overridden
from app.recent import Recent
from app.store.entries import State
from app.usecases.accounts import account_of
from app.usecases.plans import Elbowroom


@dataclass(frozen=True, slots=True)
class Shown:
    """The picture as a page shows it: of which state, as markup, in words, with doors to open."""

    state: State
    svg: str
    words: tuple[str, ...]
    opens: bool


def shown_picture(
    house: Elbowroom, plan_id: str, corner: int = 0, *, door_open: bool = False
) -> Shown:
    """Draw the room from a corner, people at their movements, garage doors shut or open."""
    state, account = account_of(house, plan_id)
    with account.lock, overridden({one.id: one.value for one in state.plan.overrides}):
        scene = account.scene.in_training().with_doors(door_open)
        framed, drawn = picture_figure(scene, corner)
        return Shown(state, framed.svg, picture_words(drawn), scene.room.opens)


PICTURES_AT_MOST = 8
"""Pictures that are remembered: the plans that are open, each from a corner or two."""
PICTURES_BYTES = 120_000_000
"""What they hold together: one of 300 pieces is some 30 MB."""
_BYTES_A_PART = 3000
"""What one part of a face holds with its geometry and its markup, as measured."""


@dataclass(frozen=True, slots=True)
class _Key:
    plan_id: str
    revision: int
    corner: int


def room_picture(
    house: Elbowroom, plan_id: str, corner: int, poses: Mapping[str, Pose], against: int | None
) -> dict[str, Any]:
    """Return the picture of the newest revision with pieces at other poses, as JSON data.

    With `against`, a revision whose picture is at hand, only what that has not is drawn; all of it
    where it is not the newest any more. Raises CommandError for a piece that is not in the plan.
    """
    seen = house.judged(plan_id)
    strange = [piece_id for piece_id in poses if piece_id not in seen.scene.placed]
    if strange:
        raise CommandError(f"There is no piece {strange[0]!r} in the plan.")
    state = seen.state
    known: Recent[_Key, Base] = house.memory(
        "pictures", PICTURES_AT_MOST, PICTURES_BYTES, _base_bytes
    )
    key = _Key(plan_id, state.revision, corner % CORNERS)
    with overridden({one.id: one.value for one in state.plan.overrides}):
        base = known.get(key)
        if base is None:
            base = base_of(seen.scene, corner % CORNERS)
            known.put(key, base)
        step = base.step(poses) if poses else base.whole
        answer: dict[str, Any] = {"revision": state.revision, "order": step.order}
        if against == state.revision:
            return answer | {"drawn": step.drawn if poses else ""}
        return answer | {
            "whole": base.whole.drawn,
            "drawn": step.drawn if poses else "",
            "box": base.box,
            "ghosts": base.ghosts,
            "along": base.view.on_paper,
            "words": picture_words(base.picture),
        }


def _base_bytes(base: Base) -> int:
    parts: Compared = base.compared
    return len(parts.parts) * _BYTES_A_PART
