"""What solvent in a room asks for: no flame, the freezer off, and for how long that goes on."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from app.published.register import published
from app.scene.build import Scene
from app.works.contents import COLD_STORES
from app.works.programme import Programme

SECONDS_AN_HOUR = 3600
"""By definition."""


def fumes(scene: Scene, made: Programme) -> Iterator[str]:
    """Return what is to be said where a coat gives off solvent.

    A freezer is off from the start of such a coat till it is dry; coats that follow sooner count
    as one time. It says so where that is longer than food keeps.
    """
    spans = [
        (one.starts, one.dry or one.ends) for one in made.tasks if one.task.solvent and not one.done
    ]
    if not spans:
        return
    longest = max(_hours(start, end) for start, end in _joined(spans))
    yield (
        "While solvent is in the air nobody trains or sleeps there: doors open, boiler and pilot "
        "lights off, no heater or switch that sparks."
    )
    cold = [placed.name for placed in scene.order if placed.kit.key in COLD_STORES]
    keeps = published("works.freezer-shut-h")
    if not cold:
        return
    name = cold[0]
    if longest <= keeps:
        yield f"{name}: off for {longest:.0f} h at a time, shut and full it keeps {keeps:.0f} h."
    else:
        yield (
            f"{name}: it would be off for {longest:.0f} h, and shut and full it keeps its food "
            f"{keeps:.0f} h. Move the food, or take water-based paint."
        )


def _hours(start: datetime, end: datetime) -> float:
    return (end - start).total_seconds() / SECONDS_AN_HOUR


def _joined(spans: list[tuple[datetime, datetime]]) -> list[tuple[datetime, datetime]]:
    """Join times of which one begins before the last has ended."""
    made: list[tuple[datetime, datetime]] = []
    for start, end in sorted(spans):
        if made and start <= made[-1][1]:
            made[-1] = made[-1][0], max(made[-1][1], end)
        else:
            made.append((start, end))
    return made
