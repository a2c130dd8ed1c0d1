"""The headroom sheet: how high the room is everywhere, and where each wanted movement fits."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import pairwise
from typing import TypeAlias

import shapely
from shapely.geometry.base import BaseGeometry

from app.checks.open_floor import CardLine, line_of
from app.drawing.composed import Subject, composed
from app.drawing.figure import door_strokes, levels_of, room_bounds, room_figure
from app.drawing.figures_placed import Figure
from app.drawing.flow import LINE_MM, Block, Entry, Words
from app.drawing.ink import SMALL_MM
from app.drawing.legend import overhead_rows
from app.drawing.lettering import width_of, wrap
from app.drawing.level_marks import letter
from app.drawing.medium import Medium, rings_of
from app.drawing.medium import region as area_of
from app.drawing.placing import Crowd
from app.drawing.primitives import Group, Item, Line, Polygon, Region, Text
from app.drawing.section_bay import Bay
from app.drawing.section_words import bar_part, verdict_words
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.sheet_words import Sample, area_sample, legend_block, line_sample
from app.drawing.sheets.headroom_kit import UNDER_DOOR, at_kit_alone, under_open_doors
from app.drawing.sheets.headroom_regions import half_plane, region
from app.drawing.sheets.tightest import stands
from app.drawing.short_names import room_names, whole_names
from app.library.movements import movements
from app.scene.build import Scene
from app.scene.overhead import Above
from app.takeoff.surfaces import MM2_A_M2
from app.units import Units, format_short
from app.wording import area_words, lower

_STEP_MM = {"metric": 100.0, "feet": 101.6}
"""From one contour to the next: 100 mm, or four inches."""
_BANDS_FROM_MM = {"metric": 1800.0, "feet": 1828.8}
"""Where colours are counted from, 6 ft in feet: a contour, and each is two steps high."""
_BANDS = 6
_MINI_MM, _MINI_SHARE = 26.0, 1 / 3
"""How wide the small plan of a movement is, and the most it takes of a narrow column."""
_BESIDE_MM, _UNDER_MM = 3.0, 3.4
"""The air between it and its words, and under both."""
_CLEAR_EM = 0.9
"""What is free round the words on a contour before a wall, in sizes of the lettering."""
_LETTERED_APART_EM = 1.5
"""Contours nearer to one another than this are not all lettered."""

_TWO_PLACES = "On open floor, with the lowest bar or box that does; then at its kit."


Lowest: TypeAlias = list[tuple[Above, BaseGeometry]]
"""What is overhead, each with the area over which nothing else hangs lower."""


@dataclass(frozen=True, slots=True)
class _Fit:
    """One wanted movement of one person: where it fits with its margin, and where at all.

    `sentence` is of the open floor, `there` of the piece of kit that it is done at.
    """

    name: str
    sentence: str
    there: str
    fits: BaseGeometry
    passes: BaseGeometry


def headroom_sheet(
    scene: Scene,
    *,
    paper: str = "A3",
    scale: int | None = None,
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw clear heights with contours, and the floor of each wanted movement.

    Raises SheetError for a paper or scale that is none.
    """
    bays = {(one.bay.person.id, one.bay.movement.key): one.bay for one in stands(scene)}
    fits, lowest = list(_fits(scene, bays)), _lowest(scene)
    shown: list[Entry] = [_Mini(scene, fit) for fit in fits]
    shown += at_kit_alone(scene, bays)
    shown = shown or [Words("Nobody has said yet what they want to do here.")]
    return composed(
        scene.plan,
        Subject("headroom", "Headroom"),
        [partial(_figure, scene, lowest)],
        [
            _legend(scene, lowest),
            Block("Where each movement fits", (*_said_of(fits), *_key(fits), *shown)),
            *whole_names(room_names(scene.room)),
        ],
        paper=paper,
        scale=scale,
        fields=fields,
        measured=[lambda medium, at: Figure((), room_bounds(scene.room, medium))],
    )


