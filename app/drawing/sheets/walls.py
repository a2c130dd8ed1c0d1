"""The walls from inside: what is in them and on them, with offsets and heights."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property, partial

import shapely

from app.drawing.composed import FOR_HALLS, LITTLE_SMALLER, Subject, composed
from app.drawing.figures_placed import Figure
from app.drawing.flow import Block, Words
from app.drawing.lettering import width_of, wrap
from app.drawing.medium import Medium, region
from app.drawing.paper import paper_of
from app.drawing.plan_sheet import station_order
from app.drawing.primitives import Anchor, Circle, Group, Item, Line, Polygon, Strokes, Text
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.sheets.chain import chain
from app.drawing.sheets.upright import level_line, upright
from app.drawing.sheets.wall_items import FlatWall, OnWall
from app.drawing.sheets.wall_joists import WallJoist, drawn_joists, joists_on, underside_mm
from app.drawing.sheets.wall_lit import lit_lines
from app.drawing.sheets.wall_names import DOT_EM, thing_names
from app.drawing.sheets.wall_numbers import (
    Places,
    Tall,
    piece_numbers,
    places_of,
    tall_lines,
    tall_pieces,
    tall_words,
)
from app.drawing.sheets.wall_stuck import stuck_on_wall
from app.drawing.sheets.wall_words import joined, joints_of, wall_words
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
_WALLS_A_PAGE = 2
"""So many walls a page leave no paper half empty; with fewer their words are tried beside them."""
_BESIDE_EM, _COLUMN_EM = 2.0, 26.0
"""What words beside a wall keep off it, and how wide their column is, in sizes of the lettering."""
_MUCH_EM = 480.0
"""More words than these, some sixteen lines under a short wall, are told in columns, in sizes of
the lettering."""
_ELSEWHERE = "What is on it, and what holds in it: in the columns of words."
_BESIDE_WALL_MM = 60.0
"""What frame, binding and the height of a wall take beside it on paper."""
_NEAR_MM = 1.0


def walls_sheet(
    scene: Scene,
    *,
    paper: str = "A3",
    scale: int | None = None,
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw every wall as one sees it who faces it from inside. Raises SheetError."""
    numbers = {placed.piece.id: i + 1 for i, placed in enumerate(station_order(scene))}
    flats = [
        _Told(flat, numbers, tuple(wall_words(flat, numbers, some)), tall_pieces(flat), some)
        for flat in (FlatWall(face, scene) for face in faces(scene) if not face.upright.is_empty)
        for some in (joists_on(flat),)
    ]

    def drawn(beside: bool, some: Sequence[_Told] = flats) -> Sheet:
        return composed(
            scene.plan,
            Subject("walls", "Walls from inside"),
            [partial(_figure, told, beside) for told in some],
            [Block(told.title, tuple(map(Words, told.words))) for told in some if told.much],
            paper=paper,
            scale=scale,
            fields=fields,
        )

    below = drawn(False)
    if scale is None and below.scale > FOR_HALLS:
        # long walls by themselves, each in parts that can be read; short ones together
        longest = (paper_of(paper).long_mm - _BESIDE_WALL_MM) * FOR_HALLS
        short = [told for told in flats if told.flat.length <= longest]
        alone = [replace(told, aside=True) for told in flats if told.flat.length > longest]
        return _together(
            [drawn(False, some) for some in (*([one] for one in alone), short) if some]
        )
    if len(below.pages) * _WALLS_A_PAGE <= len(flats) + 1:
        return below
    # long walls leave their paper free beside them: with the words there two may stand on a page
    wide = drawn(True)
    fewer = len(wide.pages) < len(below.pages)
    return wide if fewer and wide.scale <= below.scale * LITTLE_SMALLER else below


def _together(sheets: Sequence[Sheet]) -> Sheet:
    """Return the pages of several sheets as one sheet, numbered through."""
    pages = [page for sheet in sheets for page in sheet.pages]
    numbers = [f"{i} of {len(pages)}" for i in range(1, len(pages) + 1)]
    made = [
        replace(
            page.numbered(number), title=f"{page.title.partition(', sheet ')[0]}, sheet {number}"
        )
        for page, number in zip(pages, numbers, strict=True)
    ]
    return Sheet(tuple(made), sheets[0].paper, sheets[0].scale)


