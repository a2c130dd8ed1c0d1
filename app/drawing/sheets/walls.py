"""The walls from inside: what is in them and on them, with offsets and heights."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial

import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.composed import LITTLE_SMALLER, Subject, composed
from app.drawing.figures_placed import Figure
from app.drawing.lettering import width_of, wrap
from app.drawing.medium import Medium, region
from app.drawing.placing import Crowd, Spot, around
from app.drawing.plan_sheet import station_order
from app.drawing.primitives import Circle, Group, Item, Line, Polygon, Strokes, Text
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.sheets.chain import chain
from app.drawing.sheets.upright import upright
from app.drawing.sheets.wall_items import Before, FlatWall, OnWall
from app.drawing.sheets.wall_leaders import aside, leader
from app.drawing.sheets.wall_numbers import Tall, piece_numbers, tall_lines, tall_pieces, tall_words
from app.drawing.sheets.wall_stuck import stuck_on_wall, stuck_words
from app.drawing.sheets.wall_words import joined, label_lines, wall_words
from app.scene.build import Scene
from app.takeoff.mirrors import is_hung
from app.takeoff.surfaces import faces
from app.units import Units, format_short

_INKS = {
    "opening": "opening",
    "window": "opening",
    "mirror": "mirror",
    "picture": "picture-area",
    "strip": "lit",
    "kit": "thing",
    "low": "thing",
}
_FAR_MM = 1e5
_OFF_EDGE_EM = 0.35
"""What words on a wall keep off its edge, in sizes of the lettering."""
_WALLS_A_PAGE = 2
"""So many walls a page leave no paper half empty; with fewer their words are tried beside them."""
_BESIDE_EM, _COLUMN_EM = 2.0, 26.0
"""What words beside a wall keep off it, and how wide their column is, in sizes of the lettering."""
_DOT_EM = 0.16
"""The radius of the dot of a clip or a small screw, in sizes of the lettering."""
_NAME_EMS = (20.0, 14.0, 10.0, 7.0)
"""How wide a name stands on a wall at most, in sizes of the lettering: narrower where that finds
room. Longer ones are parted."""
_NAME_LINES = 3
_PUSHED_COST = 0.5
"""What it costs that words are pushed from where they would stand onto their wall."""
_ALONG = (-0.5, -0.375, -0.25, -0.125, 0.125, 0.25, 0.375, 0.5)
"""Where words are tried along what is long or high, off its middle: shares of what they leave."""
_NEAR_MM = 1.0


def walls_sheet(
    scene: Scene,
    *,
    paper: str = "A3",
    scale: int | None = None,
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw every wall as one sees it who faces it from inside. Raises SheetError."""
    flats = [FlatWall(face, scene) for face in faces(scene) if not face.upright.is_empty]
    numbers = {placed.piece.id: i + 1 for i, placed in enumerate(station_order(scene))}
    tall = [tall_pieces(flat) for flat in flats]

    def drawn(beside: bool) -> Sheet:
        return composed(
            scene.plan,
            Subject("walls", "Walls from inside"),
            [partial(_figure, flat, numbers, tall[i], beside) for i, flat in enumerate(flats)],
            [],
            paper=paper,
            scale=scale,
            fields=fields,
        )

    below = drawn(False)
    if len(below.pages) * _WALLS_A_PAGE <= len(flats) + 1:
        return below
    # long walls leave their paper free beside them: with the words there two may stand on a page
    wide = drawn(True)
    fewer = len(wide.pages) < len(below.pages)
    return wide if fewer and wide.scale <= below.scale * LITTLE_SMALLER else below


