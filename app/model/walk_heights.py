"""A ceiling from the heights of a walk: flat, one slope, or a ridge along a wall."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from app.formulas.survey_heights import Folded, folded, tilted
from app.model.base import Point
from app.model.height_lines import in_line, rises_from, straight_rise
from app.model.height_words import slope_words
from app.model.room import Ceiling, Plane, Room
from app.model.room_overhead import (
    CeilingForm,
    across_mm,
    ceiling_form,
    ceiling_planes,
    point_off,
    span_mm,
)
from app.model.room_walls import inward, letter_at
from app.model.walk import Walk
from app.published.register import published
from app.units import Units, format_length

_NEARLY = 0.99
"""Cosine between the way a slope rises and the square to a wall that it may be told from."""
EXACTLY_MET = 3
"""How many heights a plane meets whatever they are, unless they lie in one line."""
TRUE_MM = 1.0
"""What differs by less is one height: a tape is read to the millimetre."""


@dataclass(frozen=True, slots=True)
class Overhead:
    """The planes that heights make, a sentence about them, and each height's misfit in mm.

    `open_between` are the walls (counted from 1) from one of which the ceiling rises, where the
    heights do not tell from which.
    """

    planes: tuple[Plane, ...]
    sentence: str
    misfits_mm: tuple[float, ...]
    open_between: tuple[int, ...] = ()


def overhead(
    walk: Walk, room: Room, units: Units, floor_at: Callable[[Point], float]
) -> Overhead | None:
    """Fit a ceiling to the heights of a walk whose outline is the room's; None without heights.

    `floor_at` gives the height of the bare floor at a place: heights are taped from there.
    """
    if not walk.heights:
        return None
    places = [place(room, each.wall, each.along_mm, each.out_mm) for each in walk.heights]
    high = [each.height_mm + floor_at(at) for each, at in zip(walk.heights, places, strict=True)]
    lowest, highest = min(high), max(high)

    def say(length: float) -> str:
        return format_length(length, units)

    def flat(why: str) -> Overhead:
        plane = Plane(id="ceiling", height_mm=lowest)
        return Overhead((plane,), why, tuple(each - lowest for each in high))

    if len(high) == 1:
        return flat(f"one height, so the ceiling is taken to be flat at {say(lowest)}")
    level = published("survey.level-within-mm")
    if in_line(places):
        lined = _lined(walk, room, places, high, units)
        if lined is not None:
            return lined
        if len(high) == 2 and highest - lowest > level:
            return flat(
                f"two heights at one place, {say(lowest)} and {say(highest)}: the lower is taken; "
                "tape it again"
            )
    if highest - lowest <= level:
        return flat(f"flat, at the lowest of {len(high)} heights: {say(lowest)}")
    plane = tilted([(x, y, h) for (x, y), h in zip(places, high, strict=True)])
    within = published("survey.plane-within-mm")
    worst = max(abs(each) for each in plane.misfits_mm)
    if worst <= within and _inside(plane.at, plane.rise_x, plane.rise_y, plane.height_mm, room):
        slope = Plane(
            id="ceiling",
            height_mm=plane.height_mm,
            at=plane.at,
            rise_x=plane.rise_x,
            rise_y=plane.rise_y,
        )
        # through three heights a plane goes exactly: nothing squarer may part from one of them
        if len(high) > EXACTLY_MET:
            slope = _as_typed(room, slope, places, high) or slope
        misfits = [h - slope.height_at(x, y) for (x, y), h in zip(places, high, strict=True)]
        steep = math.hypot(slope.rise_x, slope.rise_y)
        worst = max(abs(each) for each in misfits)
        return Overhead(
            (slope,),
            f"one slope, {slope_words(steep, units)}; the heights lie within {say(worst)} of it",
            tuple(misfits),
        )
    ridge = _ridge(room, places, high)
    if ridge is not None:
        wall, fold = ridge
        off = max(abs(each) for each in fold.misfits_mm)
        if off <= within:
            name = letter_at([w.id for w in room.walls].index(wall))
            return Overhead(
                ceiling_planes(room, _form(room, wall, fold)),
                f"two slopes that meet {say(fold.fold_at_mm)} from wall {name}, "
                f"{say(fold.fold_mm)} high there; the heights lie within {say(off)} of them",
                fold.misfits_mm,
            )
    even = flat(
        f"no flat ceiling, single slope or ridge fits: the heights lie up to {say(worst)} off one "
        f"slope. Measure again, or give the ceiling on the page of the room. Until then the "
        f"lowest height is taken everywhere: {say(lowest)}"
    )
    return Overhead(even.planes, even.sentence, plane.misfits_mm)


def _lined(
    walk: Walk, room: Room, places: Sequence[Point], high: Sequence[float], units: Units
) -> Overhead | None:
    """Return the slope through heights in one line; None where no single slope goes through them.

    Where it may rise from one of two walls and nobody said from which, the lowest height is taken
    everywhere, and which two walls that is between.
    """
    lowest, highest = min(high), max(high)
    walls = rises_from(room, [each.wall for each in walk.heights], places, high)
    if not walls or highest - lowest < TRUE_MM:
        return None
    wall = walls[0] if len(walls) == 1 else walk.rises_from
    if wall not in walls:
        if highest - lowest <= published("survey.level-within-mm"):
            return None
        one, other = (letter_at(number - 1) for number in walls)
        return Overhead(
            (Plane(id="ceiling", height_mm=lowest),),
            f"these heights do not tell whether it rises from wall {one} or from wall {other}: say "
            f"which. Until then the lowest is taken everywhere: {format_length(lowest, units)}",
            tuple(each - lowest for each in high),
            walls,
        )
    rise = straight_rise(room, wall, places, high)
    worst = max(abs(each) for each in rise.misfits_mm)
    within = TRUE_MM if len(high) == 2 else published("survey.plane-within-mm")
    plane = rise.plane
    if worst > within or not _inside(plane.at, plane.rise_x, plane.rise_y, plane.height_mm, room):
        return None
    steep = math.hypot(plane.rise_x, plane.rise_y)
    off = "" if len(high) == 2 else f"; the heights lie within {format_length(worst, units)} of it"
    return Overhead(
        (plane,),
        f"one slope, rising from wall {letter_at(wall - 1)}, {slope_words(steep, units)}{off}",
        rise.misfits_mm,
        walls if len(walls) > 1 else (),
    )


def place(room: Room, wall: int, along_mm: float, out_mm: float) -> Point:
    """Return the place of a height: along a wall (counted from 1) and out from it into the room."""
    return point_off(room, room.walls[wall - 1].id, along_mm, out_mm)


def _as_typed(
    room: Room, fitted: Plane, places: Sequence[Point], high: Sequence[float]
) -> Plane | None:
    """Return the slope square to a wall between two of the heights themselves, if all lie on it.

    So the page of the room and the drawing show what was taped, not a millimetre beside it. None
    where a height would lie too far off.
    """
    best: tuple[float, Plane] | None = None
    rise = math.hypot(fitted.rise_x, fitted.rise_y)
    for wall in room.walls:
        nx, ny = inward(room, wall.id)
        if fitted.rise_x * nx + fitted.rise_y * ny < _NEARLY * rise:
            continue
        span = span_mm(room, wall.id)
        near, far = (
            _nearest(fitted.height_at(*room.wall_ends(wall.id)[0]), high),
            _nearest(_far_height(room, wall.id, fitted), high),
        )
        form = CeilingForm("sloping", wall.id, near, far, far, span / 2)
        (plane,) = ceiling_planes(room, form)
        off = [h - plane.height_at(x, y) for (x, y), h in zip(places, high, strict=True)]
        # the slope may lie under a height as a level ceiling may, over it by a tape's error alone
        if min(off) < -published("survey.height-mm") or max(off) > published(
            "survey.level-within-mm"
        ):
            continue
        if not _inside(plane.at, plane.rise_x, plane.rise_y, plane.height_mm, room):
            continue
        shown = Room(walls=room.walls, ceiling=Ceiling(planes=(plane,)))
        square = math.fsum(each * each for each in off)
        # the form tells a slope from one wall: heights typed there are those it shows
        if ceiling_form(shown).wall == wall.id and (best is None or square < best[0]):
            best = square, plane
    return None if best is None else best[1]


def _nearest(height_mm: float, high: Sequence[float]) -> float:
    return min(high, key=lambda each: abs(each - height_mm))


def _far_height(room: Room, wall: str, plane: Plane) -> float:
    """Return how high a slope is at the corner that lies farthest from a wall."""
    return plane.height_at(*max(room.corners, key=lambda corner: across_mm(room, wall, corner)))


def _inside(at: Point, rise_x: float, rise_y: float, height: float, room: Room) -> bool:
    """Return whether a slope stays above the floor all over the room."""
    return all(
        height + (rise_x * (x - at[0]) + rise_y * (y - at[1])) / 1000 > 100 for x, y in room.corners
    )


def _ridge(room: Room, places: Sequence[Point], high: Sequence[float]) -> tuple[str, Folded] | None:
    """Return the wall along which two slopes fit best, with its fold; None where none stands up."""
    best: tuple[float, str, Folded] | None = None
    for wall in room.walls:
        span = span_mm(room, wall.id)
        away = [round(across_mm(room, wall.id, place), 1) for place in places]
        fold = folded(list(zip(away, high, strict=True)))
        if fold is None or not 0 < fold.fold_at_mm < span:
            continue
        if min(fold.height_mm, fold.fold_mm, fold.height_at(span)) <= 100:
            continue
        square = math.fsum(each * each for each in fold.misfits_mm)
        if best is None or square < best[0] - 1:
            best = (square, wall.id, fold)
    return None if best is None else (best[1], best[2])


def _form(room: Room, wall: str, fold: Folded) -> CeilingForm:
    far = fold.height_at(span_mm(room, wall))
    return CeilingForm("ridged", wall, fold.height_mm, far, fold.fold_mm, fold.fold_at_mm)
