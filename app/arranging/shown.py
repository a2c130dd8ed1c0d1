"""Layouts as people see them: a name, at most three plain reasons, and the figures of the table."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from app.arrange.better import weight_of
from app.arranging.bar_ends import beyond_mm
from app.arranging.best_layouts import JudgedLayout, Looks, nearest_wall
from app.arranging.choosing import FEWER_SEEN_SHARE
from app.arranging.layout import Layout
from app.arranging.measures import pairs_at_once
from app.arranging.measures_around import sees_door
from app.arranging.open_floor import OpenFloor
from app.arranging.problem import Problem, same_place
from app.arranging.score import score
from app.arranging.wishes import MET_SHARE, shares_of
from app.checks.narrowest import narrowest
from app.checks.run import run
from app.checks.snag import Snag
from app.model.kit import Pose
from app.placing.standing import Standing, station_poses
from app.published.register import overridden, published
from app.scene.build import Scene
from app.units import Units, format_length
from app.wording import Phrase, joined, lower, phrase

_HALVES = {"left": "left", "right": "right", "back": "at the back", "front": "at the front"}
REASONS_AT_MOST = 3
"""More reasons are not read."""
WIDE_WAY_MM = 1200.0
"""A way two people pass one another on: of two that are wider nobody chooses one for its width."""
NARROWER_MM = 100.0
"""By how much a way must be narrower than today's that it is said: a hand."""
STOPS_NAMED = 3
"""Stops that are named of a layout that leaves some."""
NAMED_AT_MOST = 3
"""Pieces by which a layout is called where few move."""


@dataclass(frozen=True, slots=True)
class Shown:
    """One layout to choose: what it is called, why, and what it gives and costs.

    `price` is the worst care that is left, in words, empty without any; `left_out` are the names of
    what is not in it. `met` and `unmet` are the wishes in words. `stops` and `cares` are all that
    the judge finds; `unmendable` are those of the stops that no layout mends. `shut` says what
    nobody gets to on foot, empty where all is reached; `seated` is what is laid on its hooks or put
    in its rack first of all, in every layout.
    """

    layout: JudgedLayout | None
    name: str
    reasons: tuple[str, ...]
    price: str
    stops: int
    cares: int
    floor: OpenFloor | None
    narrowest_mm: float | None
    moved: tuple[str, ...]
    poses: Mapping[str, Pose]
    total: float
    met: tuple[str, ...] = ()
    unmet: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    unmendable: int = 0
    shut: str = ""
    seated: tuple[str, ...] = ()


def shown(problem: Problem, layout: JudgedLayout) -> Shown:
    """Return a layout as people see it, without a name as yet."""
    there = problem.without(layout.looks.left_out)
    names = tuple(lower(problem.scene.placed[root].name) for root in layout.looks.left_out)
    return replace(_seen(there, there.at(layout.poses), layout, ""), left_out=names)


def as_it_stands(problem: Problem) -> Shown:
    """Return the plan as it is, as one of the layouts."""
    return _seen(problem, problem.as_is, None, "As it is now")


def _seen(problem: Problem, scene: Scene, best: JudgedLayout | None, name: str) -> Shown:
    with overridden({one.id: one.value for one in problem.plan.overrides}):
        verdict = run(scene)
        layout = Layout(scene, verdict)
        stops, cares = problem.stops(verdict), problem.cares(verdict)
        way = narrowest(scene)
        poses = {} if best is None else best.poses
        wishes = problem.task.wishes
        total = best.total if best is not None else score(scene, verdict, wishes=wishes).total
        shares = shares_of(wishes, scene)
        price = _price(problem, cares) if not stops else ""
        reasons = _reasons(problem, layout)[: REASONS_AT_MOST - bool(price)]
        if stops:
            reasons = [_stops_words(problem, stops, best)]
        seated = [] if best is None else _seated_words(problem, scene)
        units = problem.plan.units
        every = [snag.severity for snag in verdict]
        return Shown(
            best,
            name,
            tuple(reason.worded(units) for reason in reasons),
            price,
            every.count("stop"),
            every.count("care"),
            layout.floor,
            way.width_mm,
            () if best is None else best.moved,
            poses,
            total,
            tuple(words for words, share in shares.items() if share >= MET_SHARE),
            tuple(words for words, share in shares.items() if share < MET_SHARE),
            unmendable=every.count("stop") - sum(snag.severity == "stop" for snag in stops),
            shut=way.wording.worded(units) if way.shut else "",
            seated=tuple(words.worded(units) for words in seated),
        )


