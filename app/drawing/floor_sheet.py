"""The floor as a sheet true to scale: numbered pieces, and what is cut from which stock piece."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

import shapely
from shapely import LineString, Point, Polygon
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

from app.drawing.composed import Subject, composed
from app.drawing.figure import room_figure
from app.drawing.figures_placed import Figure
from app.drawing.floor_figure import mat_items, ramp_items, stay_names, staying_in
from app.drawing.floor_flow import floor_in_words
from app.drawing.lettering import text_boxes, width_of
from app.drawing.medium import Medium, region
from app.drawing.primitives import Circle, Group, Item, Line, Text
from app.drawing.primitives import Point as XY
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.wallward import arrow_words
from app.scene.build import Scene
from app.scene.naming import wall_called
from app.takeoff.floor import Layout
from app.takeoff.floor_region import Frame
from app.takeoff.floor_setting import setting_out, setting_words
from app.takeoff.lay_steps import lay_frame
from app.takeoff.ramps import ramps_in_words
from app.units import format_short

_SHARES = (0.5, 0.75, 0.25, 0.65, 0.35)
"""Where on a line its length is lettered, from the corner on: where there is room first."""
_UPRIGHT_DEG = 80.0
"""From here on lettering counts as standing upright and is read from the right."""


def floor_sheet(
    scene: Scene,
    layout: Layout,
    *,
    paper: str = "A3",
    scale: int | None = None,
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw a laid floor on paper: to lay from, with its cut list, over further sheets if need be.

    Raises SheetError for a paper or scale that does not do.
    """
    return composed(
        scene.plan,
        Subject("floor", f"Floor: {layout.laid.laying.name}"),
        [partial(_figure, scene, layout)],
        lambda first, further: tuple(
            (Group(page, "cut-list"),)
            for page in floor_in_words(
                first,
                further,
                layout,
                scene.plan.units,
                (
                    setting_words(scene, layout, scene.plan.units),
                    *filter(None, [ramps_in_words(scene, scene.plan.units)]),
                    *arrow_words(layout.mats, _start_wall(scene, layout)),
                ),
                _start_wall(scene, layout),
            )
        ),
        paper=paper,
        scale=scale,
        fields=fields,
        measured=[partial(_figure, scene, None)],
    )


def _figure(scene: Scene, layout: Layout | None, medium: Medium, scale: int) -> Figure:
    figure = room_figure(scene.room, medium)
    if layout is None:
        return Figure((), figure.bounds)
    staying = staying_in(scene, layout.laid.laying)
    mark = _start_mark(scene, layout, medium.em_mm)
    ring = Point(mark[0].centre).buffer(mark[0].radius)
    inward = lay_frame(scene, layout.laid)[0].inward
    pieces = mat_items(
        layout, medium.em_mm, strokes=True, keep_off=ring, toward=(-inward[0], -inward[1])
    )
    mats = Group(pieces, "layer-mats")
    taken = shapely.union_all([ring, *text_boxes(mats, medium.em_mm)])
    room = scene.room.free.difference(taken)
    items = (
        figure.floor,
        *ramp_items(scene),
        mats,
        *(region(placed.footprint, "stay-edge") for placed in staying),
        *stay_names(staying, medium.em_mm),
        *_first_joints(scene, layout, medium, room),
        *mark,
        figure.walls,
        figure.doors,
        figure.dims,
    )
    return Figure(items, figure.bounds)


def _start_wall(scene: Scene, layout: Layout) -> str:
    return wall_called(scene, layout.start.wall)


def _start_mark(scene: Scene, layout: Layout, em_mm: float) -> tuple[Circle, Text]:
    """Mark the corner at which one begins."""
    x, y = setting_out(scene, layout).corner
    first = layout.mats[0].polygon.representative_point()
    # into the first piece by its own diagonal, so that the ring touches both edges at most
    away = em_mm
    at = (x + math.copysign(away, first.x - x), y + math.copysign(away, first.y - y))
    ring = Circle(at, away * 0.8, "start-mark")
    return ring, Text((at[0], at[1] + em_mm * 0.36), "S", "start-letter")


