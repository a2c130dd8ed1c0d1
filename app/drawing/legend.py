"""The key of lines and areas of a plan: only what it really shows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial

import numpy as np

from app.drawing.figure_room import ceiling_edges, openers, socket_symbol
from app.drawing.flow import Block
from app.drawing.kit_offsets import has_offsets
from app.drawing.marks import Severity, flag_items
from app.drawing.primitives import Group, Item, Line, Polygon
from app.drawing.sheet_words import Sample, area_sample, legend_block, line_sample
from app.drawing.sheets.cut_marks import arrow
from app.scene.build import Scene
from app.units import format_short

SOCKET_MM = 1.4
"""The radius of a socket in the key, as it is where lettering is 2.8 mm high."""
_OPENER = "opener of the garage door"
_CUT_MM = 1.6
"""Half as long as the stroke at the end of a cut is in the key."""
_SQUARE = 0.01
"""What a line leans from a wall at the most that is told to run beside it."""

_FLAGS: dict[Severity, str] = {
    "stop": "open snag: a stop",
    "care": "open snag: a care",
    "note": "open snag: a note",
}


def legend(scene: Scene, flags: Sequence[Severity] = (), cuts: Sequence[str] = ()) -> Block:
    """Return samples of what is drawn on the plan of a scene, with the sizes behind them.

    `flags` are the kinds of snags that are planted on it, `cuts` what its sections are called.
    """
    room = scene.room
    rows: list[tuple[str, Sample]] = []
    if any(placed.shape.spaces for placed in scene.order):
        rows.append(("room needed to use it", area_sample("space-ground", "space")))
    if any(placed.piece.stays for placed in scene.order):
        rows.append(("stays where it is", area_sample("thing", hatched="hatch-line")))
    rows += overhead_rows(scene)
    if any(placed.kit.bar is not None for placed in scene.order):
        rows.append(("above other kit", line_sample("over")))
    if scene.plan.fit_out.mirrors:
        rows.append(("mirror on a wall", area_sample("mirror")))
    if scene.plan.fit_out.strips:
        rows.append(("light strip", line_sample("lit")))
    if room.room.sockets:
        rows.append(SOCKET)
    if room.room.openings:
        rows.append(("of an opening: width over the line, height under it", _opening))
    if scene.plan.units == "feet":
        rows.append(
            ('to 1/16", each by itself: parts may differ from their sum', line_sample("dim"))
        )
    rows.append(("height above the bare floor, true at its tip", _level))
    if has_offsets(scene):
        rows.append(("free between walls and kit on the floor", _offset))
    if cuts:
        rows.append((f"cut of section {' or '.join(cuts)}, seen as the arrow points", _cut))
    rows += [(_FLAGS[kind], partial(_flag, kind)) for kind in _FLAGS if kind in flags]
    return legend_block(rows)


def overhead_rows(scene: Scene) -> list[tuple[str, Sample]]:
    """Return the samples of what a figure of the room shows overhead: every sheet has the same."""
    room, units = scene.room, scene.plan.units
    rows: list[tuple[str, Sample]] = []
    joists = room.room.ceiling.showing
    if joists is not None:
        size = " × ".join(format_short(mm, units) for mm in (joists.width_mm, joists.depth_mm))
        every = format_short(joists.spacing_mm, units)
        rows.append((f"joist overhead, {size}, every {every}", line_sample("joist")))
    kinds: list[str] = sorted({thing.kind for thing, _ in room.low})
    kinds += [_OPENER] if openers(room) else []
    if kinds:
        rows.append((f"hangs lower: {', '.join(kinds)}", line_sample("low")))
    if slopes := slope_words(scene):
        rows.append((slopes, line_sample("low")))
    if any(shape.always or shape.when_open for shape in room.openings):
        rows.append(("garage door and its tracks overhead", line_sample("overhead")))
    if any(shape.opening.kind == "side-sliding" and shape.sweeps for shape in room.openings):
        rows.append(("where the garage door slides along its wall", line_sample("overhead")))
    return rows


def slope_words(scene: Scene) -> str:
    """Say where parts of the ceiling meet, from the nearest wall beside that; "" where none do."""
    room, told = scene.room, []
    for edge in ceiling_edges(room):
        way = np.subtract(edge.end, edge.start) / math.dist(edge.start, edge.end)
        beside = [
            (abs(float(np.subtract(edge.start, wall.start) @ np.array(wall.inward))), i)
            for i, wall in enumerate(room.walls)
            if abs(way @ np.array(wall.inward)) < _SQUARE
        ]
        if beside:
            off, number = min(beside)
            told.append(f"{format_short(off, scene.plan.units)} from {scene.fixed_names[number]}")
    return f"parts of the ceiling meet, {', '.join(dict.fromkeys(told))}" if told else ""


def _socket(x: float, y: float, wide: float) -> tuple[Item, ...]:
    foot = (x + wide / 2, y - SOCKET_MM)
    return (socket_symbol(foot, (1.0, 0.0), (0.0, 1.0), SOCKET_MM),)


SOCKET: tuple[str, Sample] = ("socket", _socket)
"""The row of the key that tells what a socket is drawn like."""


def _opening(x: float, y: float, wide: float) -> tuple[Item, ...]:
    ends = [Line((at - 0.8, y + 0.8), (at + 0.8, y - 0.8), "tick") for at in (x, x + wide)]
    return (Line((x, y), (x + wide, y), "dim"), *ends)


def _offset(x: float, y: float, wide: float) -> tuple[Item, ...]:
    ends = [Line((at - 0.8, y + 0.8), (at + 0.8, y - 0.8), "offset-tick") for at in (x, x + wide)]
    return (Line((x, y), (x + wide, y), "offset"), *ends)


def _level(x: float, y: float, wide: float) -> tuple[Item, ...]:
    ring = ((x, y), (x + 2.6, y - 1.0), (x + 2.6, y + 1.0))
    return (Group((Line((x + 2.6, y), (x + wide, y), "level-leader"), Polygon(ring, "level-tip"))),)


def _cut(x: float, y: float, wide: float) -> tuple[Item, ...]:
    middle = x + wide / 2
    stroke = Line((middle, y - _CUT_MM), (middle, y + _CUT_MM), "cut-end")
    return (stroke, *arrow((middle, y), (middle + 2 * _CUT_MM, y)))


def _flag(kind: Severity, x: float, y: float, wide: float) -> tuple[Item, ...]:
    """Draw a flag without a number in the middle of a width."""
    size = 3.4
    return flag_items((x + (wide - size) / 2, y + size / 2), 0, kind, size, "list-")[:1]
