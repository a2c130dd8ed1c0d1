"""Every movement under one flat ceiling: the judge's headroom without a plan."""

from __future__ import annotations

from dataclasses import dataclass

from app.checks.snag import Severity
from app.formulas.headroom import Term, demand
from app.library.movements import movements
from app.scene.tolerance import falls_short


@dataclass(frozen=True, slots=True)
class Row:
    """One movement as if it were wanted. Heights in mm from the bare floor.

    `spare_mm` is what is left above `need_mm`, negative where the margin is missing; `severity`
    is None where there is no snag. `working` are the terms of the need.
    """

    movement: str
    name: str
    least_mm: float
    need_mm: float
    clear_mm: float
    spare_mm: float
    severity: Severity | None
    working: tuple[Term, ...]


def table(
    ceiling_mm: float,
    stature_mm: float,
    reach_mm: float | None = None,
    floor_mm: float = 0.0,
    plate_mm: float | None = None,
) -> tuple[Row, ...]:
    """Judge every movement of the library under a level ceiling.

    `ceiling_mm` is from the bare floor, `floor_mm` the covering, `plate_mm` the diameter of the
    plates, `reach_mm` the measured grip reach.
    """
    rows = []
    for movement in movements().values():
        held = plate_mm / 2 if plate_mm is not None and movement.held == "bar" else None
        asked = demand(movement.key, stature_mm, reach_mm, floor_mm, held_mm=held)
        severity: Severity | None = None
        if falls_short(ceiling_mm, asked.need_mm):
            severity = "stop" if falls_short(ceiling_mm, asked.least_mm) else "care"
        rows.append(
            Row(
                movement.key,
                movement.name,
                asked.least_mm,
                asked.need_mm,
                ceiling_mm,
                ceiling_mm - asked.need_mm,
                severity,
                asked.need,
            )
        )
    return tuple(rows)
