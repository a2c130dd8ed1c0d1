"""What fits into a room as it stands: every kit type with its use, and the largest of each kind."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
import shapely

from app.arrange.better import Weight, outcome_of, weights
from app.arrange.joining import usual_bar, ways_in
from app.arrange.trial import price_of
from app.arranging.new_places import ALL_OF_IT, NEW, PLACES, Spot, best_places
from app.arranging.no_place import has_place, no_place
from app.arranging.open_floor import OpenFloor, open_floor
from app.arranging.shares import spread
from app.arranging.standing import is_carrier
from app.budget import Budget
from app.changes.commands import adds, apply
from app.checks.headroom import person_name
from app.checks.run import run
from app.checks.snag import Snag
from app.library.kit import KitType, kit_types
from app.library.own import kits_of
from app.model.kit import Piece, Pose
from app.model.phases import without
from app.model.plan import Plan
from app.model.situations import OUT
from app.placing.core import Core
from app.published.register import overridden
from app.scene.build import Placed, Scene, build_scene
from app.scene.tolerance import TOLERANCE_MM
from app.wording import lower, phrase

T = TypeVar("T")
NEW_BAR = "would-fit-bar"
ONE_SPACE = 1.0
"""What may be lacking where a use is tight: in all as much as one space that is wholly taken."""
USES = ("full", "tight", "crowded", "none")
NOT_BOUGHT = "Of the house"
RACKS = "Racks"
MIDDLE = Pose(x_mm=0, y_mm=0)


@dataclass(frozen=True, slots=True)
class Fit:
    """Whether a kit type fits beside what stands there.

    `use` is "full" with all the room it asks for, "tight" with a little less, "crowded" where it
    stands but is hardly used, "none" where there is no place. `people` can use it there by height;
    `lacking` is the sum of what is missing, in shares. `then` says what the rest has less of,
    `why` what is against a place where there is none; both are empty where nothing is to be said.
    """

    kit: KitType
    use: str
    pose: Pose | None
    people: tuple[str, ...]
    lacking: float
    then: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class ForRack:
    """Which bars and which benches can be used in a rack where it stands.

    Each in place of what is in it, without a stop that is not there now.
    """

    name: str
    bars: tuple[KitType, ...]
    benches: tuple[KitType, ...]


@dataclass(frozen=True, slots=True)
class Fits:
    """All that fits: the kit types in the order of the library, and the largest of three kinds.

    `racks` are those that stand, with what fits each. Before all is tried there are less of them:
    `of` kit types are tried in all, `to_come` is what else is looked for still.
    """

    kit: tuple[Fit, ...]
    tallest_rack_mm: float | None
    longest_bar: KitType | None
    mat: OpenFloor | None
    racks: tuple[ForRack, ...] = ()
    of: int = 0
    to_come: frozenset[str] = frozenset()


RACK, BAR, IN_RACKS = "rack", "bar", "in racks"
"""What is looked for besides each kit type, as `to_come` names it."""


def fits(plan: Plan, spot: Spot | None = None, budget: Budget | None = None) -> Fits:
    """Return what fits into a room beside all that is on the plan.

    With a `spot`, a place in mm of the room, only what can stand over it; the largest of each kind
    are of the whole room all the same. A budget has a step for each type; what it does not reach
    is not among the answers.
    """
    *_, whole = fits_in_turn(plan, spot, budget)
    return whole


def fits_in_turn(
    plan: Plan, spot: Spot | None = None, budget: Budget | None = None
) -> Iterator[Fits]:
    """Yield what is known so far of what `fits` returns, more each time, all of it at last."""
    return _with_its_figures(plan, lambda scene: _whole_in_turn(scene, spot, budget))


def _whole_in_turn(scene: Scene, spot: Spot | None, budget: Budget | None) -> Iterator[Fits]:
    """Yield first what takes least to find: it is read while the rest is tried."""
    kits = _tried()
    to_come = frozenset((RACK, BAR, IN_RACKS))
    known = Fits((), None, None, open_floor(scene), (), len(kits), to_come)
    yield known
    known = replace(known, tallest_rack_mm=_tallest_rack(scene), to_come=to_come - {RACK})
    yield known
    known = replace(known, longest_bar=_longest_bar(scene), to_come=frozenset((IN_RACKS,)))
    yield known
    known = replace(known, racks=tuple(for_racks(scene)), to_come=frozenset())
    yield known
    for one in _each(scene, kits, spot, budget):
        known = replace(known, kit=(*known.kit, one))
        yield known


@dataclass(frozen=True, slots=True)
class AtSpot:
    """What can stand over a spot of a room: each kit type, and how high it is there.

    `clear_mm` is None beyond the walls; `taken` names what stands there already. `of` kit types
    are tried in all.
    """

    spot: Spot
    kit: tuple[Fit, ...]
    clear_mm: float | None
    taken: tuple[str, ...] = ()
    of: int = 0


def at_spot(plan: Plan, spot: Spot, budget: Budget | None = None) -> AtSpot:
    """Return what fits over a spot, a place in mm of the room; nothing where one cannot stand."""
    *_, whole = at_spot_in_turn(plan, spot, budget)
    return whole


def at_spot_in_turn(plan: Plan, spot: Spot, budget: Budget | None = None) -> Iterator[AtSpot]:
    """Yield what is known so far of what `at_spot` returns, more each time, all of it at last."""
    return _with_its_figures(plan, lambda scene: _spot_in_turn(scene, spot, budget))


def _spot_in_turn(scene: Scene, spot: Spot, budget: Budget | None) -> Iterator[AtSpot]:
    point = shapely.Point(spot)
    if not scene.room.free.covers(point):
        yield AtSpot(spot, (), None)
        return
    taken = tuple(
        placed.name
        for placed in scene.order
        if is_carrier(placed) and placed.footprint.covers(point)
    )
    heights, _ = scene.room.shut.clear(np.array([point.buffer(TOLERANCE_MM)], dtype=object))
    clear_mm = float(heights[0]) - scene.plan.room.floor.covering.thickness_mm
    kits = _tried()
    known = AtSpot(spot, (), clear_mm, taken, len(kits))
    yield known
    for one in _each(scene, kits, spot, budget):
        known = replace(known, kit=(*known.kit, one))
        yield known


def _with_its_figures(plan: Plan, parts: Callable[[Scene], Iterator[T]]) -> Iterator[T]:
    """Yield parts of an answer, each found by the figures that the plan itself overrides.

    Between two parts somebody else may ask by the figures of another plan.
    """
    figures = {one.id: one.value for one in plan.overrides}
    with overridden(figures):
        rest = parts(build_scene(plan))
    while True:
        with overridden(figures):
            one = next(rest, None)
        if one is None:
            return
        yield one


def _tried() -> list[KitType]:
    """Return the kit types that are tried, in the order of the library."""
    return [
        kit
        for kit in kit_types().values()
        if kit.group != NOT_BOUGHT and (kit.bar is None or kit.rests) and kit.solids
    ]


def _each(
    scene: Scene, kits: Sequence[KitType], spot: Spot | None, budget: Budget | None
) -> Iterator[Fit]:
    """Yield how each kit type fits into a scene."""
    known = weights(run(scene), _stations(scene))
    budget = budget or Budget(len(kits))
    for kit in kits:
        if not budget.allows():
            return
        yield _fit(scene, kit, known, spot)


def _fit(scene: Scene, kit: KitType, known: Mapping[str, Weight], spot: Spot | None) -> Fit:
    piece = Piece(id=NEW, type=kit.key, pose=MIDDLE)
    units = scene.plan.units
    places: list[tuple[float, Pose]] = []
    for with_it in _with_bars(scene, [piece]):
        places = best_places(with_it, spot)
        if places:
            break
    best: Fit | None = None
    why = "" if places else _why_nowhere(scene, piece, spot)
    for lacking, pose in places:
        here = build_scene(apply(scene.plan, adds([Piece(id=NEW, type=kit.key, pose=pose)])))
        verdict = run(here)
        worse = [
            snag
            for snag in outcome_of(known, verdict, _stations(here)).worse
            if snag.hangs_on_place
        ]
        if worse and worse[0].severity == "stop":
            why = why or phrase("{}: {}", lower(worse[0].who), worse[0].wording).worded(units)
            continue
        others = [snag for snag in worse if snag.pieces[:1] != (NEW,)]
        then = "; ".join(price_of(snag).worded(units) for snag in others[:1])
        full = lacking <= ALL_OF_IT and not others
        use = "full" if full else "tight" if lacking <= ONE_SPACE else "crowded"
        one = Fit(kit, use, pose, _people(here, verdict), lacking, then)
        if best is None or _ease(one) < _ease(best):
            best = one
        if full:
            break
    return best or Fit(kit, "none", None, (), 1.0, why=why)


def _why_nowhere(scene: Scene, piece: Piece, spot: Spot | None) -> str:
    """Say why a new piece has no place, where that is the room's doing or that of its bar."""
    alone = build_scene(apply(scene.plan, adds([piece])))
    core = Core.of(alone)
    if not has_place(core, NEW, frozenset(core.fixed)):
        return "nowhere, even in the empty room"
    if usual_bar(alone, alone.placed[NEW]) and best_places(alone, spot, most=1):
        return "it has a place, its bar has none"
    if spot is not None:
        return ""
    if not has_place(core, NEW):
        return no_place(core, NEW).worded(scene.plan.units)
    return "other pieces are in its way"


