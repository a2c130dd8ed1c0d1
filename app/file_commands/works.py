"""The works of a plan file: when each task is done, what to order, when the first training is."""

from __future__ import annotations

import argparse
import json
from datetime import UTC, date, datetime
from pathlib import Path

from app.costs.cost import costs
from app.errors import one_line
from app.file_commands.plan_file import FileProblem, read
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.works.calendar_file import calendar_file
from app.works.report import as_json, as_text
from app.works.task import WorksError, next_half_hour_min
from app.works.works import works


def planned(asked: argparse.Namespace) -> int:
    """Print the works, or write them as a calendar; return the exit code."""
    plan = read(asked.plan)
    at = datetime.now()
    today, now_min = at.date(), next_half_hour_min(at)
    if asked.start is not None:
        try:
            today, now_min = date.fromisoformat(asked.start), 0
        except ValueError:
            raise WorksError(
                f"{asked.start[:40]!r} is no day: write it as 2027-03-01, year, month and day."
            ) from None
    scene = build_scene(plan)
    needs = take_off(scene)
    answer = works(scene, needs, costs(scene, needs), today, now_min=now_min)
    if asked.output is not None:
        _write(asked.output, calendar_file(answer, asked.plan.stem, datetime.now(UTC)))
    elif asked.json:
        print(json.dumps(as_json(answer), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        for line in as_text(answer):
            print(one_line(line))
    return 0


def _write(path: Path, data: bytes) -> None:
    try:
        path.write_bytes(data)
    except OSError as error:
        raise FileProblem(f"{path} cannot be written: {error.strerror}.") from None
