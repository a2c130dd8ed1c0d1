"""A form that was sent: carried out, or shown again with what was typed and what is wrong in it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from html import escape

from flask import redirect, request
from werkzeug.wrappers import Response as AnyResponse

from app.changes.conflict_words import both_in_words
from app.changes.merging import ClashError
from app.errors import ElbowroomError, PlanError
from app.usecases.carrying_out import STEPS, Asked, Editor, OlderPageError, Outcome, carry_out
from app.usecases.history import names_of
from app.web.api.shown import limits_of_asker
from app.web.errors import status_of
from app.web.guard.requester import author
from app.web.house import house

NOT_FIELDS = frozenset({"edit", "of", "revision", "insist"})
"""What a form carries beside its fields."""
_NUMBER = re.compile(r"[0-9]{1,12}")


@dataclass(frozen=True, slots=True)
class Refused:
    """A form that could not be kept: which one, what was typed, what is wrong with it.

    `insist` is the revision that it may be put through against, where another one was told;
    `stray` tells that the page has no such form any more.
    """

    edit: str = ""
    typed: Mapping[str, str] = field(default_factory=dict)
    faults: Mapping[str, str] = field(default_factory=dict)
    insist: int | None = None
    stray: bool = False


def number_of(text: str) -> int | None:
    """Return the number of a revision as a form carries it, None for anything else."""
    return int(text) if _NUMBER.fullmatch(text) else None


def asked_by(form: Mapping[str, str]) -> Asked:
    """Return what a form asks for."""
    return Asked(
        form.get("edit", ""),
        {name: text for name, text in form.items() if name not in NOT_FIELDS},
        number_of(form.get("revision", "")),
        number_of(form.get("insist", "")),
    )


def take_form(
    plan_id: str,
    editor: Editor,
    show: Callable[[Refused], str],
    lead: Callable[[Mapping[str, str], Outcome], str],
    form: Mapping[str, str] | None = None,
) -> AnyResponse | tuple[str, int]:
    """Carry out the form of the request and lead on, or show it again with all that was typed.

    `lead` says which page of the plan comes then, as the end of its address; `show` renders the
    page with the form that was refused.
    """
    form = request.form.to_dict() if form is None else form
    try:
        outcome = carry_out(house(), plan_id, editor, asked_by(form), author(), limits_of_asker())
    except ElbowroomError as error:
        if form.get("edit") in STEPS:
            raise
        again = refused(form, error)
        page = show(again)
        if escape(f'value="{again.edit}"', quote=False) not in page:
            page = show(replace(again, stray=True))
        return page, status_of(error)
    return redirect(f"{request.script_root}/plan/{plan_id}/{lead(form, outcome)}", 303)


def refused(form: Mapping[str, str], error: ElbowroomError) -> Refused:
    """Return the form as it is shown again; faults of fields that it lacks belong to all of it."""
    edit = form.get("edit", "")
    if isinstance(error, PlanError):
        faults: dict[str, str] = {}
        for fault in error.faults:
            faults.setdefault(fault.field if fault.field in form else "", fault.sentence)
        return Refused(edit, form, faults or {"": error.sentence})
    if isinstance(error, ClashError):
        insist = None if error.insisting is None else error.revision
        return Refused(edit, form, {"": _both(error)}, insist)
    if isinstance(error, OlderPageError):
        form = {name: text for name, text in form.items() if name != "revision"}
    return Refused(edit, form, {"": error.sentence})


def _both(error: ClashError) -> str:
    """Return both versions of what two people changed, as one sentence or two."""
    theirs, mine = both_in_words(error, {**names_of(error.now), **names_of(error.base)})
    now, typed = "; ".join(theirs), "; ".join(mine)
    return f"This was changed meanwhile. It is now: {now}. Yours: {typed}. Nothing is lost."
