"""The tasks round the kit: mirror, delivery, building, bolting down, trying, locking away."""

from __future__ import annotations

import math
from collections.abc import Sequence

from app.checks.getting_in import heaviest_part_kg
from app.library.parcels import parcels
from app.published.register import published
from app.scene.build import Placed, Scene
from app.takeoff.jobs import Jobs
from app.units import HOURS_A_DAY, MINUTES_AN_HOUR
from app.wording import lower
from app.works.maker import Maker
from app.works.painting import drilling_caution
from app.works.task import After

BUILT_AS = {
    "short-rack": "rack", "mid-rack": "rack", "full-rack": "rack", "tall-rack": "rack",
    "half-rack": "rack", "folding-wall-rack": "folding-rack", "squat-stands": "squat-stands",
    "guided-bar": "guided-bar", "flat-bench": "flat-bench", "adjustable-bench": "adjustable-bench",
    "leg-bench": "adjustable-bench", "upright-bench": "adjustable-bench",
    "plate-tree": "plate-tree", "dumbbell-rack-2": "dumbbell-rack",
    "dumbbell-rack-3": "dumbbell-rack", "kettlebell-shelf": "dumbbell-rack",
    "cable-column": "cable-column", "wall-pulley": "pull-up-bar", "double-cable": "cable-double",
    "multi-station": "multi-station", "pull-down": "pull-down", "leg-machine": "pull-down",
    "leg-press": "multi-station", "running-machine": "running-machine",
    "curved-runner": "running-machine", "walking-pad": "rower", "bike": "bike",
    "bike-lying": "bike", "fan-bike": "bike", "rower": "rower", "pull-ergometer": "rower",
    "cross-trainer": "cross-trainer", "stair-machine": "cross-trainer",
    "standing-bag": "standing-bag", "hung-bag": "hung-bag", "pull-up-bar-wall": "pull-up-bar",
    "pull-up-bar-ceiling": "pull-up-bar", "pull-up-tower": "squat-stands",
    "dip-station": "squat-stands", "wall-bars": "wall-bars", "platform": "platform",
    "jump-box": "jump-box",
}  # fmt: skip
"""Which row of hours a kit type is built by; those that need no building are not here."""

NOTHING_TO_BUILD = frozenset(
    {
        "bar-20", "bar-15", "short-bar", "thin-bar", "curl-bar", "hex-bar",
        "adjustable-dumbbells", "rubber-plates", "iron-plates", "thin-plates",
        "mat-space", "skipping-space", "swing-space", "step", "fan", "heater", "radiant-panel",
        "dehumidifier", "fridge", "chest-freezer", "washing-machine", "boiler", "consumer-unit",
        "mirror", "screen", "shelving", "car", "motorbike", "bike-stored", "ladder", "landmine",
        "other-thing",
    }
)  # fmt: skip
SCREEN, SHELVES = "screen", "shelving"
HUNG_FIRST = frozenset({"mirror", SCREEN})
"""What hangs before kit is carried in, each with a task of its own."""
NO_PARCEL = HUNG_FIRST | {"mat-space", "skipping-space", "swing-space", "car", "motorbike"}
BAY_MM = 900
"""Width of one bay of shelves as they are sold."""
RECEIVE, FIRST = "receive", "first"
"""The task in which kit comes, and what its id ends with where the largest comes before the rest.
"""
PLATFORM = "platform"
PUT_AWAY = (
    (frozenset({"running-machine", "walking-pad"}), "key out of the belt"),
    (
        frozenset({"bar-20", "bar-15", "short-bar", "thin-bar", "curl-bar", "hex-bar"}),
        "bars down",
    ),
    (frozenset({"rubber-plates", "iron-plates", "thin-plates"}), "plates hung"),
)
"""What is done so that no child comes to harm, by the kit types that it is done with."""
NAMED = 3
"""Names in one line of a list; with more nobody reads to its end."""


