"""The kit of a figure: each piece from its true outline, in its own frame."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from app.drawing.figure_room import STAY_TURN_DEG
from app.drawing.hatching import hatch
from app.drawing.lettering import width_of
from app.drawing.medium import Medium, region
from app.drawing.placing import Crowd, Spot, around
from app.drawing.primitives import Circle, Group, Item, Polygon, Text
from app.library.anchors import Extent, place
from app.library.forms import Flat, flat
from app.library.kit import KitType
from app.model.situations import out_while_training
from app.scene.build import Placed, Scene
from app.scene.room import RoomShape
from app.scene.shapes import resized_plate, shape_of
from app.wording import lower

_MOST_SOUGHT = 300
_LONGEST_NAMES = 28
_FLAT_MM = 50.0
_PUSHED = 0.05


def drawing_order(scene: Scene) -> tuple[Placed, ...]:
    """Return the pieces as they are drawn: what lies on the floor first, then by height.

    What is out while somebody trains is under all that is there then: a car hides no bicycle.
    """
    away = out_while_training(scene.plan)

    def layer(placed: Placed) -> tuple[bool, bool, float, str]:
        stands, top_mm, piece_id = _height(placed)
        return stands, placed.root not in away, top_mm, piece_id

    return tuple(sorted(scene.order, key=layer))


def reaches_into(placed: Placed, room: RoomShape) -> bool:
    """Return whether any of a piece stands in the room or reaches into its walls."""
    return room.outline.intersects(placed.footprint)


def _height(placed: Placed) -> tuple[bool, float, str]:
    tops = [float(top) for top in placed.shape.high_mm]
    top = max(tops, default=0.0) + placed.rest_mm[1]
    return (top > _FLAT_MM, top, placed.piece.id)


def symbol_items(
    kit: KitType,
    extent: Extent,
    plate_mm: float | None = None,
    stays: bool = False,
    hatch_mm: float = 0.0,
) -> tuple[Item, ...]:
    """Draw a kit type at a size in its own frame: solids from low to high, then its marks.

    What stays is hatched: by strokes `hatch_mm` apart, or by the page's pattern where that is 0.
    """
    items: list[Item] = []
    solids = sorted(
        kit.solids, key=lambda s: (s.ink == "over", place(s.z[1], extent), place(s.z[0], extent))
    )
    for solid in solids:
        form = resized_plate(kit, solid.part, flat(solid, extent), plate_mm)
        if stays and solid.ink in ("thing", "pad", "mat"):
            items += _hatched(form, hatch_mm)
        else:
            items.append(_shown(form, solid.ink))
    for mark in kit.marks:
        items.append(_shown(flat(mark, extent), mark.ink))
    if not items:
        w, d = extent.width_mm / 2, extent.depth_mm / 2
        items.append(Polygon(((-w, -d), (w, -d), (w, d), (-w, d)), "mat"))
    return tuple(items)


def _shown(form: Flat, ink: str, fill: str = "") -> Item:
    if form.radius_mm:
        return Circle(form.centre, form.radius_mm, ink, fill)
    return Polygon(form.points, ink, fill)


def _hatched(form: Flat, hatch_mm: float) -> Iterator[Item]:
    if not hatch_mm:
        yield _shown(form, "thing stay", "hatch-stay")
        return
    area: BaseGeometry = (
        shapely.Point(form.centre).buffer(form.radius_mm)
        if form.radius_mm
        else shapely.Polygon(form.points)
    )
    yield _shown(form, "thing stay-ground")
    yield hatch(area, hatch_mm, STAY_TURN_DEG, "hatch-line stay-line")
    yield _shown(form, "stay-edge")


def piece_group(placed: Placed, medium: Medium, name: Item | None = None) -> Group:
    """Draw one piece where it stands; `name` is set in its own frame."""
    piece = placed.piece
    hatch_mm = medium.em_mm * 0.6 if medium.strokes else 0.0
    children = symbol_items(placed.kit, placed.extent, piece.plate_mm, piece.stays, hatch_mm)
    # on a page the style sheet draws a later purchase dashed
    ink = "piece is-later" if piece.later and not medium.strokes else "piece"
    return Group(
        children if name is None else (*children, name),
        ink,
        (("piece", piece.id), ("station", placed.root)),
        placed.at,
        placed.pose.angle_deg,
    )


def space_group(placed: Placed, fill: str) -> Group:
    """Draw the working spaces of one piece, in the frame of the piece."""
    shape = shape_of(placed.piece, 0.0, placed.kit)
    items = tuple(
        region(space.polygon, f"space {space.space.kind}", fill)
        for space in shape.spaces
        if not space.polygon.is_empty
    )
    return Group(items, "", (("piece", placed.piece.id),), placed.at, placed.pose.angle_deg)


def space_outlines(scene: Scene) -> tuple[Item, ...]:
    """Draw every working space as far as it lies in the room, for paper."""
    items: list[Item] = []
    free = scene.room.free
    for placed in scene.order:
        for space in placed.shape.spaces:
            moved = translate(space.polygon, *placed.at)
            inside = moved if free.contains(moved) else moved.intersection(free)
            if inside.area > 0:
                items.append(region(inside, f"space {space.space.kind}"))
    return tuple(items)


def space_area(scene: Scene) -> BaseGeometry:
    """Return the floor of the room that any working space needs."""
    areas = [
        translate(space.polygon, *placed.at)
        for placed in scene.order
        for space in placed.shape.spaces
    ]
    area: BaseGeometry = shapely.union_all(areas).intersection(scene.room.free)
    return area


def strokes_of(scene: Scene) -> Iterator[BaseGeometry]:
    """Return every stroke of the pieces in the room, for finding room for lettering."""
    for placed in scene.order:
        polygons = placed.polygons()
        if len(polygons):
            yield from shapely.boundary(polygons)
        else:
            yield placed.footprint.boundary


def station_names(scene: Scene, crowd: Crowd | None, medium: Medium) -> dict[str, Group]:
    """Letter each station once, upright, where it hides least; by the id of its carrier.

    The group is in the carrier's own frame, so that it goes where the carrier goes. Without a
    crowd each name stands before its station, whatever it hides there.
    """
    members: dict[str, list[Placed]] = {}
    for placed in scene.order:
        members.setdefault(placed.root, []).append(placed)
    # seeking a place for each of thousands would take minutes
    seeking = crowd if len(scene.order) <= _MOST_SOUGHT else None
    if seeking:
        for placed in scene.order:
            # words can be read on what lies flat on the floor
            if placed.extent.height_mm > _FLAT_MM:
                seeking.take(placed.footprint)
    names = {}
    for root, station in members.items():
        station.sort(key=lambda placed: placed.piece.id != root)
        words = _joined([placed.name for placed in station])
        names[root] = _name(scene.placed[root], station, words, seeking, medium)
    return names


def _joined(names: list[str]) -> str:
    first, *others = names
    # a name a person gave keeps its own capitals; those of the library go on in small letters
    whole = ", ".join([first, *map(lower, others)])
    if len(others) > 1 and len(whole) > _LONGEST_NAMES:
        return f"{first} and {len(others)} more"
    return whole


def _name(
    root: Placed, station: list[Placed], words: str, crowd: Crowd | None, medium: Medium
) -> Group:
    em = medium.em_mm
    wide, high = width_of(words, em), em * 1.15
    x0, y0, x1, y1 = root.footprint.bounds
    for placed in station:
        if placed.kit.bar is None:
            a, b, c, d = placed.footprint.bounds
            x0, y0, x1, y1 = min(x0, a), min(y0, b), max(x1, c), max(y1, d)
    cx, cy = (x0 + x1) / 2, (y0 + y1) / 2
    spots = [
        Spot((cx, y1 + high * 0.75), 0.0),
        Spot((cx, y0 - high * 0.75), 0.6),
        Spot((x0 + wide / 2, y1 + high * 0.75), 0.3),
        Spot((x1 - wide / 2, y1 + high * 0.75), 0.3),
        Spot((x1 + wide / 2 + em / 2, cy), 0.8),
        Spot((x0 - wide / 2 - em / 2, cy), 0.8),
        Spot((cx, y1 + high * 1.9), 1.5),
        Spot((cx, y0 - high * 1.9), 2.0),
    ]
    if crowd is None:
        at = spots[0].at
    elif not len(root.shape.polygons) and wide < x1 - x0:
        at = (cx, cy)
        crowd.take(around(at, wide, high))
    else:
        pushed = [Spot(crowd.within(spot.at, wide, high), spot.cost + _PUSHED) for spot in spots]
        at = crowd.place(wide, high, [*spots, *pushed])
    px, py = root.at
    text = Text((at[0] - px, at[1] - py + em * 0.36), words, "label")
    return Group((text,), "name", turn_deg=-root.pose.angle_deg)
