"""Bars: each lies on something made for it, and is long enough for what holds it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from app.checks.snag import Snag
from app.library.anchors import place
from app.library.kit import BarRest
from app.published.register import published
from app.scene.bar_lengths import SHAFTS, shaft_range_mm
from app.scene.build import Placed, Scene
from app.scene.shapes import turn
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.units import HALF_TURN_DEG
from app.wording import Phrase, lower, phrase


def bars(scene: Scene) -> Iterator[Snag]:
    """Yield a `stop` for a bar that nothing holds or that is too short for its rack."""
    for placed in scene.order:
        if placed.kit.bar is None or placed.piece.on_floor:
            continue
        host = scene.placed.get(placed.piece.carried_by or "")
        if host is None or not host.kit.rests:
            yield _nothing_holds(scene, placed, host)
            continue
        misses = [(_miss_mm(placed, host, rest), rest) for rest in host.kit.rests]
        miss, rest = min(misses, key=lambda pair: pair[0])
        if miss > TOLERANCE_MM:
            yield _off_its_rest(placed, host, rest, miss)
        yield from _too_short(placed, host, rest)


def rest_pose(host: Placed, rest: BarRest) -> tuple[float, float, float]:
    """Return where a bar lies on a rest: x, y in mm of the room and the angle in degrees."""
    dx, dy = turn(0.0, place(rest.y, host.extent), host.pose.angle_deg)
    return host.at[0] + dx, host.at[1] + dy, host.pose.angle_deg


def _miss_mm(bar: Placed, host: Placed, rest: BarRest) -> float:
    """Return by how many mm a bar misses a rest; 0 when it lies on it."""
    dx, dy = turn(bar.at[0] - host.at[0], bar.at[1] - host.at[1], -host.pose.angle_deg)
    over = abs(dy - place(rest.y, host.extent)) - rest.tolerance_mm
    aside = abs(dx) - rest.along_mm
    half_turn = HALF_TURN_DEG
    turned = (bar.pose.angle_deg - host.pose.angle_deg) % half_turn
    turned = min(turned, half_turn - turned)
    if turned > published("rack.bar-turn-tolerance-deg"):
        over = max(over, bar.extent.width_mm / 2 * math.sin(math.radians(turned)))
    return max(over, aside, 0.0)


def _nothing_holds(scene: Scene, bar: Placed, host: Placed | None) -> Snag:
    if host is None and not any(other.kit.rests for other in scene.order):
        template = (
            "{}: it needs a rack, stands or hooks, and none is in the plan yet: put one in, or "
            "let it lie on the floor."
        )
        values: tuple[object, ...] = (bar.name,)
    elif host is None:
        template = "{}: it belongs to no rack or stand, so nothing holds it up here."
        values = (bar.name,)
    else:
        template = "{}: the {} has no hooks for a bar."
        values = (bar.name, lower(host.name))
    return Snag(
        code="bar-rests-on-nothing",
        lacks="hooks",
        hangs_on_place=True,
        severity="stop",
        template=template,
        values=values,
        pieces=(bar.piece.id,),
        names=(bar.name, "rest"),
        unit=None,
        where=bar.at,
        source_keys=("rack.hook-line-tolerance-mm",),
    )


def _off_its_rest(bar: Placed, host: Placed, rest: BarRest, miss_mm: float) -> Snag:
    off = miss_mm + rest.tolerance_mm
    return Snag(
        code="bar-rests-on-nothing",
        lacks="hooks",
        hangs_on_place=True,
        severity="stop",
        template="{}: it lies {:mm} off the {} of the {}: nothing holds it there.",
        values=(bar.name, off, rest.name, lower(host.name)),
        pieces=(bar.piece.id,),
        names=(bar.name, lower(host.name)),
        measured=round(off),
        required=round(rest.tolerance_mm),
        where=bar.at,
        source_keys=("rack.hook-line-tolerance-mm",),
    )


def _too_short(bar: Placed, host: Placed, rest: BarRest) -> Iterator[Snag]:
    if bar.kit.bar is None or rest.outside_mm == 0:
        return
    outside = rest.outside_mm + host.extent.width_mm - host.kit.width_mm
    least, most = shaft_range_mm(bar)
    wanted = published("rack.shaft-beyond-posts-mm")
    if not falls_short(least, outside + wanted):
        return
    falls = falls_short(most, outside)
    shaft = most if falls else least
    keys: tuple[str, ...] = ("rack.shaft-beyond-posts-mm",)
    between: Phrase = phrase("{:mm} between its sleeves", shaft)
    end = "it falls off" if falls else "too close"
    if falls_short(least, most):
        between = phrase(
            "so short that {:bare} to {:mm} are usual between its sleeves", least, most
        )
        keys += SHAFTS
        if not falls:
            end = "measure it before anything is bought"
    yield Snag(
        code="bar-too-short-for-rack",
        lacks="shaft",
        hangs_on_place=True,
        severity="stop" if falls else "care",
        template="This {} is {}, the {} {:bare} outside: {}.",
        values=(lower(bar.name), between, lower(host.name), outside, end),
        pieces=(bar.piece.id, host.piece.id),
        names=(bar.name, lower(host.name)),
        measured=round(shaft),
        required=round(outside + (0 if falls else wanted)),
        need=round(outside + wanted),
        where=bar.at,
        source_keys=keys,
    )
