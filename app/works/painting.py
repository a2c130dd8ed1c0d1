"""The tasks on walls, ceiling and floor, part by part of the room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely import LineString, Polygon

from app.formulas.paint import slower
from app.published.register import published
from app.scene.build import Scene
from app.takeoff.fixings import Use
from app.takeoff.jobs import ROUGH, Jobs
from app.takeoff.paint import paint_key
from app.takeoff.paint_plan import Coat
from app.takeoff.paint_tools import is_solvent
from app.takeoff.surfaces import Face, faces
from app.units import HOURS_A_DAY, MINUTES_AN_HOUR
from app.wording import lower
from app.works.contents import COLD_STORES
from app.works.maker import LETTERS, Maker
from app.works.task import After

TOUCHING_MM = 20
"""A wall belongs to the part of the floor that lies along it; linings and joints are thinner."""


@dataclass(frozen=True, slots=True)
class _Part:
    """One part of the room: its number from 1, share of the floor, and of each wall by name."""

    number: int
    share: float
    walls: dict[str, float]

    def of(self, coat: Coat) -> float:
        """Return the share of a coat that lies in this part."""
        return self.walls.get(coat.where, self.share) if coat.surface == "walls" else self.share


def parts_of(scene: Scene, areas: Sequence[Polygon]) -> list[_Part]:
    """Return the parts of the room that the areas make of it."""
    whole = sum(area.area for area in areas)
    every = faces(scene)
    made = []
    for i, area in enumerate(areas):
        near = area.buffer(TOUCHING_MM, join_style="mitre")
        walls = {face.name: _share(face, near) if len(areas) > 1 else 1.0 for face in every}
        made.append(_Part(i + 1, area.area / whole, walls))
    return made


def _share(face: Face, near: Polygon) -> float:
    line = LineString([face.wall.start, face.wall.end])
    return float(line.intersection(near).length / line.length) if line.length else 0.0


def surfaces(
    make: Maker,
    jobs: Jobs,
    areas: Sequence[Polygon],
    temperature_c: float,
    before: Sequence[str],
    warm: Sequence[str | After],
    carried_m2: float,
) -> tuple[list[str], list[str]]:
    """Add the tasks on all surfaces; return the ids of the last wall coats and floor tasks.

    `before` is what they wait for; coats wait for the `warm` tasks too, and for what marks bare
    walls. In each part but the first the things are carried over to what is done.
    """
    parts = parts_of(jobs.scene, areas)
    last_walls: list[str] = []
    last_floor: list[str] = []
    gate = list(before)
    for part in parts:
        start = list(gate)
        if part.number > 1 and carried_m2 > 0:
            # things stand a hand's breadth from a wall that has dried over a night
            near = round(published("works.wall-near.h") * slower(temperature_c) * MINUTES_AN_HOUR)
            over = make.add(
                "store", carried_m2, "m2", suffix=LETTERS[part.number - 1], part=part.number,
                name=f"Carry all out of the {make.names[part.number - 1]}",
                why="the rest of the floor must be free",
                caution=carrying_caution(jobs.scene),
                after=[*gate, *(After(wall, least_min=near) for wall in last_walls), *last_floor],
            )  # fmt: skip
            start = [over]
        walls, floor = _one_part(make, jobs, part, len(parts), temperature_c, start, warm)
        last_walls, last_floor = [*last_walls, *walls], [*last_floor, *floor]
        gate = [*before, *walls, *floor]
    return last_walls, last_floor


def carrying_caution(scene: Scene) -> str:
    """Return what to mind while what stays is carried: a freezer is not carried like a box."""
    cold = [p.name for p in scene.order if p.piece.stays and p.kit.key in COLD_STORES]
    if not cold:
        return ""
    return (
        f"{cold[0]}: upright, shut, two people, and at a socket again within the hours that its "
        "food keeps. If it lay or leaned, let it stand before you switch it on: its manual says "
        "how long."
    )


def _one_part(
    make: Maker,
    jobs: Jobs,
    part: _Part,
    count: int,
    temperature_c: float,
    start: Sequence[str],
    warm: Sequence[str | After],
) -> tuple[list[str], list[str]]:
    suffix = LETTERS[part.number - 1] if count > 1 else ""
    number = part.number if count > 1 else 0
    slow, layers = slower(temperature_c), jobs.coats
    of_walls = [coat for coat in layers if coat.surface == "walls"]
    first = {coat.where: coat.area_m2 * part.of(coat) for coat in of_walls}
    wall_m2 = sum(first.values())
    rough_m2 = sum(
        m2 for where, m2 in first.items()
        if any(coat.where == where and coat.texture.key in ROUGH for coat in of_walls)
    )  # fmt: skip
    so_far = list(start)
    if rough_m2 > 0:
        so_far = [
            make.add("scrape", rough_m2, "m2", suffix=suffix, part=number, after=so_far)
        ]  # fmt: skip
    if wall_m2 > 0:
        so_far = [
            make.add(
                "wash", wall_m2, "m2", suffix=suffix, part=number, after=so_far,
                wait_h=published("works.wash.wait-h"),
            )
        ]  # fmt: skip
    mended = _floor_first(make, jobs, part, number, suffix, so_far)
    poured = _levelled(make, jobs, part, number, suffix, slow, [*mended, *warm])
    foot = round(published("works.level.foot-h") * slow * MINUTES_AN_HOUR)
    trodden = [After(one, dry=False, least_min=foot) for one in poured]
    mended = poured or mended
    # a washed wall may be drilled before it is dry; coats wait for both
    washed = [After(one, dry=False) for one in so_far if one not in start]
    drilled = _anchors(make, jobs, part, number, suffix, [*start, *washed, *trodden])
    walls = _coats(
        make, layers, part, number, suffix, slow, [*so_far, *drilled, *warm, *trodden], "walls"
    )
    pictures = _pictures(make, jobs, part, count, suffix, walls or so_far)
    floor = _coats(
        make, layers, part, number, suffix, slow,
        [*mended, *walls, *pictures, *drilled, *warm], "floor",
    )  # fmt: skip
    return [*(walls or so_far), *pictures], (floor or mended)


def _pictures(
    make: Maker, jobs: Jobs, part: _Part, count: int, suffix: str, after: Sequence[str]
) -> list[str]:
    """Add the pictures on the walls of a part: on a dry last coat, before floor, mats, mirror."""
    whole = dict.fromkeys(part.walls, 1 / count)
    m2 = sum(
        size for wall, size in jobs.pictures_m2
        if part.walls.get(wall, 0) > whole.get(wall, 0) or (count == 1)
    )  # fmt: skip
    if not m2:
        return []
    number = part.number if count > 1 else 0
    return [
        make.add(
            "mural", m2, "m2", suffix=suffix, part=number, after=after,
            wait_h=published("works.mural.wait-h"),
        )
    ]  # fmt: skip


def _floor_first(
    make: Maker, jobs: Jobs, part: _Part, number: int, suffix: str, after: Sequence[str]
) -> list[str]:
    if not jobs.scrubbed:
        return []
    area = jobs.floor_m2 * part.share
    scrubbed = make.add(
        "degrease", area, "m2", suffix=suffix, part=number,
        after=[After(one, dry=False) for one in after],
        wait_h=published("works.degrease.wait-h"),
    )  # fmt: skip
    if not jobs.cracks_m:
        return [scrubbed]
    return [
        make.add(
            "floor-mend", jobs.cracks_m * part.share, "m", suffix=suffix, part=number,
            after=[After(scrubbed, dry=False)],
            wait_h=max(published("works.floor-mend.wait-h"), published("works.degrease.wait-h")),
        )
    ]  # fmt: skip


def _levelled(
    make: Maker,
    jobs: Jobs,
    part: _Part,
    number: int,
    suffix: str,
    slow: float,
    after: Sequence[str | After],
) -> list[str]:
    """Add the levelling of an uneven slab: mended and dry before, dust and paint after."""
    if not jobs.levelled_mm:
        return []
    if jobs.levelled_mm <= published("works.level.thin-mm"):
        dries_h = published("works.level.thin-h")
    else:
        dries_h = published("works.level.thick-h")
    area = jobs.floor_m2 * part.share
    return [
        make.add(
            LEVEL, area, "m2", suffix=suffix, part=number, after=after, pieces=[1.0],
            wait_h=dries_h * slow,
            lines=["small.levelling-25kg", "small.levelling-primer-5l"],
        )
    ]  # fmt: skip


def _anchors(
    make: Maker, jobs: Jobs, part: _Part, number: int, suffix: str, after: Sequence[str | After]
) -> list[str]:
    """Add the drilling in walls and ceiling; the rack's floor bolts come after the mats."""
    count = jobs.in_walls
    if not count:
        return []
    share = count * part.share
    return [
        make.add(
            "anchors", share, "fixings", suffix=suffix, part=number, after=["elec-1", *after],
            caution=drilling_caution(jobs.drilled_first),
        )
    ]  # fmt: skip


