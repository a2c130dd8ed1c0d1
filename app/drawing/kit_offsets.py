"""Chained offsets of kit: how much is free from wall to piece and from piece to piece.

Straight lines run from wall to wall through what stands there, along and across the sheet, and
carry the length of every stretch that is free. Few lines are sought that tie each station both
ways; what stands askew has no side to measure to on such a line and is left to the setting out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.figure_kit import reaches_into
from app.drawing.lettering import width_of
from app.drawing.medium import Medium
from app.drawing.placing import Crowd, Floats, around
from app.drawing.primitives import Group, Item, Line, Point, Text
from app.scene.build import Scene
from app.units import format_short

MOST_STATIONS = 40
"""With more there are more figures than anybody could read; the setting out has them all."""
_SQUARE = 1e-3
"""How far out of line with the sheet a side may be, a share of its length, and be measured to."""
_LEAST_MM = 5.0
"""What is nearer than this touches."""
_TIGHT_EM = 0.2
"""What a figure keeps off both ends of its stretch; in one too short for that it would stand over
what is there."""
_LED_EM = (1.5, 2.1, 2.7, 3.8, 5.0)
"""How far off a short stretch its figure stands at the end of a leader."""
_FLAT_MM = 50.0
_PAST_EM = 0.5
"""How far past the end of a short stretch its figure begins, on the line drawn on."""
_FIGURE_SHARES = (0.5, 0.3, 0.7, 0.4, 0.6, 0.2, 0.8)
"""Where the figure of a long stretch may stand along it."""
_NOT_AT_LINE_COST = 4.0
"""A figure that has room at its line stands at a leader only where nothing else is free."""
_LED_COST, _PAST_COST = 0.3, 0.6
"""A leader out of the gap is read sooner than a figure upon what stands beside it."""
_OVER_EM = 0.75
"""How far the middle of a figure stands from its line."""
_ROOMY = 3.0
"""A stretch so many times as long as its figure has room for it elsewhere than in its middle."""
_SHARES = (0.5, 0.3, 0.7)
"""Where a line may run through a station, as shares of its depth: its middle first."""
_OFF_EDGE_SHARE = 0.4
"""What a line keeps off the edges that it runs along, as a share of what lines keep apart: 2 mm of
paper and more."""
_APART_EM = 1.6
"""Lines nearer to one another than this would have their figures in one another."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """What is free on a line: between which places on it, from what to what, "" for a wall."""

    across: bool
    line_mm: float
    low_mm: float
    high_mm: float
    before: str
    after: str

    @property
    def long_mm(self) -> float:
        """How much is free."""
        return self.high_mm - self.low_mm

    def at(self, along_mm: float) -> Point:
        """Return the point of its line at a place along it."""
        return (along_mm, self.line_mm) if self.across else (self.line_mm, along_mm)


@dataclass(frozen=True, slots=True)
class _Station:
    """What stands on the floor; what is not `square` to the sheet has no side to measure to."""

    name: str
    outline: BaseGeometry
    square: bool = True


def has_offsets(scene: Scene) -> bool:
    """Return whether any station of a plan has offsets that are drawn."""
    return bool(_standing(scene)[0])


def too_many(scene: Scene) -> bool:
    """Return whether a plan has so many stations that none is tied."""
    return len(_tied(scene)[0]) > MOST_STATIONS


def askew(scene: Scene) -> list[str]:
    """Return the stations on the floor that have no side to measure to on a line of the sheet."""
    _, others = _tied(scene)
    names = {one.name for one in others if not one.square} & set(scene.placed)
    return sorted(name for name in names if scene.placed[name].kit.fixing != "wall")


def apart_mm(medium: Medium) -> float:
    """Return how far apart lines are at the least, lest their figures are in one another."""
    return medium.em_mm * _APART_EM


def _standing(scene: Scene) -> tuple[list[_Station], list[_Station]]:
    """Return the stations that are tied, none of too many, and what else is in the way."""
    stations, others = _tied(scene)
    return (stations, others) if len(stations) <= MOST_STATIONS else ([], others)


def _tied(scene: Scene) -> tuple[list[_Station], list[_Station]]:
    """Return the stations that can be tied, and what else stands or hangs in the way of a line."""
    stations: list[_Station] = []
    others = [
        _Station(column.id, polygon, _is_square(polygon)) for column, polygon in scene.room.columns
    ]
    for placed in scene.order:
        if placed.piece.id != placed.root or placed.kit.bar is not None:
            continue
        if not reaches_into(placed, scene.room):
            continue
        # what hangs on a wall has its offsets on the sheet of that wall
        hangs = placed.kit.fixing in ("wall", "wall-and-floor")
        square = _is_square(placed.footprint)
        one = _Station(placed.piece.id, placed.footprint, square)
        (stations if square and not hangs else others).append(one)
    return stations, others


def stretches(scene: Scene, apart_mm: float = 0.0) -> list[Stretch]:
    """Return the free stretches of lines that tie every station along and across the sheet.

    Of lines that tell as much one is taken that runs along no edge: it would seem to be of that.
    """
    stations, others = _standing(scene)
    if not stations:
        return []
    free = scene.room.free
    rings = [shapely.get_coordinates(ring) for ring in shapely.get_rings(free)]
    sides = np.concatenate([np.stack([xy[:-1], xy[1:]], axis=1) for xy in rings])
    drawn: list[Stretch] = []
    outlines = [*(one.outline for one in (*stations, *others)), *(p for _, p in scene.room.low)]
    for across in (True, False):
        lines: list[float] = []
        edges = _edges_along(outlines, across)
        open_ones = {station.name for station in stations}
        tries = {
            round(float(at), 1) for station in stations for at in _places(station.outline, across)
        }
        things = [*stations, *others]
        runs = {at: list(_run(free, sides, things, across, at)) for at in sorted(tries)}
        while open_ones:
            told = {
                at: _worth(run, open_ones)
                for at, run in runs.items()
                if all(abs(at - other) >= apart_mm for other in lines)
            }
            most = max(told.values(), default=0)
            if most == 0:
                break
            best = (at for at, worth in told.items() if worth == most)
            off_mm = apart_mm * _OFF_EDGE_SHARE
            line = min(best, key=lambda at: (_beside(runs[at], edges, off_mm), len(runs[at]), at))
            lines.append(line)
            # of a line that is already told elsewhere only what is new is drawn
            fresh = [one for one in runs[line] if {one.before, one.after} & open_ones]
            open_ones -= {name for one in fresh for name in (one.before, one.after)}
            drawn += fresh
    return drawn


def _edges_along(outlines: Sequence[BaseGeometry], across: bool) -> Floats:
    """Return the edges of outlines along or across the sheet: where, from and to (n, 3), mm."""
    rings = [shapely.get_coordinates(one) for one in outlines]
    sides = np.concatenate([np.hstack([xy[:-1], xy[1:]]) for xy in rings if len(xy)])
    x0, y0, x1, y1 = sides.T if across else sides[:, [1, 0, 3, 2]].T
    some = (np.abs(y1 - y0) <= _SQUARE * np.abs(x1 - x0)) & (x0 != x1)
    edges: Floats = np.column_stack([y0, np.minimum(x0, x1), np.maximum(x0, x1)])[some]
    return edges


def _beside(run: Sequence[Stretch], edges: Floats, off_mm: float) -> bool:
    """Return whether any stretch of a line runs along an edge, nearer to it than `off_mm`."""
    if not run or not off_mm:
        return False
    near = edges[np.abs(edges[:, 0] - run[0].line_mm) < off_mm]
    ends = np.array([(one.low_mm, one.high_mm) for one in run])
    shared = np.minimum(ends[:, 1:], near[:, 2]) - np.maximum(ends[:, :1], near[:, 1])
    return bool((shared > off_mm).any())


def _worth(run: Sequence[Stretch], wanted: set[str]) -> int:
    return len({name for one in run for name in (one.before, one.after)} & wanted)


def _is_square(outline: BaseGeometry) -> bool:
    """Return whether the outline is round, or has its longest sides along and across the sheet."""
    xy = shapely.get_coordinates(outline)
    run = np.abs(np.diff(xy, axis=0))
    long = run.sum(axis=1)
    x0, y0, x1, y1 = outline.bounds
    slanted = (run.min(axis=1) > _SQUARE * np.maximum(long, 1.0)) & (
        long > 0.5 * min(x1 - x0, y1 - y0)
    )
    return not slanted.any()


def _places(outline: BaseGeometry, across: bool) -> Iterator[float]:
    x0, y0, x1, y1 = outline.bounds
    low, high = (y0, y1) if across else (x0, x1)
    for share in _SHARES:
        yield low + share * (high - low)


def _run(
    free: BaseGeometry, sides: Floats, things: Sequence[_Station], across: bool, at: float
) -> Iterator[Stretch]:
    """Yield what is free on one line through the room, from the left or the top on."""
    x0, y0, x1, y1 = free.bounds
    outlines = np.array([thing.outline for thing in things], dtype=object)
    ends = [(x0 - 1, at), (x1 + 1, at)] if across else [(at, y0 - 1), (at, y1 + 1)]
    line = shapely.LineString(ends)
    axis = 0 if across else 1
    for part in shapely.get_parts(shapely.intersection(line, free)):
        if part.length < _LEAST_MM:
            continue
        low, high = sorted(shapely.get_coordinates(part)[:, axis].tolist())
        stops: list[tuple[float, float, str, bool]] = []
        for i in np.flatnonzero(shapely.intersects(outlines, part)).tolist():
            box = things[i].outline.bounds
            stops.append((box[axis], box[axis + 2], things[i].name, things[i].square))
        # a wall is the last that a line meets
        walls = [_meets_square(sides, (s, at) if across else (at, s), axis) for s in (low, high)]
        stops = [*sorted(stops), (high, high, "", walls[1])]
        at_mm, before, square = low, "", walls[0]
        for start, end, name, here in stops:
            if start - at_mm >= _LEAST_MM and square and here:
                yield Stretch(across, at, at_mm, start, before, name)
            if end > at_mm:
                at_mm, before, square = end, name, here


def _meets_square(sides: Floats, point: Point, axis: int) -> bool:
    """Return whether the wall at an end of a line stands square to it; `sides` are (n, 2, 2)."""
    start, run = sides[:, 0], sides[:, 1] - sides[:, 0]
    long = np.hypot(run[:, 0], run[:, 1])
    to = np.array(point) - start
    along = np.clip((to * run).sum(axis=1) / long**2, 0.0, 1.0)
    off = np.hypot(*(to - run * along[:, None]).T)
    nearest = int(np.argmin(off))
    return bool(abs(run[nearest, axis]) <= _SQUARE * long[nearest])


def kit_offsets(
    scene: Scene, crowd: Crowd, medium: Medium, left_out: list[Stretch] | None = None
) -> tuple[Group, ...]:
    """Draw the chains; their figures are taken in the crowd, so that numbers keep off them.

    All lines come first, so that none runs through a figure. No figure stands in a wall: of a
    stretch shorter than its figure that stands at a leader, or on the line drawn on past its end.
    What finds no room beside those before is left out, and added to `left_out`: it is told in the
    words beside the plan.
    """
    lines: list[Item] = []
    words: list[Group] = []
    # heights and figures, but no lines: those a figure may stand on, with a white edge
    taken = crowd.copy()
    # on what is dark or hatched no figure is read; what lies flat on the floor is plain
    bodies = [
        placed.polygons()
        for placed in scene.order
        if max(map(float, placed.shape.high_mm), default=0.0) > _FLAT_MM
    ]
    taken.take_all(np.array([body for each in bodies for body in each], dtype=object))
    for one in stretches(scene, apart_mm(medium)):
        drawn = _drawn(one, scene.room.free, taken, crowd, medium)
        if drawn is not None:
            lines += drawn[0]
            words.append(drawn[1])
        elif left_out is not None:
            left_out.append(one)
    return (Group(tuple(lines)), *words)


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a figure may stand: its middle and its cost, and the stroke that leads to it."""

    at: Point
    cost: float
    lead: tuple[Point, Point] | None = None


