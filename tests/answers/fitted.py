"""What is done to a room, drawn by lot: paint, strips, fittings, mirrors, projections, prices."""

from __future__ import annotations

from typing import Any

from app.library.finishes import finishes
from app.model.room import Room
from tests.answers.lot import Lot

Data = dict[str, Any]
TOOLS = (None, None, "brush", "short-roller", "long-roller", "spray")


def fit_out(lot: Lot, room: Room, high: float) -> Data:
    """Return all that is painted and hung, several of each."""
    chosen: Data = {
        "measured_by": lot.one(("net", "over-1-m2", "over-2-5-m2")),
        "painted_at_c": lot.one((None, None, 4, 9, 18, 35)),
        "painted_at_percent": lot.one((None, None, 55, 90)),
        "nothing_assumed": lot.share(0.5),
        "seal": lot.share(0.4),
        "paint": [_paint(lot, room, i) for i in range(lot.one((0, 0, 1, 2, 3, 4)))],
        "strips": [_strip(lot, room, i, high) for i in range(lot.one((0, 0, 1, 2, 3)))],
        "mirrors": [_mirror(lot, room, i) for i in range(lot.one((0, 0, 1, 2, 3)))],
        "projections": [_projection(lot, room, i) for i in range(lot.one((0, 0, 0, 1, 2)))],
    }
    if lot.share(0.5):
        fittings = finishes().fittings
        chosen["light"] = {
            "wanted_lux": lot.one((None, 100, 300, 750)),
            "fitting": lot.row(fittings),
            "other": lot.row(fittings),
            "dirty": lot.share(0.4),
        }
    return chosen


def _walls(lot: Lot, room: Room) -> list[str]:
    ids = [wall.id for wall in room.walls]
    return lot.shuffled(ids)[: lot.one((0, 0, 1, 2, 3))]


def _outline(lot: Lot, room: Room) -> list[tuple[float, float]]:
    xs, ys = zip(*room.corners, strict=True)
    x0, y0 = lot.mm(min(xs), max(xs) - 600), lot.mm(min(ys), max(ys) - 600)
    x1, y1 = lot.mm(x0 + 400, max(xs)), lot.mm(y0 + 400, max(ys))
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def _paint(lot: Lot, room: Room, number: int) -> Data:
    surface = lot.one(("walls", "walls", "ceiling", "floor"))
    rows = finishes().coatings
    on = "floor" if surface == "floor" else "walls"
    fitting = [key for key, row in rows.items() if on in getattr(row, "surfaces", (on,))]
    said = {
        "id": f"paint-{number}",
        "surface": surface,
        "walls": _walls(lot, room) if surface == "walls" else [],
        "outline": _outline(lot, room) if surface == "floor" and lot.share(0.5) else [],
        "coating": lot.row(fitting if lot.share(0.85) else rows),
        "texture": lot.one((None, None, None, lot.row(finishes().textures))),
        "coats": lot.one((None, None, 1, 2, 3)),
        "filler": lot.share(0.3),
        "tool": lot.one(TOOLS),
        "colour": lot.one(("", "white", "RAL 7035")),
        "rate_m2_l": lot.one((None, None, None, 0, 6.5, 14)),
        "film_um": lot.one((None, None, None, 40, 120)),
        "in_parts": lot.one((1, 1, 2, 3)),
    }
    return said


def _strip(lot: Lot, room: Room, number: int, high: float) -> Data:
    said: Data = {
        "id": f"strip-{number}",
        "strip": lot.row(finishes().strips),
        "profile": lot.one((None, lot.row(finishes().profiles), lot.row(finishes().profiles))),
        "stock_mm": lot.one((None, None, None, 1000, 2500)),
        "kerf_mm": lot.one((3, 3, 0, 2, -1)),
        "cable_mm": lot.one((0, 1500, 3000, 9000)),
        "label": lot.one(("", "Cove")),
    }
    if lot.share(0.5):
        wall = lot.one(room.walls)
        long = room.wall_length_mm(wall.id)
        up = high - lot.mm(60, 900)
        points = [(lot.mm(0, long / 3), up), (lot.mm(long / 3, long), up)]
        if lot.share(0.4):
            points.append((points[-1][0], lot.mm(200, up - 100)))
        return said | {"wall": wall.id, "points": points}
    (x0, y0), (x1, _), (_, y1), *_ = _outline(lot, room)
    corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]
    return said | {"points": corners[: lot.count(2, 5)]}


def _mirror(lot: Lot, room: Room, number: int) -> Data:
    wall = lot.one(room.walls)
    long = room.wall_length_mm(wall.id)
    return {
        "id": f"mirror-{number}",
        "wall": wall.id,
        "offset_mm": lot.mm(0, long / 2),
        "width_mm": lot.mm(400, max(long * 0.7, 420)),
        "bottom_mm": lot.one((0, 150, 300, 500)),
        "height_mm": lot.mm(700, 2000, 50),
        "sheet": lot.row(finishes().sheets),
        "held": lot.one(("adhesive", "clips")),
        "foot": lot.one(("ledge", "batten")),
    }


def _projection(lot: Lot, room: Room, number: int) -> Data:
    wall = lot.one(room.walls)
    return {
        "id": f"picture-{number}",
        "wall": wall.id,
        "middle_mm": lot.mm(200, room.wall_length_mm(wall.id)),
        "throw_ratio": lot.one((0.5, 1.2, 1.5, 0)),
        "distance_mm": lot.mm(900, 4500, 50),
        "lens_mm": lot.one((300, 1000, 2300)),
        "lumens": lot.one((800, 3000)),
        "aspect": lot.one((1.33, 1.78)),
    }


def money(lot: Lot, keys: list[str], placed: list[Data]) -> Data:
    """Return prices of one's own for some packs, and what is owned or bought."""
    packs = lot.rows(keys, lot.one((0, 0, 3, 12, 40)))
    standings = ("to-come", "committed", "bought", "owned")
    return {
        "prices": [
            {
                "id": key,
                "minor": lot.mm(0, 9000, 5),
                "currency": lot.one((None, None, None, "GBP")),
                "pack": lot.one((None, None, None, None, 2.5, 0)),
                "delivery_minor": lot.one((0, 0, 600)),
            }
            for key in packs
        ],
        "entries": [
            {"id": f"piece.{piece['id']}", "standing": lot.one(standings)}
            for piece in placed
            if lot.share(0.3)
        ],
    }