def _stations(scene: Scene) -> dict[str, str]:
    return {piece_id: placed.root for piece_id, placed in scene.placed.items()}


def _ease(one: Fit) -> tuple[int, bool, float]:
    """Return how well a thing fits at one of its places, the best first."""
    return USES.index(one.use), bool(one.then), one.lacking


def _with_bars(scene: Scene, pieces: Sequence[Piece]) -> Iterator[Scene]:
    """Yield the scene with a new piece; a rack with its usual bar on each pair of hooks first."""
    alone = build_scene(apply(scene.plan, adds(list(pieces))))
    usual = usual_bar(alone, alone.placed[NEW])
    for pose in usual[1] if usual else ():
        bar = Piece(id=NEW_BAR, type=usual[0].key, pose=pose, carried_by=NEW) if usual else None
        if bar is not None:
            yield build_scene(apply(scene.plan, adds([*pieces, bar])))
    if not usual:
        yield alone


def _people(scene: Scene, verdict: Sequence[Snag]) -> tuple[str, ...]:
    """Return those who hit nothing in any movement that they want at the new piece."""
    low = {
        snag.person
        for snag in verdict
        if snag.lacks == "height" and snag.severity == "stop" and NEW in snag.pieces
    }
    units = scene.plan.units
    return tuple(person_name(p, units) for p in scene.plan.people if p.id not in low)


