"""Fixings by the wall they go into, seals, ramps: the list that saves the second trip."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.library.finishes import Anchor, finishes
from app.library.kit import Fixed
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.naming import opening_name
from app.scene.shapes import turn
from app.scene.walls import WallShape
from app.takeoff.buying import cheapest
from app.takeoff.calling import mirror_called, strip_called
from app.takeoff.line import Gathered, Line, Step, offers
from app.units import KILO
from app.wording import joined, phrase

_MM = KILO
_LIVE = frozenset({"strict", "swinging", "bag", "pull"})
_CEILINGS = {
    "solid-joists": "bolt M10 through the middle third of two joists with a spreader",
    "i-joists": "ask the maker of the I-joists; never notch them",
    "trussed-rafters": "nothing that moves without an engineer's word",
    "slab": "anchor M10 by the maker's data or a test on this slab",
    "unknown": "look first what is above",
}


@dataclass(frozen=True, slots=True)
class Hung:
    """One thing to fix: what, how many fixings, whether a person or weight pulls at them."""

    name: str
    count: int
    heavy: bool


def fixings(scene: Scene, lights: int = 0) -> Gathered:
    """Return plugs and anchors by wall, drills, seals and ramps. `lights` are fittings to hang."""
    gathered = Gathered()
    if scene.plan.fit_out.nothing_assumed:
        return gathered
    walls, ceiling, floor = _hung(scene)
    _strips_and_mirrors(scene, walls)
    drills: set[float] = set()
    for construction in sorted(walls):
        _wall(scene, gathered, construction, walls[construction], drills)
    if ceiling:
        _ceiling(scene, gathered, ceiling)
    if floor:
        _floor(scene, gathered, floor, drills)
    if lights:
        count = lights * int(published("small.light-fixings"))
        item = "Screws for the light fittings"
        gathered.lines.append(_plain(scene, gathered, "screws-100", item, "ceiling", count, "pc"))
    if drills:
        sizes = sorted(drills)
        few = [phrase("{:bare-sold}", size) for size in sizes[:-1]]
        words = joined(", ", (*few, phrase("{:sold}", sizes[-1])))
        item = phrase("Drill bits {}", words).worded(scene.plan.units)
        gathered.lines.append(
            _plain(scene, gathered, "drill-bit", item, "fixings", len(drills), "pc")
        )
    gathered.lines += _doors(scene, gathered)
    return gathered


def _hung(scene: Scene) -> tuple[dict[str, list[Hung]], list[Hung], list[Hung]]:
    walls: dict[str, list[Hung]] = {}
    ceiling: list[Hung] = []
    floor: list[Hung] = []
    for placed in scene.order:
        how = placed.kit.fixing
        if placed.piece.stays or how in ("none", "ballast"):
            continue
        thing = Hung(placed.name, _count(placed.kit.fixed), _is_heavy(placed))
        if how == "ceiling":
            ceiling.append(thing)
        elif how == "bolt":
            floor.append(thing)
        else:
            wall = wall_behind(scene, placed).wall
            walls.setdefault(wall.construction, []).append(thing)
    return walls, ceiling, floor


def _count(fixed: Fixed | None) -> int:
    return int(published("small.piece-fixings")) if fixed is None else fixed.count


def _is_heavy(placed: Placed) -> bool:
    return placed.kit.fixed is not None and placed.kit.fixed.use in _LIVE


def _strips_and_mirrors(scene: Scene, walls: dict[str, list[Hung]]) -> None:
    """Add what is chosen for the walls: a plug for each clip of a profile, ledge or batten."""
    made = {wall.id: wall.construction for wall in scene.plan.room.walls}
    every = published("strip.clip-mm")
    for run in scene.plan.fit_out.strips:
        if run.wall in made and run.profile is not None:
            length = sum(math.dist(a, b) for a, b in zip(run.points, run.points[1:], strict=False))
            clips = math.ceil(length / every) + 1
            walls.setdefault(made[run.wall], []).append(
                Hung(strip_called(scene, run), clips, False)
            )
    for area in scene.plan.fit_out.mirrors:
        if area.wall in made:
            count = math.ceil(area.width_mm / every) + 1
            walls.setdefault(made[area.wall], []).append(
                Hung(f"ledge of {mirror_called(scene, area)}", count, False)
            )


def wall_behind(scene: Scene, placed: Placed) -> WallShape:
    """Return the wall nearest to the middle of a piece's back edge."""
    dx, dy = turn(0.0, -placed.extent.depth_mm / 2, placed.pose.angle_deg)
    x, y = placed.at[0] + dx, placed.at[1] + dy

    def away(wall: WallShape) -> float:
        (x0, y0), (ax, ay) = wall.start, wall.along
        t = (x - x0) * ax + (y - y0) * ay
        t = min(max(t, 0.0), math.dist(wall.start, wall.end))
        return math.dist((x, y), (x0 + t * ax, y0 + t * ay))

    return min(scene.room.walls, key=away)


def _wall(
    scene: Scene,
    gathered: Gathered,
    construction: str,
    things: Sequence[Hung],
    drills: set[float],
) -> None:
    anchor = finishes().anchors[construction]
    for heavy in (False, True):
        of = [thing for thing in things if thing.heavy == heavy]
        if not of:
            continue
        drill = anchor.drill_heavy_mm if heavy else anchor.drill_light_mm
        if heavy and not drill:
            names = ", ".join(thing.name for thing in of)
            gathered.problems.append(f"fixings: {names} on {anchor.name}: {anchor.heavy}")
            continue
        drills.add(drill)
        gathered.lines.append(_anchors(scene, gathered, anchor, of, heavy, drill))