def way_words(one: Shown, units: Units) -> str:
    """Return how wide the narrowest way on foot of a layout is, as the options say it."""
    if one.narrowest_mm is None:
        return "no way to judge"
    if one.shut:
        return "shut"
    if math.isinf(one.narrowest_mm):
        return "nothing narrows it"
    return format_length(one.narrowest_mm, units)


def narrower(one: Shown, now: Shown, units: Units) -> str:
    """Say where the ways on foot of a layout are shut, or narrow and clearly narrower than today's.

    Empty where nobody would mind.
    """
    if one.shut:
        return one.shut
    width_mm, was_mm = way_worth_mm(one), way_worth_mm(now)
    if width_mm >= published("layout.way-in.full-mm") or width_mm > was_mm - NARROWER_MM:
        return ""
    return f"narrowest way {way_words(one, units)}, now {way_words(now, units)}"


def way_worth_mm(one: Shown) -> float:
    """Return the width by which ways of layouts are compared: nothing where some way is shut."""
    return 0.0 if one.shut else min(one.narrowest_mm or 0.0, WIDE_WAY_MM)


def _stops_words(problem: Problem, stops: Sequence[Snag], best: JudgedLayout | None) -> Phrase:
    """Say how many stops are from where things stand; of a layout that leaves some, which."""
    if best is None:
        what = "stop" if len(stops) == 1 else "stops"
        return phrase("{} {} from where things stand", len(stops), what)
    before = len(problem.stops(problem.verdict))
    what = "stop" if before == 1 else "stops"
    who = [phrase("{}", lower(snag.who)) for snag in stops[:STOPS_NAMED]]
    more = len(stops) - len(who)
    named = joined("; ", [*who, *([phrase("{} more", more)] if more else [])])
    stays = "stays" if len(stops) == 1 else "stay"
    return phrase("{} of {} {} {}: {}", len(stops), before, what, stays, named)


def _seated_words(problem: Problem, scene: Scene) -> list[Phrase]:
    """Say what is seated first of all in a layout: with fewer moves not all of it is."""
    placed = problem.as_is.placed
    return [
        phrase("{} laid on its hooks", lower(placed[piece].name))
        if placed[piece].kit.bar is not None
        else phrase("{} put in its rack", lower(placed[piece].name))
        for piece in problem.seats
        if _is_seated(problem, scene, piece)
    ]


def _is_seated(problem: Problem, scene: Scene, piece: str) -> bool:
    root = scene.placed[piece].root
    at = Standing(scene.placed[root].pose.angle_deg, *scene.placed[root].at)
    seat = station_poses(problem.scene, root, at)[piece]
    return same_place(scene.placed[piece].pose, seat)


def picked_name(problem: Problem, layout: JudgedLayout) -> str:
    """Return what a layout is called that somebody picked, beside those that differ from others."""
    return f"{_place_name(problem, layout)}, {len(layout.moved)} moved"


def name_of(problem: Problem, layout: JudgedLayout, others: Sequence[JudgedLayout]) -> str:
    """Return what a layout is called beside others: by the wall of its largest piece."""
    rest = [one for one in others if one is not layout]
    if problem.task.moves_at_most is not None:
        return _moved_name(problem, layout, rest)
    few = FEWER_SEEN_SHARE * min((len(one.moved) for one in rest), default=0)
    if len(layout.moved) <= few:
        return "Fewest moves"
    name, half = _place_name(problem, layout), f"open {_floor_words(layout.looks)}"
    if not layout.looks.wall:
        return name
    same = [one.looks for one in rest if one.looks.wall == layout.looks.wall]
    if any(other.half == layout.looks.half for other in same):
        scene = problem.without(layout.looks.left_out).at(layout.poses)
        return f"{name}, {_pair_words(scene, layout.looks, same)}"
    return f"{name}, {half}" if same else name


