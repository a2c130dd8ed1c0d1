"""Will this one fit: where a box of three sizes can stand, before it is placed or bought."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely

from app.arrange.better import weight_of
from app.arrange.effort import (
    FULL,
    OFFER_GRID_MM,
    OFFER_STEPS,
    work_of,
)
from app.arrange.joining import usual_bar
from app.arrange.places import (
    Place,
    all_over,
    asked_behind_mm,
    free_poses,
    grid,
    off_doors,
    off_the_walls,
    wall_poses,
)
from app.budget import Budget
from app.changes.commands import adds, apply, moves
from app.checks.run import run
from app.checks.snag import Snag
from app.library.own import kits_of
from app.model.kit import Piece, Pose
from app.placing.core import Core
from app.scene.build import Scene, build_scene
from app.scene.tolerance import falls_short
from app.wording import lower, phrase

PLAIN = "other-thing"
TOO_MUCH_TO_JUDGE = "There is floor for it, but the plan is too large to judge any place in time."
NEW = "offered"
_BAR = "offered-bar"

IN_THE_MIDDLE = 0.7
"""What a place in the middle of the room costs: nearly as much as one thing that is wanted and is
not there at all. A layout loses about as much by it, see the preferences."""
OFFERED_AT_MOST = 4
"""Places that go before the full judge: the core has ranked them, and a hand waits."""

# stops that no place in the room mends: they are told, and do not count against a place
_UNHELD = ("fixing", "hooks")

# stops, stops with the usual bar of a rack hung on it, stops of what nothing holds, the weight of
# cares as shares of what is wanted, notes
_Cost = tuple[int, int, int, float, int]
_Rank = Callable[[Sequence[Place]], list[Place]]


@dataclass(frozen=True, slots=True)
class Offer:
    """Whether an offered piece fits, in one sentence, with the best place and the tallest box."""

    fits: bool
    sentence: str
    place: Pose | None
    tallest_mm: float


def fits(
    scene: Scene,
    width_mm: float,
    depth_mm: float,
    height_mm: float,
    type_key: str | None = None,
    budget: Budget | None = None,
) -> Offer:
    """Look for a place for a box of these sizes, or for a kit type with these sizes.

    A kit type is judged with its working spaces; a bare box only by what it would stand in. Of
    the places for a rack, those come first where the bar hung on it later is in nothing's way.
    What is made for a wall stands with its back on one; where doors swing and where one comes in
    is left clear while there is another place. Of more places than the budget has judged the best
    of those is told, and that there are more.
    """
    budget = budget or Budget(OFFER_STEPS)
    tallest, units = tallest_mm(scene), scene.plan.units
    lift = scene.plan.room.floor.covering.thickness_mm
    if falls_short(tallest, height_mm):
        sentence = phrase(
            "It is {:mm} too high: {:bare} is the tallest here.", height_mm - tallest, tallest
        )
        return Offer(False, sentence.worded(units), None, tallest)
    kit = kits_of(scene.plan).get(type_key or "")
    walled = kit is not None and kit.for_wall
    with_it = offered_in(scene, (width_mm, depth_mm, height_mm), type_key)
    behind_mm = asked_behind_mm(with_it.placed[NEW])
    free = wall_poses if walled else partial(free_poses, behind_mm=behind_mm)
    poses = free(scene, width_mm, depth_mm, lift, lift + height_mm)
    if not poses:
        sentence = phrase(
            "It is made to have its back on a wall, and no wall has room for {:bare} x {:mm}."
            if walled
            else "There is no free floor of {:bare} x {:mm} for it here.",
            width_mm,
            depth_mm,
        )
        return Offer(False, sentence.worded(units), None, tallest)
    before = run(scene) if budget.allows(work_of(scene, FULL)) else ()
    # with room to load the bar at ease where there is such a place, else with the least for it
    for wide in _widths_with_bar_mm(scene, type_key, width_mm):
        first = free(scene, wide, depth_mm, lift, lift + height_mm) if wide > width_mm else []
        if first:
            break
    ranked = partial(_most_promising, Core.of(with_it), budget)
    best: tuple[_Cost, Pose, int] | None = None
    for x, y, angle, last in _in_turn(scene, first, poses, (wide, width_mm), depth_mm, ranked):
        # The first places were those with room for the bar; one of them without a stop is not given
        # up for places off doors or without it.
        if last and best is not None and best[0][:2] == (0, 0):
            break
        pose = Pose(x_mm=x, y_mm=y, angle_deg=angle)
        there = with_it.moved({NEW: pose})
        if not budget.allows(work_of(there, FULL)):
            budget.leave_out("places on the floor")
            break
        stops, unheld, cares, notes, short = newly(before, run(there))
        if off_the_walls(there, there.placed[NEW], [(x, y, angle)]).any():
            short += IN_THE_MIDDLE
        # Even with no stop from its bar it would be no better: then the bar need not be judged.
        if best is not None and best[0] <= (stops, 0, unheld, short, notes):
            continue
        bar_stops = stops_with_bar(before, there, pose, budget)
        if bar_stops is None:
            budget.leave_out("places on the floor")
            break
        cost = stops, bar_stops, unheld, short, notes
        if best is None or cost < best[0]:
            best = cost, pose, cares
        # Nothing new to say at all: no place can be better.
        if not any(cost):
            break
    if best is None:
        return Offer(False, TOO_MUCH_TO_JUDGE, None, tallest)
    (stops, _, unheld, _, _), pose, cares = best
    room = phrase("{:mm} are left above it", tallest - height_mm)
    if unheld and not stops and walled:
        sentence = phrase("It fits; what holds it to the wall is still to be settled; {}.", room)
        return Offer(True, sentence.worded(units), pose, tallest)
    if unheld and not stops:
        words = "There is floor for it, but nothing holds it: it needs a rack, stands or hooks."
        return Offer(False, words, pose, tallest)
    if not stops and not cares:
        sentence = phrase("It fits, with nothing in its way; {}.", room)
        return Offer(True, sentence.worded(units), pose, tallest)
    if not stops:
        sentence = phrase("It fits, but tightly: {} more to take care of; {}.", cares, room)
        return Offer(True, sentence.worded(units), pose, tallest)
    words = "There is floor for it, but not to use it: something else would have to go."
    if low := _too_low(before, run(with_it.moved({NEW: pose}))):
        words = f"There is floor for it, but too little height: {low}."
    elif budget.left_out:
        words = "No place to use it was found; the plan is so large that not all were looked at."
    return Offer(False, words, pose, tallest)


def offered_in(scene: Scene, sizes_mm: tuple[float, float, float], type_key: str | None) -> Scene:
    """Return the scene with the offered piece in it, nowhere in particular."""
    known = type_key is not None and type_key in kits_of(scene.plan)
    width_mm, depth_mm, height_mm = sizes_mm
    piece = Piece(
        id=NEW,
        type=type_key if type_key and known else PLAIN,
        pose=Pose(x_mm=0, y_mm=0),
        width_mm=width_mm,
        depth_mm=depth_mm,
        height_mm=height_mm,
    )
    return build_scene(apply(scene.plan, adds([piece])))


def _in_turn(
    scene: Scene,
    first: list[Place],
    then: list[Place],
    widths_mm: tuple[float, float],
    depth_mm: float,
    ranked: _Rank,
) -> Iterator[tuple[float, float, float, bool]]:
    """Yield the places that are judged, those off doors first, and whether better ones went before.

    `first` are those for a rack with its bar and `then` those for it alone, of these two widths.
    """
    later: list[Place] = []
    begun = False
    for places, width_mm in zip((first, then), widths_mm, strict=True):
        clear = off_doors(scene, places, width_mm, depth_mm, ways_in=True)
        known = set(clear)
        later += [place for place in places if place not in known]
        for place in ranked(clear):
            yield (*place, begun)
        begun = begun or bool(clear)
    for place in ranked(later):
        yield (*place, begun)


def _most_promising(core: Core, budget: Budget, places: Sequence[Place]) -> list[Place]:
    """Return the places that go before the judge, by what the core knows of them, the best first.

    Of places that are refused some from all over: one of them is told as the best there is.
    """
    if not places or not budget.allows(len(places)):
        return []
    good = by_promise(core, places)
    return good[:OFFERED_AT_MOST] or all_over(places, OFFERED_AT_MOST)


def by_promise(core: Core, places: Sequence[Place]) -> list[Place]:
    """Return the places of the offered piece that the core admits, by what is short, best first."""
    if not places:
        return []
    layout = core.layout(root for root in core.stations if root != NEW)
    at = np.array(places, dtype=np.float64)
    short = np.full(len(places), np.inf)
    for angle in np.unique(at[:, 2]).tolist():
        mine = np.flatnonzero(at[:, 2] == angle)
        free = mine[core.admits(NEW, angle, at[mine, :2], layout)]
        if len(free):
            short[free] = core.shortfall(NEW, angle, at[free, :2], layout)
    short += IN_THE_MIDDLE * off_the_walls(core.scene, core.scene.placed[NEW], places)
    # of places as good as one another that which came first, at a wall before the middle
    order = np.argsort(short.round(2), kind="stable")
    return [places[i] for i in order[: int(np.isfinite(short).sum())]]


def _widths_with_bar_mm(scene: Scene, type_key: str | None, width_mm: float) -> tuple[float, float]:
    """Return how wide a rack is with its usual bar and the room beyond the ends of that; else 0.

    First with the room that is wanted there, then with the least.
    """
    kit = kits_of(scene.plan).get(type_key or "")
    if kit is None:
        return 0.0, 0.0
    # Only its widths are asked for, so anywhere will do, also in a wall.
    middle = Pose(x_mm=0, y_mm=0)
    piece = Piece(id=NEW, type=kit.key, pose=middle, width_mm=width_mm)
    usual = usual_bar(scene, build_scene(apply(scene.plan, adds([piece]))).placed[NEW])
    if usual is None:
        return 0.0, 0.0
    bar, _ = usual
    ends = [space for space in bar.spaces if space.side in ("left", "right")]
    wanted = max((space.recommended_mm for space in ends), default=0.0)
    least = max((space.least_mm for space in ends), default=0.0)
    return bar.width_mm + 2 * wanted, bar.width_mm + 2 * least


def stops_with_bar(before: tuple[Snag, ...], scene: Scene, at: Pose, budget: Budget) -> int | None:
    """Count the stops that are new with the usual bar on the offered rack, on its best hooks.

    None where the budget ends before the first of them.
    """
    usual = usual_bar(scene, scene.placed[NEW])
    if usual is None:
        return 0
    kit, poses = usual
    fewest: int | None = None
    for pose in poses:
        bar = Piece(id=_BAR, type=kit.key, pose=pose, carried_by=NEW)
        plan = apply(apply(scene.plan, adds([bar])), moves(scene.plan, {NEW: at}))
        with_bar = build_scene(plan)
        if not budget.allows(work_of(with_bar, FULL)):
            break
        stops, *_ = newly(before, run(with_bar))
        fewest = stops if fewest is None else min(fewest, stops)
        if not fewest:
            break
    return fewest


def _too_low(before: tuple[Snag, ...], after: tuple[Snag, ...]) -> str:
    """Name what is new where every new stop is for want of height; else nothing."""
    known = {snag.key for snag in before}
    stops = [snag for snag in after if snag.key not in known and snag.severity == "stop"]
    if any(snag.lacks != "height" for snag in stops):
        return ""
    return "; ".join(dict.fromkeys(lower(", ".join(snag.names)) for snag in stops))


def newly(before: tuple[Snag, ...], after: tuple[Snag, ...]) -> tuple[int, int, int, int, float]:
    """Count what is new: stops, stops of what nothing holds, cares, notes; and weigh the cares."""
    known = {snag.key for snag in before}
    new = [snag for snag in after if snag.key not in known]
    unheld = sum(snag.severity == "stop" and snag.lacks in _UNHELD for snag in new)
    severities = [snag.severity for snag in new]
    return (
        severities.count("stop") - unheld,
        unheld,
        severities.count("care"),
        severities.count("note"),
        round(sum(weight_of(snag).share for snag in new if snag.severity == "care"), 2),
    )


def tallest_mm(scene: Scene, side_mm: float = OFFER_GRID_MM) -> float:
    """Return the tallest thing that can stand anywhere in the room, on the covering.

    It is square, of this side: what is narrow finds its place between two joists.
    """
    overhead = scene.room.shut
    points = grid(scene)
    half = side_mm / 2
    boxes = np.asarray(shapely.box(*(points - half).T, *(points + half).T), dtype=object)
    inside = np.asarray(shapely.covers(scene.room.within, boxes))
    clear, _ = overhead.clear(boxes[inside])
    known = clear[np.isfinite(clear)]
    top = float(known.max()) if len(known) else 0.0
    return max(top - scene.plan.room.floor.covering.thickness_mm, 0.0)
