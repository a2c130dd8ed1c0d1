"""Judging a plan come what may: one on which the judge itself fails still opens, and says so."""

from __future__ import annotations

import logging
from collections.abc import Callable

from app.checks.run import in_order, run
from app.checks.snag import Snag
from app.errors import ElbowroomError, EndingError, OutdatedError, UnbuildableError
from app.library.known import unused_values
from app.model.plan import Plan
from app.scene.build import Scene, build_scene
from app.store.entries import State

Judge = Callable[[Scene, bool], tuple[Snag, ...]]
"""What finds the snags of a scene; with False only the checks that a drag waits for."""

NOT_JUDGED = Snag(
    code="not-judged",
    severity="stop",
    template=(
        "The program failed while it judged this plan: nothing here says whether anything fits. "
        "What was drawn is unharmed. Undo the last change, or go back to an earlier day of its "
        "history."
    ),
    names=("this plan",),
    unit=None,
)


def snags_or_fault(scene: Scene, full: bool = True, judge: Judge = run) -> tuple[Snag, ...]:
    """Return what is found in a scene, or the one stop that says that it could not be judged."""
    try:
        return judge(scene, full)
    except (EndingError, OutdatedError):
        raise
    except Exception:
        # whatever it is, the plan must open: else nobody could take back what brought it about
        logging.getLogger(__name__).exception("a plan could not be judged")
        return (NOT_JUDGED,)


def scene_or_fault(plan: Plan) -> Scene:
    """Return the scene of a plan that is kept. Raises UnbuildableError, whatever is the matter."""
    try:
        return build_scene(plan)
    except Exception as error:
        logging.getLogger(__name__).exception("a plan could not be built")
        why = error.sentence if isinstance(error, ElbowroomError) else "the program failed at it"
        raise UnbuildableError(f"This plan cannot be drawn or judged any more: {why}.") from error


def with_what_is_unused(scene: Scene, snags: tuple[Snag, ...]) -> tuple[Snag, ...]:
    """Return the snags of a plan, and a note where values that it sets are not used."""
    unused = unused_values(scene.plan)
    if not unused:
        return snags
    note = Snag(
        code="values-unused",
        severity="note",
        template="Set otherwise to what they cannot be, and so not used: {}.",
        values=(", ".join(f"{one.id} ({one.value:g})" for one in unused),),
        names=("published values",),
        unit=None,
    )
    return in_order((*snags, note))


def with_what_is_lost(state: State, snags: tuple[Snag, ...]) -> tuple[Snag, ...]:
    """Return the snags of a plan, and one more where it could not all be read from the file."""
    if not state.out_of_reach_says:
        return snags
    lost = Snag(
        code="out-of-reach",
        severity="care",
        template="{}",
        values=(state.out_of_reach_says,),
        names=("what was kept",),
        unit=None,
    )
    return in_order((lost, *snags))
