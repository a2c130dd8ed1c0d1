"""The plan as a sheet true to scale: an SVG file whose user units are mm of paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from shapely.geometry.base import BaseGeometry

from app.drawing.continuation import column_mm, further_sheets
from app.drawing.figure import RoomFigure, crowd_of, levels_of, room_figure
from app.drawing.figure_kit import (
    drawing_order,
    piece_group,
    reaches_into,
    space_area,
    space_outlines,
)
from app.drawing.hatching import hatch
from app.drawing.ink import FONT, LETTER_MM, sheet_look
from app.drawing.level_marks import letter
from app.drawing.marks import Severity, balloons, planted_flags
from app.drawing.medium import Medium
from app.drawing.panel import Panel, panel
from app.drawing.paper import (
    SIDE_BY_SIDE_MM,
    Arrangement,
    Box,
    Size,
    arrange_at,
    largest_scale,
    paper_of,
    scale_words,
)
from app.drawing.primitives import Group, Item, Polygon
from app.drawing.sheet_words import (
    KeyRow,
    SnagRow,
    TitleWords,
    hundred_mm,
    scale_bar,
    snag_paragraph,
)
from app.drawing.svg import document
from app.scene.build import Placed, Scene
from app.units import Units, format_length, format_short

_AIR_MM = 4.0


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


@dataclass(frozen=True, slots=True)
class TitleFields:
    """What the title block says beyond the plan's own words; `statures` of people if asked."""

    revision: str = ""
    date: str = ""
    drawn_for: str = ""
    statures: bool = True


@dataclass(frozen=True, slots=True)
class Sheet:
    """A finished sheet. `note` tells what there was no room for, else it is empty.

    `more` are the sheets it goes on to, of the same size.
    """

    svg: str
    paper: str
    scale: int
    width_mm: float
    height_mm: float
    note: str = ""
    more: tuple[str, ...] = ()

    @property
    def svgs(self) -> tuple[str, ...]:
        """Every sheet in its order, the first included."""
        return (self.svg, *self.more)