def drilling_caution(uses: Sequence[Use]) -> str:
    """Return what to wear while holes are drilled: more in masonry, whose dust holds silica."""
    if not any(use.drill_mm for use in uses):
        return ""
    worn = "Goggles and ear protection."
    if any(use.masonry for use in uses):
        worn += " In masonry a P3 mask and an extractor at the drill; never in a mortar joint."
    return worn


def _coats(
    make: Maker,
    layers: Sequence[Coat],
    part: _Part,
    number: int,
    suffix: str,
    slow: float,
    after: Sequence[str | After],
    surface: str,
) -> list[str]:
    """Add one task for each coat: ceiling before walls where this is about walls."""
    so_far: list[str | After] = list(after)
    made: list[str] = []
    for what in ("ceiling", "walls") if surface == "walls" else (surface,):
        of = [coat for coat in layers if coat.surface == what]
        for key in dict.fromkeys(coat.coating.key for coat in of):
            group = [coat for coat in of if coat.coating.key == key]
            kind = _kind(what, group[0])
            for nth in range(max(coat.coats for coat in group)):
                made = [_coat(make, kind, group, part, number, suffix, nth, slow, so_far)]
                so_far = [*made]
    return made


def _kind(surface: str, coat: Coat) -> str:
    if surface == "floor":
        return "floor-two" if coat.coating.mix else "floor-coat"
    if surface == "walls" and "sealer" in coat.coating.key:
        return "stabilise"
    return "ceil-coat" if surface == "ceiling" else "wall-coat"


