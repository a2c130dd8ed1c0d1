"""The names of what is on a wall from inside: each where it hides least."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.drawing.lettering import shorten, width_of, wrap
from app.drawing.placing import Crowd, Spot, around
from app.drawing.primitives import Item, Point, Text
from app.drawing.sheets.wall_items import Before, FlatWall, OnWall
from app.drawing.sheets.wall_joists import WallJoist, joist_names, joist_strokes
from app.drawing.sheets.wall_leaders import aside, drawn, led_to
from app.drawing.sheets.wall_stuck import stuck_words
from app.drawing.sheets.wall_words import is_long, label_lines
from app.units import Units, format_short

DOT_EM = 0.16
"""The radius of the dot of a clip or a small screw, in sizes of the lettering."""
_OFF_EDGE_EM = 0.35
"""What words on a wall keep off its edge, in sizes of the lettering."""
_NAME_EMS = (20.0, 14.0, 10.0, 7.0)
"""How wide a name stands on a wall at most, in sizes of the lettering: narrower where that finds
room. Longer ones are parted."""
_NAME_LINES = 3
_FEW_EMS = (14.0, 9.0)
"""How wide a name stands that finds no room on so many lines, on one: its words tell it whole."""
_NO_FACE = ("strip", "socket")
"""What is too small for words to be read as its own because they stand on it."""
_PUSHED_COST = 0.5
"""What it costs that words are pushed from where they would stand onto their wall."""
_ALONG = tuple(share * way for share in np.linspace(0.0625, 0.5, 8).tolist() for way in (-1, 1))
"""Where words are tried along what is long or high, off its middle: shares of what they leave."""


def thing_names(
    flat: FlatWall,
    things: Sequence[OnWall],
    joists: Sequence[WallJoist],
    em: float,
    units: Units,
) -> tuple[list[Item], Crowd]:
    """Letter what each thing is, and its height above the floor, where it hides least.

    So the joists at the wall. Gives with it what is taken by then.
    """
    boxes: list[OnWall | Before] = [*things, *(part for thing in things for part in thing.parts)]
    strokes: list[BaseGeometry] = [
        shapely.box(b.left, -b.high, max(b.right, b.left + 1), -b.low + 1).boundary for b in boxes
    ]
    strokes += [
        shapely.Point(x, -z).buffer(em * DOT_EM).boundary
        for t in things for x, z in (*t.clips, *t.screws)
    ]  # fmt: skip
    strokes += [
        shapely.LineString([(x, -t.low), (x, -t.high)])
        for t in things if t.kind != "strip" for x in t.bars
    ]  # fmt: skip
    strokes += joist_strokes(flat, joists)
    # a line of white round letters would break the edge of the wall
    within = shapely.Polygon([(s, -z) for s, z in flat.ring]).buffer(-em * _OFF_EDGE_EM)
    shapely.prepare(within)
    pale = Crowd(np.array(flat.before_edges).reshape(-1, 2, 2) * (1.0, -1.0))
    crowd = Crowd(strokes, within)
    for x, z in (point for thing in things for point in thing.screws):
        # where one drills is seen, whatever is said beside it
        crowd.take(around((x, -z), em * DOT_EM * 2, em * DOT_EM * 2))
    items: list[Item] = stuck_words(flat, crowd, em)
    for thing in things:
        if thing.kind == "socket":
            # words that are pushed onto the wall keep off its sign
            crowd.take(around((thing.left, -thing.low), em, em))
    # what has room for its own words has the first choice: those of a socket stand anywhere
    for thing in sorted(things, key=lambda one: (one.left - one.right) * (one.high - one.low)):
        name, sizes = label_lines(thing, units)
        tries = [
            _Label((*wrap(name, em, room, _NAME_LINES), *wrap(sizes, em, room)), em)
            for room in (min(em * most, flat.length - em) for most in _NAME_EMS)
        ]
        if is_long(name):
            tries += [
                _Label((shorten(name, em, room), *wrap(sizes, em, room)), em)
                for room in (min(em * most, flat.length - em) for most in _FEW_EMS)
            ]
        cx, cy = (thing.left + thing.right) / 2, -(thing.low + thing.high) / 2
        across, tall = thing.right - thing.left, thing.high - thing.low
        first = tries[0]
        wide, high = first.wide, first.high
        found = None
        if across < wide + em and across > high + em * 0.4 and tall > wide + em:
            # what is narrow has its words standing in it, not over its edges
            slack = (tall - wide - em) / 2
            upright = [Spot((cx, cy + 2 * share * slack), abs(share)) for share in (0.0, *_ALONG)]
            if any(not crowd.meets(around(spot.at, high, wide)) for spot in upright):
                _, y = crowd.place(high, wide, upright)
                for line, off in zip(first.words, _feet(len(first.words)), strict=True):
                    items.append(Text((cx + em * off, y), line, "dimt", "middle", -90.0))
                continue
            # where other words cross it they lie in it, on more lines
            found = next((one for one in tries if _has_room(one, thing, crowd, _of(thing))), None)
        # rather narrow beside it than crossed by lines or in another thing, and rather led to it
        # than over other words
        others = np.array([_of(o) for o in things if _is_apart(o, thing)], dtype=object)
        label, spots = _Label(("",), em), list[Spot]()
        for near, bare in ((True, True), (True, False), (False, False)):
            for label in [found] if found else tries:
                spots = label.spots(thing)
                spots += [] if near else aside((cx, cy), (label.wide, label.high), within, em)
                # rather over a thing than over the edge of the wall
                spots += [
                    Spot(crowd.within(one.at, label.wide, label.high), one.cost + _PUSHED_COST)
                    for one in spots
                ]
                if clear := label.clear(spots, crowd, within, others, pale if bare else None):
                    spots = clear
                    break
            else:
                continue
            break
        x, y = crowd.place(label.wide, label.high, spots)
        if (way := led_to(label.boxes((x, y)), _of(thing), em)) is not None:
            items += drawn(way, em)
            crowd.take(way.buffer(em * DOT_EM))
        items += [
            Text((x, y + em * off), line, "dimt")
            for line, off in zip(label.words, _feet(len(label.words)), strict=True)
        ]
    for thing in things:
        for z in sorted({z for _, z in thing.fixings}):
            # beside the thing, level with its row of crosses
            height = f"h {format_short(z, units)}"
            wide = width_of(height, em)
            off = wide / 2 + em * 0.6
            beside = [Spot((thing.left - off, -z)), Spot((thing.right + off, -z), 0.1)]
            x, y = crowd.place(wide, em * 1.25, beside)
            items.append(Text((x, y + em * 0.36), height, "dimt"))
    items += joist_names(flat, joists, crowd, em, units)
    return items, crowd


@dataclass(frozen=True)
class _Label:
    """The lines that tell of a thing, at a size of the lettering."""

    words: tuple[str, ...]
    em: float

    @cached_property
    def wide(self) -> float:
        """How wide its widest line is."""
        return max(width_of(line, self.em) for line in self.words)

    @property
    def high(self) -> float:
        """How high its lines are together."""
        return self.em * 1.25 * len(self.words)

    def boxes(self, at: Point) -> BaseGeometry:
        """Return where its lines stand, their middle at a point."""
        x, y = at
        step = self.high / len(self.words)
        top = y - self.high / 2 + step / 2
        each = (
            around((x, top + i * step), width_of(line, self.em), self.em)
            for i, line in enumerate(self.words)
        )
        return shapely.union_all(list(each))

    def clear(
        self,
        spots: Sequence[Spot],
        crowd: Crowd,
        within: BaseGeometry,
        others: NDArray[np.object_],
        pale: Crowd | None,
    ) -> list[Spot]:
        """Return the spots on the wall at which it is off all other words and things.

        And with `pale`, the lines of what stands before the wall, off these and all others.
        """
        at, half = np.array([spot.at for spot in spots]), np.array([self.wide, self.high]) / 2
        some = crowd.free(at, self.wide, self.high, pale is not None)
        if pale is not None and len(some):
            some = some[pale.free(at[some], self.wide, self.high, bare=True)]
        if not len(some):
            return []
        sides = np.hstack([at[some] - half, at[some] + half])
        boxes = np.array(shapely.box(*sides.T), dtype=object)
        inside = np.array(shapely.covers(within, boxes))
        clear = inside & ~np.array(shapely.intersects(boxes[:, None], others)).any(axis=1)
        return [spots[i] for i in some[clear].tolist()]

    def spots(self, thing: OnWall) -> list[Spot]:
        """Return where it may stand: in the thing where that has room, over, under, beside it."""
        em, wide, high = self.em, self.wide, self.high
        cx, cy = (thing.left + thing.right) / 2, -(thing.low + thing.high) / 2
        across, tall = thing.right - thing.left, thing.high - thing.low
        spots = []
        # the bar in the middle of a window runs through what stands there
        if across > wide + em and thing.kind != "window":
            # off its middle where a joint with its clips runs through that
            aside, up = across / 4, tall / 4
            spots = [Spot((cx, cy), 0.0), Spot((cx - aside, cy), 0.1), Spot((cx + aside, cy), 0.1)]
            spots += [Spot((cx, cy + share * up), 0.2) for share in (-1, 1, -2 / 3, 2 / 3)]
        off = wide / 2 + em * 0.8
        spots += [
            Spot((cx, -thing.high - high * 0.65), 0.4),
            Spot((cx, -thing.low + high * 0.65), 0.5),
        ]
        spots += [
            Spot((x, cy + by), 0.9 if by else 0.6)
            for by in (0.0, -high, high)
            for x in (thing.right + off, thing.left - off)
        ]
        if thing.kind == "strip":
            # it runs over whatever hangs below it: anywhere along it its words are near it
            spots += [
                Spot((cx + share * (across - wide - em), y), 0.4 + abs(share))
                for share in _ALONG
                for y in (-thing.high - high * 0.65, -thing.low + high * 0.65)
            ]
        return spots


def _is_apart(other: OnWall, thing: OnWall) -> bool:
    """Return whether words of a thing are not to stand in another one: it is not behind it."""
    if other is thing or other.kind in _NO_FACE:
        return False
    return not _of(other).intersects(_of(thing))


def _of(thing: OnWall) -> BaseGeometry:
    """Return the face of a thing, y down."""
    return shapely.box(thing.left, -thing.high, thing.right, -thing.low)


def _has_room(label: _Label, thing: OnWall, crowd: Crowd, within: BaseGeometry) -> bool:
    boxes = [around(spot.at, label.wide, label.high) for spot in label.spots(thing)]
    return any(within.covers(box) and not crowd.meets(box) for box in boxes)


def _feet(count: int) -> list[float]:
    """Return where lines stand round the middle of them all, in sizes of the lettering."""
    return [0.375 + 1.25 * (i - (count - 1) / 2) for i in range(count)]