@dataclass(frozen=True)
class _Told:
    """A wall, the numbers of all kit, what is said of the wall, what is higher than it, joists."""

    flat: FlatWall
    numbers: Mapping[str, int]
    words: tuple[str, ...]
    tall: tuple[Tall, ...]
    joists: tuple[WallJoist, ...]
    aside: bool = False
    """Whether its words stand in columns whatever they are: its drawing is cut into parts."""

    @property
    def title(self) -> str:
        """What the wall is called, over its words."""
        title = self.flat.face.name.removeprefix("the ")
        return title[:1].upper() + title[1:]

    @cached_property
    def much(self) -> bool:
        """Whether its words would take more of the paper than the wall: they stand in columns."""
        return self.aside or sum(width_of(words, 1.0) for words in self.words) > _MUCH_EM

    @property
    def words_here(self) -> tuple[str, ...]:
        """What is said of it under the wall or beside it."""
        return (_ELSEWHERE,) if self.much else self.words

    @cached_property
    def outline(self) -> shapely.Polygon:
        """The wall, y down."""
        return shapely.Polygon([(s, -z) for s, z in self.flat.ring]).buffer(0)

    @cached_property
    def drawn(self) -> Callable[[float], list[Item]]:
        """Draw it at a size of the lettering, mm: once, whatever words stand beside it."""
        return cache(partial(_wall, self))

    @cached_property
    def places(self) -> dict[str, Places]:
        """Where the numbers of the pieces before it may stand."""
        return places_of(self.flat)


def _wall(told: _Told, em: float) -> list[Item]:
    """Draw a wall with what is on it and before it, and their names and numbers."""
    flat, outline, units = told.flat, told.outline, told.flat.scene.plan.units
    things = (*flat.items, *flat.fronts)
    ring = tuple((s, -z) for s, z in flat.ring)
    items: list[Item] = [Polygon(ring, "wall-face")]
    # what hangs before the wall hides nothing that is to be fixed to it
    items += drawn_joists(flat, told.joists)
    for thing in sorted(things, key=lambda one: one.kind != "low"):
        if thing.kind not in ("socket", "column"):
            items += _thing(flat.scene, thing, em, things)
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
    items.append(Polygon(ring, "edge-ring"))
    for thing in things:
        if thing.kind == "socket":
            # over all that stands before it: an upright that crosses its sign hides which it is
            items += _thing(flat.scene, thing, em)
    items += tall_lines(told.tall)
    names, crowd = thing_names(flat, things, told.joists, em, units)
    names += tall_words(told.tall, told.numbers, crowd, em, units)
    names += piece_numbers(told.places, told.numbers, crowd, outline, em)
    # the white round words breaks the lines of others that pass behind them
    return [*items, *sorted(names, key=lambda one: getattr(one, "ink", "") != "leader")]


def _figure(told: _Told, beside: bool, medium: Medium, scale: int) -> Figure:
    flat, em, units = told.flat, medium.em_mm, told.flat.scene.plan.units
    ring = flat.ring
    low = min(z for _, z in ring)
    top = max([*(z for _, z in ring), *(one.ceiling_mm for one in told.tall)])
    things = (*flat.items, *flat.fronts)
    # all of it stands on the wall: how far all reaches does not hang on it
    items = [] if medium.bounds_only else [*told.drawn(em)]
    chain, deep = _chains(flat, things, low, em, units)
    items += chain
    at = {"left": ring_height(ring, 0.0), "right": ring_height(ring, flat.length)}
    items += upright(-em * 2.2, *at["left"], _tall(at["left"], units), em)
    # a height that is the same at both ends is told once; there joists have room for theirs
    both = any(abs(a - b) > _NEAR_MM for a, b in zip(at["left"], at["right"], strict=True))
    under = underside_mm(told.joists)
    if not both and under is not None:
        at["right"], both = (at["right"][0], under), True
        items += level_line(told.joists[-1].right, flat.length + em * 2.2, under)
    if both:
        items += upright(
            flat.length + em * 2.2, *at["right"], _tall(at["right"], units), em, after=True
        )
    title = told.title
    data = (("wall", flat.face.wall.id),)
    right = flat.length + (em * 4 if both else em)
    roof = -top - em * 0.8
    if beside:
        x, y = right + em * _BESIDE_EM, -top + em
        head = wrap(title, em, em * _COLUMN_EM, bold=True)
        for i, line in enumerate(head):
            items.append(Text((x, y + em * 1.3 * i), line, "head", "start"))
        y += em * 1.3 * (len(head) - 1)
        lines = [line for words in told.words_here for line in wrap(words, em, em * _COLUMN_EM)]
        for i, line in enumerate(lines):
            items.append(Text((x, y + em * (1.5 + 1.3 * i)), line, "small", "start"))
        deep = max(deep + em, y + em * (1.5 + 1.3 * len(lines)))
        bounds = (-em * 4, roof, x + em * _COLUMN_EM, deep)
        return Figure((Group(tuple(items), "", data),), bounds)
    room = max(flat.length, em * 30)
    head = wrap(title, em, room, bold=True)
    # under a drawing that is cut into parts its words begin with the first
    anchor: Anchor = "start" if told.aside else "middle"
    x = 0.0 if told.aside else flat.length / 2
    for i, line in enumerate(head):
        items.append(Text((x, deep + em * (1.6 + 1.3 * i)), line, "head", anchor))
    deep += em * 1.3 * (len(head) - 1)
    lines = [line for words in joined(told.words_here, em, room) for line in wrap(words, em, room)]
    for i, line in enumerate(lines):
        items.append(Text((x, deep + em * (3.0 + 1.3 * i)), line, "small", anchor))
    deep += em * (2.2 + 1.3 * len(lines) + 0.6)
    titles = (width_of(line, em, bold=True) for line in head)
    widest = max(*titles, *(width_of(line, em) for line in lines))
    over = max(0.0, widest + em - flat.length) / 2
    bounds = (min(-em * 4, -over), roof, max(right, flat.length + over), deep)
    return Figure((Group(tuple(items), "", data),), bounds)


