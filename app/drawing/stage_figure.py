"""A small plan of one stage: the part that is worked on, what stands where, the way to the door."""

from __future__ import annotations

import math

import shapely

from app.drawing.figure import room_figure
from app.drawing.lettering import width_of
from app.drawing.medium import Medium, region
from app.drawing.placing import Crowd, Spot
from app.drawing.primitives import Circle, Group, Item, Point, Polygon, Polyline, Text
from app.scene.build import Scene
from app.works.building_room import BuildingRoom
from app.works.stages import Place, Stage

Bounds = tuple[float, float, float, float]


def stage_items(scene: Scene, stage: Stage, medium: Medium) -> tuple[tuple[Item, ...], Bounds]:
    """Draw a stage in mm of the room; what stands there is numbered in the order of its places."""
    figure = room_figure(scene.room, medium)
    em = medium.em_mm
    x0, y0, x1, y1 = scene.room.outline.bounds
    wall = max((one.wall.thickness_mm for one in scene.room.walls), default=0.0)
    wet = Polygon(stage.outline, "works-wet")
    middle = _middle(stage.outline)
    items: list[Item] = [
        figure.floor,
        wet,
        figure.walls,
        Group(figure.doors.children, "layer-doors"),
        Text((middle[0], middle[1] + em / 3), stage.name, "label", "middle"),
    ]
    for number, place in enumerate(stage.places, start=1):
        items.append(Polygon(corners_of(place), "thing"))
        at = (place.x_mm, place.y_mm)
        items.append(Circle(at, em * 0.8, "key-ring"))
        items.append(Text((at[0], at[1] + em * 0.36), str(number), "numeral", "middle"))
    items += _way(stage, em)
    return tuple(items), (x0 - wall, y0 - wall, x1 + wall, y1 + wall)


def building_items(
    scene: Scene, room: BuildingRoom, medium: Medium
) -> tuple[tuple[Item, ...], Bounds]:
    """Draw where the largest is built, in mm of the room: part, room round it, its place."""
    figure = room_figure(scene.room, medium)
    em = medium.em_mm
    items: list[Item] = [figure.floor]
    items += [region(one.footprint, "pale") for one in scene.order if one.piece.stays]
    here: list[Item] = []
    if room.free is not None and room.part is not None:
        items += [Polygon(room.free, "works-wet"), Polygon(room.part, "thing")]
        here = _words_at(room, room.free, room.part, em)
    items.append(region(room.placed.footprint, "region-tight"))
    items += [figure.walls, Group(figure.doors.children, "layer-doors"), *here]
    x0, y0, x1, y1 = scene.room.outline.bounds
    wall = max((one.wall.thickness_mm for one in scene.room.walls), default=0.0)
    return tuple(items), (x0 - wall, y0 - wall, x1 + wall, y1 + wall)


def _words_at(
    room: BuildingRoom, free: tuple[Point, ...], part: tuple[Point, ...], em: float
) -> list[Item]:
    """Letter the free floor where neither the part nor the edge of the piece's place is hidden."""
    (x0, y0), (x1, y1) = (tuple(map(pick, zip(*free, strict=True))) for pick in (min, max))
    words = "build here"
    wide = width_of(words, em)
    across, down = (x0 + x1) / 2, (y0 + y1) / 2
    spots = [
        Spot((x, y), abs(x - across) / em)
        for x in (across, x0 + wide / 2 + em, x1 - wide / 2 - em)
        for y in (y0 + em, y1 - em, y0 + 2 * em, y1 - 2 * em, (y0 + down) / 2, (y1 + down) / 2)
    ]
    edges = [room.placed.footprint.boundary, shapely.Polygon(part).boundary]
    at = Crowd(edges).place(wide, em * 1.2, spots)
    return [Text((at[0], at[1] + em * 0.36), words, "label")]


def _way(stage: Stage, em: float) -> list[Item]:
    """Draw the way to the door with an arrow at its end."""
    if len(stage.way) < 2:
        return []
    (ax, ay), (bx, by) = stage.way[-2], stage.way[-1]
    length = math.hypot(bx - ax, by - ay) or 1.0
    ux, uy = (bx - ax) / length, (by - ay) / length
    tips = [(bx - em * (ux + s * uy / 2), by - em * (uy - s * ux / 2)) for s in (1, -1)]
    return [
        Polyline(stage.way, "works-way"),
        Polyline((tips[0], (bx, by), tips[1]), "works-way"),
    ]


def corners_of(place: Place) -> tuple[Point, ...]:
    """Return the corners of a thing in its place."""
    a = math.radians(place.angle_deg)
    half = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    made = []
    for sx, sy in half:
        dx, dy = sx * place.width_mm / 2, sy * place.depth_mm / 2
        made.append(
            (
                place.x_mm + dx * math.cos(a) - dy * math.sin(a),
                place.y_mm + dx * math.sin(a) + dy * math.cos(a),
            )
        )
    return tuple(made)


def _middle(points: tuple[Point, ...]) -> Point:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
