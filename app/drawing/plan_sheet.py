"""The plan as a sheet true to scale: everything in its place, the key, what is still open."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import partial
from typing import Protocol, get_args

import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.column_names import column_names
from app.drawing.composed import Subject, composed
from app.drawing.figure import RoomFigure, crowd_of, levels_of, room_bounds, room_figure
from app.drawing.figure_kit import (
    drawing_order,
    piece_group,
    reaches_into,
    space_area,
    space_outlines,
)
from app.drawing.figure_room import sockets
from app.drawing.figures_placed import Figure
from app.drawing.flow import Block, Words
from app.drawing.kit_offsets import Stretch, kit_offsets
from app.drawing.legend import legend
from app.drawing.lettering import width_of
from app.drawing.level_marks import letter
from app.drawing.marks import MOST_SOUGHT, Severity, balloons, planted_flags
from app.drawing.medium import Medium, region
from app.drawing.offset_words import offset_words
from app.drawing.paper import SLIM_MM
from app.drawing.placing import Crowd, Spot
from app.drawing.primitives import Group, Item, Polyline, Text
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.sheet_words import (
    KeyRow,
    SnagRow,
    cautions_block,
    cover_block,
    key_block,
    snags_block,
)
from app.drawing.sheets.cut_marks import cut_marks
from app.drawing.sheets.cuts import cuts_of
from app.drawing.sheets.cutting_plane import Cut
from app.drawing.sheets.tightest import stands
from app.drawing.short_names import room_names, whole_names
from app.drawing.wall_glass import bought_high_mm, glass, hung_words
from app.drawing.wall_strips import Lit, lit_runs
from app.scene.build import Placed, Scene
from app.units import Units, format_length, format_short

_WALL_NAME_EM = 0.9
"""How far the middle of a wall's name is off its face, in sizes of the lettering."""
_NUMBERS_LEFT_OUT = (
    "Where numbers would stand on one another some are left out of the drawing: this list has all."
)
_FLAT_MM = 50.0
"""What is no higher is walked on: words over it are not read as its own."""
MOST_FLAGS = 60
"""With more flags than this on a sheet they hide the plan: the list tells the others."""


class ShownSnag(Protocol):
    """What a sheet shows of a snag."""

    @property
    def key(self) -> str:
        """What the snag is called for as long as it lives."""

    @property
    def severity(self) -> Severity:
        """stop, care or note."""

    @property
    def who(self) -> str:
        """A short title."""

    def worded(self, units: Units) -> str:
        """One plain sentence with numbers, in the units of the plan."""

    def lines(self, units: Units) -> tuple[str, ...]:
        """Short sentences instead, where it says several things; else nothing."""

    @property
    def where(self) -> tuple[float, float] | None:
        """A place on the plan in mm."""