def _figure(
    flat: FlatWall,
    numbers: Mapping[str, int],
    tall: Sequence[Tall],
    beside: bool,
    medium: Medium,
    scale: int,
) -> Figure:
    em, units = medium.em_mm, flat.scene.plan.units
    ring = _ring(flat)
    top, low = max(z for _, z in ring), min(z for _, z in ring)
    items: list[Item] = [Polygon(tuple((s, -z) for s, z in ring), "wall-face")]
    things = (*flat.items, *flat.fronts)
    # what hangs before the wall hides nothing that is to be fixed to it
    for thing in sorted(things, key=lambda one: one.kind != "low"):
        if thing.kind not in ("socket", "column"):
            items += _thing(thing, em)
    outline = shapely.Polygon([(s, -z) for s, z in ring]).buffer(0)
    for thing in flat.fronts:
        data = (("column", thing.name),)
        box = shapely.box(thing.left, -_FAR_MM, thing.right, _FAR_MM)
        items.append(Group((region(outline.intersection(box), "column-front"),), "", data))
    # nearer to the eye than what is in the wall and on it, which shows through: it is what one
    # comes here for; but no piece shows through another
    edges = tuple(((a, -b), (c, -d)) for (a, b), (c, d) in flat.before_edges)
    if edges:
        items.append(Strokes(edges, "pale"))
    items += stuck_on_wall(flat, em)
    items.append(Polygon(tuple((s, -z) for s, z in ring), "edge-ring"))
    for thing in things:
        if thing.kind == "socket":
            # over all that stands before it: an upright that crosses its sign hides which it is
            items += _thing(thing, em)
    items += tall_lines(tall)
    top = max([top, *(one.ceiling_mm for one in tall)])
    names = list[Item]()
    if not medium.bounds_only:
        # they stand on the wall: how far all reaches does not hang on them
        names, crowd = _names(flat, things, em, units)
        names += tall_words(tall, numbers, crowd, em, units)
        names += piece_numbers(flat, numbers, crowd, outline, em)
    # the white round words breaks the lines of others that pass behind them
    items += sorted(names, key=lambda one: getattr(one, "ink", "") != "leader")
    chain, deep = _chains(flat, things, low, em, units)
    items += chain
    at = {"left": ring_height(ring, 0.0), "right": ring_height(ring, flat.length)}
    items += upright(-em * 2.2, *at["left"], _tall(at["left"], units), em)
    # a height that is the same at both ends is told once
    both = any(abs(a - b) > _NEAR_MM for a, b in zip(at["left"], at["right"], strict=True))
    if both:
        items += upright(
            flat.length + em * 2.2, *at["right"], _tall(at["right"], units), em, after=True
        )
    title = f"{flat.face.name[:1].upper()}{flat.face.name[1:]}".removeprefix("The ")
    title = title[:1].upper() + title[1:]
    data = (("wall", flat.face.wall.id),)
    right = flat.length + (em * 4 if both else em)
    roof = -top - em * 0.8
    if beside:
        x, y = right + em * _BESIDE_EM, -top + em
        head = wrap(title, em, em * _COLUMN_EM, bold=True)
        for i, line in enumerate(head):
            items.append(Text((x, y + em * 1.3 * i), line, "head", "start"))
        y += em * 1.3 * (len(head) - 1)
        lines = [
            line for words in wall_words(flat, numbers) for line in wrap(words, em, em * _COLUMN_EM)
        ]
        for i, line in enumerate(lines):
            items.append(Text((x, y + em * (1.5 + 1.3 * i)), line, "small", "start"))
        deep = max(deep + em, y + em * (1.5 + 1.3 * len(lines)))
        bounds = (-em * 4, roof, x + em * _COLUMN_EM, deep)
        return Figure((Group(tuple(items), "", data),), bounds)
    room = max(flat.length, em * 30)
    head = wrap(title, em, room, bold=True)
    for i, line in enumerate(head):
        items.append(Text((flat.length / 2, deep + em * (1.6 + 1.3 * i)), line, "head"))
    deep += em * 1.3 * (len(head) - 1)
    lines = [
        line
        for words in joined(wall_words(flat, numbers), em, room)
        for line in wrap(words, em, room)
    ]
    for i, line in enumerate(lines):
        items.append(Text((flat.length / 2, deep + em * (3.0 + 1.3 * i)), line, "small"))
    deep += em * (2.2 + 1.3 * len(lines) + 0.6)
    titles = (width_of(line, em, bold=True) for line in head)
    widest = max(*titles, *(width_of(line, em) for line in lines))
    over = max(0.0, widest + em - flat.length) / 2
    bounds = (min(-em * 4, -over), roof, max(right, flat.length + over), deep)
    return Figure((Group(tuple(items), "", data),), bounds)


def _tall(ends: tuple[float, float], units: Units) -> str:
    return format_short(ends[1] - ends[0], units)


def _ring(flat: FlatWall) -> list[tuple[float, float]]:
    """Return the outline of the wall as one faces it."""
    whole = flat.face.upright
    part = max(shapely.get_parts(whole), key=lambda one: one.area)
    return [(flat.s(x), z) for x, z in part.exterior.coords[:-1]]


def ring_height(ring: list[tuple[float, float]], s: float) -> tuple[float, float]:
    """Return foot and top of a wall near one of its ends."""
    near = min(abs(x - s) for x, _ in ring)
    there = [z for x, z in ring if abs(x - s) <= near + 1]
    return min(there), max(there)


def _corners(left: float, right: float, low: float, high: float) -> tuple[tuple[float, float], ...]:
    return (left, -low), (right, -low), (right, -high), (left, -high)


