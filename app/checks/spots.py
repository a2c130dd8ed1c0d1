"""Where each movement can be done, how much is clear there, and what a person asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from weakref import WeakKeyDictionary

import numpy as np
import shapely

from app.checks.hung_over import hung_places, lowest_over, under
from app.checks.rising import Form
from app.checks.spot import Spot, form_of
from app.formulas.headroom import Demand, demand
from app.library.anchors import place
from app.library.movements import movements
from app.library.use import Use
from app.model.kit import Pose
from app.model.people import Person
from app.recent import Recent
from app.scene.build import Placed, Scene
from app.scene.footing import footing
from app.scene.memory import new_table
from app.scene.overhead import Overhead
from app.scene.shapes import turn
from app.scene.step_up import sides_to_step_from
from app.scene.swept import held_at
from app.scene.tolerance import Geometries

PULL_UP_BAR = "pull-up bar"
"""What is met of a rack itself whose pull-up bar is set lower than its frame."""
SHUT, OPEN = "garage door shut", "garage door open"
TRAINING = "garage doors as they stand while somebody trains"
BYTES_OF_CLEARS = 1500
"""What the clear heights of one movement at one place hold: one to four parts with their names."""

BARE = "today, before the ceiling is finished"
ALIKE_MM = 0.05
"""Heights that differ by less are one: places are kept to 0.01 mm, and the height over them errs as
much under a steep roof."""

USES_AT_MOST = 512
"""Uses before the posts of racks that are kept: some for each kind of rack."""
REST_DECIMALS = 1
"""Decimals of a mm to which it is told how far off a bar rests: places err by a hundredth."""


@dataclass(frozen=True, slots=True)
class Clear:
    """The clear height over one part of a movement at one place, from the bare floor, in mm.

    `own` tells that the piece itself is what hangs lowest there, `piece` which other one is,
    `on_floor` that the person stands beside the piece there, not on it.
    """

    part: str
    held_mm: float | None
    clear_mm: float
    cause: str
    own: bool
    piece: str | None = None
    on_floor: bool = False


@dataclass(frozen=True, slots=True)
class Verdict:
    """One person, one movement, one place: the part that has the least to spare."""

    clear: Clear
    demand: Demand

    @property
    def spare_least_mm(self) -> float:
        """What is left above the least; negative: it hits."""
        return self.clear.clear_mm - self.demand.least_mm

    @property
    def spare_need_mm(self) -> float:
        """What is left above the need."""
        return self.clear.clear_mm - self.demand.need_mm


_known: WeakKeyDictionary[Scene, dict[str, tuple[Spot, ...]]] = WeakKeyDictionary()
_within: WeakKeyDictionary[Scene, dict[tuple[object, ...], bool]] = WeakKeyDictionary()


def spots(scene: Scene) -> dict[str, tuple[Spot, ...]]:
    """Return every movement that something in the plan is there for, with its places.

    Found once and kept as long as the scene: a dozen checks ask.
    """
    by_movement = _known.get(scene)
    if by_movement is None:
        uses = scene.memo(("spots",), lambda: _uses(scene))
        by_movement = _known[scene] = {
            movement: tuple(
                spot
                for piece_id, use in places
                for spot in _places_at(scene, scene.placed[piece_id], use)
            )
            for movement, places in uses.items()
        }
    return by_movement


def _places_at(scene: Scene, placed: Placed, use: Use) -> Iterator[Spot]:
    """Yield the place of a use, and that before the posts where its bar hangs there.

    Of a box one for each side from which it is stepped onto: one that is high enough will do.
    """
    sides = sides_to_step_from(placed.kit, use.movement)
    if sides:
        yield from (Spot(placed, use, side=side) for side in sides)
        return
    inside = Spot(placed, use, _rest(scene, placed, use))
    yield inside
    out = stepped_out_to(inside)
    if out is not None:
        before = _stood_before(use, out)
        yield Spot(placed, before, _rest(scene, placed, before))


def stepped_out_to(spot: Spot) -> Use | None:
    """Return the use of a rack before its posts, where its bar hangs before them too.

    None for what is not done between posts with a bar on the shoulders.
    """
    if not spot.use.inside or not movements()[spot.use.movement].shouldered:
        return None
    bar_at = place(spot.use.at[1], spot.placed.extent) + spot.rest[1]
    if bar_at <= spot.placed.extent.depth_mm / 2:
        return None
    before = (use for use in spot.placed.kit.uses if not use.inside and "bar" in use.needs)
    return next(before, None)


@lru_cache(maxsize=USES_AT_MOST)
def _stood_before(use: Use, out: Use) -> Use:
    """Return what is done between posts as it is done before them: the same one each time."""
    return Use(movement=use.movement, at=out.at, base=use.base, needs=use.needs)


def _rest(scene: Scene, placed: Placed, use: Use) -> tuple[float, float]:
    """Return how far from a place the bar rests that comes on the shoulders there."""
    if not movements()[use.movement].shouldered:
        return 0.0, 0.0
    for bar in scene.stations[placed.root]:
        if bar.kit.bar is not None and not bar.piece.on_floor:
            away = bar.at[0] - placed.at[0], bar.at[1] - placed.at[1]
            x, y = turn(*away, -placed.pose.angle_deg)
            return round(x - place(use.at[0], placed.extent), REST_DECIMALS), round(
                y - place(use.at[1], placed.extent), REST_DECIMALS
            )
    return 0.0, 0.0


def served(scene: Scene) -> frozenset[str]:
    """Return the movements that something in the plan is there for."""
    return frozenset(scene.memo(("spots",), lambda: _uses(scene)))


def _uses(scene: Scene) -> dict[str, list[tuple[str, Use]]]:
    uses: dict[str, list[tuple[str, Use]]] = {}
    held = {"bar": set[str](), "bench": set[str]()}
    for placed in scene.order:
        if placed.kit.bar is not None:
            held["bar"].add(placed.root)
        if placed.kit.group == "Benches":
            held["bench"].add(placed.root)
    for placed in scene.order:
        if not placed.in_use:
            continue
        # what a carrier offers counts for its station: a bench in a rack is not used by itself
        carrier = scene.placed[placed.root].kit
        taken = {use.movement for use in carrier.uses} if carrier is not placed.kit else set()
        for use in placed.kit.uses:
            served = all(placed.root in held[needed] for needed in use.needs)
            if served and use.movement not in taken and use.movement in movements():
                uses.setdefault(use.movement, []).append((placed.piece.id, use))
    return uses


def judge(scene: Scene, person: Person, spot: Spot, situation: str) -> Verdict:
    """Judge one movement of one person at one place; the part with the least to spare decides."""
    return _judged(scene, person, (spot,), situation)[0]


def _judged(scene: Scene, person: Person, places: Sequence[Spot], situation: str) -> list[Verdict]:
    """Judge a movement at each of some places."""
    every = of_parts(scene, person, places, situation)
    return [min(each, key=lambda verdict: verdict.spare_least_mm) for each in every]


def of_parts(
    scene: Scene, person: Person, places: Sequence[Spot], situation: str
) -> list[tuple[Verdict, ...]]:
    """Judge each part of a movement at each of some places, under room and kit alike."""
    hung, verdicts = hung_places(scene), []
    for spot, clears in zip(places, measure(scene, places, situation), strict=True):
        under = clears
        if hung:
            key = ("under kit", *spot.key, situation, hung)
            under = scene.memo(key, partial(_under_kit, scene, spot, clears))
        each = (
            Verdict(one, demand_of(scene, person, spot, one.held_mm, one.on_floor)) for one in under
        )
        verdicts.append(tuple(each))
    return verdicts


def best_spot(
    scene: Scene, person: Person, places: tuple[Spot, ...], situation: str
) -> tuple[Verdict, Spot]:
    """Judge a movement at each of its places in the room and give the one with the most to spare.

    Where all of them lie beyond the walls these are judged.
    """
    judged = list(zip(_judged(scene, person, places, situation), places, strict=True))
    if len(judged) > 1:
        # a place beyond a wall is none while there is another
        within = [pair for pair in judged if is_within(scene, pair[1])]
        judged = within or judged
    most = max(verdict.spare_least_mm for verdict, _ in judged)
    # of equal places the first, whichever way the room lies
    return next(pair for pair in judged if pair[0].spare_least_mm >= most - ALIKE_MM)


def is_within(scene: Scene, spot: Spot) -> bool:
    """Return whether the middle of a place lies in the room."""
    known, key = _within.setdefault(scene, {}), spot.key
    if key not in known:
        known[key] = bool(shapely.intersects_xy(scene.room.grown, *spot.from_at))
    return known[key]


def _look_within(scene: Scene, places: Sequence[Spot]) -> None:
    """Look of many places at once whether they lie in the room; `is_within` then finds it ready."""
    known = _within.setdefault(scene, {})
    new = [spot for spot in places if spot.key not in known]
    if new:
        within = shapely.intersects_xy(scene.room.grown, [spot.from_at for spot in new])
        known.update(zip((spot.key for spot in new), within.tolist(), strict=True))


def demand_of(
    scene: Scene, person: Person, spot: Spot, held_mm: float | None, on_floor: bool = False
) -> Demand:
    """Return what one person asks for with one part of a movement; the place does not matter.

    `on_floor` tells that this part is beside the piece, where nobody is lifted by it.
    """
    placed, use = spot.placed, spot.use
    (base, rise), bar = footing(placed, use), None
    if use.movement in ("pull-up", "dip"):
        bar = (placed.piece.bar_height_mm or base) + placed.lift_mm
    return demand(
        use.movement,
        person.stature_mm,
        person.reach_mm,
        floor_mm=scene.plan.room.floor.covering.thickness_mm,
        held_mm=held_mm,
        deck_mm=0.0 if on_floor else base,
        rise_mm=rise,
        bar_height_mm=bar,
    )


def overhead_in(scene: Scene, situation: str) -> Overhead:
    """Return what is overhead in a situation."""
    room = scene.room
    others = {OPEN: room.open, TRAINING: room.training, BARE: room.bare}
    return others.get(situation, scene.overhead)


def _under_kit(scene: Scene, spot: Spot, clears: tuple[Clear, ...]) -> tuple[Clear, ...]:
    """Take what other kit has over each part for what is overhead where it is the lower."""
    at, form = _stands_at(scene, spot), form_of(scene, spot)
    areas: Geometries = shapely.transform(form.areas, lambda xy: xy + at)
    on = replace(spot.placed, pose=Pose.within(*at, spot.placed.pose.angle_deg))
    floors = under(on, areas, [part.is_held for part in form.parts])
    found = []
    for clear, hung in zip(clears, lowest_over(scene, spot.placed.root, floors), strict=True):
        if hung is not None and hung[0] < clear.clear_mm:
            low, it = hung
            clear = replace(clear, clear_mm=low, cause=it.name, own=False, piece=it.piece.id)
        found.append(clear)
    return tuple(found)


def measure(scene: Scene, places: Sequence[Spot], situation: str) -> list[tuple[Clear, ...]]:
    """Return the clear heights at many places, all of them measured at once that nobody knows.

    What was measured is given back itself: another thread may push it out of the memo meanwhile.
    """
    keys = [(*spot.key, situation) for spot in places]
    known = dict(zip(keys, _measured(scene).get_all(keys), strict=True))
    new = {key: spot for key, spot in zip(keys, places, strict=True) if known[key] is None}
    if new:
        known.update(zip(new, _measure(scene, tuple(new.values()), situation), strict=True))
    return [clears for key in keys if (clears := known[key]) is not None]


def _measure(scene: Scene, places: Sequence[Spot], situation: str) -> tuple[tuple[Clear, ...], ...]:
    """Return the clear height over each part at each of some places, and remember it."""
    _look_within(scene, places)
    forms = [form_of(scene, spot) for spot in places]
    counts = [len(form.parts) for form in forms]
    at = np.repeat([_stands_at(scene, spot) for spot in places], counts, axis=0)
    areas = np.concatenate([form.areas for form in forms])
    xy, index = shapely.get_coordinates(areas, return_index=True)
    moved: Geometries = shapely.set_coordinates(areas, xy + at[index])
    overhead = overhead_in(scene, situation)
    heights, causes = overhead.clear(moved)
    ends = np.cumsum(counts)
    measured = []
    for spot, form, end, count in zip(places, forms, ends, counts, strict=True):
        mine = slice(int(end) - count, int(end))
        names = [overhead.items[c].name if c >= 0 else "sky" for c in causes[mine]]
        measured.append(_lowest(spot, form, heights[mine].tolist(), names))
    _measured(scene).put_all([(*spot.key, situation) for spot in places], measured)
    return tuple(measured)


def take_over_clears(scene: Scene, before: Scene, but: AbstractSet[str]) -> None:
    """Let what was measured in another scene of the same room stand, but for some stations.

    What hangs over a place is asked of the room and of the piece with what is held there.
    """
    known, table = _measured(before), _measured(scene)
    every = [
        spot
        for places in spots(scene).values()
        for spot in places
        if spot.placed.root not in but
        and spot.placed.root in before.stations
        and held_at(scene, spot.placed, spot.use) == held_at(before, spot.placed, spot.use)
    ]
    for situation in (SHUT, OPEN, TRAINING, BARE):
        keys = [(*spot.key, situation) for spot in every]
        found = zip(keys, known.get_all(keys), strict=True)
        there = [(key, clears) for key, clears in found if clears is not None]
        table.put_all([key for key, _ in there], [clears for _, clears in there])


def _stands_at(scene: Scene, spot: Spot) -> tuple[float, float]:
    """Return where a piece stands while it is measured over its place.

    Beyond a wall hangs nothing, and that is no height to train under: there it is as high as at the
    nearest spot in the room.
    """
    if is_within(scene, spot):
        return spot.placed.at
    line = shapely.shortest_line(shapely.Point(spot.from_at), scene.room.free)
    (x0, y0), (x1, y1) = shapely.get_coordinates(line).tolist()
    return spot.placed.at[0] + x1 - x0, spot.placed.at[1] + y1 - y0


def _lowest(spot: Spot, form: Form, heights: list[float], names: list[str]) -> tuple[Clear, ...]:
    """Take the piece's own top for what is overhead where it is the lower."""
    clears = []
    own_tops = zip(form.own_mm, form.under_bar, strict=True)
    rising = zip(form.parts, own_tops, heights, names, strict=True)
    for part, (own, by_bar), height, name in rising:
        over, what = height, name
        its_own = own + spot.placed.lift_mm < over
        if its_own:
            over = own + spot.placed.lift_mm
            frame = "rails" if part.name != "head" else "crossmember"
            what = PULL_UP_BAR if by_bar else frame
        clears.append(Clear(part.name, part.held_mm, over, what, its_own, on_floor=part.on_floor))
    return tuple(clears)


def _measured(scene: Scene) -> Recent[tuple[object, ...], tuple[Clear, ...]]:
    return scene.table(("clear",), lambda: new_table(len(scene.order), BYTES_OF_CLEARS))