def proposed_scale(scene: Scene, paper: str) -> int:
    """Return largest scale at which a plan fits on a paper. Raises SheetError when none does."""
    return largest_scale(_size(scene), paper_of(paper), scene.plan.units)


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
    ones and not flagged. Without a scale the largest that fits is taken. Raises SheetError when the
    paper or scale is none, or the room is too large for it: nothing is ever cut off, and words
    that find no room beside the figure go on to further sheets.
    """
    fields = fields or TitleFields()
    size_of_paper = paper_of(paper)
    scale = scale or proposed_scale(scene, size_of_paper.key)
    ways = arrange_at(_size(scene), size_of_paper, scale, scene.plan.units)
    order = station_order(scene)
    pieces = {placed.piece.id: i + 1 for i, placed in enumerate(order)}
    rows = tuple(_key_row(placed, pieces[placed.piece.id], scene) for placed in order)
    flag_numbers = numbers or {snag.key: i + 1 for i, snag in enumerate(snags)}
    shown = (
        [(flag_numbers[snag.key], snag) for snag in snags if snag.key in flag_numbers]
        if flags
        else []
    )
    listed = [_snag_row(number, snag, scene.plan.units) for number, snag in shown]
    if flags:
        listed += [SnagRow(n, "note", f"Settled: {sentence}", True) for n, sentence in settled]
    words = TitleWords(
        scene.plan.name,
        scale_words(scale),
        size_of_paper.key,
        fields.revision,
        fields.date,
        fields.drawn_for or scene.plan.drawn_for,
        _people(scene, fields.statures),
    )
    medium = Medium(LETTER_MM * scale, scene.plan.units, True)
    figure = room_figure(scene.room, medium, _footprints(scene))
    high = (figure.bounds[3] - figure.bounds[1]) / scale + _AIR_MM
    snag_words = [snag_paragraph(row) for row in listed]

    def side_of(way: Arrangement, words: TitleWords) -> Panel:
        free = way.figure.height - high
        return panel(way, rows, snag_words, words, free, column_mm(way.width_mm, way.height_mm))

    sides = [side_of(way, words) for way in ways]
    # the way to divide the sheet that leaves least for the next; of equals the preferred one
    best = min(range(len(ways)), key=lambda i: (sides[i].missing, i))
    arrangement, side = ways[best], sides[best]
    title = f"{scene.plan.name}: plan, {scale_words(scale)} on {size_of_paper.key}"
    more = further_sheets(
        side.rows, side.snags, words, (arrangement.width_mm, arrangement.height_mm), title
    )
    if more:
        side = side_of(arrangement, replace(words, sheet=f"1 of {1 + len(more)}"))
    placed_figure = Group(
        _figure_items(scene, figure, medium, pieces, shown, scale),
        "figure",
        (("scale", str(scale)),),
        _origin(figure, arrangement, side, scale),
        scale=1 / scale,
    )
    svg = document(
        [*_page(arrangement), placed_figure, *side.items, *_strip(arrangement, scale, scene)],
        {
            "width": f"{arrangement.width_mm:g}mm",
            "height": f"{arrangement.height_mm:g}mm",
            "viewBox": f"0 0 {arrangement.width_mm:g} {arrangement.height_mm:g}",
            "font-family": FONT,
            "role": "img",
        },
        sheet_look(scale),
        title=title,
    )
    width, height = arrangement.width_mm, arrangement.height_mm
    return Sheet(svg, size_of_paper.key, scale, width, height, more=more)


def station_order(scene: Scene) -> tuple[Placed, ...]:
    """Return the pieces in the order of their numbers: station by station, the carrier first."""
    first: dict[str, int] = {}
    for i, placed in enumerate(scene.order):
        first.setdefault(placed.root, i)
    return tuple(
        sorted(scene.order, key=lambda p: (first[p.root], p.piece.id != p.root, p.piece.id))
    )


def _size(scene: Scene) -> Size:
    def size(scale: int) -> tuple[float, float]:
        medium = Medium(LETTER_MM * scale, scene.plan.units, False)
        x0, y0, x1, y1 = room_figure(scene.room, medium, _footprints(scene)).bounds
        return (x1 - x0) / scale + _AIR_MM, (y1 - y0) / scale + _AIR_MM

    return size


def _footprints(scene: Scene) -> list[BaseGeometry]:
    return [p.footprint for p in scene.order if reaches_into(p, scene.room)]


def _key_row(placed: Placed, number: int, scene: Scene) -> KeyRow:
    units = scene.plan.units
    extent = placed.extent
    size = " × ".join(format_short(mm, units) for mm in (extent.width_mm, extent.depth_mm))
    # a bar lies where it rests, and a space on the floor has no top
    tall = len(placed.shape.polygons) and placed.kit.bar is None
    height = format_short(extent.height_mm, units) if tall else "–"
    stays = " (stays)" if placed.piece.stays else ""
    if not reaches_into(placed, scene.room):
        stays = " (outside the room, not drawn)"
    return KeyRow(number, placed.name + stays, size, height)


def _snag_row(number: int, snag: ShownSnag, units: Units) -> SnagRow:
    several = snag.lines(units)
    if several:
        return SnagRow(number, snag.severity, f"{snag.who}:", several=several)
    return SnagRow(number, snag.severity, f"{snag.who}: {snag.worded(units)}")


def _people(scene: Scene, statures: bool) -> str:
    units = scene.plan.units
    people = []
    for person in scene.plan.people:
        stature = format_length(person.stature_mm, units) if statures else ""
        who = " ".join(word for word in (person.label, stature) if word) or "somebody"
        people.append(f"{who}{', alone' if person.trains_alone else ''}")
    return "; ".join(people)


def _figure_items(
    scene: Scene,
    figure: RoomFigure,
    medium: Medium,
    pieces: Mapping[str, int],
    shown: Sequence[tuple[int, ShownSnag]],
    scale: int,
) -> tuple[Item, ...]:
    order = [placed for placed in drawing_order(scene) if reaches_into(placed, scene.room)]
    crowd = crowd_of(scene, medium)
    flags = planted_flags(
        [(n, s.severity, s.where) for n, s in shown if s.where is not None],
        crowd,
        figure.bounds,
        scale,
    )
    rings = balloons(pieces, order, crowd, scale)
    notes = letter(levels_of(scene.room, medium), crowd, medium)
    needed = hatch(space_area(scene), medium.em_mm * 0.9, -45.0, "hatch-line space-line")
    return (
        figure.floor,
        Group(figure.joists, "layer-joists"),
        needed,
        Group(space_outlines(scene), "layer-spaces"),
        figure.walls,
        figure.doors,
        Group(tuple(piece_group(placed, medium) for placed in order), "layer-kit"),
        Group((*figure.low, *figure.overhead), "layer-overhead"),
        figure.dims,
        Group(notes, "layer-notes"),
        Group(rings, "layer-numbers"),
        Group(flags, "layer-flags"),
    )


def _origin(
    figure: RoomFigure, arrangement: Arrangement, side: Panel, scale: int
) -> tuple[float, float]:
    """Put the figure in the middle of its place, above what stands at the foot of it."""
    x0, y0, x1, y1 = (value / scale for value in figure.bounds)
    box = arrangement.figure
    x = box.x + (box.width - (x1 - x0)) / 2 - x0
    y = box.y + (box.height - side.foot_mm - (y1 - y0)) / 2 - y0
    return round(x, 3), round(y, 3)


def _page(arrangement: Arrangement) -> tuple[Item, ...]:
    w, h = arrangement.width_mm, arrangement.height_mm
    page = Polygon(((0, 0), (w, 0), (w, h), (0, h)), "page")
    frame: Box = arrangement.frame
    ring = (
        (frame.x, frame.y),
        (frame.right, frame.y),
        (frame.right, frame.bottom),
        (frame.x, frame.bottom),
    )
    return (page, Polygon(ring, "frame"))


def _strip(arrangement: Arrangement, scale: int, scene: Scene) -> tuple[Item, ...]:
    strip = arrangement.strip
    top = strip.y + 4
    if strip.width >= SIDE_BY_SIDE_MM:
        left = strip.right - 106
        bar = scale_bar(strip.x + 6, top, left - strip.x - 12, scale, scene.plan.units)
    else:
        left = strip.x + 6
        bar = scale_bar(left, top + 11, strip.width - 12, scale, scene.plan.units)
    return (
        Group(bar, "scale-bar"),
        Group(hundred_mm(left, top, scene.plan.units), "true-length"),
    )