def _fits(scene: Scene, bays: Mapping[tuple[str, str], Bay]) -> Iterator[_Fit]:
    for person in scene.plan.people:
        for wish in person.wishes:
            row = movements().get(wish.movement)
            if wish.wish != "want" or row is None or not row.on_card:
                continue
            line = line_of(scene, person, row.key)
            yield _Fit(
                f"{row.name[:1].upper()}{row.name[1:]}, {scene.plan.called(person.id)}",
                line.sentence,
                _there(scene, bays.get((person.id, row.key)), line),
                region(scene, person, row, cautious=True),
                region(scene, person, row, cautious=False),
            )


def _there(scene: Scene, bay: Bay | None, line: CardLine) -> str:
    """Say how a movement goes at its kit, where other heights count there than on open floor."""
    if bay is None or bay.placed is None:
        return ""
    need, clear = bay.demand.need_mm, line.clear_mm
    alike = clear is not None and abs(bay.clear_mm - clear) < 1 and abs(need - line.need_mm) < 1
    if alike:
        return ""
    over = f", over the {part}" if (part := bar_part(bay)) else ""
    return f"at the {lower(bay.placed.name)}{over}: {verdict_words(bay, scene.plan.units)[0]}"


def _figure(scene: Scene, lowest: Lowest, medium: Medium, scale: int) -> Figure:
    room = scene.room
    figure = room_figure(room, medium)
    crowd = Crowd(door_strokes(room), room.free)
    for _, polygon in room.columns:
        crowd.take(polygon)
    bands: list[Item] = []
    lines: list[Item] = []
    for item, area in lowest:
        for low, high, part in _sliced(item, area, _STEP_MM[medium.units]):
            bands.append(area_of(part, f"band-{_band((low + high) / 2, medium.units)}"))
        step = _STEP_MM[medium.units]
        for height, run in _contours(item, area, step):
            named = round(height / step) % _every(item, step, medium.em_mm) == 0
            lines += _contour(height, run, medium, room.free if named else None, crowd)
        lines += _edges(area, scene)
    marks = letter(levels_of(room, medium), crowd, medium)
    return Figure(
        (
            figure.floor,
            Group(tuple(bands), "layer-bands"),
            Group(tuple(lines), "layer-contours"),
            figure.walls,
            figure.doors,
            Group(figure.joists, "layer-joists"),
            Group(under_open_doors(scene, medium), "layer-doors-open"),
            Group((*figure.low, *figure.overhead), "layer-overhead"),
            figure.dims,
            Group(marks, "layer-notes"),
        ),
        figure.bounds,
    )


