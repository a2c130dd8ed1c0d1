"""Plan files that are not kept anywhere: read, judged, drawn; and those that come along."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from app.library.known import check_known
from app.model.plan import Plan
from app.model.versions import load
from app.resources import folder
from app.scene.build import build_scene
from app.store.flags import numbered
from app.usecases.judged import find
from app.usecases.verdict import verdict_of


@dataclass(frozen=True, slots=True)
class Sample:
    """A plan that comes with the program."""

    key: str
    plan: Plan


def read_plan(text: str | bytes) -> Plan:
    """Read a plan file, look up what it names and see that it can be built. Raises PlanError."""
    plan = load(text)
    check_known(plan)
    build_scene(plan)
    return plan


def judge(plan: Plan) -> dict[str, Any]:
    """Return the verdict on a plan that is not kept anywhere, remedies included, as JSON data."""
    findings = find(build_scene(plan))
    numbers = numbered((snag.key for snag in findings.snags), {})
    return verdict_of(plan, findings.snags, numbers, findings.ways_out)


@cache
def samples() -> tuple[Sample, ...]:
    """Return the plans that come with the program, in the order of their file names."""
    files = sorted(folder("sample_rooms").glob("*.json"))
    return tuple(Sample(file.stem, read_plan(file.read_bytes())) for file in files)
