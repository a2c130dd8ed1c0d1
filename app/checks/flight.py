"""The line of flight: what a swung weight, a bag or a rolling plate would break.

Mirrors, screens and a car in the way of a bag are said by the room to use; a mirror that a
rolling plate reaches is said of the mirror itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import shapely
from shapely import LineString, Point, Polygon

from app.checks.mirror_areas import sheets
from app.checks.snag import Snag
from app.checks.spots import spots
from app.library.anchors import place
from app.library.movements import movements
from app.model.situations import OUT
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.doors import OpeningShape
from app.scene.swept import put
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.wording import lower

_SWING = "kettlebell-swing"
_BREAKS = ("mirror", "screen", "car")
_PLATES = ("rubber-plates", "iron-plates", "thin-plates", "plate-tree", "plate-pegs")
_BAGS = {"hung-bag": "bag.behind-swing-mm", "standing-bag": "bag.far-side-mm"}

Target = tuple[str, str | None, float]
"""What would break: its name, its piece if it is one, and how far off it is in mm."""


def flight(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each swung weight, bag or store of plates with glass in its way."""
    windows = scene.memo(("flight windows",), lambda: _windows(scene))
    for placed, at in _swung(scene):
        yield from _judged(
            placed,
            "flight.swing-mm",
            "A weight that slips flies ahead: the {} is {:mm} off. Allow {:bare}: turn or "
            "move the {}, or cover the glass.",
            partial(_ahead, scene, placed, at, windows),
        )
    if not windows:
        return
    for placed in scene.order:
        if not placed.in_use:
            continue
        if placed.kit.key in _BAGS:
            yield from _judged(
                placed,
                _BAGS[placed.kit.key],
                "The bag goes back when it is struck: the {} behind it is {:mm} off. Allow "
                "{:bare}: turn or move the {}.",
                partial(_behind, placed, windows),
            )
        elif placed.kit.key in _PLATES:
            yield from _judged(
                placed,
                "flight.plates-mm",
                "A plate on edge rolls: the glass of the {} is {:mm} off. Allow {:bare}: move "
                "the {}, or put a board before the glass.",
                partial(_beside, scene, placed, windows),
            )


def _judged(placed: Placed, key: str, template: str, look: partial[list[Target]]) -> Iterator[Snag]:
    near = [target for target in look() if falls_short(target[2], published(key))]
    if not near:
        return
    away = min(target[2] for target in near)
    what = " and the ".join(dict.fromkeys(lower(name) for name, _, _ in near))
    hit = dict.fromkeys(piece for _, piece, _ in near if piece is not None)
    yield Snag(
        code="flight",
        hangs_on_place=True,
        severity="care",
        template=template,
        values=(what, away, published(key), lower(placed.name)),
        pieces=(placed.piece.id, *hit),
        names=(placed.name, "line of flight"),
        measured=round(away),
        required=round(published(key)),
        where=placed.at,
        source_keys=(key,),
    )


def _windows(scene: Scene) -> tuple[OpeningShape, ...]:
    return tuple(o for o in scene.room.openings if o.opening.has_glass)


def _swung(scene: Scene) -> Iterator[tuple[Placed, tuple[float, float]]]:
    people = scene.plan.people
    if people and all(person.wish_for(_SWING) == "no" for person in people):
        return
    for spot in spots(scene).get(_SWING, ()):
        x, y = (place(anchor, spot.placed.extent) for anchor in spot.use.at)
        yield spot.placed, (x, y)


def _ahead(
    scene: Scene, placed: Placed, at: tuple[float, float], windows: tuple[OpeningShape, ...]
) -> list[Target]:
    """Find what lies ahead of one who swings, as far as the wall lets a weight fly."""
    far = published("flight.swing-mm")
    width = movements()[_SWING].area_width_mm
    half = (width if isinstance(width, float | int) else placed.extent.width_mm) / 2
    lane = put(Polygon([(-half, 0), (half, 0), (half, -far), (-half, -far)]), placed, at)
    origin = Point(put(Polygon([(-1, -1), (1, -1), (1, 1), (-1, 1)]), placed, at).centroid)
    targets: list[Target] = [
        (window_name(shape), None, origin.distance(part))
        for shape in windows
        if (part := lane.intersection(pane(shape))).length > TOLERANCE_MM
        and _flies(scene, origin, part)
    ]
    targets += [
        (sheet.name, None, origin.distance(part))
        for sheet in sheets(scene)
        if (part := lane.intersection(sheet.line)).length > TOLERANCE_MM
        and _flies(scene, origin, part)
    ]
    for other in scene.order:
        if other.kit.key not in _BREAKS or other.piece.state == OUT:
            continue
        part = lane.intersection(other.footprint)
        if part.area > TOLERANCE_MM and _flies(scene, origin, part):
            targets.append((other.name, other.piece.id, origin.distance(part)))
    return targets


def _flies(scene: Scene, origin: Point, part: shapely.Geometry) -> bool:
    """Return whether no wall is between."""
    line = LineString(shapely.get_coordinates(shapely.shortest_line(origin, part)))
    return bool(scene.room.free.buffer(TOLERANCE_MM).covers(line))


def _behind(placed: Placed, windows: tuple[OpeningShape, ...]) -> list[Target]:
    """Find the glass behind a bag, at its height."""
    far, half = published(_BAGS[placed.kit.key]), placed.extent.width_mm / 2
    back = -placed.extent.depth_mm / 2
    corners = [(-half, back), (half, back), (half, back - far), (-half, back - far)]
    lane = put(Polygon(corners), placed, (0.0, 0.0))
    low = float(placed.shape.low_mm.min()) + placed.lift_mm
    high = float(placed.shape.high_mm.max()) + placed.lift_mm
    return [
        (window_name(shape), None, placed.footprint.distance(part))
        for shape in windows
        if (part := lane.intersection(pane(shape))).length > TOLERANCE_MM
        and shape.opening.sill_mm < high
        and shape.opening.sill_mm + shape.opening.height_mm > low
    ]


def _beside(scene: Scene, placed: Placed, windows: tuple[OpeningShape, ...]) -> list[Target]:
    """Find the glass that comes down lower than a plate on edge is high."""
    reach = scene.plan.room.floor.covering.thickness_mm + published("plate.large-diameter-mm")
    return [
        (window_name(shape), None, placed.footprint.distance(pane(shape)))
        for shape in windows
        if shape.opening.sill_mm < reach
    ]


def pane(shape: OpeningShape) -> LineString:
    """Return the line of an opening on the face of its wall."""
    return LineString([shape.left, shape.right])


def window_name(shape: OpeningShape) -> str:
    """Say what has the glass: its label, else what it is."""
    opening = shape.opening
    if opening.label:
        return opening.label
    if opening.kind == "window":
        return "window"
    return "garage door with glass" if opening.is_garage_door else "glass door"
