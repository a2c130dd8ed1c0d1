"""Templates in full size: notches of floor pieces, fixings of kit, tile by tile.

Each is drawn at 1:1 and divided into tiles that fit the paper. Neighbours are cut along their
match lines and laid edge to edge, so that marks of the same letter meet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.composed import Subject, page_of
from app.drawing.flow import Block, Words
from app.drawing.frame import title_words
from app.drawing.hatching import hatch
from app.drawing.ink import SMALL_MM
from app.drawing.lettering import wrap
from app.drawing.paper import Arrangement, Box, alone, paper_of
from app.drawing.primitives import Circle, Group, Item, Line, Point, Polygon, Text
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.sheet_words import hundred_mm
from app.drawing.sheets.bolt_templates import bolt_templates
from app.drawing.sheets.full_size import ROUND_MM, Template
from app.drawing.sheets.wall_items import FlatWall
from app.drawing.wallward import pointer, side_towards, towards_in_stock
from app.drawing.word_sheet import worded
from app.library.own import kits_of
from app.model.plan import Plan
from app.scene.build import Scene
from app.scene.naming import wall_called
from app.takeoff.floor import Layout
from app.takeoff.surfaces import faces
from app.units import Units, format_short

SUBJECT = Subject("templates", "Templates")
FULL_SIZE = "1:1"
NOTHING = (
    "Nothing here wants a template: no kit that is fixed to a wall in rows, to the floor or to the "
    "ceiling, no piece of a floor with a notch or a hole."
)
NEAR_MM = 100.0
"""Fixings no farther apart from left to right come on one template; what is farther is measured
with a tape, which is truer than many sheets laid edge to edge."""
ARM_MM = 12.0
"""The arms of the cross on a fixing: long enough for a pencil to carry it on to the wall."""
_EDGE_MM = 7.0
"""What stays free round a tile for its marks."""
_HEAD_MM = 12.0
_TILE_MM = 40.0
"""What ", C12 of 12 × 12" takes beside a name."""
"""What the words over a tile take."""
_DIAMOND_MM = 2.5
_POINTER_MM = 4.0
_LINE = 1.3
_HAIR = 1e-6
"""By how much a template may be wider than its tiles through rounding."""
SPECK_MM2 = 25.0
"""A notch smaller than this is rounding of the outline."""
_HATCH_MM = 12.0
"""How far apart the lines are that hatch what is cut out, at full size."""
_BOLTED = ("bolt", "ceiling")
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


def has_templates(plan: Plan) -> bool:
    """Return whether a plan may have any: a floor that is laid, or kit that is fixed."""
    kits = kits_of(plan)
    mine = [kits[piece.type] for piece in plan.pieces if piece.type in kits]
    in_rows = any(kit.fixed is not None and kit.fixed.rows for kit in mine)
    return bool(plan.fit_out.floors) or in_rows or any(kit.fixing in _BOLTED for kit in mine)


def templates_sheet(
    scene: Scene,
    layouts: Sequence[Layout],
    *,
    paper: str = "A4",
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw every template of a plan in full size, on upright paper. Raises SheetError."""
    chosen, fields = paper_of(paper), fields or TitleFields()
    plan = scene.plan
    every = [*fixing_templates(scene), *bolt_templates(scene)]
    for layout in layouts:
        every += notch_templates(layout, wall_called(scene, layout.start.wall))
    if not every:
        words = Block("Templates", (Words(NOTHING),))
        return worded(plan, SUBJECT, [words], paper=paper, fields=fields)
    way = alone(chosen.short_mm, chosen.long_mm)
    drawn = [items for template in every for items in _tiles(template, way, chosen.key, plan.units)]
    title = title_words(plan, SUBJECT.key, SUBJECT.name, SUBJECT.document, "", fields)
    size = (way.width_mm, way.height_mm)
    scale = f"{FULL_SIZE} on {chosen.key}"
    name, block = f"{plan.name}: templates, {scale}", replace(title, scale=scale)
    pages = [page_of(each, size, name, block, (i, len(drawn))) for i, each in enumerate(drawn)]
    return Sheet(tuple(pages), chosen.key, 1)