def _band(height_mm: float, units: Units) -> int:
    over = height_mm - _BANDS_FROM_MM[units]
    return int(min(max(over // (2 * _STEP_MM[units]), 0), _BANDS - 1))


def _lowest(scene: Scene) -> Lowest:
    """Return what is overhead, each where nothing else hangs lower; joists as one level."""
    room = scene.room
    joists = room.room.ceiling.showing
    items: list[Above] = []
    for item in room.training.items:
        if item.kind == "joist":
            continue
        if item.kind == "ceiling" and joists is not None:
            a, b, c = item.coefficients
            items.append(Above("joists", item.polygon, (a - joists.depth_mm, b, c), "ceiling"))
        else:
            items.append(item)
    shown: list[tuple[Above, BaseGeometry]] = []
    for number, item in enumerate(items):
        area: BaseGeometry = item.polygon.intersection(room.free)
        for other_number, other in enumerate(items):
            if other is item or not other.polygon.intersects(area):
                continue
            a, b, c = (m - o for m, o in zip(item.coefficients, other.coefficients, strict=True))
            # where the other one is lower: the difference of the two is more than nothing
            above = Above("", item.polygon, (-a, -b, -c), "")
            lower = (
                half_plane(above, 0.0) if b or c else _all_or_none(item, a, number, other_number)
            )
            area = area.difference(other.polygon.intersection(lower))
        if area.area > 1:
            shown.append((item, area))
    return shown


def _all_or_none(item: Above, difference: float, own: int, other: int) -> BaseGeometry:
    """Return all of an area where the other hangs lower everywhere; of equals the first counts."""
    lower = difference > 0 or (difference == 0 and other < own)
    return shapely.box(*item.polygon.bounds) if lower else shapely.Polygon()


def _heights(item: Above, area: BaseGeometry) -> tuple[float, float]:
    heights = item.heights(area)
    return float(heights.min()), float(heights.max())


def _sliced(
    item: Above, area: BaseGeometry, step: float
) -> Iterator[tuple[float, float, BaseGeometry]]:
    """Yield what of an area lies between one contour and the next, with both heights."""
    low, high = _heights(item, area)
    first = math.floor(low / step)
    for number in range(first, math.floor(high / step) + 1):
        bottom, top = number * step, (number + 1) * step
        part = area
        if top < high:
            part = part.intersection(half_plane(item, top))
        if bottom > low:
            part = part.difference(half_plane(item, bottom))
        if part.area > 1:
            yield bottom, top, part


def _contours(item: Above, area: BaseGeometry, step: float) -> Iterator[tuple[float, BaseGeometry]]:
    low, high = _heights(item, area)
    for number in range(math.floor(low / step) + 1, math.ceil(high / step)):
        edge = half_plane(item, number * step).boundary
        box = shapely.box(*item.polygon.bounds).boundary.buffer(0.5)
        run = edge.difference(box).intersection(area)
        if run.length > 1:
            yield number * step, run


def _every(item: Above, step: float, em: float) -> int:
    """Return which contours are lettered: each, or where they lie close each second, third ..."""
    slope = math.hypot(*item.coefficients[1:])
    return max(1, math.ceil(em * _LETTERED_APART_EM * slope / step))


def _contour(
    height: float, run: BaseGeometry, medium: Medium, free: BaseGeometry | None, crowd: Crowd
) -> list[Item]:
    """Draw a line of one height, lettered where the words keep off the walls of what is `free`."""
    items: list[Item] = []
    for part in shapely.get_parts(run):
        if part.geom_type != "LineString" or part.length < 1:
            continue
        (x0, y0), (x1, y1) = part.coords[0], part.coords[-1]
        items.append(Line((x0, y0), (x1, y1), "contour"))
        at = part.interpolate(0.18, normalized=True)
        clear = free is not None and free.covers(at.buffer(medium.em_mm * _CLEAR_EM))
        if clear and part.length > medium.em_mm * 4:
            turn = math.degrees(math.atan2(y1 - y0, x1 - x0))
            turn = (turn + 90) % 180 - 90
            words = format_short(height, medium.units)
            items.append(Text((at.x, at.y + medium.em_mm * 0.1), words, "tiny", "middle", turn))
            crowd.take(at.buffer(width_of(words, medium.em_mm) * 0.55))
    return items


def _edges(area: BaseGeometry, scene: Scene) -> list[Item]:
    inside = area.boundary.difference(scene.room.free.boundary.buffer(2))
    return [
        Line((a[0], a[1]), (b[0], b[1]), "contour")
        for part in shapely.get_parts(inside)
        if part.geom_type == "LineString"
        for a, b in pairwise(part.coords)
    ]


def _legend(scene: Scene, lowest: Lowest) -> Block:
    """Return the key of the heights that are drawn, and of no others."""
    units = scene.plan.units
    step, samples = _STEP_MM[units], list[tuple[str, Sample]]()
    drawn = {_band((a + b) / 2, units) for one in lowest for a, b, _ in _sliced(*one, step)}
    for band in sorted(drawn):
        low, high = (_BANDS_FROM_MM[units] + each * 2 * step for each in (band, band + 1))
        words = f"{format_short(low, units)} to {format_short(high, units)}"
        if band == 0:
            words = f"under {format_short(high, units)}"
        elif band == _BANDS - 1:
            words = f"{format_short(low, units)} and more"
        samples.append((words, area_sample(f"band-{band}", "hair")))
    lines = ["line of one height"] if any(any(_contours(*one, step)) for one in lowest) else []
    lines += ["where the height steps"] if any(_edges(area, scene) for _, area in lowest) else []
    samples += [(", or ".join(lines), line_sample("contour"))] if lines else []
    samples += overhead_rows(scene)
    block = legend_block(samples, "Clear height above the bare floor")
    if scene.room.open.items != scene.room.shut.items:
        state = "shut" if scene.room.training is scene.room.shut else "open"
        said = [Words(f"With the garage door {state}.")]
        said += [Words(UNDER_DOOR)] if state == "shut" else []
        return replace(block, entries=(*block.entries, *said))
    return block


def _said_of(fits: Sequence[_Fit]) -> tuple[Entry, ...]:
    """Say of what the figures are, where there are two of one movement."""
    return (Words(_TWO_PLACES),) if any(fit.there for fit in fits) else ()


def _key(fits: Sequence[_Fit]) -> tuple[Entry, ...]:
    """Return the key of the small plans, of what is drawn in them."""
    samples: list[tuple[str, Sample]] = []
    if any(fit.fits.area for fit in fits):
        samples.append(("where its middle may be", area_sample("fits-mini")))
    if any(fit.passes.difference(fit.fits).area > 1 for fit in fits):
        samples.append(("where it passes without the margin", area_sample("tight-mini")))
    return legend_block(samples).entries


@dataclass(frozen=True)
class _Mini:
    """A small plan with the floor of a movement, and its words beside it."""

    scene: Scene
    fit: _Fit
    by_width: dict[float, list[tuple[str, str]]] = field(default_factory=dict)

    def _scale(self, width: float) -> float:
        """Return how many mm of the room are one of paper, in a column of a width."""
        x0, y0, x1, y1 = self.scene.room.free.bounds
        return max(x1 - x0, y1 - y0) / min(_MINI_MM, width * _MINI_SHARE)

    def _wide_mm(self, width: float) -> float:
        x0, _, x1, _ = self.scene.room.free.bounds
        return float(x1 - x0) / self._scale(width)

    def _lines(self, width: float) -> list[tuple[str, str]]:
        """Return its lines with their inks in a column of a width."""
        if width not in self.by_width:
            self.by_width[width] = self._wrapped(width)
        return self.by_width[width]

    def _wrapped(self, width: float) -> list[tuple[str, str]]:
        fit, units = self.fit, self.scene.plan.units
        where = "fits nowhere"
        for floor, margin in ((fit.fits, ""), (fit.passes, ", without the margin")):
            if floor.area:
                area = area_words(floor.area / MM2_A_M2, units, 1)
                where = f"its middle may be on {area}{margin}"
                break
        room = width - self._wide_mm(width) - _BESIDE_MM
        sentence = fit.sentence[:1].upper() + fit.sentence[1:]
        return [
            *(("small-bold", line) for line in wrap(fit.name, SMALL_MM, room, bold=True)),
            *(("small", line) for line in wrap(f"{sentence}.", SMALL_MM, room)),
            *(("small", line) for line in wrap(self._there, SMALL_MM, room)),
            *(("size", line) for line in wrap(where, SMALL_MM, room)),
        ]

    @property
    def _there(self) -> str:
        there = self.fit.there
        return f"{there[:1].upper()}{there[1:]}." if there else ""

    def high_mm(self, width: float) -> float:
        """Return its height: that of the plan or of the words."""
        _, y0, _, y1 = self.scene.room.free.bounds
        return max((y1 - y0) / self._scale(width), len(self._lines(width)) * LINE_MM) + _UNDER_MM

    def at(self, x: float, y: float, width: float) -> tuple[Item, ...]:
        """Draw it from a point down."""
        outline = self.scene.room.free
        x0, y0, _, _ = outline.bounds
        items: list[Item] = []
        scale = self._scale(width)
        for area, ink in (
            (outline, "room-mini"),
            (self.fit.passes, "tight-mini"),
            (self.fit.fits, "fits-mini"),
        ):
            moved = shapely.transform(area, lambda xy: (xy - (x0, y0)) / scale + (x, y))
            rings = rings_of(moved)
            if len(rings) == 1:
                items.append(Polygon(rings[0], ink))
            elif rings:
                items.append(Region(rings, ink))
        left, foot = x + self._wide_mm(width) + _BESIDE_MM, y + SMALL_MM * 0.86
        items += [
            Text((left, foot + i * LINE_MM), line, ink, "start")
            for i, (ink, line) in enumerate(self._lines(width))
        ]
        return tuple(items)

    def parted(self, width: float, room: float) -> tuple[Entry, Entry] | None:
        """Return nothing: it stays whole."""
        return None
