"""Everybody under their ceiling: each movement at its top, small, all at one scale.

A picture is one movement: the person in their own proportions, what is clear above them, the least
as a line, the need with its margin as dots, and what is missing hatched. Nobody has to read a list:
the plate is in the ceiling, or it is not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import shapely
from shapely.geometry.base import BaseGeometry

from app.checks.open_floor import CardLine, PersonCard
from app.drawing.body import silhouette
from app.drawing.primitives import Item, Line, Point, Polygon, Region
from app.drawing.section import given_from, thing_outline
from app.drawing.section_frame import Given, Oval, Thing
from app.drawing.section_pose import stance
from app.drawing.svg import fragment
from app.model.people import Person

PX_PER_MM = 0.082
"""Two people fit one above the other in a middling window."""
_TOP_MM = 2900.0
_LEAST_WIDE_PX = 58.0
_MOST_WIDE_PX = 132.0
"""A figure keeps a finger's width; the rope swings wider than its picture."""
_RIM_PX = 7.0
_CEILING_MM = 70.0
_FLOOR_MM = 50.0
_FINE_MM = 6.0
"""Outlines are drawn this fine: half a pixel."""
_MARK_PX = 20.0
_HATCH_PX = 4.0
_BEYOND_PX = 80.0
"""Floor and ceiling go on beside a picture whose name is wider; the page cuts them off."""
_ROPE_MM = 260.0
"""A rope is drawn narrower than it swings, to save room."""
_VERDICTS = ("does-not", "tight", "fits")
_At = Callable[[Point], Point]


@dataclass(frozen=True, slots=True)
class Pictured:
    """One movement of a card with its picture, and what is missing or to spare, mm."""

    line: CardLine
    svg: str
    by_mm: float | None


def in_order(cards: Sequence[PersonCard]) -> tuple[str, ...]:
    """Return the movements in one order for everybody: as the tallest person has them.

    The worst verdict comes first, then the highest need: silhouettes fall from left to right.
    """
    if not cards:
        return ()
    tallest = max(cards, key=lambda card: card.stature_mm)
    lines = sorted(tallest.lines, key=lambda one: (_VERDICTS.index(one.verdict), -one.need_mm))
    return tuple(line.movement for line in lines)


def frieze(
    card: PersonCard, person: Person, order: Sequence[str], floor_mm: float
) -> tuple[Pictured, ...]:
    """Return a picture of each movement of a card in this order; `floor_mm` is the covering."""
    by_key = {line.movement: line for line in card.lines}
    lines = [by_key[key] for key in order if key in by_key]
    return tuple(_pictured(line, person, floor_mm) for line in lines)


def _pictured(line: CardLine, person: Person, floor_mm: float) -> Pictured:
    given = given_from(line.demand, person, floor_mm, line.plate_mm, on_kit=False)
    clear = line.clear_mm
    by = None
    if clear is not None:
        by = clear - (line.least_mm if line.verdict == "does-not" else line.need_mm)
    return Pictured(line, _drawn(line.movement, given, clear, line.need_mm, line.verdict), by)


@lru_cache(maxsize=512)
def _drawn(movement: str, given: Given, clear: float | None, need: float, verdict: str) -> str:
    """Return one picture as an inline `<svg>` in CSS pixels; inks are classes."""
    pose = stance(movement, given)
    body = silhouette(pose.joints)
    shapes = [thing for thing in (*pose.behind, *pose.held) if not isinstance(thing, Oval)]
    all_of_it = [body.near, body.far, *(thing_outline(thing) for thing in shapes)]
    left, _, right, _ = shapely.total_bounds(all_of_it)
    wide = min(max((right - left) * PX_PER_MM + 2 * _RIM_PX, _LEAST_WIDE_PX), _MOST_WIDE_PX)
    middle = (left + right) / 2

    def at(point: Point) -> Point:
        return (point[0] - middle) * PX_PER_MM + wide / 2, (_TOP_MM - point[1]) * PX_PER_MM

    def level(z_mm: float) -> float:
        return (_TOP_MM - z_mm) * PX_PER_MM

    crown = wide / 2 - middle * PX_PER_MM
    items: list[Item] = [
        _band(wide, level(given.floor_mm), level(-_FLOOR_MM), "ground"),
        *_things(pose.behind, at),
        Region(_rings(body.far, at), "far"),
        Region(_rings(body.near, at), "near"),
        *_things(pose.held, at),
    ]
    if clear is not None and clear < _TOP_MM:
        items.append(_band(wide, level(clear + _CEILING_MM), level(clear), "ceiling"))
        ends = (-_BEYOND_PX, level(clear)), (wide + _BEYOND_PX, level(clear))
        items.append(Line(*ends, "clear"))
    half = _MARK_PX
    x0 = min(max(crown - half, 1.0), wide - 2 * half - 1.0)
    x1 = x0 + 2 * half
    if verdict != "fits" and clear is not None:
        missing = need if verdict == "tight" else given.top_mm
        items += _hatched(x0, x1, level(missing), level(clear), verdict)
    items.append(Line((x0, level(need)), (x1, level(need)), f"need {verdict}"))
    items.append(Line((x0, level(given.top_mm)), (x1, level(given.top_mm)), f"least {verdict}"))
    high = level(-_FLOOR_MM)
    size = {"width": f"{wide:.1f}", "height": f"{high:.1f}"}
    view = f"0 0 {wide:.1f} {high:.1f}"
    return fragment(
        items,
        {
            "class": "pose",
            **size,
            "viewBox": view,
            # a cell that is a little narrower crops its picture and never scales it
            "preserveAspectRatio": "xMidYMin slice",
            "aria-hidden": "true",
        },
        digits=1,
    )


def _band(wide: float, top: float, foot: float, ink: str) -> Polygon:
    x0, x1 = -_BEYOND_PX, wide + _BEYOND_PX
    return Polygon(((x0, top), (x1, top), (x1, foot), (x0, foot)), ink)


def _hatched(x0: float, x1: float, top: float, foot: float, verdict: str) -> Iterable[Line]:
    """Yield strokes over what is missing."""
    high, low = min(top, foot), max(top, foot)
    count = max(1, round((low - high) / _HATCH_PX))
    for i in range(count):
        y = high + (low - high) * (i + 0.5) / count
        yield Line((x0, y), (x1, y), f"lack {verdict}")


def _things(things: Iterable[Thing], at: _At) -> Iterable[Item]:
    for thing in things:
        if isinstance(thing, Oval):
            ring = shapely.Point(0, 0).buffer(1, quad_segs=8).exterior
            (x, z), w, h = thing.middle, min(thing.half_width_mm, _ROPE_MM), thing.half_height_mm
            yield Polygon(tuple(at((x + w * a, z + h * b)) for a, b in ring.coords[:-1]), "rope")
            continue
        yield Region(_rings(thing_outline(thing), at), f"held {thing.ink}")


def _rings(area: BaseGeometry, at: _At) -> tuple[tuple[Point, ...], ...]:
    rings: list[tuple[Point, ...]] = []
    for part in shapely.get_parts(area.simplify(_FINE_MM)):
        for ring in (part.exterior, *part.interiors):
            rings.append(tuple(at((x, z)) for x, z in ring.coords[:-1]))
    return tuple(rings)
