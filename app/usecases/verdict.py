"""A verdict as JSON data: the same for the pages, the API and the command line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from app.arrange.remedy import Remedy, WaysOut
from app.checks.snag import Snag, source
from app.model.base import json_of
from app.model.plan import Plan, Settled

Row = dict[str, Any]
"""One snag of a verdict as JSON data."""
ALIKE = 0.5
"""A settled snag returns when a number of it has changed by more than this (mm, or its unit)."""


def verdict_of(
    plan: Plan,
    snags: Iterable[Snag],
    numbers: Mapping[str, int],
    ways_out: WaysOut | None = None,
    known: Mapping[str, tuple[Snag, Row]] | None = None,
) -> dict[str, Any]:
    """Return a verdict as JSON data: counts of the open snags, and every snag, settled ones too.

    `known` are snags by their keys with rows that were written of them, of the same plan and with
    the same numbers: a drag leaves most snags as they were, and their words take long to make.
    """
    settled = {entry.id: entry for entry in plan.settled}
    counts = {"stop": 0, "care": 0, "note": 0}
    rows = []
    for snag in snags:
        key = snag.key
        before = known.get(key) if known else None
        # most are the very same, and no two are compared field by field without need
        if before is not None and (before[0] is snag or before[0] == snag):
            row = before[1]
        else:
            entry = settled_by(settled, key, snag)
            row = _row(plan, snag, numbers.get(key), entry, ways_out or WaysOut())
        if row["settled"] is None:
            counts[snag.severity] += 1
        rows.append(row)
    return {"plan": plan.name, "counts": counts, "snags": rows}


def _row(plan: Plan, snag: Snag, number: int | None, entry: Settled | None, ways: WaysOut) -> Row:
    remedy = ways.remedies.get(snag.key)
    return {
        "key": snag.key,
        "number": number,
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
        "tried": ways.tried.get(snag.key),
        "settled": None if entry is None else {"reason": entry.reason, "on": entry.on.isoformat()},
    }


def changed_rows(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, Any] | None:
    """Return what makes one verdict on a plan into another, as JSON data.

    `gone` are the keys of rows that fall away, `rows` those that are new, changed or out of their
    order, each with its place in the list to come, from the first on. Who leaves out both from
    the list before, and puts each of `rows` in at its place, has the list after. None where a key
    stands twice, so that a row cannot be named.
    """
    places = {row["key"]: place for place, row in enumerate(before["snags"])}
    keys = {row["key"] for row in after["snags"]}
    if len(places) < len(before["snags"]) or len(keys) < len(after["snags"]):
        return None
    rows = []
    last = -1
    for at, row in enumerate(after["snags"]):
        place = places.get(row["key"], -1)
        # what stays must stand in the order it had, else it is put in again like a new one
        if place > last and before["snags"][place] == row:
            last = place
        else:
            rows.append({"at": at, "row": row})
    gone = [key for key in places if key not in keys]
    return {"counts": after["counts"], "gone": gone, "rows": rows}


def remedy_json(remedy: Remedy) -> dict[str, Any]:
    """Return a remedy as JSON data."""
    return {"sentence": remedy.sentence, "commands": [json_of(c) for c in remedy.commands]}


@cache
def _source(key: str) -> dict[str, Any]:
    origin = source(key)
    return {"key": key, "title": origin.title, "clause": origin.clause, "status": origin.status}


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