def _moved_name(problem: Problem, layout: JudgedLayout, rest: Sequence[JudgedLayout]) -> str:
    """Return a name by what moves: where few may move, all else stands as it does."""
    scene, moved = problem.scene, layout.moved
    names = [lower(scene.placed[root].name) for root in moved]
    *most, last = names if len(names) <= NAMED_AT_MOST else [f"{len(names)} pieces"]
    row = f"{', '.join(most)} and {last}" if most else last
    row = row[:1].upper() + row[1:]
    if not any(set(one.moved) == set(moved) for one in rest):
        return f"{row} moved"
    return f"{row} moved, open {_floor_words(layout.looks)}"


def _floor_words(looks: Looks) -> str:
    return f"floor {_HALVES.get(looks.half, '')}".rstrip()


def _place_name(problem: Problem, layout: JudgedLayout) -> str:
    """Return where the largest piece stands, or the open floor lies where there is none."""
    problem = problem.without(layout.looks.left_out)
    root, scene = problem.largest, problem.at(layout.poses)
    if root is None:
        return f"Open {_floor_words(layout.looks)}"
    placed = scene.placed[root]
    what = "Rack" if placed.kit.group == "Racks" else placed.name
    return f"{what} on {_wall_words(scene, nearest_wall(scene, root))}"


def _pair_words(scene: Scene, looks: Looks, others: Sequence[Looks]) -> str:
    """Say which pair can train at once in a layout and not in another at the same place."""
    half = f"open {_floor_words(looks)}"
    more = [looks.pairs - other.pairs for other in others if other.half == looks.half]
    pairs = [sorted(pair) for pair in max(more, key=len)]
    if not pairs:
        return half
    one, other = (lower(scene.placed[root].name) for root in min(pairs))
    return f"{one} and {other} at once"


def _wall_words(scene: Scene, wall_id: str) -> str:
    number = next(i for i, wall in enumerate(scene.room.walls) if wall.id == wall_id)
    return scene.fixed_names[number]


def _reasons(problem: Problem, layout: Layout) -> list[Phrase]:
    """Return what speaks for a layout, the strongest first."""
    scene, reasons = layout.scene, []
    floor = layout.floor
    short = published("layout.open-floor.short-mm")
    if floor is not None and floor.short_mm >= short:
        reasons.append(phrase("floor of {} m stays free", floor.words))
    full = published("layout.bar.full-mm")
    bars = [p for p in scene.order if p.kit.bar is not None and p.root != p.piece.id]
    if bars and all(beyond_mm(layout, bar, side, full) >= full for bar in bars for side in (-1, 1)):
        reasons.append(phrase("both ends of the bar free"))
    way = narrowest(scene).width_mm
    wide = published("layout.way-in.full-mm")
    if way is not None and wide <= way < math.inf:
        reasons.append(phrase("no way on foot narrower than {:mm}", min(way, WIDE_WAY_MM)))
    free, count = pairs_at_once(layout)
    if layout.people > 1 and free == count:
        reasons.append(phrase("two can train at once"))
    door = layout.door_at
    used = [scene.placed[key] for key, _ in layout.together.stations]
    if door is not None and used and all(sees_door(placed, door) for placed in used):
        reasons.append(phrase("you see the door from everywhere"))
    return reasons


def _price(problem: Problem, cares: Sequence[Snag]) -> str:
    """Say the worst of the cares that are left."""
    worst = max(cares, key=weight_of, default=None)
    if worst is None:
        return ""
    wanted = worst.need if worst.need is not None else worst.required
    if worst.unit == "mm" and wanted and worst.measured is not None and worst.measured >= 0:
        words = phrase("{}: {:bare} of {:mm}", lower(worst.who), worst.measured, wanted)
        return words.worded(problem.plan.units)
    # without a figure its own first clause says what it is
    return worst.worded(problem.plan.units).split(".")[0].split(":")[0]
