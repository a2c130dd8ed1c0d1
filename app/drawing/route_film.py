"""The film of the ways on foot: where they run, how narrow they get, what is not reached."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely import LineString, MultiLineString

from app.checks.narrowest import narrowest, stands_outside
from app.checks.routes import at_its_own_place
from app.checks.way_words import EASY, LEAST, WANTED, between, misses, names_of
from app.drawing.primitives import Circle, Group, Item, Line, Point, Polyline, Strokes, Text
from app.drawing.svg import part
from app.published.register import published
from app.scene.build import Scene
from app.scene.naming import opening_name
from app.scene.routes import Routes, routes
from app.scene.routes_lines import Track, track
from app.scene.tolerance import falls_short
from app.units import Units
from app.wording import Phrase, length_words, lower, phrase

_SMOOTH_MM = 20.0
_CROSS_MM = 130.0
_INKS = ("stop", "care", "ok")


@dataclass(frozen=True, slots=True)
class RouteLine:
    """One way in words; `ink` is "stop", "care" or "ok"."""

    ink: str
    words: str


@dataclass(frozen=True, slots=True)
class RouteFilm:
    """The film as an SVG `<g class="film">` in mm of the room, its key and its ways in words.

    `short` is the whole in a sentence; it says that all is well only if every station is reached.
    """

    svg: str
    key: str
    lines: tuple[RouteLine, ...]
    short: str = ""


@dataclass(frozen=True, slots=True)
class _Seen:
    """A way with its ink. `own`: the narrow place is where the station itself is used."""

    track: Track
    ink: str
    own: bool


def route_film(scene: Scene) -> RouteFilm:
    """Draw the widest way from each way out to each station, as the judge sees them.

    Stretches that are reached only through less than is wanted have the ink "care", through less
    than the least "stop". The worst is told first.
    """
    units = scene.plan.units
    on_foot = routes(scene)
    if not on_foot.ways_out or not on_foot.stands:
        what = "No door is marked as a way out" if on_foot.stands else "No station to walk to"
        return RouteFilm(part(Group((), "film", (("film", "routes"),))), f"{what}: no ways.", ())
    outside = stands_outside(scene, on_foot)
    inside = [i for i in range(len(on_foot.stands)) if i not in outside]
    seen = [_seen(scene, on_foot, i, door) for i in inside for door in range(len(on_foot.ways_out))]
    ways = [one for one in seen if one is not None]
    shut = [*outside, *(i for i in inside if _shut(scene, on_foot, i))]
    drawn = (*_runs(ways), *_necks(ways, units), *(_cross(scene, on_foot, i) for i in shut))
    svg = part(Group(tuple(drawn), "film", (("film", "routes"),)), digits=1)
    lines = [_not_in_the_room(scene, on_foot, i) for i in outside]
    lines += _lines(scene, on_foot, inside, ways)
    short = _in_short(scene, on_foot, shut, lines)
    return RouteFilm(svg, _key(scene), tuple(lines), short)


def _not_in_the_room(scene: Scene, on_foot: Routes, stand: int) -> RouteLine:
    name = scene.order[on_foot.stands[stand].number].name
    return RouteLine("stop", f"{name}: no way. No place to use it lies in the room.")


def _in_short(
    scene: Scene, on_foot: Routes, shut: Sequence[int], lines: Sequence[RouteLine]
) -> str:
    """Say first what is not reached, then whether the best ways are as wide as is wanted."""
    if shut:
        return f"No way to {names_of(scene, on_foot, shut)}."
    best = {i: on_foot.best(i) for i in range(len(on_foot.stands))}
    narrow = [
        i
        for i, way in best.items()
        if misses(way, WANTED) and not at_its_own_place(scene, on_foot, i, way)
    ]
    if narrow:
        return f"Narrower than it should be: the way to {names_of(scene, on_foot, narrow)}."
    if all(line.ink == "ok" for line in lines):
        return "Every way is as wide as it should be."
    return "Every station has a way as wide as it should be, but not by every way out."


def _seen(scene: Scene, on_foot: Routes, stand: int, door: int) -> _Seen | None:
    one = track(on_foot, stand, door)
    if one is None:
        return None
    own = misses(one.way, WANTED) and at_its_own_place(scene, on_foot, stand, one.way)
    return _Seen(one, "ok" if own else _ink(one.way.width_mm), own)


def _ink(width_mm: float) -> str:
    if falls_short(width_mm, published(LEAST)):
        return "stop"
    return "care" if falls_short(width_mm, published(WANTED)) else "ok"


def _shut(scene: Scene, on_foot: Routes, stand: int) -> bool:
    best = on_foot.best(stand)
    return misses(best, LEAST) and not at_its_own_place(scene, on_foot, stand, best)


def _runs(ways: Sequence[_Seen]) -> Iterator[Item]:
    """Draw each stretch once, by the widest that it is reached by; what is worse lies below."""
    widest: dict[tuple[Point, Point], float] = {}
    for seen in ways:
        one = seen.track
        for stretch, width in zip(pairwise(one.points), one.widths_mm, strict=True):
            if seen.own and width <= one.way.width_mm:
                width = math.inf
            pair = min(stretch), max(stretch)
            widest[pair] = max(width, widest.get(pair, 0.0))
    for ink in _INKS:
        lines = [LineString(pair) for pair, width in widest.items() if _ink(width) == ink]
        merged = shapely.line_merge(MultiLineString(lines))
        for line in shapely.get_parts(shapely.simplify(merged, _SMOOTH_MM)):
            yield Polyline(tuple((x, y) for x, y in line.coords), f"way-run {ink}")


def _necks(ways: Sequence[_Seen], units: Units) -> Iterator[Item]:
    """Mark each place that is less than easy, and the narrowest from each door in any case."""
    joins: set[int] = set()
    doors: set[int] = set()
    for seen in sorted(ways, key=lambda one: one.track.way.width_mm):
        neck, door = seen.track.neck, seen.track.door
        if neck is None or seen.own:
            continue
        first = door not in doors
        doors.add(door)
        if neck.join in joins or not (first or misses(seen.track.way, EASY)):
            continue
        joins.add(neck.join)
        width = seen.track.way.width_mm
        if neck.gap is not None:
            (ax, ay), (bx, by) = neck.gap
            at = ((ax + bx) / 2, (ay + by) / 2)
            yield Line(*neck.gap, f"way-neck {seen.ink}")
            yield Strokes(tuple(_ticks(*neck.gap)), f"way-neck {seen.ink}")
        elif neck.disc is not None:
            at, across = neck.disc
            yield Circle(at, across / 2, f"way-neck {seen.ink}")
        yield Text(at, length_words(width, units), f"way-width {seen.ink}")


def _ticks(a: Point, b: Point) -> Iterator[tuple[Point, Point]]:
    """Close both ends of a gap, square to it."""
    long = math.dist(a, b) or 1.0
    x, y = (b[1] - a[1]) / long * _CROSS_MM / 2, (a[0] - b[0]) / long * _CROSS_MM / 2
    for end in (a, b):
        yield (end[0] - x, end[1] - y), (end[0] + x, end[1] + y)


def _cross(scene: Scene, on_foot: Routes, stand: int) -> Item:
    """Ring and cross a station that cannot be reached from any door."""
    placed = scene.order[on_foot.stands[stand].number]
    x, y = placed.at
    d = _CROSS_MM
    strokes = Strokes((((x - d, y - d), (x + d, y + d)), ((x - d, y + d), (x + d, y - d))), "")
    ring = Circle((x, y), 2 * d, "")
    return Group((ring, strokes), "way-shut stop", (("piece", placed.piece.id),))


def _key(scene: Scene) -> str:
    words = phrase(
        "Full lines: {:mm} or more all the way. Dashes: less. Dots: less than {:mm}, too narrow. "
        "A ringed cross: not reached. Each is the widest way, not the shortest.",
        published(WANTED),
        published(LEAST),
    ).worded(scene.plan.units)
    worst = narrowest(scene).wording.worded(scene.plan.units)
    if len(routes(scene).ways_out) > 1:
        words = f"The lines tell each way out by itself. {words}"
    words = f"The narrowest of the best ways: {worst}. {words}"
    return f"{words} As all is drawn, not in its situations." if scene.plan.situations else words


def _lines(
    scene: Scene, on_foot: Routes, inside: Sequence[int], ways: Sequence[_Seen]
) -> Iterator[RouteLine]:
    """Say each way, the worst first; those between the same two things are told together."""
    reached = {(seen.track.stand, seen.track.door) for seen in ways}
    for door in range(len(on_foot.ways_out)):
        cut = [i for i in inside if (i, door) not in reached]
        if cut:
            also = _by_another_door(scene, on_foot, cut, LEAST)
            words = phrase("{}: no way.{}", _from_to(scene, on_foot, door, cut), also)
            yield RouteLine("stop", words.worded(scene.plan.units))
    groups: dict[tuple[int, str, str, bool], list[Track]] = {}
    for seen in ways:
        one = seen.track
        place = between(scene, one.way) if one.neck else ""
        groups.setdefault((one.door, place, seen.ink, seen.own), []).append(one)
    in_turn = sorted(
        groups.items(),
        key=lambda group: (_INKS.index(group[0][2]), min(one.way.width_mm for one in group[1])),
    )
    for (door, place, ink, own), group in in_turn:
        way = min((one.way for one in group), key=lambda way: way.width_mm)
        head = _from_to(scene, on_foot, door, [one.stand for one in group])
        if not place:
            yield RouteLine(ink, f"{head}: nothing narrows it.")
            continue
        at = "where it is used" if own else f"at its narrowest, {place}"
        end = phrase("{:mm} {}", way.width_mm, at)
        if ink == "stop":
            end = phrase("{}; a person needs {:mm}", end, published(LEAST))
        elif ink == "care":
            end = phrase("{}; allow {:mm}", end, published(WANTED))
        covered = [one.stand for one in group]
        also = phrase("")
        if ink != "ok":
            also = _by_another_door(scene, on_foot, covered, LEAST if ink == "stop" else WANTED)
        elif not own and all(_wider(on_foot, i, door) for i in covered):
            also = _by_another_door(scene, on_foot, covered, WANTED)
        yield RouteLine(ink, phrase("{}: {}.{}", head, end, also).worded(scene.plan.units))


def _wider(on_foot: Routes, stand: int, door: int) -> bool:
    """Return whether another way out is wider to a station."""
    return falls_short(on_foot.ways[stand][door].width_mm, on_foot.best(stand).width_mm)


def _by_another_door(scene: Scene, on_foot: Routes, reached: Sequence[int], key: str) -> Phrase:
    """Say how wide the best ways to some stations are, where other ways out are wide enough."""
    best = {i: on_foot.best(i) for i in reached}
    if any(misses(way, key) for way in best.values()):
        return phrase("")
    doors = {
        max(range(len(on_foot.ways_out)), key=lambda d: on_foot.ways[i][d].width_mm) for i in best
    }
    names = " and ".join(
        f"the {lower(opening_name(scene, on_foot.ways_out[d]))}" for d in sorted(doors)
    )
    narrow = min(way.width_mm for way in best.values())
    if math.isinf(narrow):
        return phrase(" By {} nothing narrows it.", names)
    return phrase(" By {} it is {:mm}.", names, narrow)


def _from_to(scene: Scene, on_foot: Routes, door: int, reached: Sequence[int]) -> str:
    name = opening_name(scene, on_foot.ways_out[door])
    every = [lower(scene.order[on_foot.stands[i].number].name) for i in reached]
    counts = {one: every.count(one) for one in every}
    to = [f"the {one}" if count == 1 else f"{count} x {one}" for one, count in counts.items()]
    last = f" and {to[-1]}" if len(to) > 1 else to[0]
    return f"{name[:1].upper()}{name[1:]} to {', '.join(to[:-1])}{last}"
