"""Light strip behind what hangs before its wall: no drill comes there, and no light out."""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.snag import Snag
from app.scene.build import Scene
from app.wording import lower


def strips_hidden(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each thing that hangs before a run of light strip on a wall."""
    runs = scene.plan.fit_out.strips
    if runs and scene.plan.room.low_things:
        yield from scene.memo(("strip-hidden", runs), lambda: tuple(_all(scene)))


def _all(scene: Scene) -> Iterator[Snag]:
    # the take-off is not needed to judge anything else, and takes a while to load
    from app.takeoff.calling import in_front, strip_called
    from app.takeoff.strip_ways import hidden_stretches

    walls = {wall.id for wall in scene.room.walls}
    for run in scene.plan.fit_out.strips:
        for hidden in hidden_stretches(scene, run) if run.wall in walls else ():
            called = strip_called(scene, run)
            yield Snag(
                code=f"strip-hidden-{run.id}",
                severity="care",
                template="{}: the {} hangs before it from {:bare} to {:mm} along the wall. No "
                "drill comes there and no light out: hang it under {:mm}, or elsewhere.",
                values=(
                    in_front(called),
                    lower(hidden.name),
                    hidden.from_mm,
                    hidden.to_mm,
                    hidden.under_mm,
                ),
                names=(called, lower(hidden.name)),
                unit=None,
            )
