"""The pictures of one piece to lay: its cut with the tape distances, and its place in the floor."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from shapely import MultiLineString, box, union_all
from shapely import Point as PointAt
from shapely.geometry.base import BaseGeometry
from shapely.ops import polylabel

from app.drawing.lettering import width_of
from app.drawing.medium import region
from app.drawing.primitives import Anchor, Circle, Item, Line, Point, Polygon, Text
from app.drawing.svg import fragment
from app.scene.build import Scene
from app.takeoff.floor_layout import Laid, Mat
from app.takeoff.lay_steps import LayStep, Notch, Straight, lay_frame
from app.takeoff.lay_words import marks_of
from app.units import Units, format_short

_LETTERS = 13.0
"""How many letters of its lettering are as wide as the blank: large enough for a phone."""
_FLOOR_LETTERS = 26.0
_NUMBER = 1.4
"""What is free round the middle of a piece, in letters, where its number stands clear of rings."""
_MARK = 0.75
"""How far the letter of a mark stands from it, in letters."""
_ROUND = tuple(math.radians(one) for one in range(15, 375, 30))
"""Where it may stand about its mark; of two as good the first."""
_RIM = 1.9
"""Room round the blank for what the tape says, in letters."""
_FIGURE = 0.75
"""How high a figure is, in letters, with a hair above it."""
_STEP = 0.1
_USUAL = 6
_LEAST = 0.6
"""Sizes longer than 6 letters (feet, inches and parts of an inch) are lettered smaller, down to
six tenths: 13 pixels high on a phone."""


def cut_picture(step: LayStep, units: Units, label: str) -> str:
    """Return what a piece is cut from, with its cuts numbered, as an `<svg>` named by `label`."""
    wide, high = step.blank_mm
    told = [
        format_short(mm, units) for cut in step.straight for mm in (cut.first_mm, cut.second_mm)
    ]
    longest = max((len(words) for words in told), default=1)
    em = max(wide, high) / _LETTERS * min(1, max(_LEAST, _USUAL / longest))
    rim = em * _RIM
    items: list[Item] = [Polygon(((0, 0), (wide, 0), (wide, high), (0, high)), "stock")]
    items.append(region(step.piece, "stock-cut"))
    for number, cut in enumerate(step.straight, start=1):
        items += _straight(cut, number, em, units, wide / 2)
    # numbers of straight cuts lie over the lines of what is cut out
    knives = [one for letters, notch in marks_of(step) for one in _notch(step, letters, notch, em)]
    items[2:2] = knives
    items, figures = _apart(items, em, high / 2)
    at = polylabel(step.piece, em / 4)
    if at.distance(step.piece.boundary) > em * _NUMBER:
        # a piece too narrow for its number has it over the page alone
        items.append(Text((at.x, at.y + em * 0.5), str(step.mat.number), "lay-piece"))
    # beside a level cut its figures may be longer than the rim is wide
    x0, y0, x1, y1 = union_all([box(-rim, -rim, wide + rim, high + rim), *figures]).bounds
    edge = em * _STEP
    view = f"{x0 - edge:.0f} {y0 - edge:.0f} {x1 - x0 + 2 * edge:.0f} {y1 - y0 + 2 * edge:.0f}"
    return _svg(items, view, "lay-cutting", em, label)


def _straight(cut: Straight, number: int, em: float, units: Units, middle: float) -> Iterator[Item]:
    (ax, ay), (bx, by) = cut.ends
    x0, y0, x1, y1 = cut.box
    edges: dict[str, tuple[Point, Point]] = {
        "left": ((x0, y0), (x0, y1)),
        "right": ((x1, y0), (x1, y1)),
        "top": ((x0, y0), (x1, y0)),
        "bottom": ((x0, y1), (x1, y1)),
    }
    yield Line(*edges[cut.measured], "lay-hook")
    yield Line((ax, ay), (bx, by), "lay-knife")
    first, second = (format_short(mm, units) for mm in (cut.first_mm, cut.second_mm))
    upright = cut.measured in ("left", "right")
    if upright:
        # towards the middle of the blank: beside it a level cut has its figures
        side: Anchor = "start" if ax < middle else "end"
        yield Text((ax, ay - em * 0.35), first, "lay-tape", side)
        yield Text((bx, by + em * 1.05), second, "lay-tape", side)
    else:
        yield Text((ax - em * 0.3, ay + em * 0.36), first, "lay-tape", "end")
        yield Text((bx + em * 0.3, by + em * 0.36), second, "lay-tape", "start")
    # a third of the way, where no piece has its number
    at = (ax + (bx - ax) * 0.3, ay + (by - ay) * 0.3)
    yield Circle(at, em * 0.62, "lay-ring")
    yield Text((at[0], at[1] + em * 0.36), str(number), "lay-step")


def _apart(items: list[Item], em: float, middle: float) -> tuple[list[Item], list[BaseGeometry]]:
    """Return the items with the figures of the tape clear of one another, and where those stand.

    Each goes away from the middle of the blank by what keeps it off those before it.
    """
    placed: list[BaseGeometry] = []
    result = []
    for item in items:
        if isinstance(item, Text) and item.ink == "lay-tape":
            away = em * _STEP if item.at[1] > middle else -em * _STEP
            while any(_stands(item, em).intersects(one) for one in placed):
                item = replace(item, at=(item.at[0], item.at[1] + away))
            placed.append(_stands(item, em))
        result.append(item)
    return result, placed


def _stands(text: Text, em: float) -> BaseGeometry:
    width = width_of(text.words, em, bold=True)
    x, y = text.at
    x -= {"start": 0, "middle": width / 2, "end": width}[text.anchor]
    return box(x, y - em * _FIGURE, x + width, y)


def _notch(step: LayStep, letters: tuple[str, ...], notch: Notch, em: float) -> Iterator[Item]:
    x0, y0, _, _ = step.piece.bounds
    spots = [(x + x0, y + y0) for x, y in notch.spots]
    lines = [*pairwise(spots)]
    if notch.slit is not None:
        (ax, ay), (bx, by) = notch.slit
        lines.append(((ax + x0, ay + y0), (bx + x0, by + y0)))
    straight = [cut.ends for cut in step.straight]
    blank = box(0, 0, *step.blank_mm)
    edges = pairwise(blank.exterior.coords)
    clear = MultiLineString([*lines, *straight, *edges])
    for a, b in lines:
        yield Line(a, b, "lay-knife")
    for spot in spots:
        yield Circle(spot, em * 0.16, "lay-mark")
    slit = [(x + x0, y + y0) for x, y in notch.slit or ()]
    for letter, spot in zip(letters, (*spots, *slit), strict=True):
        # where it lies farthest from the cuts, within what is cut from
        round_it = [
            (spot[0] + em * _MARK * math.cos(turn), spot[1] + em * _MARK * math.sin(turn))
            for turn in _ROUND
        ]
        x, y = max(round_it, key=lambda at: clear.distance(PointAt(at)) * blank.covers(PointAt(at)))
        yield Text((x, y + em * 0.36), letter, "lay-letter")


def place_picture(scene: Scene, laid: Laid, mat: Mat, wall: str, label: str) -> str:
    """Return the floor with the start wall on top and one piece picked out, as an `<svg>`."""
    frame, _ = lay_frame(scene, laid)
    room = frame.into(scene.room.free)
    x0, y0, x1, y1 = room.bounds
    em = max(x1 - x0, y1 - y0) / _FLOOR_LETTERS
    items: list[Item] = [region(room, "lay-room")]
    names: list[Item] = []
    for one in laid.mats:
        shape = frame.into(one.polygon)
        now = one.number == mat.number
        ink = "lay-now" if now else "lay-lies" if one.down else "lay-waits"
        items.append(region(shape, f"lay {ink}"))
        at = shape.representative_point()
        names.append(
            Text((at.x, at.y + em * 0.36), str(one.number), "lay-named" if now else "lay-number")
        )
    items += names
    items.append(Text(((x0 + x1) / 2, y0 - em * 0.5), wall, "lay-wall"))
    view = f"{x0 - em:.0f} {y0 - 1.8 * em:.0f} {x1 - x0 + 2 * em:.0f} {y1 - y0 + 2.8 * em:.0f}"
    return _svg(items, view, "lay-place", em, label)


def _svg(items: list[Item], view: str, name: str, em: float, label: str) -> str:
    return fragment(
        items,
        {
            "class": name,
            "viewBox": view,
            "font-size": f"{em:.0f}",
            "role": "img",
            "aria-label": label,
        },
        digits=1,
    )