def _tall(ends: tuple[float, float], units: Units) -> str:
    return format_short(ends[1] - ends[0], units)


def ring_height(ring: list[tuple[float, float]], s: float) -> tuple[float, float]:
    """Return foot and top of a wall near one of its ends."""
    near = min(abs(x - s) for x, _ in ring)
    there = [z for x, z in ring if abs(x - s) <= near + 1]
    return min(there), max(there)


def _corners(left: float, right: float, low: float, high: float) -> tuple[tuple[float, float], ...]:
    return (left, -low), (right, -low), (right, -high), (left, -high)


def _thing(scene: Scene, thing: OnWall, em: float, every: Sequence[OnWall] = ()) -> list[Item]:
    data = (("on-wall", thing.kind),)
    if thing.kind == "socket":
        x, y, r = thing.left, -thing.low, em * 0.45
        ring = ((x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r))
        return [Polygon(ring, "socket", "", data), Circle((x, y), r * 0.55, "socket-pin")]
    dots = [
        Group(tuple(Circle((x, -z), em * DOT_EM, "leader-dot") for x, z in points), kind)
        for kind, points in (("clips", thing.clips), ("screws", thing.screws))
        if points
    ]
    if thing.kind == "strip":
        return [*lit_lines(thing, every), *dots]
    glass = thing.placed is not None and is_hung(thing.placed)
    ink = "mirror" if glass else _INKS[thing.kind]
    # kit as it is made: a plain rectangle would be taken for an opening
    items: list[Item] = [
        Polygon(_corners(box.left, box.right, box.low, box.high), ink, "", data)
        for box in thing.parts or (thing,)
    ]
    if thing.ledge is not None:
        low, high = thing.ledge
        items.append(Polygon(_corners(thing.left, thing.right, low, high), "seen"))
        items += [Line((x, -low), (x, -high), "thin") for x in joints_of(scene, thing)]
    for x in thing.bars:
        items.append(Line((x, -thing.low), (x, -thing.high), "thin"))
    arm = em * 0.3
    for x, z in thing.fixings:
        items.append(Line((x - arm, -z - arm), (x + arm, -z + arm), "fixing"))
        items.append(Line((x - arm, -z + arm), (x + arm, -z - arm), "fixing"))
    return [*items, *dots]


def _chains(
    flat: FlatWall, things: Sequence[OnWall], low: float, em: float, units: Units
) -> tuple[list[Item], float]:
    """Draw the offsets of what is on the wall under it, and its whole length; give the depth."""
    stops = {0.0, flat.length}
    holes = {s for thing in things for s, _ in thing.fixings}
    for thing in things:
        if thing.kind != "strip":
            own = (s for s, _ in thing.fixings)
            stops |= {s for s in (thing.left, thing.right, *own) if 0 <= s <= flat.length}
    ordered = sorted(stops)
    merged = [s for i, s in enumerate(ordered) if i == 0 or s - ordered[i - 1] > _NEAR_MM]
    items: list[Item] = []
    line = -low + em * 2.2
    rows = [merged, [0.0, flat.length]] if len(merged) > 2 else [[0.0, flat.length]]
    for row in rows:
        last = line
        drawn, line = chain(row, line, em, units, holes)
        items += drawn
    return items, last
