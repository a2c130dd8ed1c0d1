"""A verdict as JSON data: the same for the pages, the API and the command line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from app.arrange.ways_out import Remedy
from app.checks.snag import Snag, source
from app.model.base import json_of
from app.model.plan import Plan, Settled

ALIKE = 0.5
"""A settled snag returns when a number of it has changed by more than this (mm, or its unit)."""


def verdict_of(
    plan: Plan,
    snags: Iterable[Snag],
    numbers: Mapping[str, int],
    ways_out: Mapping[str, Remedy] | None = None,
) -> dict[str, Any]:
    """Return a verdict as JSON data: counts of the open snags, and every snag, settled ones too."""
    settled = {entry.id: entry for entry in plan.settled}
    counts = {"stop": 0, "care": 0, "note": 0}
    told = []
    for snag in snags:
        key = snag.key
        entry = settled_by(settled, key, snag)
        if entry is None:
            counts[snag.severity] += 1
        remedy = (ways_out or {}).get(key)
        told.append(
            {
                "key": key,
                "number": numbers.get(key),
                "code": snag.code,
                "severity": snag.severity,
                "who": snag.who,
                "sentence": snag.worded(plan.units),
                "lines": list(snag.lines(plan.units)),
                "pieces": list(snag.pieces),
                "person": snag.person,
                "movement": snag.movement,
                "situation": snag.situation,
                "measured": snag.measured,
                "required": snag.required,
                "need": snag.need,
                "unit": snag.unit,
                "working": [{"label": label, "value": value} for label, value in snag.working],
                "sources": [_source(source_key) for source_key in snag.source_keys],
                "where": None if snag.where is None else {"x": snag.where[0], "y": snag.where[1]},
                "remedy": None if remedy is None else remedy_json(remedy),
                "settled": None
                if entry is None
                else {"reason": entry.reason, "on": entry.on.isoformat()},
            }
        )
    return {"plan": plan.name, "counts": counts, "snags": told}


def remedy_json(remedy: Remedy) -> dict[str, Any]:
    """Return a remedy as JSON data."""
    return {"sentence": remedy.sentence, "commands": [json_of(c) for c in remedy.commands]}


@cache
def _source(key: str) -> dict[str, Any]:
    found = source(key)
    return {"key": key, "title": found.title, "clause": found.clause, "status": found.status}


def settled_by(settled: Mapping[str, Settled], key: str, snag: Snag) -> Settled | None:
    """Return what settles a snag; one whose numbers have changed is open again."""
    entry = settled.get(key)
    if entry is None or not _near(entry.measured, snag.measured):
        return None
    return entry if _near(entry.required, snag.required) else None


def _near(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) <= ALIKE
