"""Sight: a screen from the machines before it, oneself in a mirror. One note at most."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from shapely import LineString

from app.checks.snag import Snag
from app.formulas.sight import angle_deg, diagonal_mm, turned_aside_deg, up_deg
from app.library.anchors import place
from app.library.movements import movements
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.footing import footing
from app.scene.shapes import turn
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.units import KILO
from app.wording import Phrase, lower, phrase

Point = tuple[float, float]
_METRE = KILO
_RIDING = ("run", "ride", "climb")
_LIFTING = ("press", "squat", "hinge", "swing", "pull")


def sight(scene: Scene) -> Iterator[Snag]:
    """Yield one note if no machine sees the screen well, else if no lifter sees oneself."""
    looked = scene.memo(("looked-at",), lambda: _looked_at(scene))
    if not looked:
        return
    for piece_id in looked:
        placed = scene.placed[piece_id]
        snag = _screen(scene, placed) if placed.kit.key == "screen" else _mirror(scene, placed)
        if snag is not None:
            yield snag
            return


def _looked_at(scene: Scene) -> tuple[str, ...]:
    faced = [p for p in scene.order if p.kit.key in ("screen", "mirror")]
    return tuple(p.piece.id for p in sorted(faced, key=lambda p: p.kit.key != "screen"))


def _users(scene: Scene, patterns: tuple[str, ...]) -> Iterator[tuple[Placed, Point, float]]:
    """Yield each piece that is used so, where its user is, and the height of what bears them."""
    seen = set()
    for placed in scene.order:
        for use in placed.kit.uses:
            movement = movements().get(use.movement)
            if movement is None or movement.pattern not in patterns:
                continue
            x, y = (place(anchor, placed.extent) for anchor in use.at)
            if (placed.piece.id, x, y) in seen:
                continue
            seen.add((placed.piece.id, x, y))
            dx, dy = turn(x, y, placed.pose.angle_deg)
            base: float | None = 0.0
            if movement.pattern in ("run", "climb"):
                base = footing(placed, use).base_mm
            elif movement.pattern == "ride":
                base = None
            point = (placed.at[0] + dx, placed.at[1] + dy)
            yield placed, point, _eye_mm(scene, placed, base)


def _eye_mm(scene: Scene, placed: Placed, base_mm: float | None) -> float:
    """Return the height of an eye: standing on a base, or sitting in a saddle, of a mean person."""
    statures = [person.stature_mm for person in scene.plan.people]
    stature = float(np.mean(statures)) if statures else published("sight.stature-assumed-mm")
    if base_mm is None:
        seat, ratio = published("sight.seat-mm"), published("body.eye-height-sitting-ratio")
        return placed.lift_mm + seat + ratio * stature
    return placed.lift_mm + base_mm + published("body.eye-height-ratio") * stature


def _face(placed: Placed) -> tuple[Point, Point]:
    """Return the middle of the front of a screen or mirror, and the way it looks."""
    outward = turn(0.0, 1.0, placed.pose.angle_deg)
    half = placed.extent.depth_mm / 2
    middle = (placed.at[0] + outward[0] * half, placed.at[1] + outward[1] * half)
    return middle, outward


def _screen(scene: Scene, screen: Placed) -> Snag | None:
    middle, outward = _face(screen)
    # the lower edge of its panel, else the whole piece, tells how high its middle is
    panels = [i for i, part in enumerate(screen.shape.parts) if part == "panel"]
    low = float(screen.shape.low_mm[panels].min()) if panels else 0.0
    high = (low + screen.extent.height_mm) / 2
    least = published("sight.screen.angle-least-deg")
    edge_on = published("sight.screen.edge-on-deg")
    diagonal = diagonal_mm(screen.extent.width_mm, published("sight.screen.high-ratio"))
    near = published("sight.screen.near-ratio") * diagonal
    up_most, aside_most = published("sight.screen.up-deg"), published("sight.screen.aside-deg")
    failing: tuple[float, Placed, Phrase] | None = None
    for machine, eye, eye_mm in _users(scene, _RIDING):
        towards = (middle[0] - eye[0], middle[1] - eye[1])
        away = math.hypot(*towards)
        if away <= TOLERANCE_MM or towards[0] * outward[0] + towards[1] * outward[1] >= 0:
            continue
        facing = turn(0.0, -1.0, machine.pose.angle_deg)
        aside = turned_aside_deg(facing, towards)
        up = up_deg(eye_mm, high, away)
        fills = angle_deg(screen.extent.width_mm, away)
        beside = turned_aside_deg(outward, (-towards[0], -towards[1]))
        if aside > aside_most:
            why = phrase("lies {:.0f} degrees to the side of where you face", aside)
        elif beside > edge_on:
            why = phrase("is seen from {:.0f} degrees beside its middle, all but edge-on", beside)
        elif fills < least:
            why = phrase("is {:metres} off, too far to read much on it", away)
        elif abs(up) > up_most:
            side = "above" if up > 0 else "below"
            why = phrase("is {:.0f} degrees {} the eye", abs(up), side)
        elif falls_short(away, near):
            why = phrase("is {:mm} off, too near to see all of it: allow {:bare}", away, near)
        else:
            return None
        if failing is None or away < failing[0]:
            failing = (away, machine, why)
    if failing is None:
        return None
    away, machine, why = failing
    return Snag(
        code="sight-screen",
        background=True,
        severity="note",
        template="From the {} the screen {}: turn the one or move the other.",
        values=(lower(machine.name), why),
        pieces=(screen.piece.id, machine.piece.id),
        names=(screen.name, lower(machine.name)),
        measured=round(away),
        required=None,
        where=middle,
        source_keys=(
            "sight.screen.aside-deg",
            "sight.screen.angle-least-deg",
            "sight.screen.edge-on-deg",
            "sight.screen.near-ratio",
        ),
    )


def _mirror(scene: Scene, mirror: Placed) -> Snag | None:
    """See whether some lifting place lies square before a mirror with nothing between."""
    middle, outward = _face(mirror)
    along = (-outward[1], outward[0])
    reach = mirror.extent.width_mm / 2 + published("sight.aside-mm")
    nearest: tuple[float, Placed] | None = None
    for lifter, at, eye_mm in _users(scene, _LIFTING):
        dx, dy = at[0] - middle[0], at[1] - middle[1]
        before = dx * outward[0] + dy * outward[1]
        aside = abs(dx * along[0] + dy * along[1])
        if before > 0 and aside <= reach and _open(scene, lifter, mirror, at, middle, eye_mm):
            return None
        if nearest is None or math.hypot(dx, dy) < nearest[0]:
            nearest = (math.hypot(dx, dy), lifter)
    if nearest is None:
        return None
    return Snag(
        code="sight-mirror",
        background=True,
        severity="note",
        template="Nobody who lifts faces the mirror squarely; the {} is nearest. Hang it "
        "where one sees oneself.",
        values=(lower(nearest[1].name),),
        pieces=(mirror.piece.id,),
        names=(mirror.name, "sight"),
        unit=None,
        where=middle,
        source_keys=("sight.aside-mm",),
    )


def _open(
    scene: Scene, lifter: Placed, mirror: Placed, at: Point, middle: Point, eye_mm: float
) -> bool:
    """Return whether nothing of another station stands between an eye and a place at its height."""
    hits = scene.tree.query(LineString([at, middle]), predicate="intersects")
    solids = scene.solids
    hits = hits[hits < scene.piece_solids]
    crossed = (solids.low_mm[hits] < eye_mm) & (solids.high_mm[hits] > eye_mm)
    own = {lifter.root, mirror.root}
    owners = [scene.order[owner].root for owner in solids.owner[hits[crossed]]]
    return all(owner in own for owner in owners)