def fixing_templates(scene: Scene) -> Iterator[Template]:
    """Yield the holes of everything that is fixed to a wall in rows, with a level line."""
    units = scene.plan.units
    for face in faces(scene):
        flat = FlatWall(face, scene)
        for thing in flat.items:
            if not thing.fixings:
                continue
            groups = _near(sorted(thing.fixings))
            high = max(z for _, z in thing.fixings)
            for number, some in enumerate(groups, start=1):
                across = sorted({round(s, 1) for s, _ in some})
                from_left = " and ".join(format_short(s, units) for s in across)
                caption = (
                    f"{face.name[:1].upper()}{face.name[1:]}: the level line is "
                    f"{format_short(high, units)} above the bare floor, the crosses "
                    f"{from_left} from the left end of the wall. Lay it on the piece itself "
                    "before you drill: the maker's own holes decide."
                )
                low = min(z for _, z in some)
                bounds = (
                    across[0] - ROUND_MM,
                    -high - ROUND_MM,
                    across[-1] + ROUND_MM,
                    ROUND_MM - low,
                )
                level = shapely.LineString([(bounds[0], -high), (bounds[2], -high)])
                count = f", {number} of {len(groups)}" if len(groups) > 1 else ""
                drilled = tuple((s, -z) for s, z in some)
                yield Template(
                    f"Fixings, {thing.name}{count}", caption, (), (level,), drilled, bounds
                )


def _near(fixings: Sequence[tuple[float, float]]) -> list[list[tuple[float, float]]]:
    """Part fixings, from the left on, into groups that stand near one another."""
    groups: list[list[tuple[float, float]]] = []
    for one in fixings:
        if groups and one[0] - groups[-1][0][0] <= NEAR_MM:
            groups[-1].append(one)
        else:
            groups.append([one])
    return groups


def notch_templates(layout: Layout, wall: str) -> Iterator[Template]:
    """Yield the notches and holes of the pieces of a floor, each with the edges round it.

    `wall` is what the wall of the start is called: each is told which of its edges lies there.
    """
    for mat in layout.mats:
        if not mat.notched:
            continue
        whole = shapely.box(*mat.rect.bounds)
        edges = mat.outline.boundary
        for hole in shapely.get_parts(whole.difference(mat.outline)):
            if hole.area < SPECK_MM2:
                continue
            around = shapely.box(*hole.bounds).buffer(ROUND_MM, join_style="mitre")
            caption = (
                "As it lies in its stock piece, seen from above, the "
                f"{side_towards(mat)} edge towards {wall}; the hatched part goes. Hold it "
                "against what stands there before you cut: the template is only as true as the "
                "measures of the room."
            )
            yield Template(
                f"{layout.laid.laying.name}, piece {mat.number}", caption,
                (edges.intersection(around),), (), (), around.intersection(whole).bounds, hole,
                (towards_in_stock(mat), wall),
            )  # fmt: skip


def _tiles(
    template: Template, way: Arrangement, paper: str, units: Units
) -> Iterator[tuple[Item, ...]]:
    """Yield the template tile by tile, from the top left on, row by row."""
    # the numbers of a tile follow its name: they fit beside the longest last line
    names = wrap(template.name, SMALL_MM, way.figure.width - _TILE_MM, bold=True)
    more = (len(names) - 1) * SMALL_MM * _LINE
    caption = wrap(template.says, SMALL_MM, way.figure.width)
    head = _HEAD_MM + more + len(caption) * SMALL_MM * _LINE
    box = Box(
        way.figure.x + _EDGE_MM, way.figure.y + head + _EDGE_MM,
        way.figure.width - 2 * _EDGE_MM, way.figure.height - head - 2 * _EDGE_MM,
    )  # fmt: skip
    x0, y0, x1, y1 = template.bounds
    across = max(1, math.ceil((x1 - x0) / box.width - _HAIR))
    down = max(1, math.ceil((y1 - y0) / box.height - _HAIR))
    for row in range(down):
        for column in range(across):
            left, top = x0 + column * box.width, y0 + row * box.height
            right, foot = min(left + box.width, x1), min(top + box.height, y1)
            tile = shapely.box(left, top, right, foot)
            count = f", {_name(row, column)} of {across} × {down}" if across * down > 1 else ""
            x, y = way.figure.x, way.figure.y
            items: list[Item] = [
                Text((x, y + SMALL_MM * (2 + i * _LINE)), line, "head", "start")
                for i, line in enumerate((*names[:-1], f"{names[-1]}{count}"))
            ]
            items += [
                Text((x, y + more + SMALL_MM * (3.6 + i * _LINE)), line, "small", "start")
                for i, line in enumerate(caption)
            ]
            put = (round(box.x - left, 4), round(box.y - top, 4))
            items.append(Group(tuple(_shown(template, tile)), "figure", (("scale", "1"),), put))
            ring = ((left, top), (right, top), (right, foot), (left, foot))
            items.append(Group((Polygon(ring, "match-line"),), "", (), put))
            items += _matches(box, (right - left, foot - top), (row, column), (down, across))
            low = way.strip.y + way.strip.height / 2 - 2
            true = hundred_mm(way.strip.right - 108, low, paper, units)
            items.append(Group(true, "true-length"))
            if template.toward is not None:
                way_to, what = template.toward
                spot = (x + SMALL_MM, way.strip.y + way.strip.height / 2)
                items.append(pointer(spot, way_to, _POINTER_MM))
                beside = (spot[0] + _POINTER_MM, spot[1] + SMALL_MM * 0.36)
                items.append(Text(beside, what, "small", "start"))
            yield tuple(items)


