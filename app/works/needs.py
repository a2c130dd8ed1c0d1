"""The tasks of a plan in the order of a fitter: what the room, the take-off and the kit ask for."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from shapely import Polygon

from app.costs.cost import PIECE
from app.model.plan import Plan
from app.published.register import published
from app.scales import TEMPERATURE
from app.scene.build import Scene
from app.takeoff.floor import piece_kg
from app.takeoff.jobs import Jobs, jobs_of
from app.takeoff.line import Gathered, TakeOff
from app.takeoff.paint_days import painted_at
from app.takeoff.paint_plan import coats
from app.takeoff.surfaces import MM2_A_M2, floor_area
from app.units import HOURS_A_DAY, MM_PER_M
from app.wording import area_words
from app.works.contents import Contents, contents
from app.works.goal import goal_name
from app.works.kit_tasks import kit_tasks
from app.works.maker import Maker
from app.works.painting import carrying_caution, surfaces
from app.works.task import After, Need, WorksError

FLOOR_LINES = ("floor.",)
SEALS = frozenset({"small.threshold-seal-5m", "small.door-seal-5m"})
GARAGE = frozenset({"canopy", "tracks", "sectional", "roller", "side-sliding"})
HEATERS = frozenset({"heater", "radiant-panel"})
HEATING = HEATERS | {"dehumidifier"}
HIRED_HEATER = "small.heater-week"
ASKED = {
    "own": "Ask insurer, building control",
    "shared": "Ask the other owners, insurer, building control",
}
"""Whom to ask first, by whose house it is; else the name that the library has for the task."""


def needs(
    scene: Scene,
    take_off: TakeOff,
    areas: Sequence[Polygon] = (),
    cold: bool = False,
    names: Sequence[str] = ("",),
    outside_m2: float = 0.0,
) -> Need:
    """Return every task of a plan.

    `areas` are the parts that the floor is done in, each with its name; none: all at once. Of
    what stays `outside_m2` find no room beside them. `cold` puts heat before the first coat, as
    in the cold half of the year. Raises WorksError where a note of the household cannot be.
    """
    works = scene.plan.works
    whole = [scene.room.free] if len(areas) < 2 else list(areas)
    make = Maker(works, cold, names, [line.key for line in take_off.lines])
    jobs = jobs_of(scene, take_off.lines, coats(scene, Gathered()))
    stuff = contents(scene)
    outside_m2 = stuff.carried_m2 if works.store_outside else min(outside_m2, stuff.carried_m2)
    says: list[str] = []
    problems: list[str] = []
    first = _ask_and_empty(make, scene, stuff, jobs, outside_m2)
    if stuff.assumed:
        covered = area_words(stuff.covered_m2, scene.plan.units, 0)
        says.append(
            f"It is not said what is moved out or goes: {covered} of floor are taken as covered "
            "by it. Name the things, and the floor is divided round them."
        )
    powered = _power(make, scene, take_off, first)
    lined = _linings(make, jobs, [*first, *powered])
    made_warm = cold and bool(jobs.coats or jobs.floors)
    warm = _warm(make, scene, take_off, powered) if made_warm else []
    temperature = _temperature(scene, cold, problems)
    # mortar and a further cable go into bare walls: after the last coat each leaves a mark
    bare = [After(one, dry=False) for one in ("vermin", "network")]
    walls, floor = surfaces(
        make, jobs, whole, temperature, [*first, *powered, *lined], [*warm, *lined, *bare],
        stuff.carried_m2 - outside_m2,
    )  # fmt: skip
    lit = _light_and_door(make, scene, take_off, walls, floor, cold)
    # nobody stands on a ladder on loose mats, and nothing is cut or wired over them
    overhead = ["lights", "strip", "elec-2", "alarm", "door-seal"]
    mats = _mats(make, scene, take_off, [*floor, *walls, *warm, *overhead])
    mats = _back(make, scene, stuff, mats)
    ready = kit_tasks(make, jobs, walls, mats)
    _end(make, [*lit, *mats, *ready], scene.plan)
    tasks = make.finished()
    if not tasks:
        raise WorksError("There is nothing to do in this plan.")
    area = sum(one.area for one in whole)
    shares = tuple(one.area / area for one in whole)
    unheard = scene.plan.room.fabric.heard_by == "nobody"
    return Need(tasks, tuple(says), (*problems, *make.problems), cold, shares, unheard)


def _temperature(scene: Scene, cold: bool, problems: list[str]) -> float:
    """Return the temperature at which paint dries; too cold is a problem, not only slower."""
    fit_out, climate = scene.plan.fit_out, scene.plan.room.climate
    if fit_out.painted_at_c is not None:
        at = painted_at(scene)[0]
    elif cold:
        at = climate.wanted_c
    else:
        at = max(published("works.warm-months-c"), climate.unheated_c)
    least = published("paint.air-least-c")
    warm = partial(TEMPERATURE.words, units=scene.plan.units)
    if at < least:
        problems.append(
            f"At {TEMPERATURE.closely(at, scene.plan.units)} there is no painting: walls and air "
            f"want {warm(least)} or more until it is dry. Heat more, or wait for warmer days."
        )
    return max(at, least)


def _ask_and_empty(
    make: Maker, scene: Scene, stuff: Contents, jobs: Jobs, outside_m2: float
) -> list[str]:
    """Add asking, looking and clearing; return what has to be done before anybody builds."""
    fabric = scene.plan.room.fabric
    carrying = carrying_caution(scene)
    ground = jobs.on_ground and jobs.floor_worked
    make.add(
        "ask", 1, "room", name=ASKED.get(fabric.whose, ""),
        wait_workdays=published("works.ask.wait-workdays"),
    )  # fmt: skip
    old = fabric.built_before_2000 == "yes"
    wait = published("works.hazard.wait-workdays") if old else 0
    make.add("hazard", 1, "room", wait_workdays=wait)
    before = ["ask", "hazard"]
    spots, taped_h = published("works.damp-spots"), published("works.damp-test.wait-h")
    if ground:
        make.add("damp-test", spots, "spots", wait_h=taped_h)
        before.append("damp-test")
    cleared: list[str] = []
    if stuff.covered_m2:
        make.add("sort", stuff.covered_m2, "m2")
        if stuff.sells:
            days = published("works.sell.wait-days")
            # what is sold stands in the way till it is gone
            cleared.append(
                make.add("sell", stuff.sells, "things", after=["sort"], wait_h=days * HOURS_A_DAY)
            )
        if stuff.loads:
            cleared.append(make.add("tip", stuff.loads, "loads", after=["sort"]))
        if outside_m2:
            make.add("outside", 1, "store", after=["sort"])
            carried = stuff.carried_m2 <= outside_m2
            cleared.append(
                make.add(
                    "store", outside_m2, "m2", suffix="" if carried else "outside",
                    name=f"Carry what {'stays' if carried else 'does not fit'} to a store outside",
                    after=["sort", "tip", "outside"], caution=carrying,
                )
            )  # fmt: skip
        inside_m2 = stuff.carried_m2 - outside_m2
        if inside_m2 > 0:
            cleared.append(
                make.add("store", inside_m2, "m2", after=["sort", "tip"], caution=carrying)
            )
        cleared = cleared or ["sort"]
    if ground:
        days = published("works.vermin.wait-days")
        make.add("vermin", 1, "room", after=["sort", *cleared], wait_h=days * HOURS_A_DAY)
    if jobs.dried:
        days = published("works.water.wait-days")
        # weeks of heat and a trade: for nothing where somebody who is asked says no
        make.add("water", 1, "room", after=["ask", "hazard", *cleared], wait_h=days * HOURS_A_DAY)
        days = published("works.cellar-dry.wait-days")
        make.add("cellar-dry", 1, "room", after=["water"], wait_h=days * HOURS_A_DAY)
        before.append("cellar-dry")
        if ground:
            before.append(
                make.add(
                    "damp-test", spots, "spots", suffix="again", after=["cellar-dry"],
                    name="Tape plastic to the floor once more", wait_h=taped_h,
                    why="while drops come from below nothing is painted or laid",
                )
            )  # fmt: skip
    make.add("freeze", 0, hours=0, after=before)
    return ["freeze", *cleared]


def _power(make: Maker, scene: Scene, take_off: TakeOff, first: list[str]) -> list[str]:
    lamps = sum(line.net for line in take_off.lines if line.key.startswith("light."))
    if not lamps:
        return []
    heaters = sum(placed.kit.key in HEATING for placed in scene.order)
    points = lamps + published("works.new-sockets") + heaters
    lead = _booking_workdays()
    made = make.add(
        "elec-1", points, "points", after=first, lines=["trade.elec"],
        why="circuits and boxes before anything is closed or painted; book "
        f"{lead:.0f} workdays ahead",
    )  # fmt: skip
    make.add("network", 1, "room", after=[made])
    return [made]


def _booking_workdays() -> float:
    return published("works.trade.wait-workdays")


def _warm(make: Maker, scene: Scene, take_off: TakeOff, powered: list[str]) -> list[str]:
    """Add power, a seal for now and heat before the first coat; return what coats wait for.

    A heater that is hired runs on a socket that is there: one is put in for a chosen one alone.
    """
    so_far = list(powered)
    if powered and _heaters(scene):
        so_far = [
            make.add(
                "elec-heat", 1, "point", hours=published("works.elec-2.h"), after=powered
            )
        ]  # fmt: skip
    doors = _garage_doors(scene)
    if doors:
        hours = doors * published("works.door-seal.h") / 2
        make.add("seal-first", doors, "doors", hours=hours, first="door-seal", after=["freeze"])
        so_far.append("seal-first")
    heaters = sum(placed.kit.key in HEATING for placed in scene.order)
    hired = any(line.key == HIRED_HEATER for line in take_off.lines)
    wait = max(published("works.heat.wait-h"), published("works.slab.wait-h"))
    made = make.add(
        "heat", max(heaters, 1), "pieces", after=so_far, wait_h=wait,
        name="" if heaters or hired else "Warm the room, try a cold evening",
        lines=_heating_lines(scene),
    )  # fmt: skip
    return [made]


def _heaters(scene: Scene) -> int:
    return sum(placed.kit.key in HEATERS for placed in scene.order)


def _heating_lines(scene: Scene) -> list[str]:
    """Return what warms or dries the room as lines that its task waits for; what stays is there."""
    return [
        f"{PIECE}{placed.piece.id}"
        for placed in scene.order
        if placed.kit.key in HEATING and not placed.piece.stays and not placed.piece.later
    ]


def _garage_doors(scene: Scene) -> int:
    return sum(opening.kind in GARAGE for opening in scene.plan.room.openings)


def _linings(make: Maker, jobs: Jobs, before: Sequence[str]) -> list[str]:
    """Add boards under the ceiling and on the walls, and their joints; return the last of them.

    What foil and boards shut out is tried before they are up.
    """
    ceiling, walls = jobs.boarded_ceiling_m2, jobs.boarded_walls_m2
    so_far = [*before, "network"]
    if ceiling:
        so_far = [*so_far, make.add("insul-ceil", ceiling, "m2", after=so_far)]
    if walls:
        so_far = [*so_far, make.add("insul-wall", walls, "m2", after=so_far)]
    if not ceiling + walls:
        return []
    wait = published("works.joint.wait-h")
    return [make.add("joint", ceiling + walls, "m2", after=so_far, wait_h=wait)]


def _light_and_door(
    make: Maker,
    scene: Scene,
    take_off: TakeOff,
    walls: Sequence[str],
    floor: Sequence[str],
    cold: bool,
) -> list[str]:
    lines = [line for line in take_off.lines if line.key.startswith("light.")]
    lamps = sum(line.net for line in lines)
    ends: list[str] = []
    if lamps:
        make.add(
            "lights", lamps, "fittings", after=["elec-1", *walls],
            lines=[line.key for line in lines],
        )  # fmt: skip
        heaters = sum(placed.kit.key in HEATING for placed in scene.order)
        points = lamps + published("works.new-sockets") + heaters
        points -= 1 if any(task.kind == "elec-heat" for task in make.tasks) else 0
        ends.append(
            make.add(
                "elec-2", points, "points", after=["lights", *walls], lines=["trade.elec-2"]
            )
        )  # fmt: skip
    burns = scene.plan.room.climate.fuel_burned_here != "no"
    if any(line.key == "small.smoke-alarm" for line in take_off.lines):
        ends.append(make.add("alarm", 2 if burns else 1, "alarms", after=[*walls]))
    heaters = sum(placed.kit.key in HEATING for placed in scene.order)
    if heaters and not cold:
        wait = published("works.heat.wait-h")
        ends.append(
            make.add(
                "heat", heaters, "pieces", after=[*ends[:1]], wait_h=wait,
                lines=_heating_lines(scene),
            )
        )  # fmt: skip
    doors = _garage_doors(scene)
    if doors and any(line.key in SEALS for line in take_off.lines):
        seals = [line.key for line in take_off.lines if line.key in SEALS]
        ends.append(
            make.add(
                "door-seal", doors, "doors", after=[*floor, *walls], lines=seals,
                pieces=[1.0] * len(seals) * doors,
                wait_h=published("works.glue.wait-h"),
            )
        )  # fmt: skip
    strips = sum(line.net for line in take_off.lines if line.part == "strip" and line.unit == "m")
    if strips:
        ends.append(make.add("strip", strips, "m", after=["elec-1", *walls]))
    return [*ends, *(["network"] if lamps else [])]


def _mats(make: Maker, scene: Scene, take_off: TakeOff, after: Sequence[str]) -> list[str]:
    lines = [line for line in take_off.lines if line.key.startswith(FLOOR_LINES)]
    if not lines:
        return list(after)
    area = float(floor_area(scene).area) / MM2_A_M2
    mass = sum(line.mass_kg for line in lines)
    mats = max(mass / published("works.mat-kg"), 1)
    thick = scene.plan.room.floor.covering.thickness_mm or published("works.mat-cut.thick-mm")
    cut_m = float(scene.room.free.length) / MM_PER_M * published("works.mat-cut.share")
    heaviest = max((piece_kg(one) for one in scene.plan.fit_out.floors), default=0.0)
    make.add(
        "mat-wait", mats, "mats", after=[*after, "vermin", "anchors"],
        least=2 if heaviest > published("works.mat-kg") else 1,
        wait_h=published("works.mat-wait.wait-h"), lines=[line.key for line in lines],
    )  # fmt: skip
    make.add("mat-lay", area, "m2", after=["mat-wait"])
    hours = cut_m * published("works.mat-cut.h") * thick / published("works.mat-cut.thick-mm")
    make.add("mat-cut", cut_m, "m", hours=hours, after=["mat-lay"])
    edge_m = sum(one.net for one in take_off.lines if one.key.startswith("small.edge-ramp-1m"))
    if edge_m:
        make.add("edge", edge_m, "m", after=["mat-lay"], wait_h=published("works.glue.wait-h"))
        return ["mat-cut", "edge"]
    return ["mat-cut"]


def _back(make: Maker, scene: Scene, stuff: Contents, mats: Sequence[str]) -> list[str]:
    """Add carrying what stays to the place that it has in the finished room."""
    if not stuff.carried_m2:
        return list(mats)
    carried = make.add(
        "store", stuff.carried_m2, "m2", suffix="back", name="Carry what stays to its place",
        group="Floor", why="its place is free now, and kit needs the rest of the floor",
        after=mats, caution=carrying_caution(scene),
    )  # fmt: skip
    return [*mats, carried]


def _end(make: Maker, ready: Sequence[str], plan: Plan) -> None:
    """Add the first training after all that it waits for; cartons may stand till later."""
    others = ["sell", "vermin", "ask", "hazard"]
    links = [After(one) for one in dict.fromkeys([*ready, *others])]
    # late money keeps the day of all that is asked for here a promise without it
    make.add("first-training", 0, hours=0, after=links, name=goal_name(plan).capitalize())
