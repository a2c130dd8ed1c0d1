"""Fixings by the wall they go into: what the shop sells, pooled over all walls, and the drills."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from app.library.finishes import Anchor, Fastener, finishes
from app.model.finishing import MirrorArea
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.naming import wall_called
from app.scene.shapes import turn
from app.scene.walls import WallShape
from app.takeoff.anchor_lengths import SLEEVES, anchor_through, covering_under
from app.takeoff.calling import mirror_called, strip_called
from app.takeoff.counting import PIECE, counted
from app.takeoff.line import Gathered, Line, Step
from app.takeoff.mirrors import areas_hung, clips_of, clips_of_piece, is_hung
from app.takeoff.profiles import clips_of_a_piece, in_profiles, pieces_on_legs
from app.takeoff.strips import fed_runs
from app.wording import joined, phrase

_LIVE = frozenset({"strict", "swinging", "bag", "pull"})
_CEILINGS = {
    "solid-joists": (
        "spreader-m10", "Bolt M10 through the middle third of two joists with a spreader.",
    ),
    "i-joists": ("", "ask the maker of the I-joists; never notch them"),
    "trussed-rafters": ("", "nothing that moves without an engineer's word"),
    "slab": ("sleeve-m10", "Anchor M10 by the maker's data or a test on this slab."),
    "unknown": ("", "look first what is above"),
}  # fmt: skip
"""What holds under a ceiling: the fastener, and how; without one only why not."""
_HOLLOW = frozenset({"timber-studs", "metal-studs"})
"""Walls whose dust holds no stone."""
FLOOR = "floor"
_CEILING = "ceiling"


@dataclass(frozen=True, slots=True)
class Hung:
    """One thing to fix: what, where, how many fixings, whether a person or weight pulls at it.

    `part` tells clips of a profile, the ledge and the clips of a mirror from what has holes of its
    own. `over_mm` is how thick the covering is that it stands on and is bolted through.
    """

    name: str
    count: int
    heavy: bool
    wall: str = ""
    over_mm: float = 0.0
    part: Literal["", "profile", "ledge", "clips"] = ""


@dataclass(frozen=True, slots=True)
class Use:
    """So many of one fastener for one thing in one ground (a wall's construction, floor, ceiling).

    `was` is the key of the line that it had in older plans, `how` what to mind, `drill_mm` the bit.
    `masonry` tells that the hole gives off the dust of stone, `first` that it is drilled before
    the last coat.
    """

    fastener: str
    ground: str
    thing: Hung
    was: str
    how: str = ""
    drill_mm: float = 0.0
    hammer: bool = False
    masonry: bool = False
    first: bool = True

    @property
    def driven(self) -> bool:
        """Whether a driver turns it in."""
        return finishes().fasteners[self.fastener].driven


def fixings(scene: Scene, lights: int = 0) -> Gathered:
    """Return plugs, screws and anchors, one line for each product. `lights` are to be hung."""
    gathered = Gathered()
    uses = [*uses_of(scene, gathered, lights)]
    for fastener in dict.fromkeys(use.fastener for use in uses):
        of = [use for use in uses if use.fastener == fastener]
        gathered.lines.append(_line(scene, gathered, finishes().fasteners[fastener], of))
    gathered.lines = _named_once(gathered.lines)
    sizes = sorted({use.drill_mm for use in uses if use.drill_mm})
    if sizes:
        few = [phrase("{:bare-sold}", size) for size in sizes[:-1]]
        words = joined(", ", (*few, phrase("{:sold}", sizes[-1])))
        gathered.lines.append(
            counted(
                scene, gathered, key="fixings.drill-bit", part="fixings",
                item=phrase("Drill bits {}", words).worded(scene.plan.units), where="fixings",
                net=len(sizes), unit=PIECE, pack="drill-bit", assumed=_assumed(scene),
            )
        )  # fmt: skip
    return gathered


_LATE = ("fixings.plug-5", "fixings.plug-board")
"""Lines that were parts of others: they take an old key only where no other line does."""


def _named_once(lines: Sequence[Line]) -> list[Line]:
    """Return the lines with each old key in one of them: money that hangs on it goes there."""
    seen = {line.key for line in lines}
    was: dict[str, tuple[str, ...]] = {}
    for line in sorted(lines, key=lambda line: line.key in _LATE):
        was[line.key] = tuple(key for key in line.was if key not in seen)
        seen.update(line.was)
    return [replace(line, was=was[line.key]) for line in lines]


def uses_of(scene: Scene, gathered: Gathered, lights: int) -> Iterator[Use]:
    """Yield every use of a fastener; what holds nowhere goes to the problems."""
    grounds, ceiling, floor = _hung(scene)
    for wall, thing in _chosen(scene):
        grounds.setdefault(wall, []).append(thing)
    for construction in sorted(grounds):
        yield from uses_in_wall(scene, gathered, construction, grounds[construction])
    if ceiling:
        yield from _overhead(scene, gathered, ceiling)
    if floor:
        yield from _in_floor(scene, gathered, floor)
    if lights:
        count = lights * int(published("small.light-fixings"))
        slab = scene.plan.room.ceiling.construction == "slab"
        concrete = finishes().anchors["concrete"]
        yield Use(
            concrete.light_by if slab else "screw-40", _CEILING,
            Hung("light fittings", count, False), "fixings.screws-100",
            drill_mm=concrete.drill_light_mm if slab else 0.0, hammer=slab, masonry=slab,
            first=False,
        )  # fmt: skip


def _assumed(scene: Scene) -> bool:
    return not scene.plan.fit_out.nothing_assumed


def _hung(scene: Scene) -> tuple[dict[str, list[Hung]], list[Hung], list[Hung]]:
    walls: dict[str, list[Hung]] = {}
    ceiling: list[Hung] = []
    floor: list[Hung] = []
    for placed in scene.order:
        how = placed.kit.fixing
        if placed.piece.stays or how in ("none", "ballast"):
            continue
        count, heavy = fixings_of(placed), _is_heavy(placed)
        if how == "ceiling":
            ceiling.append(Hung(placed.name, count, heavy))
        elif how == "bolt":
            if is_bolted(scene, placed):
                over_mm = covering_under(scene, placed)
                floor.append(Hung(placed.name, count, heavy, over_mm=over_mm))
        else:
            wall = wall_behind(scene, placed)
            thing = Hung(placed.name, count, heavy, wall_called(scene, wall.id))
            walls.setdefault(wall.wall.construction, []).append(thing)
    return walls, ceiling, floor


def is_bolted(scene: Scene, placed: Placed) -> bool:
    """Return whether a piece is bolted down: as said, else as is usual where that counts."""
    can = placed.kit.fixing == "bolt" and not placed.piece.stays
    return can and (placed.piece.bolted or _assumed(scene))


def fixings_of(placed: Placed) -> int:
    """Return how many fixings hold a piece."""
    if is_hung(placed):
        return ledge_screws(placed.extent.width_mm) + clips_of_piece(placed)
    fixed = placed.kit.fixed
    return int(published("small.piece-fixings")) if fixed is None else fixed.count


def ledge_screws(width_mm: float) -> int:
    """Return how many screws hold a ledge so wide: one at each end too."""
    return math.ceil(width_mm / published("mirror.ledge-screw-mm")) + 1


def _is_heavy(placed: Placed) -> bool:
    return placed.kit.fixed is not None and placed.kit.fixed.use in _LIVE


def _chosen(scene: Scene) -> Iterator[tuple[str, Hung]]:
    """Yield what is chosen for the walls, with their construction: profiles, ledges, clips.

    What cannot be is named where it is counted, and nothing is bought to fix it.
    """
    made = {wall.id: wall.construction for wall in scene.plan.room.walls}
    said = Gathered()
    fed = [one.run for one in fed_runs(scene, said)]
    for run, _, _ in in_profiles(scene, fed, said):
        if run.wall in made and any(pieces_on_legs(run)):
            clips = sum(clips_of_a_piece(piece) for leg in pieces_on_legs(run) for piece in leg)
            name = f"clips of {strip_called(scene, run)}"
            wall = wall_called(scene, run.wall)
            yield made[run.wall], Hung(name, clips, False, wall, part="profile")
    for hung in areas_hung(scene, said):
        yield from ((made[hung.area.wall], thing) for thing in _of_mirror(scene, hung.area))


def _of_mirror(scene: Scene, area: MirrorArea) -> Iterator[Hung]:
    wall, name = wall_called(scene, area.wall), mirror_called(scene, area)
    made = next(one.construction for one in scene.plan.room.walls if one.id == area.wall)
    screws = ledge_screws(area.width_mm)
    if made == ON_STUDS:
        screws = PAIR_AT_A_STUD * ledge_studs(area.width_mm)
    yield Hung(f"{area.foot} of {name}", screws, False, wall, part="ledge")
    clips = clips_of(scene, area)
    if clips:
        yield Hung(f"clips of {name}", clips, False, wall, part="clips")


STUDS_APART_MM = 400
"""Studs are 400 or 600 apart, and the closer ones take more screws; common practice, no source."""
PAIR_AT_A_STUD = 2
"""Screws of a ledge at each stud; common practice, no source."""
ON_STUDS = "timber-studs"
"""The construction in which a ledge is screwed to studs."""


def ledge_studs(width_mm: float) -> int:
    """Return how many studs a ledge so wide is screwed to, at the most."""
    return math.ceil(width_mm / STUDS_APART_MM) + 1


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


def uses_in_wall(
    scene: Scene, gathered: Gathered, construction: str, things: Sequence[Hung]
) -> Iterator[Use]:
    """Yield what holds things in a wall of one construction; what holds nowhere is named."""
    anchor = finishes().anchors[construction]
    lost = [thing.name for thing in things if thing.heavy and anchor.heavy_by is None]
    if lost:
        gathered.problems.append(f"fixings: {', '.join(lost)} on {anchor.name}: {anchor.heavy}")
    for thing in things:
        by = anchor.heavy_by if thing.heavy else anchor.light_by
        if thing.part == "profile":
            yield _small(scene, anchor, thing)
        elif thing.part == "ledge" and construction == "metal-studs":
            gathered.problems.append(
                f"fixings: {thing.name} on {anchor.name}: anchors in board do not carry glass; "
                "let it stand on a frame to the floor, or screw ply from stud to stud first"
            )
        elif thing.part == "clips" and construction == ON_STUDS:
            # the edges of sheets meet no stud
            board = finishes().anchors["metal-studs"]
            yield _use(scene, board, thing, board.light_by, ground=anchor.name)
        elif by is not None:
            use = _use(scene, anchor, thing, by)
            on_studs = thing.part == "ledge" and construction == ON_STUDS
            yield replace(use, how=f"{use.how} {_TO_STUDS}") if on_studs else use


_TO_STUDS = "Find the studs first: two screws of the ledge into each that it crosses."


def _small(scene: Scene, anchor: Anchor, thing: Hung) -> Use:
    """Return how clips of a profile are held: their hole takes a screw of 3 to 3.5 mm."""
    was = f"fixings.{anchor.key}-light"
    if anchor.key in _HOLLOW:
        how = f"In {anchor.name}: a plug that is screwed into the board, or the screw alone."
        return Use("plug-board", anchor.name, thing, was, how)
    drill = SMALL_PLUG_MM
    hammer = "with hammer" if anchor.hammer else "without hammer"
    words = phrase("In {}: a plug for small screws; drill {:sold}, {}.", anchor.name, drill, hammer)
    how = words.worded(scene.plan.units)
    return Use("plug-5", anchor.name, thing, was, how, drill, anchor.hammer, True)


SMALL_PLUG_MM = 5
"""The hole of the plug for a screw of 3 mm: common practice, no source."""


def _use(scene: Scene, anchor: Anchor, thing: Hung, by: str, ground: str = "") -> Use:
    drill = anchor.drill_heavy_mm if thing.heavy else anchor.drill_light_mm
    words = anchor.heavy if thing.heavy else anchor.light
    hammer = "with hammer" if anchor.hammer else "without hammer"
    told = phrase("In {}: {}; drill {:sold}, {}.", ground or anchor.name, words, drill, hammer)
    how = told.worded(scene.plan.units)
    if thing.heavy:
        how += " The maker's manual and a test in this wall decide."
    weight = "heavy" if thing.heavy else "light"
    was = f"fixings.{anchor.key}-{weight}"
    masonry = anchor.key not in _HOLLOW
    return Use(by, ground or anchor.name, thing, was, how, drill, anchor.hammer, masonry)


def _overhead(scene: Scene, gathered: Gathered, things: Sequence[Hung]) -> Iterator[Use]:
    by, how = _CEILINGS[scene.plan.room.ceiling.construction]
    if not by:
        names = ", ".join(thing.name for thing in things)
        gathered.problems.append(f"fixings: {names} under the ceiling: {how}")
        return
    slab = by == "sleeve-m10"
    drill = finishes().anchors["concrete"].drill_heavy_mm
    for thing in things:
        yield Use(by, _CEILING, thing, "fixings.anchors-heavy-4-ceiling", how, drill, slab, slab)


def _in_floor(scene: Scene, gathered: Gathered, things: Sequence[Hung]) -> Iterator[Use]:
    names = ", ".join(thing.name for thing in things)
    room = scene.plan.room
    if room.fabric.post_tensioned == "yes":
        gathered.problems.append(f"fixings: {names}: a post-tensioned slab must not be drilled")
        return
    if room.floor.construction == "timber":
        studs = finishes().anchors["timber-studs"]
        for thing in things:
            yield Use(
                "coach-100", FLOOR, thing, "fixings.coach-screws-4-floor",
                "Into the floor joists.", studs.drill_heavy_mm, first=False,
            )  # fmt: skip
    else:
        drill = finishes().anchors["concrete"].drill_heavy_mm
        deep = published("fixing.anchor-in-mm")
        words = "Into the slab, {:mm} deep at the least: the maker's sheet decides."
        for thing in things:
            by, how = anchor_through(thing.over_mm), phrase(words, deep).worded(scene.plan.units)
            if by is None:
                by = SLEEVES[min(SLEEVES)]
                how += " Cut the covering out under its feet: it is too thick to bolt through."
            yield Use(
                by, FLOOR, thing, "fixings.anchors-heavy-4-floor", how, drill, True, True,
                first=False,
            )  # fmt: skip
    gathered.says.append(
        f"Before bolting {names} down: pipes and damp membrane in the floor, and whether the slab "
        "is post-tensioned (a stamp by the garage door): then do not drill."
    )


def _once(use: Use) -> Iterator[str]:
    """Yield the keys that the line of a use had: by its ground, and by what was bought for it."""
    yield use.was
    if use.fastener in SLEEVES.values():
        yield f"fixings.{SLEEVES[min(SLEEVES)]}"
    if use.thing.part:
        anchor = next(one for one in finishes().anchors.values() if one.name == use.ground)
        yield f"fixings.{anchor.light_by}"
        yield f"fixings.{anchor.key}-light"


def _line(scene: Scene, gathered: Gathered, fastener: Fastener, uses: Sequence[Use]) -> Line:
    net = sum(use.thing.count for use in uses)
    by_ground: dict[str, list[str]] = {}
    for use in uses:
        by_ground.setdefault(use.ground, []).append(use.thing.name)
    where = "; ".join(
        f"{ground}: {', '.join(dict.fromkeys(names))}" for ground, names in by_ground.items()
    )
    spare = math.ceil(net * published("small.anchor-spare-ratio"))
    # Screws and plugs are dropped and spoiled. Bolts are as many as there are holes for them: a
    # whole pack more for one to spare costs more than a second way to the shop.
    lost = spare if fastener.driven else 0
    return counted(
        scene, gathered, key=f"fixings.{fastener.key}", part="fixings",
        item=fastener.called(scene.plan.units),
        where=where, net=net, waste=lost, unit=PIECE, pack=fastener.packs,
        rate=f"{fastener.source} ({fastener.status})",
        working=(
            *(
                Step(", ".join(t for t in (u.thing.name, u.thing.wall) if t), u.thing.count, PIECE)
                for u in uses
            ),
            Step("spare", lost, PIECE, "small.anchor-spare-ratio"),
        ),
        assumed=_assumed(scene),
        notes=tuple(dict.fromkeys(use.how for use in uses if use.how)),
        was=tuple(dict.fromkeys(key for use in uses for key in _once(use))),
    )  # fmt: skip