def _coat(
    make: Maker,
    kind: str,
    group: Sequence[Coat],
    part: _Part,
    number: int,
    suffix: str,
    nth: int,
    slow: float,
    after: Sequence[str | After],
) -> str:
    coating = group[0].coating
    total = max(coat.coats for coat in group)
    areas = [(coat, coat.area_m2 * part.of(coat)) for coat in group if nth < coat.coats]
    areas = [(coat, m2) for coat, m2 in areas if m2 > 0.01]
    hours = [m2 * _rate(kind, coat, nth) for coat, m2 in areas]
    solvent = is_solvent(group[0])
    extra = published("works.brushes-h") + (published("works.solvent.h") if solvent else 0.0)
    taken = {task.id for task in make.tasks}
    base = "-".join(str(one) for one in (suffix, nth + 1) if one)
    again, called = base, "floor-coat" if kind == "floor-two" else kind
    while f"{called}-{again}" in taken:
        again += "x"
    last = nth + 1 == total
    dry_h = coating.touch_dry_h if last else coating.recoat_h
    if kind == "stabilise":
        dry_h = published("works.stabilise.wait-h")
    elif kind in FLOORS:
        dry_h = published(f"works.{kind}.foot-h")
        if last:
            dry_h = max(published(f"works.{kind}.mats-days"), coating.cure_days) * HOURS_A_DAY
    return make.add(
        kind, sum(m2 for _, m2 in areas), "m2", suffix=again, called=called, part=number,
        name=_name(kind, group[0], nth, total), hours=sum(hours), more_hours=extra, first=kind,
        after=after, pieces=hours, wait_h=dry_h * slow, solvent=solvent,
        where=[coat.where for coat, _ in areas],
        lines=list(dict.fromkeys(paint_key(coating.key, coat.colour) for coat, _ in areas)),
        caution=SOLVENT if solvent else "", rate=f"works.{kind}.h",
    )  # fmt: skip


LEVEL = "level"
"""The kind of task that levels the floor: it wants a warm room as paint does, and is none."""

FLOORS = frozenset({"floor-coat", "floor-two"})
"""Kinds of task that coat the floor."""

SOLVENT = (
    "Doors open, no flame, boiler and pilot lights off, no heater or switch that sparks. The "
    "freezer is off no longer than its food keeps. Short spells, not alone; wet rags in a lidded "
    "can; nobody trains till it has cured."
)


def _rate(kind: str, coat: Coat, nth: int) -> float:
    if kind == "wall-coat" and coat.texture.key in ROUGH:
        return published("works.block-coat.h") * (published("works.block-first") if not nth else 1)
    return published(f"works.{kind}.h")


def _name(kind: str, coat: Coat, nth: int, total: int) -> str:
    if kind == "stabilise":
        return "Stabiliser"
    what = {"ceil-coat": "Ceiling", "wall-coat": "Walls"}.get(kind, "Floor")
    if "primer" in coat.coating.key:
        return f"{what}, {lower(coat.coating.name)}"
    if total == 1:
        return f"{what}, one coat"
    return f"{what}, {'first coat' if not nth else 'next coat'}"