def _drawn(
    one: Stretch, free: BaseGeometry, taken: Crowd, crowd: Crowd, medium: Medium
) -> tuple[list[Item], Group] | None:
    em, slant = medium.em_mm, medium.em_mm * 0.3
    words = format_short(one.long_mm, medium.units)
    wide = width_of(words, em)
    size = (wide, em * 1.1) if one.across else (em * 1.1, wide)
    places = [
        place
        for place in _places_of(one, wide, em)
        if free.covers(box := around(place.at, *size)) and not taken.meets(box)
    ]
    if not places:
        return None
    at = np.array([place.at for place in places])
    chosen = places[crowd.choose(*size, at, np.array([place.cost for place in places]))]
    x, y = chosen.at
    taken.take(around((x, y), *size))
    middle = one.at((one.low_mm + one.high_mm) / 2)
    line = (one.long_mm, em * 0.3) if one.across else (em * 0.3, one.long_mm)
    crowd.take(around(middle, *line))
    ends = (one.at(one.low_mm), one.at(one.high_mm))
    items: list[Item] = [Line(*ends, "offset")]
    if chosen.lead is not None:
        items.append(Line(*chosen.lead, "offset-lead"))
    for ex, ey in ends:
        items.append(Line((ex - slant, ey + slant), (ex + slant, ey - slant), "offset-tick"))
    foot = (x, y + em * 0.36) if one.across else (x + em * 0.36, y)
    figure = Text(foot, words, "offset-figure", "middle", 0.0 if one.across else -90.0)
    data = (("offset", f"{one.long_mm:.1f}"), ("before", one.before), ("after", one.after))
    return items, Group((figure,), "kit-offset", data)


