"""How a layout does by what is around the kit: sight, doors, neighbours, sockets, lines."""

from __future__ import annotations

import math
from itertools import chain

import numpy as np
import shapely

from app.arranging.across import stands_in_a_door
from app.arranging.garage_door import kept_clear
from app.arranging.layout import Layout
from app.arranging.open_floor import base_angle_deg
from app.arranging.shares import aside_deg, mean
from app.arranging.standing import is_disc, is_floor, is_square
from app.arranging.used_together import STORES
from app.arranging.wishes import facing_of
from app.checks.household import LOUD
from app.checks.mirrors import covered_sockets, edges_mm
from app.checks.spots import spots
from app.formulas.sight import diagonal_mm
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.shapes import turn, turned_points
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.units import QUARTER_TURN_DEG

HALF = 0.5
LEFT_IN_A_MOUTH = 0.5
"""What is left of clear doors where something stands in that of a side door: it opens, and one goes
round."""
LOOKED_INTO = frozenset({"mirror"})
SCREENS = frozenset({"screen"})
SEES_ITSELF = ("Racks",)
IRON = frozenset({"dumbbell-rack-2", "dumbbell-rack-3", "kettlebell-shelf"}) | STORES


def sight(layout: Layout) -> float:
    """Return how well screens are seen from machines, and a mirror from where one lifts.

    Of several machines those count that somebody wants to use: a screen at the elbow of the one
    who rides is none, however well it is seen from a rower that nobody has asked for.
    """
    pieces = layout.scene.order
    shares = []
    machines = looked_from(layout.scene)
    aside_most = published("layout.sight.aside-deg")
    for screen in (p for p in pieces if p.kit.key in SCREENS):
        for machine in machines:
            aside = aside_deg(facing_of(machine), machine.at, screen.at)
            shares.append(float(aside <= aside_most) * screen_seen(screen, machine.at))
    near, far = (published(f"layout.sight.mirror-{end}-mm") for end in ("near", "far"))
    lifters = [p for p in pieces if p.kit.group in SEES_ITSELF or p.kit.key.startswith("dumbbell")]
    for mirror in (p for p in pieces if p.kit.key in LOOKED_INTO):
        outward = turn(0.0, 1.0, mirror.pose.angle_deg)
        for lifter in lifters:
            away = math.dist(mirror.at, lifter.at)
            before = aside_deg(outward, mirror.at, lifter.at)
            seen = near <= away <= far and before < QUARTER_TURN_DEG / 2
            shares.append(open_before(layout, mirror) if seen else 0.0)
    return mean(shares)


def looked_from(scene: Scene) -> list[Placed]:
    """Return the machines a screen is for: those of wanted movements, of none any."""
    machines = [p for p in scene.order if p.kit.group == "Machines" and p.kit.uses]
    wanted = {
        wish.movement
        for person in scene.plan.people
        for wish in person.wishes
        if wish.wish == "want"
    }
    asked = [p for p in machines if any(use.movement in wanted for use in p.kit.uses)]
    return asked or machines


def open_before(layout: Layout, mirror: Placed) -> float:
    """Return the share of the floor a step before a mirror that nothing stands on.

    Behind a rack nobody sees more of himself than a head. What is as low as its lower edge is
    seen over.
    """
    half, deep = mirror.extent.width_mm / 2, mirror.extent.depth_mm / 2
    far = deep + published("layout.way-in.none-mm")
    ring = np.array([(-half, deep), (half, deep), (half, far), (-half, far)])
    strip = shapely.Polygon(turned_points(ring, mirror.pose.angle_deg) + np.array(mirror.at))
    low, _ = edges_mm(mirror)
    tall = [
        p.footprint
        for p in layout.standing.on_floor
        if p.root != mirror.root and p.lift_mm + p.extent.height_mm > low
    ]
    taken = strip.intersection(shapely.union_all(tall)).area if tall else 0.0
    return float(1 - taken / strip.area)


def screen_seen(screen: Placed, at: tuple[float, float]) -> float:
    """Return 1 from where a screen is seen well: neither edge-on nor too near nor too far.

    From where it is seen edge-on nothing is left, half where it is too near or too far.
    """
    outward = turn(0.0, 1.0, screen.pose.angle_deg)
    if aside_deg(outward, screen.at, at) > published("sight.screen.edge-on-deg"):
        return 0.0
    away = math.dist(screen.at, at)
    near, far = seen_well_mm(screen)
    return HALF if falls_short(away, near) or falls_short(far, away) else 1.0


def seen_well_mm(screen: Placed) -> tuple[float, float]:
    """Return from how near and how far a screen is seen well, in mm."""
    diagonal = diagonal_mm(screen.extent.width_mm, published("sight.screen.high-ratio"))
    near, far = "sight.screen.near-ratio", "layout.sight.screen-far-ratio"
    return diagonal * published(near), diagonal * published(far)


