"""What jobs use up beside paint, covering and fixings: cleaners, fillers, tape, alarms, boards."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

import shapely

from app.published.register import published
from app.scales import TEMPERATURE
from app.takeoff.counting import PIECE, counted
from app.takeoff.jobs import Jobs
from app.takeoff.lights import guards
from app.takeoff.line import Gathered, Line, Part, Step
from app.takeoff.paint_days import painted_at
from app.takeoff.surfaces import MM2_A_M2
from app.units import KILO
from app.wording import phrase

SIDES = 4
"""A sheet is taped down on all sides."""
SHEET_M2 = 6.0
"""What one clear sheet covers, as the stock list has it."""
HEATING = frozenset({"heater", "radiant-panel"})
_SOFT = frozenset({"foam", "carpet"})
_FLOATING = frozenset({"timber", "carpet"})
"""Coverings that lie on an underlay, but for tiles: they walk and gape on it."""


def supplies(jobs: Jobs) -> Gathered:
    """Return the lines of everything that is used up on the way."""
    gathered = Gathered()
    for made in (
        _looking,
        _floor,
        _linings,
        _light,
        _warmth,
        _drying,
        _ties,
        _alarms,
        _pictures,
        _dusty,
    ):
        gathered.lines += made(jobs, gathered)
    return gathered


def _one(
    jobs: Jobs,
    gathered: Gathered,
    key: str,
    item: str,
    where: str,
    net: float,
    unit: str = PIECE,
    *,
    rate: str = "",
    waste: float = 0.0,
    was: tuple[str, ...] = (),
    notes: tuple[str, ...] = (),
) -> Line:
    """Return one line; its key is its part and its pack."""
    part, pack = key.split(".")
    parts: dict[str, Part] = {"small": "small", "floor": "floor", "linings": "linings"}
    return counted(
        jobs.scene, gathered, key=f"{part}.{pack}", part=parts[part], item=item, where=where,
        net=net, waste=waste, unit=unit, pack=pack, assumed=jobs.assumed, was=was, notes=notes,
        working=(Step("measured or counted", net, unit, rate),),
    )  # fmt: skip


def _looking(jobs: Jobs, gathered: Gathered) -> Iterator[Line]:
    """Yield what looking for damp and mice takes, and a door sealed for now against the cold."""
    looked = jobs.on_ground and jobs.floor_worked
    sheets = around = 0.0
    where = []
    if looked:
        sheets, where = 1, ["damp test"]
        around = published("works.damp-spots") * SIDES * published("small.damp-sheet-mm") / KILO
    doors = [o for o in jobs.scene.plan.room.openings if o.is_garage_door]
    if doors and (jobs.coats or jobs.floors):
        where.append("garage door while it is cold")
        sheets += sum(math.ceil(o.width_mm * o.height_mm / MM2_A_M2 / SHEET_M2) for o in doors)
        around += sum(2 * (o.width_mm + o.height_mm) for o in doors) / KILO
    if where:
        words = ", ".join(where)
        yield _one(jobs, gathered, "small.clear-sheet", "Clear plastic sheet", words, sheets)
        yield _one(
            jobs, gathered, "small.cloth-tape-25m", "Cloth tape", words, around, "m",
            rate="small.damp-sheet-mm" if looked else "",
        )  # fmt: skip
    if looked:
        yield _one(
            jobs, gathered, "small.mesh-roll", "Wire mesh for mouse holes", "walls", 1,
            notes=("Only where you find holes or droppings: look before you buy it.",),
        )  # fmt: skip


def _floor(jobs: Jobs, gathered: Gathered) -> Iterator[Line]:
    """Yield what a floor takes before and while something is laid or painted on it."""
    if jobs.scrubbed:
        yield _one(
            jobs, gathered, "small.degreaser-1l", "Degreaser", "floor",
            jobs.floor_m2 / published("small.degreaser-m2-l"), "L",
            rate="small.degreaser-m2-l", was=("paint.degreaser-1l",),
        )  # fmt: skip
    if jobs.cracks_m:
        yield _one(
            jobs, gathered, "small.slab-filler-5kg", "Filler for cracks in concrete", "floor",
            jobs.cracks_m * published("small.slab-filler-kg-m"), "kg",
            rate="small.slab-filler-kg-m",
        )  # fmt: skip
    if jobs.levelled_mm:
        yield _one(
            jobs, gathered, "small.levelling-25kg", "Levelling compound", "floor",
            jobs.floor_m2 * jobs.levelled_mm * published("small.levelling-kg-m2-mm"), "kg",
            rate="small.levelling-kg-m2-mm",
            notes=("One kind, from one delivery: two kinds set at two speeds.",),
        )  # fmt: skip
        yield _one(
            jobs, gathered, "small.levelling-primer-5l", "Primer for levelling compound", "floor",
            jobs.floor_m2 * published("small.levelling-primer-l-m2"), "L",
            rate="small.levelling-primer-l-m2",
        )  # fmt: skip
        at_doors = [o for o in jobs.scene.plan.room.openings if not o.sill_mm]
        if at_doors:
            yield _one(
                jobs, gathered, "small.stop-board", "Strip of board, to stop the compound",
                "doorways", sum(o.width_mm for o in at_doors) / KILO, "m",
            )  # fmt: skip
    floating = _floating_m2(jobs)
    if floating:
        yield _one(
            jobs, gathered, "floor.underlay-10m2", "Underlay", "under the covering", floating,
            "m2", waste=floating * published("small.waste-ratio"), rate="small.waste-ratio",
        )  # fmt: skip
    if jobs.on_ground and _boarded_m2(jobs):
        boarded = _boarded_m2(jobs)
        yield _one(
            jobs, gathered, "floor.damp-sheet-20m2", "Damp-proof sheet, 0.2 mm",
            "under the boards, on the slab", boarded, "m2",
            waste=boarded * published("small.waste-ratio"), rate="small.waste-ratio",
            notes=("Overlapped and turned up at the walls: a slab on the ground gives off damp.",),
        )  # fmt: skip
    boards = _boarded_m2(jobs)
    if boards:
        yield _one(
            jobs, gathered, "floor.board-glue", "Wood glue for the joints", "between the boards",
            boards / published("floor.board-glue-m2"), rate="floor.board-glue-m2",
            notes=("For boards with tongue and groove: ask for these, others drift apart.",),
        )  # fmt: skip
    tiled = _tiled_m2(jobs)
    if tiled:
        yield _one(
            jobs, gathered, "floor.tackifier-5kg", "Tackifier for carpet tiles",
            "under the tiles", tiled * published("floor.tackifier-kg-m2"), "kg",
            rate="floor.tackifier-kg-m2",
        )  # fmt: skip
    stuck = {
        "strips too narrow to lie by themselves": jobs.loose_m,
        "edges and seams of carpet and vinyl": jobs.stuck_m,
    }
    if any(stuck.values()):
        where = ", ".join(name for name, metres in stuck.items() if metres)
        yield _one(
            jobs, gathered, "floor.mat-tape-25m", "Double-sided tape for floors",
            where, sum(stuck.values()), "m",
        )  # fmt: skip
    soft = _soft_m2(jobs)
    if soft:
        item = phrase("Plywood, {:sold}", published("fixing.board-mm"))
        yield _one(
            jobs, gathered, "floor.ply-18", item.worded(jobs.scene.plan.units),
            "under racks on a soft floor", soft, "m2",
        )  # fmt: skip


def _floating_m2(jobs: Jobs) -> float:
    material = jobs.scene.plan.room.floor.covering.material
    by_area = not jobs.scene.plan.fit_out.floors and material in _FLOATING
    laid = {
        f"floor.{one.id}": one.material
        for one in jobs.scene.plan.fit_out.floors
        if one.kind != "tile"
    }
    return sum(
        line.net for line in jobs.floors if by_area or laid.get(line.key) in _FLOATING
    )  # fmt: skip


def _tiled_m2(jobs: Jobs) -> float:
    """Return the floor under carpet in tiles."""
    tiles = {
        f"floor.{one.id}"
        for one in jobs.scene.plan.fit_out.floors
        if one.kind == "tile" and one.material == "carpet"
    }
    return sum(line.net for line in jobs.floors if line.key in tiles)


def _boarded_m2(jobs: Jobs) -> float:
    """Return the floor under boards of timber."""
    boards = {f"floor.{one.id}" for one in jobs.scene.plan.fit_out.floors if one.kind == "board"}
    timber = {f"floor.{one.id}" for one in jobs.scene.plan.fit_out.floors
              if one.material == "timber"}  # fmt: skip
    return sum(line.net for line in jobs.floors if line.key in boards & timber)


def _soft_m2(jobs: Jobs) -> float:
    """Return the floor under racks where a laid covering is too soft for them."""
    soft = any(one.material in _SOFT for one in jobs.scene.plan.fit_out.floors)
    racks = [p.footprint for p in jobs.scene.order if p.kit.group == "Racks"]
    return float(shapely.union_all(racks).area) / MM2_A_M2 if soft and racks else 0.0


def _linings(jobs: Jobs, gathered: Gathered) -> Iterator[Line]:
    """Yield battens, insulation, board and joints of linings that are still to come."""
    area = jobs.boarded_m2
    if not area:
        return
    waste = area * published("small.waste-ratio")
    battens = area * KILO / published("linings.batten-mm")
    screws = area * published("linings.screw-m2")
    ceiling, walls = jobs.boarded_ceiling_m2, jobs.boarded_walls_m2
    batten = "Batten 25 × 50" if jobs.scene.plan.units == "metric" else "Batten 1 × 2 in"
    where = " and ".join(
        name for name, m2 in (("ceiling", ceiling), ("walls", walls)) if m2
    )  # fmt: skip
    yield _one(jobs, gathered, "linings.board-sheet", "Plasterboard", where, area, "m2",
               waste=waste, rate="small.waste-ratio")  # fmt: skip
    yield _one(jobs, gathered, "linings.batten-25x50-2-4m", batten, where, battens,
               "m", rate="linings.batten-mm")  # fmt: skip
    yield _one(jobs, gathered, "linings.insulation-roll-6m2", "Insulation", where, area, "m2")
    yield _one(jobs, gathered, "linings.vapour-sheet-20m2", "Vapour layer with its tape", where,
               area, "m2", waste=waste, rate="small.waste-ratio")  # fmt: skip
    yield _one(jobs, gathered, "linings.board-screws-200", "Screws for board", where, screws,
               rate="linings.screw-m2")  # fmt: skip
    filler, tape = published("linings.filler-kg-m2"), published("linings.tape-m-m2")
    yield _one(jobs, gathered, "linings.joint-filler-5kg", "Joint filler", where, area * filler,
               "kg", rate="linings.filler-kg-m2")  # fmt: skip
    yield _one(jobs, gathered, "linings.joint-tape-50m", "Joint tape", where, area * tape, "m",
               rate="linings.tape-m-m2")  # fmt: skip


def _light(jobs: Jobs, gathered: Gathered) -> Iterator[Line]:
    """Yield a guard for each fitting that something may hit."""
    count = guards(jobs.scene)
    if count:
        item = "Wire guard for a light fitting"
        yield _one(jobs, gathered, "small.wire-guard", item, "light", count)


def _warmth(jobs: Jobs, gathered: Gathered) -> Iterator[Line]:
    """Yield a heater for the time of painting where it is too cold and none stands on the plan."""
    cold = painted_at(jobs.scene)[0] < published("paint.air-least-c")
    owned = any(placed.kit.key in HEATING for placed in jobs.scene.order)
    if jobs.coats and cold and not owned:
        yield _one(
            jobs, gathered, "small.heater-week", "Electric heater, hired", "painting", 1,
            notes=("Or wait for warmer days. Never a heater that burns fuel in the room.",),
        )  # fmt: skip


_DESICCANT_BELOW_C = 15.0
"""Below it a dryer that cools the air takes next to no water out of it; common practice."""


def _drying(jobs: Jobs, gathered: Gathered) -> Iterator[Line]:
    """Yield a dryer for the weeks in which a damp room is dried."""
    if jobs.dried:
        days = published("works.cellar-dry.wait-days")
        weeks = math.ceil(days / published("small.hire-days"))
        cold = TEMPERATURE.words(_DESICCANT_BELOW_C, jobs.scene.plan.units)
        note = f"Below {cold} one with a desiccant: others take no water out of cold air."
        yield _one(jobs, gathered, "small.dryer-week", "Dryer for damp rooms, hired", "room",
                   weeks, rate="works.cellar-dry.wait-days", notes=(note,))  # fmt: skip


def _ties(jobs: Jobs, gathered: Gathered) -> Iterator[Line]:
    """Yield ties for the cables of what is hung."""
    if jobs.screens:
        yield _one(jobs, gathered, "small.cable-ties", "Cable ties", "screen", TIES)


TIES = 10
"""For the cables of a screen, some spoiled; common practice, no source."""


def _alarms(jobs: Jobs, gathered: Gathered) -> Iterator[Line]:
    """Yield alarms for the way out, where the room is made ready at all."""
    if not jobs.lines:
        return
    yield _one(
        jobs, gathered, "small.smoke-alarm", "Smoke alarm", "way out", 1,
        notes=("Nobody has to ask for it: who trains behind a shut door hears no fire outside it. "
               "Is there one? Say that it is owned.",),
    )  # fmt: skip
    burned = jobs.scene.plan.room.climate.fuel_burned_here
    if burned != "no":
        unsaid = "It is not said whether a boiler, stove or heater burns fuel here. If none does, "
        yield _one(
            jobs, gathered, "small.co-alarm", "Carbon monoxide (CO) alarm", "way out", 1,
            notes=(f"{unsaid}say so under The room, and it is left out.",)
            * (burned == "unknown"),
        )  # fmt: skip


def _pictures(jobs: Jobs, gathered: Gathered) -> Iterator[Line]:
    """Yield what a picture on a wall is drawn and painted with, and what keeps it off the floor."""
    pictures = jobs.pictures_mm
    if not pictures:
        return
    where = ", ".join(dict.fromkeys(wall for wall, *_ in pictures))
    m2 = sum(width * high for _, width, high in pictures) / MM2_A_M2
    colours = published("projection.colours")
    each_l = m2 * published("projection.coats") / published("projection.rate-m2-l") / colours
    tins = colours * math.ceil(each_l / TIN_L)
    own = partial(counted, jobs.scene, gathered, part="projection", where=where)
    yield own(
        key="projection.projector-day", item="Projector, hired or borrowed", net=1, unit="day",
        pack="projector-day",
    )  # fmt: skip
    yield own(
        key="projection.colours", item="Wall paint in the colours of the picture", net=tins,
        unit=PIECE, pack="picture-colour-250ml",
        working=(
            Step("picture", m2, "m2"),
            Step("colours", colours, "", "projection.colours"),
            Step("coats", published("projection.coats"), "", "projection.coats"),
            Step("a litre covers", published("projection.rate-m2-l"), "m2", "projection.rate-m2-l"),
        ),
        notes=("Fewer or more colours: as many small tins as the picture has.",),
    )  # fmt: skip
    yield own(
        key="projection.brushes", item="Small brushes", net=1, unit="set", pack="brushes-small"
    )


def _dusty(jobs: Jobs, gathered: Gathered) -> Iterator[Line]:
    """Yield cover sheets and abrasive where something wants them and nothing is painted.

    What is painted counts sheets for the whole floor.
    """
    if jobs.coats:
        return
    wide = sum(width for _, width, _ in jobs.pictures_mm) / KILO
    beside = wide * BELOW_M
    way = jobs.floor_m2 if jobs.boarded_m2 else 0.0
    if beside or way:
        where = ", ".join(n for n, m2 in (("picture on the wall", beside), ("linings", way)) if m2)
        yield counted(
            jobs.scene, gathered, key="paint.dust-sheet-12m2", part="paint", item="Cover sheets",
            where=where, net=max(beside, way), unit="m2", pack="dust-sheet-12m2",
        )  # fmt: skip
    if jobs.boarded_m2:
        yield counted(
            jobs.scene, gathered, key="paint.abrasive-5", part="paint", item="Abrasive sheets",
            where="linings", net=published("small.abrasive"), unit=PIECE, pack="abrasive-5",
        )  # fmt: skip


BELOW_M = 2.0
"""How wide a sheet lies along a picture that is painted; common practice, no source."""
TIN_L = 0.25
"""What the smallest tin of wall paint holds, or an 8 oz jar nearly; common practice, no source."""


def shifts(hours: float) -> int:
    """Return how many masks for a single shift so many hours take, one at the least."""
    return max(1, math.ceil(hours / published("tools.mask-h")))