def _places_of(one: Stretch, wide: float, em: float) -> Iterator[_Place]:
    """Yield where the figure of a stretch may stand: over or under its line, its middle first."""

    def at(along: float, aside: float) -> Point:
        x, y = one.at(along)
        return (x, y + aside) if one.across else (x + aside, y)

    middle = (one.low_mm + one.high_mm) / 2
    fits = one.long_mm >= wide + 2 * _TIGHT_EM * em
    if fits:
        roomy = one.long_mm > _ROOMY * wide
        for share in _FIGURE_SHARES if roomy else _SHARES[:1]:
            for side, cost in ((-_OVER_EM * em, 0.0), (_OVER_EM * em, 0.15)):
                along = one.low_mm + share * one.long_mm
                yield _Place(at(along, side), cost + abs(share - 0.5))
    for number, off in enumerate(_LED_EM):
        for side in (-off * em, off * em):
            end = side - math.copysign(em * 0.55, side)
            for shift in (0.0, -wide * 0.4, wide * 0.4):
                cost = _LED_COST * (1 + number) + abs(shift) / wide * _LED_COST
                cost += _NOT_AT_LINE_COST if fits else 0.0
                # it runs to the nearer edge of the figure, which may stand aside of the gap
                yield _Place(at(middle + shift, side), cost, (one.at(middle), at(middle, end)))
    if fits:
        return
    past = wide / 2 + _PAST_EM * em
    for end_mm, along in ((one.low_mm, one.low_mm - past), (one.high_mm, one.high_mm + past)):
        far = along + math.copysign(wide / 2, along - end_mm)
        for side in (-_OVER_EM * em, _OVER_EM * em):
            yield _Place(at(along, side), _PAST_COST, (one.at(end_mm), one.at(far)))