def _thing(thing: OnWall, em: float) -> list[Item]:
    data = (("on-wall", thing.kind),)
    if thing.kind == "socket":
        x, y, r = thing.left, -thing.low, em * 0.45
        ring = ((x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r))
        return [Polygon(ring, "socket", "", data), Circle((x, y), r * 0.55, "socket-pin")]
    dots = [
        Group(tuple(Circle((x, -z), em * _DOT_EM, "leader-dot") for x, z in points), kind)
        for kind, points in (("clips", thing.clips), ("screws", thing.screws))
        if points
    ]
    if thing.kind == "strip":
        return [Line((thing.left, -thing.low), (thing.right, -thing.high), "lit", data), *dots]
    glass = thing.placed is not None and is_hung(thing.placed)
    ink = "mirror" if glass else _INKS[thing.kind]
    # kit as it is made: a plain rectangle would be taken for an opening
    items: list[Item] = [
        Polygon(_corners(box.left, box.right, box.low, box.high), ink, "", data)
        for box in thing.parts or (thing,)
    ]
    # the bar of a window, and of a mirror the joints of its panes, where both have their clips
    panes = sorted({round(x, 1) for x, _ in thing.clips} - {round(thing.left, 1)})[:-1]
    for x in [(thing.left + thing.right) / 2] if thing.kind == "window" else panes:
        items.append(Line((x, -thing.low), (x, -thing.high), "thin"))
    arm = em * 0.3
    for x, z in thing.fixings:
        items.append(Line((x - arm, -z - arm), (x + arm, -z + arm), "fixing"))
        items.append(Line((x - arm, -z + arm), (x + arm, -z - arm), "fixing"))
    return [*items, *dots]


def _names(
    flat: FlatWall, things: Sequence[OnWall], em: float, units: Units
) -> tuple[list[Item], Crowd]:
    """Letter what each thing is, and its height above the floor, where it hides least.

    Gives with it what is taken by then.
    """
    boxes: list[OnWall | Before] = [*things, *(part for thing in things for part in thing.parts)]
    strokes = [
        shapely.box(b.left, -b.high, max(b.right, b.left + 1), -b.low + 1).boundary for b in boxes
    ]
    strokes += [
        shapely.Point(x, -z).buffer(em * _DOT_EM).boundary
        for t in things for x, z in (*t.clips, *t.screws)
    ]  # fmt: skip
    ring = _ring(flat)
    # a line of white round letters would break the edge of the wall
    within = shapely.Polygon([(s, -z) for s, z in ring]).buffer(-em * _OFF_EDGE_EM)
    crowd = Crowd(strokes, within)
    for x, z in (point for thing in things for point in thing.screws):
        # where one drills is seen, whatever is said beside it
        crowd.take(around((x, -z), em * _DOT_EM * 2, em * _DOT_EM * 2))
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
        cx, cy = (thing.left + thing.right) / 2, -(thing.low + thing.high) / 2
        across, tall = thing.right - thing.left, thing.high - thing.low
        first = tries[0]
        wide, high = first.wide, first.high
        if across < wide + em and across > high + em * 0.4 and tall > wide + em:
            # what is narrow has its words standing in it, not over its edges
            slack = (tall - wide - em) / 2
            upright = [Spot((cx, cy + 2 * share * slack), abs(share)) for share in (0.0, *_ALONG)]
            _, y = crowd.place(high, wide, upright)
            for line, off in zip(first.words, _feet(len(first.words)), strict=True):
                items.append(Text((cx + em * off, y), line, "dimt", "middle", -90.0))
            continue
        # the widest that finds room on the wall and off all other words
        found = next((one for one in tries if _has_room(one, thing, crowd, within)), None)
        label = found or first
        spots = label.spots(thing)
        if found is None:
            spots += aside((cx, cy), (label.wide, label.high), within, em)
        # rather over a thing than over the edge of the wall
        spots += [
            Spot(crowd.within(one.at, label.wide, label.high), one.cost + _PUSHED_COST)
            for one in spots
        ]
        x, y = crowd.place(label.wide, label.high, spots)
        if found is None and thing.kind != "strip":
            items += leader((x, y), (label.wide, label.high), (cx, cy), em)
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


def _has_room(label: _Label, thing: OnWall, crowd: Crowd, within: BaseGeometry) -> bool:
    boxes = [around(spot.at, label.wide, label.high) for spot in label.spots(thing)]
    return any(within.covers(box) and not crowd.meets(box) for box in boxes)


def _feet(count: int) -> list[float]:
    """Return where lines stand round the middle of them all, in sizes of the lettering."""
    return [0.375 + 1.25 * (i - (count - 1) / 2) for i in range(count)]


def _chains(
    flat: FlatWall, things: Sequence[OnWall], low: float, em: float, units: Units
) -> tuple[list[Item], float]:
    """Draw the offsets of what is on the wall under it, and its whole length; give the depth."""
    stops = {0.0, flat.length}
    for thing in things:
        if thing.kind != "strip":
            holes = (s for s, _ in thing.fixings)
            stops |= {s for s in (thing.left, thing.right, *holes) if 0 <= s <= flat.length}
    ordered = sorted(stops)
    merged = [s for i, s in enumerate(ordered) if i == 0 or s - ordered[i - 1] > _NEAR_MM]
    items: list[Item] = []
    line = -low + em * 2.2
    rows = [merged, [0.0, flat.length]] if len(merged) > 2 else [[0.0, flat.length]]
    for row in rows:
        last = line
        drawn, line = chain(row, line, em, units)
        items += drawn
    return items, last
