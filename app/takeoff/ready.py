"""What a household likely has and is to have ready: each once, with what for, without a price."""

from __future__ import annotations

from collections.abc import Sequence

from app.library.household import HAVE, household
from app.takeoff.jobs import Jobs
from app.takeoff.line import Line, Ready
from app.takeoff.supplies import HEATING


def ready(jobs: Jobs, lines: Sequence[Line]) -> tuple[Ready, ...]:
    """Return what to have ready for the jobs of a plan; `lines` are all that is on the list."""
    done, keys = _done(jobs, lines), {line.key for line in lines}
    wanted = []
    for row in household().values():
        what_for = tuple(job for job in row.jobs if done[job])
        if what_for and row.instead not in keys:
            wanted.append(Ready(f"{HAVE}{row.key}", row.name, ", ".join(what_for)))
    return tuple(wanted)


def _done(jobs: Jobs, lines: Sequence[Line]) -> dict[str, bool]:
    """Return whether each job that household things are used for is done."""
    keys = {line.key for line in lines}
    kit = jobs.scene.order
    return {
        # whoever begins looks for cables, pipes and what must not be sanded
        "looking": True,
        "damp test": jobs.on_ground and jobs.floor_worked,
        "mice": jobs.on_ground and jobs.floor_worked,
        "drying": jobs.dried,
        "clearing": not jobs.scene.plan.works.is_empty,
        "scrubbing": jobs.scrubbed,
        "coating the floor": jobs.floor_coated,
        "drilling": bool(jobs.holes or jobs.in_walls),
        "heating": bool(jobs.coats or jobs.floors) or any(p.kit.key in HEATING for p in kit),
        "picture on the wall": bool(jobs.pictures_m2),
        "alarms": "small.smoke-alarm" in keys,
        "floor covering": bool(jobs.floors),
        "ramps": "small.edge-ramp-1m" in keys,
        "light": bool(jobs.lights),
        "garage door": any(o.is_garage_door for o in jobs.scene.plan.room.openings),
        "light strip": any(line.part == "strip" for line in lines),
        "kit": any(not placed.piece.stays for placed in kit),
    }