def door_seen(layout: Layout) -> float:
    """Return the share of stations from which one sees the door, or is far from it.

    Who lies on a mat over which a door swings has it in the ribs: that leaves nothing.
    """
    door = layout.door_at
    if door is None:
        return 1.0
    used, swept = _used(layout), layout.swept
    if any(is_floor(p) and swept.intersects(p.footprint) for p in used):
        return 0.0
    return mean([float(sees_door(p, door)) for p in used])


def sees_door(placed: Placed, door: tuple[float, float]) -> bool:
    """Return whether one who uses a piece sees a door, or has it far behind.

    One faces the back of what one stands before; lying or on a floor of its own one faces nowhere.
    """
    if is_floor(placed) or placed.kit.group == "Benches" or is_disc(placed):
        return True
    if math.dist(placed.at, door) > published("layout.door-seen.far-mm"):
        return True
    return aside_deg(facing_of(placed), placed.at, door) <= published("layout.door-seen.angle-deg")


def noise(layout: Layout) -> float:
    """Return how far from party walls the loud things stand."""
    party = [w for w in layout.scene.room.walls if w.wall.shared]
    if not party:
        return 1.0
    far = published("layout.noise.far-mm")
    lines = shapely.union_all([shapely.LineString([w.start, w.end]) for w in party])
    loud = [
        spot.placed
        for movement, places in spots(layout.scene).items()
        for spot in places
        if movement in LOUD
    ]
    return mean(
        [min(1.0, float(shapely.distance(lines, p.footprint)) / far) for p in dict.fromkeys(loud)]
    )


def garage_door(layout: Layout) -> float:
    """Return how clear the doors are: of garage doors the widest stretch, less what is heavy.

    What stands in the mouth of a door for people leaves half of that.
    """
    return kept_clear(layout.scene) * (LEFT_IN_A_MOUTH if stands_in_a_door(layout) else 1.0)


def services(layout: Layout) -> float:
    """Return the share of powered pieces near a socket, and of iron off garage doors.

    A socket behind a mirror counts as a piece that has none.
    """
    scene = layout.scene
    shares = []
    if scene.plan.room.sockets:
        for mirror in (p for p in scene.order if p.kit.key in LOOKED_INTO):
            shares += [0.0 for _ in covered_sockets(scene, mirror)]
        cord = published("electric.cord-mm")
        walls = {w.id: w for w in scene.room.walls}
        sockets = shapely.multipoints(
            [
                (
                    walls[s.wall].start[0] + walls[s.wall].along[0] * s.offset_mm,
                    walls[s.wall].start[1] + walls[s.wall].along[1] * s.offset_mm,
                )
                for s in scene.plan.room.sockets
                if s.wall in walls
            ]
        )
        shares += [
            float(shapely.distance(sockets, p.footprint) <= cord)
            for p in scene.order
            if (p.piece.power_w or p.kit.power_w) and p.kit.fixing not in ("wall", "ceiling")
        ]
    damp = published("layout.services.damp-mm")
    garage = [
        shapely.LineString([s.left, s.right])
        for s in scene.room.openings
        if s.opening.is_garage_door
    ]
    if garage:
        line = shapely.union_all(garage)
        shares += [
            float(shapely.distance(line, p.footprint) >= damp)
            for p in scene.order
            if p.kit.key in IRON
        ]
    return mean(shares)


def calm(layout: Layout) -> float:
    """Return the share of pieces that stand square to the walls and in line with a neighbour."""
    base = base_angle_deg(layout.scene)
    line = published("layout.calm.line-mm")
    pieces = [p for p in layout.standing.on_floor if not is_disc(p)]
    square = [is_square(p.pose.angle_deg, base) for p in pieces]
    boxes = np.array([_box(p.footprint, base) for p in pieces]).reshape(-1, 4)
    walls = _box(layout.scene.room.free, base)
    lined = []
    for i, box in enumerate(boxes):
        others = np.delete(boxes, i, axis=0)
        gaps = chain(
            np.abs(others[:, [0, 2]] - box[[0, 2]]).ravel(),
            np.abs(others[:, [1, 3]] - box[[1, 3]]).ravel(),
            np.abs(np.array(walls) - box),
        )
        lined.append(min(gaps) <= line + TOLERANCE_MM)
    return mean([float(a and b) for a, b in zip(square, lined, strict=True)])


def _box(polygon: shapely.Polygon, base_deg: float) -> tuple[float, float, float, float]:
    """Return the box about a polygon in the frame of the longest wall."""
    xy = turned_points(shapely.get_coordinates(polygon), -base_deg)
    (x0, y0), (x1, y1) = xy.min(axis=0), xy.max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)


def _used(layout: Layout) -> list[Placed]:
    return [layout.scene.placed[key] for key, _ in layout.together.stations]