def _anchors(
    scene: Scene,
    gathered: Gathered,
    anchor: Anchor,
    things: Sequence[Hung],
    heavy: bool,
    drill: float,
) -> Line:
    net = sum(thing.count for thing in things)
    spare = math.ceil(net * published("small.anchor-spare-ratio"))
    if heavy:
        pack = "coach-screws-4" if anchor.key == "timber-studs" else "anchors-heavy-4"
    else:
        pack = "plugs-light-20"
    packs = offers(scene.plan, [pack], gathered.problems)
    hammer = "with hammer" if anchor.hammer else "without hammer"
    weight = "heavy" if heavy else "light"
    who = "The maker's manual and a test in this wall decide." if heavy else ""
    drill_words = phrase("{:sold}", drill).worded(scene.plan.units)
    return Line(
        key=f"fixings.{anchor.key}-{weight}",
        part="fixings",
        item=(anchor.heavy if heavy else anchor.light).capitalize(),
        where=f"{anchor.name}: " + ", ".join(thing.name for thing in things),
        net=net,
        waste=spare,
        unit="pc",
        bought=cheapest(net + spare, packs) if packs else (),
        rate=f"{anchor.source} ({anchor.status})",
        working=(
            *(Step(thing.name, thing.count, "pc") for thing in things),
            Step("spare", spare, "pc", "small.anchor-spare-ratio"),
            Step("drill", drill, "mm", anchor.key),
        ),
        assumed=True,
        notes=tuple(note for note in (f"Drill {drill_words}, {hammer}.", who) if note),
    )


def _ceiling(scene: Scene, gathered: Gathered, things: Sequence[Hung]) -> None:
    names = ", ".join(thing.name for thing in things)
    how = _CEILINGS[scene.plan.room.ceiling.construction]
    if scene.plan.room.ceiling.construction in ("trussed-rafters", "unknown"):
        gathered.problems.append(f"fixings: {names} under the ceiling: {how}")
        return
    count = sum(thing.count for thing in things)
    item = how[:1].upper() + how[1:]
    gathered.lines.append(
        _plain(scene, gathered, "anchors-heavy-4", item, names, count, "pc", "ceiling")
    )


def _floor(scene: Scene, gathered: Gathered, things: Sequence[Hung], drills: set[float]) -> None:
    names = ", ".join(thing.name for thing in things)
    room = scene.plan.room
    if room.fabric.post_tensioned == "yes":
        gathered.problems.append(f"fixings: {names}: a post-tensioned slab must not be drilled")
        return
    count = sum(thing.count for thing in things)
    timber = room.floor.construction == "timber"
    pack, item = ("coach-screws-4", "Coach screws M10 into the floor joists")
    if not timber:
        pack, item = "anchors-heavy-4", "Sleeve anchors M10 into the slab"
        drills.add(finishes().anchors["concrete"].drill_heavy_mm)
    gathered.lines.append(_plain(scene, gathered, pack, item, names, count, "pc", "floor"))
    gathered.says.append(
        f"Before bolting {names} down: pipes and damp membrane in the floor, and whether the slab "
        "is post-tensioned (a stamp by the garage door): then do not drill."
    )


def _doors(scene: Scene, gathered: Gathered) -> Iterator[Line]:
    room = scene.plan.room
    called = {s.opening.id: opening_name(scene, s) for s in scene.room.openings}
    doors = [o for o in room.openings if o.kind != "window" and not o.is_garage_door]
    garage = [o for o in room.openings if o.is_garage_door]
    if garage:
        sides = sum(o.width_mm + 2 * o.height_mm for o in garage) / _MM
        names = ", ".join(called[o.id] for o in garage)
        wide = sum(o.width_mm for o in garage) / _MM
        yield _plain(scene, gathered, "threshold-seal-5m", "Floor seal", names, wide, "m")
        item = "Brush or lip seal, sides and top"
        yield _plain(scene, gathered, "door-seal-5m", item, names, sides, "m")
    if doors and room.floor.covering.thickness_mm > 0:
        wide = sum(o.width_mm for o in doors) / _MM
        names = ", ".join(called[o.id] for o in doors)
        item = phrase("Edge ramp, {:sold}", room.floor.covering.thickness_mm).worded(
            scene.plan.units
        )
        yield _plain(scene, gathered, "edge-ramp-1m", item, names, wide, "m")
    windows = [o for o in room.openings if not o.is_garage_door and o.kind != "gap"]
    if windows:
        bead = sum(2 * (o.width_mm + o.height_mm) for o in windows) / _MM
        tubes = bead / published("small.sealant-m")
        where = ", ".join(called[o.id] for o in windows)
        yield _plain(scene, gathered, "sealant-310", "Sealant round frames", where, tubes, "pc")


def _plain(
    scene: Scene,
    gathered: Gathered,
    pack: str,
    item: str,
    where: str,
    net: float,
    unit: str,
    tail: str = "",
) -> Line:
    packs = offers(scene.plan, [pack], gathered.problems)
    part = "fixings" if unit == "pc" and not pack.startswith("sealant") else "small"
    return Line(
        key=f"{part}.{pack}" + (f"-{tail}" if tail else ""),
        part="fixings" if part == "fixings" else "small",
        item=item,
        where=where,
        net=net,
        waste=0,
        unit=unit,
        bought=cheapest(net, packs) if packs else (),
        rate="common practice, no source",
        working=(Step("measured or counted", net, unit),),
        assumed=True,
    )
