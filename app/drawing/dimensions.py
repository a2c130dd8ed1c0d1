"""Chained dimensions outside the walls: openings along each wall, lengths of walls, the whole."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from app.drawing.against_wall import on_wall
from app.drawing.lettering import width_of
from app.drawing.medium import Medium
from app.drawing.primitives import Anchor, Group, Item, Line, Point, Text
from app.scene.room import RoomShape
from app.scene.walls import WallShape
from app.units import format_short, lengths_between

_FIRST_EM = 2.0
_STEP_EM, _STEP_ON_PAPER_EM = 2.3, 3.3
"""From one row of chains to the next; on paper heights of openings stand under the first."""
_LINE_EM = 1.15
"""From one line under an opening to the next."""
_NEAR_MM = 1.0
_ALIKE_MM = 30.0
"""A whole that one wall shows but for this much is not drawn again."""
_WHOLE = "whole "
"""Stands before a whole, which would else read as another length of a wall nearly as long."""
_LED_OUT_EM, _LED_UNDER_EM = 1.7, 2.2
"""How far from its chain a figure stands that a line leads to, over it and under it."""
_CLEAR_EM = 0.6
"""What is free between a figure and the ticks on both sides of it, together."""
_UPRIGHT_DEG = 80.0
"""From here on lettering counts as standing upright; walls are seldom quite square."""
_ONE_SIDE_DEG = 10.0


@dataclass(frozen=True, slots=True)
class Dimensions:
    """The chains of a room and the points they reach to."""

    group: Group
    reach: tuple[Point, ...]


class _Rows:
    """The rows of chains on each side of the room; no two chains of a row overlap.

    A side is a direction. All its chains are measured off from the outermost face that way, so
    that the lengths of set-back walls stand in line with those of the others.
    """

    def __init__(self, room: RoomShape, medium: Medium, two_lines: Sequence[Point]) -> None:
        self._corners = [wall.outer_start for wall in room.walls]
        self._em = medium.em_mm
        self._step_em = _STEP_ON_PAPER_EM if medium.strokes else _STEP_EM
        self._two_lines = two_lines
        self._sides: list[tuple[Point, list[tuple[int, float, float]]]] = []

    def offset_mm(self, start: Point, end: Point, out: Point) -> float:
        """Return how far outside a face its chain stands, and take the place."""
        edge = max(x * out[0] + y * out[1] for x, y in self._corners)
        low, high = sorted(x * out[1] - y * out[0] for x, y in (start, end))
        taken = self._side(out)
        row = 0
        # on walls out of square the chains of neighbours end a little within one another
        near = self._em / 2
        while any(r == row and low < b - near and high > a + near for r, a, b in taken):
            row += 1
        taken.append((row, low, high))
        face = start[0] * out[0] + start[1] * out[1]
        first_em, step_em = _FIRST_EM, self._step_em
        if any(_same_side(out, other) for other in self._two_lines):
            # height and sill under one another reach to the wall, or from the first row to the next
            (x, y) = out
            to_wall = y < 0 if abs(y) > abs(x) else x < 0
            first_em += _LINE_EM if to_wall or row else 0.0
        return edge - face + self._em * (first_em + step_em * row)

    def _side(self, out: Point) -> list[tuple[int, float, float]]:
        """Return what is taken on the side that lies this way, or nearly so."""
        for way, taken in self._sides:
            if _same_side(way, out):
                return taken
        self._sides.append((out, []))
        return self._sides[-1][1]


def _same_side(one: Point, other: Point) -> bool:
    """Return whether two directions lie the same way, or nearly so."""
    return one[0] * other[0] + one[1] * other[1] > math.cos(math.radians(_ONE_SIDE_DEG))


def dimensions(room: RoomShape, medium: Medium) -> Dimensions:
    """Draw the chains of every wall, and overall chains where no single wall shows the whole.

    Lengths are those of the faces as measured, before any lining.
    """
    items: list[Item] = []
    reach: list[Point] = []
    drawn: list[tuple[Point, Point]] = []
    told = {wall.id: _heights(room, wall, medium) if medium.strokes else {} for wall in room.walls}
    two_lines = [
        (-wall.inward[0], -wall.inward[1])
        for wall in room.walls
        if any(len(lines) > 1 for lines in told[wall.id].values())
    ]
    rows = _Rows(room, medium, two_lines)
    walls = sorted(room.walls, key=_reading_order)
    runs: list[tuple[WallShape, Point, list[float], str]] = []
    for wall in walls:
        stops = _stops(room, wall)
        if len(stops) > 2:
            runs.append((wall, _face(room, wall)[0], stops, ""))
    for wall in walls:
        start, end = _face(room, wall)
        if not _is_drawn(start, end, drawn):
            runs.append((wall, start, [0.0, math.dist(start, end)], ""))
            drawn.append((start, end))
    for wall, whole in _overall(room):
        runs.append((wall, whole[0], [0.0, math.dist(*whole)], _WHOLE))
    for wall, start, stops, word in runs:
        under = told[wall.id] if len(stops) > 2 else {}
        _chain(items, reach, wall, start, stops, rows, medium, word, under)
    return Dimensions(Group(tuple(items), "layer-dims"), tuple(reach))


def _reading_order(wall: WallShape) -> tuple[float, float]:
    """Put the walls at the top first, then those on the left: there a reader looks first."""
    outward = (-wall.inward[0], -wall.inward[1])
    return (round(outward[1] * 2 + outward[0], 3), wall.start[0])


def _face(room: RoomShape, wall: WallShape) -> tuple[Point, Point]:
    return room.room.wall_ends(wall.id)


def _stops(room: RoomShape, wall: WallShape) -> list[float]:
    stops = {0.0, room.room.wall_length_mm(wall.id)}
    for opening in room.room.openings:
        if opening.wall == wall.id:
            stops |= {opening.offset_mm, opening.offset_mm + opening.width_mm}
    for _, polygon in room.columns:
        against = on_wall(wall, _face(room, wall)[0], polygon)
        if against is not None:
            stops |= {min(max(at, 0.0), max(stops)) for at in against}
    ordered = sorted(stops)
    return [s for i, s in enumerate(ordered) if i == 0 or s - ordered[i - 1] > _NEAR_MM]


def _heights(
    room: RoomShape, wall: WallShape, medium: Medium
) -> dict[tuple[float, float], tuple[str, ...]]:
    """Return what stands under the width of each opening of a wall: its height, and its sill.

    On one line where the opening is as wide.
    """
    words: dict[tuple[float, float], tuple[str, ...]] = {}
    for opening in room.room.openings:
        if opening.wall == wall.id:
            high = format_short(opening.height_mm, medium.units)
            sill = format_short(opening.sill_mm, medium.units)
            ends = (opening.offset_mm, opening.offset_mm + opening.width_mm)
            lines = (f"h {high}", f"sill {sill}") if opening.sill_mm else (f"h {high}",)
            whole = ", ".join(lines)
            wide = width_of(whole, medium.em_mm) + medium.em_mm * _CLEAR_EM
            words[ends] = (whole,) if wide <= opening.width_mm else lines
    return words


def _is_drawn(start: Point, end: Point, drawn: list[tuple[Point, Point]]) -> bool:
    """Return whether a wall straight across shows the same length between the same lines."""
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    for other_start, other_end in drawn:
        # walls that face one another run in opposite directions round the room
        for near, far in ((start, other_end), (end, other_start)):
            dx, dy = far[0] - near[0], far[1] - near[1]
            if abs(dx * ux + dy * uy) > _NEAR_MM:
                break
        else:
            if abs(math.dist(other_start, other_end) - length) <= _NEAR_MM:
                return True
    return False


def _overall(room: RoomShape) -> Iterator[tuple[WallShape, tuple[Point, Point]]]:
    """Return the whole width and depth of a room of right angles that no one wall shows."""
    corners = room.room.corners
    if len(corners) <= 4:
        return
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    for axis, low, high in ((0, min(xs), max(xs)), (1, min(ys), max(ys))):
        sides = [w for w in room.walls if abs(w.inward[1 - axis] - 1) < 1e-6]
        lengths = [room.room.wall_length_mm(wall.id) for wall in room.walls]
        if not sides or any(abs(length - (high - low)) <= _ALIKE_MM for length in lengths):
            continue
        wall = min(sides, key=lambda w: _face(room, w)[0][1 - axis])
        edge = _face(room, wall)[0][1 - axis]
        ends = ((low, edge), (high, edge)) if axis == 0 else ((edge, low), (edge, high))
        face = _face(room, wall)
        if (face[1][axis] > face[0][axis]) != (ends[1][axis] > ends[0][axis]):
            ends = (ends[1], ends[0])
        yield wall, ends


def _chain(
    items: list[Item],
    reach: list[Point],
    wall: WallShape,
    start: Point,
    stops: list[float],
    rows: _Rows,
    medium: Medium,
    word: str,
    heights: Mapping[tuple[float, float], tuple[str, ...]] | None = None,
) -> None:
    em = medium.em_mm
    out = (-wall.inward[0], -wall.inward[1])
    along = wall.along
    end = (start[0] + along[0] * stops[-1], start[1] + along[1] * stops[-1])
    offset = rows.offset_mm(start, end, out)

    def at(distance: float, beyond: float = 0.0) -> Point:
        far = offset + beyond
        return (
            start[0] + along[0] * distance + out[0] * far,
            start[1] + along[1] * distance + out[1] * far,
        )

    items.append(Line(at(stops[0]), at(stops[-1]), "dim"))
    slant = em * 0.3
    for stop in stops:
        x, y = at(stop)
        items.append(Line(at(stop, -em * 0.9), at(stop, em * 0.45), "dim witness"))
        tick = (
            (along[0] + out[0]) * slant,
            (along[1] + out[1]) * slant,
        )
        items.append(Line((x - tick[0], y - tick[1]), (x + tick[0], y + tick[1]), "tick"))
    turn = readable(math.degrees(math.atan2(along[1], along[0])))
    up = (math.sin(math.radians(turn)), -math.cos(math.radians(turn)))
    last_under = last_led = False
    told = lengths_between(stops, medium.units)
    for number, (before, after) in enumerate(pairwise(stops)):
        words = f"{word}{told[number]}"
        wide = width_of(words, em)
        middle, rise = (before + after) / 2, em * 0.35
        if wide > after - before > em and number in (0, len(stops) - 2) and _is_upright(out):
            # beside an upright chain it lies level: past the end the chain round the corner is near
            side = math.copysign(em * _CLEAR_EM, out[0])
            x, y = at(middle)
            anchor: Anchor = "start" if side > 0 else "end"
            items.append(Text((x + side, y + em * 0.36), words, "dimt", anchor))
            reach.append((x + side + math.copysign(wide, side), y))
            continue
        narrow = wide + em * _CLEAR_EM > after - before
        outwards = up[0] * out[0] + up[1] * out[1] > 0
        led = narrow and medium.strokes and not last_led and (before, after) not in (heights or {})
        last_led = led
        if led:
            # it stands a row farther out, past the heights of openings: in the row of the chain it
            # would be read as the length of the piece beside it, under that as a height
            rise = em * _LED_OUT_EM if outwards else -em * _LED_UNDER_EM
            (x, y), far = at(middle), em * (_LED_OUT_EM - 0.2 if outwards else _LED_UNDER_EM - 0.9)
            items.append(Line((x, y), (x + out[0] * far, y + out[1] * far), "dim"))
        elif wide > after - before and number in (0, len(stops) - 2) and not medium.strokes:
            # a figure wider than the piece at an end stands beside the chain, clear of its ticks
            beyond = wide / 2 + em * _CLEAR_EM
            middle = before - beyond if number == 0 else after + beyond
        elif narrow:
            # one with no room between the ticks goes under the line; of two neighbours one over it
            rise = em * 1.6 if last_under else -em * 1.1
        last_under = narrow and rise < 0
        x, y = at(middle)
        foot = (x + up[0] * rise, y + up[1] * rise)
        items.append(Text(foot, words, "dimt", "middle", turn))
        if heights and (before, after) in heights:
            for line, off in zip(heights[before, after], (1.05, 1.05 + _LINE_EM), strict=False):
                under = (x - up[0] * em * off, y - up[1] * em * off)
                items.append(Text(under, line, "dimt", "middle", turn))
                reach.append((under[0] - up[0] * em * 0.3, under[1] - up[1] * em * 0.3))
        read = (-up[1], up[0])
        for side in (-wide / 2, wide / 2):
            for high in (-em * 0.3, em):
                reach.append(
                    (
                        foot[0] + read[0] * side + up[0] * high,
                        foot[1] + read[1] * side + up[1] * high,
                    )
                )
    reach += [at(stops[0], em / 2), at(stops[-1], em / 2)]


def _is_upright(out: Point) -> bool:
    """Return whether a chain that lies this way from its wall runs up and down the sheet."""
    return abs(out[1]) < math.sin(math.radians(_ONE_SIDE_DEG))


def readable(turn_deg: float) -> float:
    """Turn lettering so that it reads from the foot or the right-hand side of the sheet."""
    turned = (turn_deg + 180) % 360 - 180
    if turned > _UPRIGHT_DEG:
        turned -= 180
    elif turned <= _UPRIGHT_DEG - 180:
        turned += 180
    return round(turned, 6) + 0.0
