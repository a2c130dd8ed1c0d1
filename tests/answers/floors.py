"""Floors drawn by lot: mats, tiles, boards and rolls, asked for in every way, whole or in zones."""

from __future__ import annotations

from typing import Any

from app.model.room import Room
from tests.answers.lot import Lot

Data = dict[str, Any]
SIZES = {
    "mat": ((1000, 1000, 20), (1830, 1220, 17), (600, 600, 8), (914.4, 609.6, 9.5)),
    "tile": ((500, 500, 20), (600, 600, 10), (1000, 500, 12)),
    "board": ((2440, 1220, 18), (2400, 600, 22), (1285, 192, 8)),
    "roll": ((10000, 1250, 8), (5000, 1000, 6), (20000, 2000, 4)),
}


def layings(lot: Lot, room: Room, placed: list[Data]) -> list[Data]:
    """Return one floor mostly, now and then two or three in zones that may meet or overlap."""
    count = lot.one((1, 1, 1, 2, 3))
    if count == 1:
        return [_laying(lot, room, placed, 0, [])]
    xs, ys = zip(*room.corners, strict=True)
    at = [min(xs) - 10, *sorted(lot.mm(min(xs), max(xs)) for _ in range(count - 1)), max(xs) + 10]
    same = _laying(lot, room, placed, 0, [])
    found = []
    for i in range(count):
        x0, x1 = at[i], at[i + 1] + lot.one((0, 0, 40, 300))
        zone = [(x0, min(ys)), (x1, min(ys)), (x1, max(ys)), (x0, max(ys))]
        other = _laying(lot, room, placed, i, zone)
        found.append(same | {"id": other["id"], "zone": zone} if lot.share(0.4) else other)
    return lot.shuffled(found)


def _laying(
    lot: Lot, room: Room, placed: list[Data], number: int, zone: list[tuple[float, float]]
) -> Data:
    kind = lot.one(("mat", "mat", "tile", "board", "roll", "roll"))
    long, wide, thick = lot.one(SIZES[kind])
    free = lot.share(0.3)
    said: Data = {
        "id": f"{lot.one('pqr')}{number}",
        "kind": kind,
        "material": lot.one(("rubber", "rubber", "foam", "vinyl", "timber", "carpet")),
        "length_mm": long,
        "width_mm": wide,
        "thickness_mm": thick,
        "mass_kg": lot.one((None, None, 14.5)),
        "price_minor": lot.one((None, 3400, 6150)),
        "pack": lot.one((1, 1, 1, 4)),
        "by_metre": lot.share(0.5),
        "lasts_years": lot.one((None, 10, 0)),
        "kerf_mm": lot.one((0, 0, 3)),
        "gap_mm": lot.one((None, None, 0, 5, 10)),
        "door_stop_mm": lot.one((None, None, 0, 60)),
        "least_strip_mm": lot.one((None, None, 50, 150)),
        "turns": lot.share(0.7),
        "zone": zone,
        "under": [piece["id"] for piece in placed if piece.get("stays") and lot.share(0.5)],
        "flush": [piece["id"] for piece in placed if lot.share(0.15)],
    }
    if not free:
        wall = lot.one(room.walls).id
        said |= {
            "start_wall": wall,
            "start_end": lot.one((None, "left", "right")),
            "along": lot.one((True, False)),
            "joints": lot.one((None, "staggered", "straight", "balanced")),
            "stagger": lot.one((0.5, 0.33, 0.4)),
            "first_mm": lot.one((None, None, 350, 1000)),
            "first_row_mm": lot.one((None, None, 300, 500)),
            "factory_edges": lot.share(0.25),
        }
    return said