def kit_tasks(make: Maker, jobs: Jobs, walls: Sequence[str], mats: Sequence[str]) -> list[str]:
    """Add the tasks of mirror and kit; return what the first training waits for."""
    scene = jobs.scene
    before = [*mats, *_mirror(make, jobs, walls, mats), *_screens(make, scene, mats)]
    coming = [placed for placed in scene.order if _comes(placed)]
    if not coming:
        return before
    first = [one for one in coming if not one.piece.later]
    if not first:
        return before
    built: list[str] = []
    received: list[str] = []
    coming_by = _deliveries(first, make)
    for number, together in enumerate(coming_by):
        alone = number < len(coming_by) - 1
        received.append(_receive(make, together, [*before, *built], FIRST if alone else ""))
        built += _built(make, jobs, together, received[-1], largest_first=number == 0)
    catches = any(one.kit.catches is not None for one in first)
    tried = make.add(
        "try", len(first), "pieces", after=[*received, *built],
        name="" if catches else "Try each piece",
        caution="Catches are tried with an empty bar." if catches else "",
    )  # fmt: skip
    locked = make.add("lock", 1, "room", after=[tried], name=_put_away(scene))
    window = round(published("works.returns-days") * HOURS_A_DAY * MINUTES_AN_HOUR)
    make.add(
        "clear", len(received), "deliveries",
        after=[*(After(one, least_min=window) for one in received), tried],
        why="kept till the returns window has ended",
    )  # fmt: skip
    return [*before, tried, locked]


def _put_away(scene: Scene) -> str:
    """Name the locking away by what is in the room for it; nothing where the row's words serve."""
    there = {placed.kit.key for placed in scene.order if not placed.piece.later}
    return ", ".join(words for keys, words in PUT_AWAY if keys & there).capitalize()


def _deliveries(coming: Sequence[Placed], make: Maker) -> list[list[Placed]]:
    """Return what is delivered together: the largest alone, the rest when it stands.

    Its parts lie on the whole free floor, no dust of its bolts falls on other kit, and the days in
    which the rest may go back begin when somebody can build it. What is down as here came in one.
    """
    note = make.works.note(RECEIVE)
    here = note is not None and note.done_on is not None
    of_size = sorted(coming, key=lambda one: -_size(one))
    heavy = [one for one in of_size if _hours_to_build(one) is not None and _people(one) > 1]
    # a platform lies under what stands on it
    alone = [one for one in coming if heavy and one.kit.key == PLATFORM and one is not heavy[0]]
    alone += heavy[:1]
    rest = [one for one in of_size if one not in alone]
    if here or not any(one.kit.key not in NO_PARCEL for one in rest):
        return [[*alone, *rest]]
    return [alone, rest] if alone else [rest]


def _built(
    make: Maker, jobs: Jobs, coming: Sequence[Placed], received: str, largest_first: bool
) -> list[str]:
    """Add the building of what was delivered together; return the ids."""
    built: list[str] = []
    waits_for: list[str] = []
    for placed in coming:
        if placed.kit.key == SHELVES:
            built.append(_shelves(make, placed, received))
        hours = _hours_to_build(placed)
        if hours is None:
            continue
        heavy = _people(placed)
        built.append(
            make.add(
                "build", 1, "piece", called=build_id(placed.piece.id),
                name=f"Build the {_low(placed)}",
                hours=hours, rate=_rate(placed), least=min(heavy, 2), first=placed.kit.key,
                after=[received, *waits_for],
                why="" if largest_first and not waits_for else "on the laid floor",
                caution=f"Its heaviest part takes {heavy} to lift." if heavy > 2 else "",
            )
        )  # fmt: skip
        if placed.piece.bolted and not placed.piece.on_floor and jobs.into_floor:
            built.append(
                make.add(
                    "set-rack", 1, "rack", suffix=placed.piece.id[:38],
                    name=f"Level, drill, bolt the {_low(placed)}", after=built[-1:],
                    caution=drilling_caution(jobs.into_floor),
                )
            )  # fmt: skip
        if largest_first and (heavy > 1 or placed.kit.key == PLATFORM):
            # nothing else is built before it stands
            waits_for = built[-1:]
            largest_first = placed.kit.key == PLATFORM
    return built


def build_id(piece_id: str) -> str:
    """Return the id of the task in which a piece is built."""
    return f"build-{piece_id[:40]}"