def for_racks(scene: Scene) -> Iterator[ForRack]:
    """Yield for each rack that stands the bars and benches that can be used in it."""
    for host in scene.order:
        if host.kit.group != RACKS or host.root != host.piece.id or host.piece.state == OUT:
            continue
        fitting: dict[bool, list[KitType]] = {True: [], False: []}
        for kit in kits_of(scene.plan).values():
            if any(_goes_in(scene, host, kit, pose) for pose in ways_in(host, kit)):
                fitting[kit.bar is not None].append(kit)
        yield ForRack(host.name, tuple(fitting[True]), tuple(fitting[False]))


def _goes_in(scene: Scene, host: Placed, kit: KitType, pose: Pose) -> bool:
    """Return whether a bar or bench in a rack brings no stop that its place has to do with.

    What the rack holds of the same kind is taken out first.
    """
    mates = scene.stations[host.piece.id]
    instead = {
        mate.piece.id
        for mate in mates
        if mate is not host
        and (mate.kit.bar is not None) == (kit.bar is not None)
        and mate.kit.group == kit.group
    }
    rest = without(scene.plan, instead)
    known = {s.key for s in run(build_scene(rest)) if s.severity == "stop"}
    piece = Piece(id=NEW, type=kit.key, pose=pose, carried_by=host.piece.id)
    verdict = run(build_scene(apply(rest, adds([piece]))))
    return not any(
        s.severity == "stop" and s.hangs_on_place and s.key not in known and NEW in s.pieces
        for s in verdict
    )


def _tallest_rack(scene: Scene) -> float | None:
    """Return how tall a rack can be at the best of the places where one can stand."""
    lowest = min(
        (kit for kit in kit_types().values() if kit.group == RACKS and kit.fixing == "bolt"),
        key=lambda kit: kit.height_mm,
    )
    piece = Piece(id=NEW, type=lowest.key, pose=MIDDLE)
    with_it = build_scene(apply(scene.plan, adds([piece])))
    core = Core.of(with_it)
    layout = core.layout([root for root in core.free if root != NEW])
    tallest: float | None = None
    outline = with_it.placed[NEW].footprint
    for turn in core.turns(NEW):
        every = np.concatenate(
            [
                np.asarray(core.free_points(NEW, turn, layout)).reshape(-1, 2),
                spread(with_it, PLACES),
            ]
        )
        free = every[core.admits(NEW, turn, every, layout)]
        if not len(free):
            continue
        turned = shapely.affinity.rotate(outline, turn, origin=(0, 0))
        areas = np.array([shapely.affinity.translate(turned, x, y) for x, y in free], dtype=object)
        clear, _ = scene.room.shut.clear(areas)
        top = float(np.max(clear)) - scene.plan.room.floor.covering.thickness_mm
        tallest = top if tallest is None else max(tallest, top)
    return tallest


def _longest_bar(scene: Scene) -> KitType | None:
    """Return the longest bar of the library that has a place on a rack, with room at its ends."""
    kits = kit_types()
    racks = [kit for kit in kits.values() if kit.group == RACKS and kit.fixing == "bolt"]
    rack = min(racks, key=lambda kit: kit.height_mm)
    bars = sorted(
        (kit for kit in kits.values() if kit.bar is not None and not kit.rests),
        key=lambda kit: -kit.width_mm,
    )
    piece = Piece(id=NEW, type=rack.key, pose=MIDDLE)
    alone = build_scene(apply(scene.plan, adds([piece])))
    usual = usual_bar(alone, alone.placed[NEW])
    if usual is None:
        return None
    for kit in bars:
        if kit.bar is None or usual[0].bar is None or kit.bar.shaft_mm < usual[0].bar.shaft_mm:
            continue
        for pose in usual[1]:
            bar = Piece(id=NEW_BAR, type=kit.key, pose=pose, carried_by=NEW)
            if best_places(build_scene(apply(scene.plan, adds([piece, bar]))), most=1):
                return kit
    return None
