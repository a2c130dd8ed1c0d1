"""A verdict for those who only look on: nobody is called by their stature."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from app.checks.headroom import person_name
from app.checks.snag import Snag
from app.usecases.judged import Judged
from app.wording import Phrase

SOMEBODY = "somebody"


def for_lookers(seen: Judged) -> Judged:
    """Return a judged plan in whose words those without a name are somebody."""
    plan = seen.state.plan
    statures = {person_name(one, plan.units) for one in plan.people if not one.label}
    if not statures:
        return seen
    snags = tuple(_without(snag, statures) for snag in seen.findings.every_snag)
    return replace(seen, findings=replace(seen.findings, every_snag=snags))


def _without(snag: Snag, statures: set[str]) -> Snag:
    names, values, parts = (_out(of, statures) for of in (snag.names, snag.values, snag.parts))
    return replace(snag, names=names, values=values, parts=parts)


def _out(value: Any, statures: set[str]) -> Any:
    """Return a value of a sentence with statures taken out of its texts; lengths are no texts."""
    if isinstance(value, str):
        for one in statures:
            value = value.replace(one, SOMEBODY)
        return value
    if isinstance(value, tuple):
        return tuple(_out(one, statures) for one in value)
    if isinstance(value, Phrase):
        return replace(value, values=_out(value.values, statures))
    return value