def _first_joints(
    scene: Scene, layout: Layout, medium: Medium, room: BaseGeometry
) -> Iterator[Item]:
    """Yield the first joint's distance from the nearer corner and that of the first row, measured.

    Both stand inside the floor: the first across its first piece, the other beside the joint. Where
    a length finds no `room` for its lettering at its line or past its end it is left out: the words
    give it as well.
    """
    placed, em = setting_out(scene, layout), medium.em_mm
    u0, v0, u1, v1 = placed.frame.into(layout.mats[0].polygon).bounds
    deep = min(_FROM_WALL_EM * em, v0 + (v1 - v0) * 3 / 4)
    inwards = math.copysign(1.0, (u0 + u1) / 2 - placed.end_mm)
    if placed.joint_mm is not None:
        joint = u1 if inwards > 0 else u0
        items, lettered = _measured(
            placed.frame, (placed.end_mm, deep), (joint, deep), medium, room
        )
        yield from items
        room = room.difference(lettered)
    if placed.row_mm is not None:
        # beside the first joint, where the mark of the corner is not; without one beside the mark
        at = (u1 if inwards > 0 else u0) if placed.joint_mm is not None else placed.end_mm
        at += inwards * em * (_BESIDE_EM if placed.joint_mm is not None else _FROM_WALL_EM)
        wall = placed.wall_mm
        ends = (at, wall), (at, wall + placed.row_mm)
        yield from _measured(placed.frame, *ends, medium, room)[0]


_BESIDE_EM = 1.8
"""How far from the first joint a line beside it stands, its lettering between them."""
_PAST_EM = 0.5
"""How far past the end of a short line its figure begins."""
_FROM_WALL_EM = 3.0
"""How far from the wall a measured line stands: clear of the mark in the corner."""


def _measured(
    frame: Frame, one: XY, other: XY, medium: Medium, room: BaseGeometry
) -> tuple[list[Item], BaseGeometry]:
    """Return a line with its ticks and its length, given in the frame of a wall, and its lettering.

    Nothing is drawn where the lettering finds no room.
    """
    line = frame.back(LineString([one, other]))
    (x0, y0), (x1, y1) = line.coords
    em, tick = medium.em_mm, medium.em_mm * 0.35
    turn = math.degrees(math.atan2(y1 - y0, x1 - x0))
    # lettering is read from below or from the right
    turn = (turn + 90.0) % 180.0 - 90.0
    turn -= 180.0 if turn > _UPRIGHT_DEG else 0.0
    up = math.radians(turn)
    words = format_short(line.length, medium.units)
    wide = width_of(words, em)
    # its box with a little air, over the line
    lettering = shapely.box(-wide / 2 - em * 0.2, -em, wide / 2 + em * 0.2, em * 0.2)
    # else past its end, on the line drawn on
    past = 1.0 + (wide / 2 + em * _PAST_EM) / line.length
    for share in (*_SHARES, past):
        x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        middle = (x + math.sin(up) * em * 0.3, y - math.cos(up) * em * 0.3)
        turned = rotate(lettering, turn, origin=(0.0, 0.0))
        lettered = translate(turned, *middle)
        if room.covers(lettered):
            break
    else:
        return [], Polygon()
    far = past + wide / 2 / line.length if share == past else 1.0
    end = x0 + far * (x1 - x0), y0 + far * (y1 - y0)
    ticks = [
        Line((x - tick, y + tick), (x + tick, y - tick), "tick") for x, y in ((x0, y0), (x1, y1))
    ]
    told = Text(middle, words, "dimt", turn_deg=turn)
    return [Line((x0, y0), end, "dim"), *ticks, told], lettered
