"""What is bought as one sees it: walls with what is cut out of them, tins, lamps on the plan.

Each is a small `<svg>` without words: the page says beside it what it is.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shapely import Polygon, affinity, box
from shapely.geometry.base import BaseGeometry

from app.drawing.medium import region
from app.drawing.primitives import Arc, Group, Item
from app.drawing.svg import fragment
from app.model.finishing import LightChoice
from app.scene.build import Scene
from app.scene.shapes import turn
from app.takeoff.light_places import Place
from app.takeoff.lights import layouts
from app.takeoff.line import Gathered, Line
from app.takeoff.paint_plan import Coat, coats
from app.takeoff.surfaces import Face, faces

_PX_A_MM = 1 / 45
"""A wall of 5 m is about 110 px long: four stand side by side in the list."""
_EDGE_MM = 60.0
_TINS = frozenset({"tin", "can"})
_TINS_AT_MOST = 8
"""As many are counted at a glance; what is more is said beside them."""
_TIN = (100.0, 120.0)
"""Width and height of a tin of one litre, mm: common practice, no source; others in proportion."""
_TIN_APART_MM = 20.0
_TIN_PX_A_MM = 1 / 7


@dataclass(frozen=True, slots=True)
class Pictured:
    """One picture and what it shows: a wall with its coats, so many tins or lamps."""

    svg: str
    name: str
    count: int


def painted_walls(scene: Scene) -> Iterator[Pictured]:
    """Yield each wall that is painted, laid flat, with its openings and how many coats it gets."""
    by_wall: dict[str, list[Coat]] = {}
    for coat in coats(scene, Gathered()):
        if coat.surface == "walls":
            by_wall.setdefault(coat.where, []).append(coat)
    for face in faces(scene):
        over = by_wall.get(face.name)
        if over:
            yield Pictured(_wall(face), face.name, sum(coat.coats for coat in over))


def tins(line: Line) -> Iterator[Pictured]:
    """Yield the tins of one line of paint, pack by pack."""
    for pack in line.bought:
        if pack.count and pack.name.rsplit(" ", 1)[-1] in _TINS:
            count = round(pack.count)
            shown = min(count, _TINS_AT_MOST)
            yield Pictured(_tins(shown, pack.size), line.item, count)


def lamps(scene: Scene) -> Pictured | None:
    """Return the room from above with the fittings chosen for it; None where none is chosen."""
    fit_out = scene.plan.fit_out
    if fit_out.light is None and fit_out.nothing_assumed:
        return None
    laid = layouts(scene, fit_out.light or LightChoice(), Gathered())
    if not laid or not laid[0].places.at:
        return None
    first = laid[0]
    fitting, hung = first.fitting, first.places
    room = scene.room.free
    shapes = [_lamp(at, fitting.length_mm, fitting.width_mm, hung.angle_deg) for at in hung.at]
    name = fitting.called(scene.plan.units)
    items: list[Item] = [region(room, "drawn-wall"), *(region(one, "drawn-lamp") for one in shapes)]
    return Pictured(_svg(items, room.bounds, _PX_A_MM), name, first.count)


def _wall(face: Face) -> str:
    """Draw a wall as somebody sees it who stands before it, floor below."""
    flipped = affinity.scale(face.whole, yfact=-1, origin=(0, 0))
    items: list[Item] = [region(flipped, "drawn-wall")]
    for _, hole in face.holes:
        if not hole.is_empty:
            items.append(region(affinity.scale(hole, yfact=-1, origin=(0, 0)), "drawn-hole"))
    return _svg(items, flipped.bounds, _PX_A_MM)


def _tins(count: int, litres: float) -> str:
    by = litres ** (1 / 3)
    wide, high = _TIN[0] * by, _TIN[1] * by
    items: list[Item] = []
    for number in range(count):
        x = number * (wide + _TIN_APART_MM)
        items.append(region(box(x, 0, x + wide, high), "drawn-tin"))
        items.append(region(box(x, high * 0.4, x + wide, high * 0.8), "drawn-label"))
        items.append(Arc((x, high / 8), (x + wide, high / 8), wide * 0.6, True, "drawn-rim"))
    right = count * (wide + _TIN_APART_MM) - _TIN_APART_MM
    return _svg(items, (0, -high / 4, right, high), _TIN_PX_A_MM)


def _lamp(at: Place, long: float, wide: float, angle_deg: float) -> BaseGeometry:
    a, b = long / 2, wide / 2
    corners = [turn(x, y, angle_deg) for x, y in ((-a, -b), (a, -b), (a, b), (-a, b))]
    return Polygon([(at[0] + x, at[1] + y) for x, y in corners])


def _svg(items: list[Item], bounds: tuple[float, float, float, float], px_a_mm: float) -> str:
    x0, y0, x1, y1 = bounds
    edge = _EDGE_MM if px_a_mm == _PX_A_MM else _TIN_APART_MM / 2
    wide, high = x1 - x0 + 2 * edge, y1 - y0 + 2 * edge
    return fragment(
        [Group(tuple(items))],
        {
            "class": "drawn-quantity",
            "viewBox": f"{x0 - edge:.0f} {y0 - edge:.0f} {wide:.0f} {high:.0f}",
            "width": f"{wide * px_a_mm:.0f}",
            "height": f"{high * px_a_mm:.0f}",
            "aria-hidden": "true",
            "focusable": "false",
        },
        digits=0,
    )
