"""A verdict for those who only look on: nobody is called by their stature, no weight is told."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from app.checks.fixings import OF_PERSON
from app.checks.headroom import person_name
from app.checks.snag import Snag
from app.usecases.judged import Judged
from app.wording import Phrase

SOMEBODY = "somebody"


def for_lookers(seen: Judged) -> Judged:
    """Return a judged plan in whose words those without a name are somebody, of whatever weight."""
    plan = seen.state.plan
    private = {person_name(one, plan.units) for one in plan.people if not one.label}
    weights = {one.mass_kg for one in plan.people if one.mass_kg}
    if not (private or weights):
        return seen
    snags = tuple(_without(snag, private, weights) for snag in seen.findings.every_snag)
    return replace(seen, findings=replace(seen.findings, every_snag=snags))


def _without(snag: Snag, private: set[str], weights: set[float]) -> Snag:
    in_sentence = (snag.names, snag.values, snag.parts)
    names, values, parts = (_out(of, private, weights) for of in in_sentence)
    return replace(snag, names=names, values=values, parts=parts)


def _out(value: Any, private: set[str], weights: set[float]) -> Any:
    """Return a value of a sentence with what is told of people taken out of its texts."""
    if isinstance(value, str):
        for one in private:
            value = value.replace(one, SOMEBODY)
        return value
    if isinstance(value, tuple):
        return tuple(_out(one, private, weights) for one in value)
    if isinstance(value, Phrase):
        if value.template == OF_PERSON and value.values[0] in weights:
            return SOMEBODY
        return replace(value, values=_out(value.values, private, weights))
    return value