def plan_sheet(
    scene: Scene,
    snags: Sequence[ShownSnag] = (),
    *,
    paper: str = "A3",
    scale: int | None = None,
    flags: bool = True,
    numbers: Mapping[str, int] | None = None,
    fields: TitleFields | None = None,
    settled: Sequence[tuple[int, str]] = (),
) -> Sheet:
    """Draw a plan on paper.

    `snags` are those still open; `numbers` gives the flag number of each by key, else they are
    counted through. `settled` are numbers and sentences of accepted snags, listed after the open
    ones and not flagged. Without a scale the largest that fits is taken, for one that is too large
    the next that does. Raises SheetError when the paper or scale is none. Nothing is ever cut off:
    words that find no room beside the figure go on to further sheets.
    """
    fields = fields or TitleFields()
    order = station_order(scene)
    pieces = {placed.piece.id: i + 1 for i, placed in enumerate(order)}
    flag_numbers = numbers or {snag.key: i + 1 for i, snag in enumerate(snags)}
    shown = (
        [(flag_numbers[snag.key], snag) for snag in snags if snag.key in flag_numbers]
        if flags
        else []
    )
    # the cover of a set tells them all
    listed = [] if fields.cover else [snag_row(n, snag, scene.plan.units) for n, snag in shown]
    if flags and not fields.cover:
        listed += [SnagRow(n, "note", f"Settled: {sentence}", True) for n, sentence in settled]
    blocks = [key_block([_key_row(placed, pieces[placed.piece.id], scene) for placed in order])]
    if not order:
        blocks = []
    if len(order) > MOST_SOUGHT:
        blocks.append(Block("", (Words(_NUMBERS_LEFT_OUT),)))
    at_offsets = len(blocks) + 1
    cuts = cuts_of(scene, None, stands(scene))
    ends = [cut.name for cut in cuts if cut.spans(scene.room.outline)]
    blocks.append(legend(scene, tuple(dict.fromkeys(snag.severity for _, snag in shown)), ends))
    # the title block has room for some thirty letters; in a set the cover tells the name
    titles = () if fields.cover else (scene.plan.name, scene.plan.drawn_for)
    blocks += whole_names([*titles, *room_names(scene.room)])
    people = people_words(scene, fields.statures)
    if people and not fields.cover:
        blocks.append(Block("Trains here", (Words(people),)))
    if listed:
        blocks.append(snags_block(listed))
    planted = _planted(shown)
    if len(planted) < len(shown):
        sentence = f"On the plan stand the flags of the first {len(planted)} of {len(shown)} alone."
        blocks.append(Block("", (Words(sentence),)))
    blocks.append(cover_block() if fields.cover else cautions_block())

    left_out: dict[int, list[Stretch]] = {}

    def draw(medium: Medium, at: int) -> Figure:
        left_out[at] = []
        return _figure(scene, (pieces, planted, left_out[at], cuts), medium, at)

    def with_offsets(at: int) -> Sequence[Block]:
        told = offset_words(scene, left_out.get(at, ()), pieces)
        return [*blocks[:at_offsets], *told, *blocks[at_offsets:]] if told else []

    return composed(
        scene.plan,
        Subject("plan", "Plan"),
        [draw],
        blocks,
        paper=paper,
        scale=scale,
        fields=fields,
        measured=[partial(_figure, scene, None)],
        column_mm=SLIM_MM,
        late=with_offsets,
    )


def _planted(
    shown: Sequence[tuple[int, ShownSnag]],
) -> Sequence[tuple[int, ShownSnag]]:
    """Return the snags whose flags are planted: the gravest, as many as leave the plan readable."""
    if len(shown) <= MOST_FLAGS:
        return shown
    kinds = get_args(Severity)
    gravest = sorted(shown, key=lambda each: (kinds.index(each[1].severity), each[0]))
    return gravest[:MOST_FLAGS]


def _figure(
    scene: Scene,
    drawn: tuple[Mapping[str, int], Sequence[tuple[int, ShownSnag]], list[Stretch], Sequence[Cut]]
    | None,
    medium: Medium,
    scale: int,
) -> Figure:
    """Draw the figure of the plan; with nothing to draw only its bounds are true."""
    if drawn is None:
        return Figure((), room_bounds(scene.room, medium, _footprints(scene)))
    figure = room_figure(scene.room, medium, _footprints(scene))
    return Figure(_figure_items(scene, figure, medium, *drawn, scale), figure.bounds)


def station_order(scene: Scene) -> tuple[Placed, ...]:
    """Return the pieces in the order of their numbers: station by station, the carrier first."""
    first: dict[str, int] = {}
    for i, placed in enumerate(scene.order):
        first.setdefault(placed.root, i)
    return tuple(
        sorted(scene.order, key=lambda p: (first[p.root], p.piece.id != p.root, p.piece.id))
    )


def _footprints(scene: Scene) -> list[BaseGeometry]:
    return [p.footprint for p in scene.order if reaches_into(p, scene.room)]


def _key_row(placed: Placed, number: int, scene: Scene) -> KeyRow:
    units = scene.plan.units
    extent = placed.extent
    size = " × ".join(format_short(mm, units) for mm in (extent.width_mm, extent.depth_mm))
    # a bar lies where it rests, and a space on the floor has no top
    tall = len(placed.shape.polygons) and placed.kit.bar is None
    height = format_short(bought_high_mm(placed), units) if tall else "–"
    more = "stays" if placed.piece.stays else ""
    if not reaches_into(placed, scene.room):
        more = "outside the room, not drawn"
    return KeyRow(number, placed.name + hung_words(placed, units, more), size, height)


def snag_row(number: int, snag: ShownSnag, units: Units) -> SnagRow:
    """Return a snag as a row of the list of a sheet."""
    several = snag.lines(units)
    if several:
        return SnagRow(number, snag.severity, f"{snag.who}:", several=several)
    return SnagRow(number, snag.severity, f"{snag.who}: {snag.worded(units)}")


