"""Where the small fixings go that the list counts: clips and ledge screws of mirrors, of profiles.

All are points of a wall: mm along it as plans say them, and mm above the bare floor.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TypeAlias

from app.library.finishes import finishes
from app.model.finishing import MirrorArea, StripRun
from app.published.register import published
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.fixings import STUDS_APART_MM, ledge_screws, ledge_studs
from app.takeoff.mirrors import (
    LEDGE_HIGH_MM,
    clips_on_an_edge,
    rows_of,
    sheets_across,
    spans_of,
)
from app.takeoff.profiles import clips_of_a_piece, pieces_on_legs

INSET_MM = 25.0
"""How far within the end of a piece its last clip sits: clear of the end cap and of a joint."""

_PAIR_SHARES = (0.3, 0.7)
"""How far down a ledge each screw of a pair is, as shares of its height: 15 off the edges of 50."""
_LEDGE_END_MM = 50.0
"""How far within a ledge's end its last screw is, or its end grain splits (common practice, no
source)."""
_LEDGE_END_SHARE = 0.25
"""The same for a short ledge, as a share of its length: two screws stay apart (no source)."""
_INSET_SHARE = 0.1
"""How far within a piece its outer fixings are drawn, as a share of its size."""

PointOnWall: TypeAlias = tuple[float, float]


def ledge_high_mm(foot_mm: float) -> float:
    """Return how high the ledge under glass is whose lower edge is so far above the bare floor."""
    return min(LEDGE_HIGH_MM, max(foot_mm, 0.0))


def ledge_points(left_mm: float, width_mm: float, foot_mm: float) -> tuple[PointOnWall, ...]:
    """Return where the ledge under a mirror is screwed: near both ends and evenly between them.

    It lies under the glass, its screws half way down it.
    """
    middle = foot_mm - ledge_high_mm(foot_mm) / 2
    return tuple((x, middle) for x in _along_ledge(left_mm, width_mm, ledge_screws(width_mm)))


def stud_points(left_mm: float, width_mm: float, foot_mm: float) -> tuple[PointOnWall, ...]:
    """Return the screws of a ledge on studs: a pair at each, one over the other, in steps alike.

    Where the studs are nobody has said: each pair moves to the next one.
    """
    along = _along_ledge(left_mm, width_mm, ledge_studs(width_mm))
    heights = [foot_mm - ledge_high_mm(foot_mm) * share for share in _PAIR_SHARES]
    return tuple((x, z) for x in along for z in heights)


def _along_ledge(left_mm: float, width_mm: float, count: int) -> list[float]:
    inset = min(_LEDGE_END_MM, width_mm * _LEDGE_END_SHARE)
    return _evenly(left_mm + inset, left_mm + width_mm - inset, count)


def piece_points(
    left_mm: float, right_mm: float, low_mm: float, high_mm: float, count: int
) -> tuple[PointOnWall, ...]:
    """Return the fixings of a piece of which nothing is told: in a row near its upper edge.

    What hangs clear of the floor (`low_mm` above 0) has half of them near its lower edge.
    """
    inset = min((right_mm - left_mm) * _INSET_SHARE, (high_mm - low_mm) * _INSET_SHARE)
    upper = count if low_mm <= 0 else (count + 1) // 2
    rows = [(upper, high_mm - inset), (count - upper, low_mm + inset)]
    return tuple(
        (x, z) for some, z in rows for x in _evenly(left_mm + inset, right_mm - inset, some)
    )


def edge_points(
    left_mm: float, right_mm: float, low_mm: float, high_mm: float, each: int
) -> tuple[PointOnWall, ...]:
    """Return the clips of one sheet: so many on each upright edge, in the middles of equal parts.

    No part is longer than clips may stand apart, so neither is the way from one to the next.
    """
    heights = edge_heights(low_mm, high_mm, each)
    return tuple((x, z) for x in (left_mm, right_mm) for z in heights)


def edge_heights(low_mm: float, high_mm: float, each: int) -> list[float]:
    """Return how high the clips of one upright edge are."""
    step = (high_mm - low_mm) / each
    return [low_mm + i * step + step / 2 for i in range(each)]


def ledge_joints(
    left_mm: float, right_mm: float, screws_mm: Sequence[float], stock_mm: float
) -> tuple[float, ...]:
    """Return where the lengths of a ledge meet that is longer than it is sold: between two screws.

    The lengths are about alike; `screws_mm` are where its screws are along it.
    """
    count = math.ceil((right_mm - left_mm) / stock_mm - TOLERANCE_MM / stock_mm)
    between = [(a + b) / 2 for a, b in pairwise(sorted(set(screws_mm)))]
    joints, start = [], left_mm
    for i in range(1, count):
        alike = left_mm + (right_mm - left_mm) * i / count
        ends = (right_mm - (count - i) * stock_mm, start + stock_mm)
        may = [x for x in between if max(ends[0], start) <= x <= ends[1]]
        # where no middle between two screws will do it keeps off the nearest of them
        off = max(ends, key=lambda end: min(abs(end - x) for x in screws_mm))
        start = min(may, key=lambda x: abs(x - alike), default=off)
        joints.append(start)
    return tuple(joints)


def pair_points(
    left_mm: float, right_mm: float, low_mm: float, high_mm: float, count: int
) -> tuple[PointOnWall, ...]:
    """Return the fixings of a piece before studs: two at each of as many as it surely crosses.

    They are one over the other near its upper edge; what hangs clear of the floor has as many near
    its lower one. Where the studs are nobody has said: each pair moves to the next one.
    """
    across = max(1, min(count // 2, int((right_mm - left_mm) // STUDS_APART_MM)))
    first = (left_mm + right_mm - (across - 1) * STUDS_APART_MM) / 2
    inset = min((right_mm - left_mm) * _INSET_SHARE, (high_mm - low_mm) * _INSET_SHARE)
    points = []
    for i in range(count):
        stud, down = i % across, i // across
        step = down * min(LEDGE_HIGH_MM, inset)
        z = high_mm - inset - step
        if low_mm > 0 and down % 2:
            z = low_mm + inset + (down - 1) // 2 * min(LEDGE_HIGH_MM, inset)
        points.append((first + stud * STUDS_APART_MM, z))
    return tuple(points)


def clip_points(scene: Scene, area: MirrorArea) -> tuple[PointOnWall, ...]:
    """Return the clips of all sheets of an area; none where they are glued.

    At the joint of two sheets they stand in its middle and hold both.
    """
    return tuple(_clips(scene, area))


def _clips(scene: Scene, area: MirrorArea) -> Iterator[PointOnWall]:
    sheet = finishes().sheets.get(area.sheet)
    if sheet is None or area.held != "clips":
        return
    gap = published("mirror.joint-mm")
    rows, high = rows_of(area, sheet)
    for start, end in spans_of(scene, area):
        across = sheets_across(end - start, sheet)
        wide = (end - start - gap * (across - 1)) / across
        for row in range(rows):
            low = area.bottom_mm + row * (high + gap)
            joints = [start + i * (wide + gap) - gap / 2 for i in range(1, across)]
            heights = edge_heights(low, low + high, clips_on_an_edge(high))
            yield from ((x, z) for x in (start, *joints, end) for z in heights)


def profile_points(run: StripRun) -> tuple[PointOnWall, ...]:
    """Return the clips of a profile: near both ends of each piece and evenly along it."""
    return tuple(_on_legs(run))


def _on_legs(run: StripRun) -> Iterator[PointOnWall]:
    for (a, b), pieces in zip(pairwise(run.points), pieces_on_legs(run), strict=True):
        long, start = math.dist(a, b), 0.0
        for piece in pieces:
            inset = min(INSET_MM, piece / 2)
            for at in _evenly(start + inset, start + piece - inset, clips_of_a_piece(piece)):
                yield a[0] + (b[0] - a[0]) * at / long, a[1] + (b[1] - a[1]) * at / long
            start += piece


def _evenly(first: float, last: float, count: int) -> list[float]:
    if count < 2:
        return [(first + last) / 2] * count
    return [first + (last - first) * i / (count - 1) for i in range(count)]
