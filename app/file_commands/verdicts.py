"""What the judge says of a plan file, or of one person under one ceiling."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from app.checks.headroom_table import table
from app.errors import Fault, PlanError, one_line
from app.file_commands.plan_file import read
from app.model.faults import plan_error
from app.model.people import Person
from app.usecases.files import judge
from app.wording import open_words


def check(path: Path, as_json: bool) -> int:
    """Print the verdict on a plan file; return 1 where a stop is open."""
    verdict = judge(read(path))
    if as_json:
        print(json.dumps(verdict, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        _tell(verdict)
    return 1 if verdict["counts"]["stop"] else 0


def headroom(asked: argparse.Namespace) -> int:
    """Print every movement of one person under one ceiling; return the exit code."""
    person = _person(asked.stature, asked.reach)
    if asked.plate is not None and not asked.plate > 0:
        raise PlanError(Fault("--plate", "must be more than nothing"))
    covering = asked.floor or 0.0
    if not asked.ceiling > covering:
        raise PlanError(Fault("--ceiling", "must be higher than the floor covering is thick"))
    rows = table(
        asked.ceiling, person.stature_mm, person.reach_mm, (asked.floor or 0.0), asked.plate
    )
    if asked.json:
        movements = [
            {
                "movement": row.movement,
                "least": row.least_mm,
                "need": row.need_mm,
                "clear": row.clear_mm,
                "spare": row.spare_mm,
                "severity": row.severity,
                "working": [{"label": t.label, "mm": t.mm, "key": t.key} for t in row.working],
            }
            for row in rows
        ]
        print(json.dumps({"movements": movements}, indent=1, allow_nan=False))
        return 0
    for row in rows:
        word = {"stop": "too low", "care": "tight", None: "fits"}[row.severity]
        print(
            f"{row.name:28} {word:8} least {row.least_mm:6.0f}  need {row.need_mm:6.0f}  "
            f"spare {row.spare_mm:6.0f}"
        )
    return 0


def _person(stature_mm: float, reach_mm: float | None) -> Person:
    try:
        return Person(id="person", stature_mm=stature_mm, reach_mm=reach_mm)
    except ValidationError as error:
        raise plan_error(error) from None


def _tell(verdict: dict[str, Any]) -> None:
    counts = verdict["counts"]
    settled = sum(1 for snag in verdict["snags"] if snag["settled"])
    more = f", {settled} settled" if settled else ""
    print(f"{one_line(verdict['plan'])}: {open_words(counts)}{more}")
    for snag in verdict["snags"]:
        word = "settled" if snag["settled"] else snag["severity"]
        print(f"{snag['number']:>3} {word:7} {one_line(snag['who'])}: {one_line(snag['sentence'])}")
        if snag["remedy"]:
            print(f"{'':11} -> {one_line(snag['remedy']['sentence'])}")
        elif snag["tried"]:
            print(f"{'':11} -- {one_line(snag['tried'])}")
