"""Mirrors that a household puts on its walls as sheets: glass like any other, and kit is off it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString

from app.checks.mirrors import INTO, MIRROR
from app.checks.snag import Snag
from app.formulas.statics import glass_kg
from app.published.register import published
from app.scales import MASS
from app.scene.build import Scene
from app.scene.naming import wall_called
from app.scene.tolerance import HALF_MM, falls_short
from app.takeoff.line import Gathered
from app.takeoff.mirrors import Hung, areas_hung, rows_of, sheets_across
from app.wording import lower

_OFF = "mirror.kit-mm"


@dataclass(frozen=True, slots=True)
class Sheet:
    """Mirror on a wall: its id, what it is called, its line on the face of the wall, its edges."""

    id: str
    name: str
    line: LineString
    low_mm: float
    high_mm: float


def sheets(scene: Scene) -> tuple[Sheet, ...]:
    """Return all mirror that is put on walls as sheets."""
    walls = {wall.id: wall for wall in scene.room.walls}
    made = []
    for area in scene.plan.fit_out.mirrors:
        wall = walls.get(area.wall)
        if wall is None:
            continue
        (x, y), (dx, dy) = wall.start, wall.along
        ends = (area.offset_mm, area.offset_mm + area.width_mm)
        line = LineString([(x + dx * off, y + dy * off) for off in ends])
        name = f"mirror on {wall_called(scene, wall.id)}"
        made.append(Sheet(area.id, name, line, area.bottom_mm, area.bottom_mm + area.height_mm))
    return tuple(made)


def hung_sheets(scene: Scene) -> Iterator[str]:
    """Yield what to say of each such mirror that can hang: its mass in all, and what holds it.

    Its mass is that of the glass beside sockets, over which there is none. On a tanked wall no
    mirror hangs.
    """
    plan, walls = scene.plan, {wall.id: wall for wall in scene.room.walls}
    for hung in _hung(scene):
        area, wall = hung.area, walls[hung.area.wall]
        if wall.wall.tanked:
            continue
        wide = sum(end - start for start, end in hung.spans)
        mass = MASS.words(glass_kg(wide, area.height_mm, hung.sheet.thickness_mm), plan.units)
        into = INTO.get(wall.wall.construction, "")
        yield (
            f"mirror on {wall_called(scene, wall.id)}, {mass} in all, on a {area.foot}{into}, film "
            "behind, no glue on the film"
        )


def heaviest_sheet(scene: Scene) -> tuple[float, str] | None:
    """Return the mass in kg of the heaviest sheet of such mirrors, and what it is; None if none.

    A mirror as large as a wall comes in as many sheets as it takes.
    """
    every = []
    for hung in _hung(scene):
        _, high = rows_of(hung.area, hung.sheet)
        name = f"a sheet of the mirror on {wall_called(scene, hung.area.wall)}"
        for start, end in hung.spans:
            wide = (end - start) / sheets_across(end - start, hung.sheet)
            every.append((glass_kg(wide, high, hung.sheet.thickness_mm), name))
    return max(every, default=None)


def _hung(scene: Scene) -> tuple[Hung, ...]:
    """Return such mirrors as they are hung, beside what no glass goes over."""
    key = ("hung sheets", scene.plan.fit_out.mirrors)
    return scene.memo(key, lambda: tuple(areas_hung(scene, Gathered())))


def off_mirrors(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each piece nearer to such a mirror than kit is kept off one."""
    end, solids, off = scene.piece_solids, scene.solids, published(_OFF)
    for sheet in sheets(scene):
        there = (solids.high_mm[:end] > sheet.low_mm) & (solids.low_mm[:end] < sheet.high_mm)
        met = np.flatnonzero(there)
        away = np.maximum(shapely.distance(solids.cores[met], sheet.line) - HALF_MM, 0.0)
        for number in np.unique(solids.owner[met[away < off]]):
            placed = scene.order[number]
            least = float(away[solids.owner[met] == number].min())
            if placed.kit.key == MIRROR or not falls_short(least, off):
                continue
            yield Snag(
                code="off-the-mirror",
                hangs_on_place=True,
                severity="care",
                template="{:mm} to the {}. Keep kit {:bare} off it.",
                values=(least, sheet.name, off),
                pieces=(placed.piece.id,),
                names=(placed.name, lower(sheet.name)),
                measured=round(least),
                required=round(off),
                where=placed.at,
                source_keys=(_OFF,),
            )