def _shown(template: Template, tile: BaseGeometry) -> Iterator[Item]:
    if template.gone is not None:
        yield hatch(template.gone.intersection(tile), _HATCH_MM, 45.0, "lay-hatch")
    for shapes, ink in ((template.lines, "knife"), (template.dashed, "chalk-dash")):
        for shape in shapes:
            for part in shapely.get_parts(shape.intersection(tile)):
                xy = shapely.get_coordinates(part)
                for a, b in zip(xy[:-1].tolist(), xy[1:].tolist(), strict=True):
                    yield Line((a[0], a[1]), (b[0], b[1]), ink)
    for x, y in template.drilled:
        cross = [((x - ARM_MM, y), (x + ARM_MM, y)), ((x, y - ARM_MM), (x, y + ARM_MM))]
        for ends in cross:
            part = shapely.LineString(ends).intersection(tile)
            if part.length > 0:
                (ax, ay), (bx, by) = part.coords[0], part.coords[-1]
                yield Line((ax, ay), (bx, by), "fixing", (("drilled", f"{x:.1f},{y:.1f}"),))
        if tile.covers(shapely.Point(x, y).buffer(1.5)):
            yield Circle((x, y), 1.5, "fixing")


def _matches(
    box: Box, size: tuple[float, float], at: tuple[int, int], of: tuple[int, int]
) -> Iterator[Item]:
    """Mark the edges at which a tile meets another: a letter for each, the same on both."""
    (wide, high), (row, column), (down, across) = size, at, of
    middle, low = box.x + wide / 2, box.y + high / 2
    letter = SMALL_MM * 0.36
    if column:
        yield from _mark((box.x, low), (-1, 0), f"{_name(row, column)}", letter)
    if column + 1 < across:
        yield from _mark((box.x + wide, low), (1, 0), f"{_name(row, column + 1)}", letter)
    if row:
        yield from _mark((middle, box.y), (0, -1), f"{_name(row, column)}", letter)
    if row + 1 < down:
        yield from _mark((middle, box.y + high), (0, 1), f"{_name(row + 1, column)}", letter)


def _mark(at: Point, out: tuple[int, int], words: str, letter: float) -> Iterator[Item]:
    """Draw half a diamond outside an edge, its tip away from it, and the letter of the edge."""
    (x, y), (dx, dy) = at, out
    half, off = _DIAMOND_MM, _DIAMOND_MM + SMALL_MM / 2
    base = (x - dy * half, y - dx * half), (x + dy * half, y + dx * half)
    tip = (x + dx * half, y + dy * half)
    yield Polygon((base[0], tip, base[1]), "dark", "", (("match", words),))
    beside = (x + abs(dy) * (half + SMALL_MM) + dx * off, y - abs(dx) * off + dy * off)
    yield Text((beside[0], beside[1] + letter), words, "small")


def _name(row: int, column: int) -> str:
    """Return what a tile is called: its row by a letter, its column by a number."""
    return f"{_LETTERS[row % len(_LETTERS)]}{column + 1}"