def _mirror(make: Maker, jobs: Jobs, walls: Sequence[str], mats: Sequence[str]) -> list[str]:
    lines = [line for line in jobs.lines if line.part == "mirrors"]
    pieces = [p for p in jobs.scene.order if p.kit.key == "mirror" and _new(p)]
    count = jobs.mirrors
    if not count:
        return []
    days = published("works.mirror.paint-days")
    painted = {task.id for task in make.tasks if task.paint}
    hardens = round(days * HOURS_A_DAY * MINUTES_AN_HOUR)
    dried = [After(wall, least_min=hardens if wall in painted else 0) for wall in walls]
    keys = [line.key for line in lines] + [f"piece.{p.piece.id}" for p in pieces]
    why = f"before kit stands in the way; a painted wall hardens {days:g} days first"
    return [
        make.add(
            "mirror", count, "mirrors", after=[*dried, *mats, "anchors"], lines=keys,
            why=why if painted & set(walls) else "",
        )
    ]  # fmt: skip


def _screens(make: Maker, scene: Scene, mats: Sequence[str]) -> list[str]:
    hung = [p for p in scene.order if p.kit.key == SCREEN and _new(p) and not p.piece.later]
    if not hung:
        return []
    lines = [f"piece.{placed.piece.id}" for placed in hung]
    return [make.add("screen", len(hung), "screens", after=[*mats, "anchors"], lines=lines)]


def _shelves(make: Maker, placed: Placed, received: str) -> str:
    bays = max(1, round(placed.extent.width_mm / BAY_MM))
    return make.add(
        "shelves",
        bays,
        "bays",
        suffix=placed.piece.id[:40],
        group="Kit",
        after=[received, "anchors"],
    )


def _receive(make: Maker, coming: Sequence[Placed], before: Sequence[str], suffix: str) -> str:
    parcels_in = [placed for placed in coming if placed.kit.key not in NO_PARCEL]
    people = max((_people(placed) for placed in parcels_in), default=1)
    names = [_low(placed) for placed in parcels_in]
    names_in_short = ", ".join(names[:NAMED]) + (
        f" and {len(names) - NAMED} more" if names[NAMED:] else ""
    )
    return make.add(
        RECEIVE, len(parcels_in), "parcels", suffix=suffix,
        name=f"Unpack and count: {names_in_short}",
        least=min(people, 2), after=before,
        lines=[f"piece.{placed.piece.id}" for placed in parcels_in],
        caution=f"The heaviest part takes {people} to carry." if people > 2 else "",
    )  # fmt: skip


def first_built(scene: Scene) -> Placed | None:
    """Return what is built first, the largest; None where nothing is built."""
    coming = [one for one in scene.order if _comes(one) and not one.piece.later]
    return max((one for one in coming if _hours_to_build(one) is not None), key=_size, default=None)


def _comes(placed: Placed) -> bool:
    warms = ("heater", "radiant-panel", "dehumidifier")
    return _new(placed) and placed.kit.key not in HUNG_FIRST and placed.kit.key not in warms


def _new(placed: Placed) -> bool:
    return not placed.piece.stays and placed.kit.key not in ("mat-space", "skipping-space")


def _hours_to_build(placed: Placed) -> float | None:
    if placed.kit.key in NOTHING_TO_BUILD:
        return None
    return published(_rate(placed))


def _rate(placed: Placed) -> str:
    row = BUILT_AS.get(placed.kit.key)
    return f"works.build.{row}" if row else "works.other.h"


def _people(placed: Placed) -> int:
    """Return how many carry the heaviest part of its parcel."""
    parcel = parcels().get(placed.kit.key)
    if parcel is not None:
        heavy = heaviest_part_kg(placed, parcel)
    else:
        heavy = placed.piece.mass_kg or placed.kit.mass_kg
    return max(1, math.ceil(heavy / published("works.receive.kg")))


def _size(placed: Placed) -> float:
    return placed.extent.width_mm * placed.extent.depth_mm * placed.extent.height_mm


def _low(placed: Placed) -> str:
    return placed.piece.label or lower(placed.kit.name)