def people_words(scene: Scene, statures: bool) -> str:
    """Say who trains here, with their statures if asked."""
    units = scene.plan.units
    people = []
    for person in scene.plan.people:
        # snags call who has no name by their stature, the picture and the sections by their letter
        stature = [format_length(person.stature_mm, units)] if statures else []
        more = [*stature, *(["trains alone"] if person.trains_alone else [])]
        who = scene.plan.called(person.id)
        people.append(f"{who} ({', '.join(more)})" if more else who)
    return " and ".join([", ".join(people[:-1]), people[-1]] if people[1:] else people)


def _wall_names(scene: Scene, crowd: Crowd, medium: Medium) -> list[Text]:
    """Name the walls that are called by a letter, which nobody finds without, inside the room."""
    items = []
    em = medium.em_mm
    for wall, name in zip(scene.room.walls, scene.fixed_names, strict=False):
        if not name.startswith("wall "):
            continue
        wide = width_of(name, em)
        (ax, ay), (ix, iy) = wall.along, wall.inward
        off = em * _WALL_NAME_EM + abs(ix) * wide / 2
        x0, y0 = wall.start
        spots = [
            Spot((x0 + ax * at + ix * off, y0 + ay * at + iy * off), cost)
            for share, cost in ((0.5, 0.0), (0.35, 0.1), (0.65, 0.1), (0.2, 0.2), (0.8, 0.2))
            for at in (share * math.dist(wall.start, wall.end),)
        ]
        x, y = crowd.place(wide, em, spots)
        items.append(Text((x, y + em * 0.36), name[:1].upper() + name[1:], "size"))
    return items


def _lit(one: Lit) -> Group:
    """Draw a run of light strip from above."""
    line = Polyline(tuple((x, y) for x, y, _ in one.corners), "lit")
    return Group((line,), data=(("strip", one.run.id),))


def _figure_items(
    scene: Scene,
    figure: RoomFigure,
    medium: Medium,
    pieces: Mapping[str, int],
    shown: Sequence[tuple[int, ShownSnag]],
    left_out: list[Stretch],
    cuts: Sequence[Cut],
    scale: int,
) -> tuple[Item, ...]:
    order = [placed for placed in drawing_order(scene) if reaches_into(placed, scene.room)]
    crowd = crowd_of(scene, medium)
    columns = column_names(scene.room, crowd, medium)
    # a height may stand anywhere that it is true: it keeps off the lines and figures of the chains
    offsets = kit_offsets(scene, crowd, medium, left_out)
    walls = _wall_names(scene, crowd, medium)
    stands = shapely.union_all(
        [one.footprint for one in order if one.extent.height_mm > _FLAT_MM or one.kit.bar]
    )
    notes = letter(levels_of(scene.room, medium), crowd, medium, stands)
    flags = planted_flags(
        [(n, s.severity, s.where) for n, s in shown if s.where is not None],
        crowd,
        figure.bounds,
        scale,
    )
    rings = balloons(pieces, order, crowd, scale)
    # a pale tone: hatching tells walls and what stays
    needed = region(space_area(scene), "space-ground")
    return (
        figure.floor,
        needed,
        Group(figure.joists, "layer-joists"),
        Group(space_outlines(scene), "layer-spaces"),
        figure.walls,
        figure.doors,
        Group(tuple(region(one.outline, "mirror") for one in glass(scene)), "layer-glass"),
        Group(tuple(_lit(one) for one in lit_runs(scene)), "layer-strips"),
        Group(sockets(scene.room, medium), "layer-sockets"),
        Group(tuple(piece_group(placed, medium) for placed in order), "layer-kit"),
        Group((*figure.low, *figure.overhead), "layer-overhead"),
        figure.dims,
        Group(cut_marks(scene, cuts, figure, medium.em_mm), "layer-cuts"),
        # the poles of flags run under the rings of numbers, and under figures and heights
        Group(flags[:1], "layer-poles"),
        Group(offsets, "layer-offsets"),
        Group((*notes, *columns, *walls), "layer-notes"),
        Group(rings, "layer-numbers"),
        Group(flags[1:], "layer-flags"),
    )
