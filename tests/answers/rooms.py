"""Rooms drawn by lot: odd outlines, several of each thing in any order, answers at their bounds."""

from __future__ import annotations

import math
from typing import Any

from tests.answers.lot import Lot

Data = dict[str, Any]
Corners = list[tuple[float, float]]

BUILT = (
    *("solid-brick", "dense-block", "hollow-block", "aerated-block", "single-skin-block"),
    *("concrete", "timber-studs", "metal-studs", "unknown"),
)
FINISHES = ("bare", "painted", "plaster", "plasterboard", "timber-board")
COLOURS = ("", "", "white", "light grey", "dark blue", "black", "brick red")
CEILINGS = ("solid-joists", "i-joists", "trussed-rafters", "slab", "unknown")
FLOORS = ("ground-slab", "suspended-slab", "timber", "unknown")
MATERIALS = ("bare", "rubber", "rubber", "foam", "carpet", "vinyl", "timber")
ANSWERS = ("yes", "no", "unknown")
DOORS = ("hinged", "hinged", "pair", "gap")
GARAGE = ("canopy", "tracks", "sectional", "roller", "side-sliding")
LOW = ("beam", "joist", "duct", "pipe", "track", "opener", "light", "bulkhead")
NAMES = ("back", "right", "front", "left", "nib", "step", "bay", "recess", "end", "side")


def corners_of(lot: Lot, wide: float, deep: float) -> Corners:
    """Return an outline within so much: a rectangle, or one with an ell, a nib, a bay, a skew."""
    a, b = lot.mm(wide * 0.3, wide * 0.6, 10), lot.mm(deep * 0.3, deep * 0.6, 10)
    nib, out = lot.mm(90, 440, 10), lot.mm(200, 900, 10)
    match lot.count(0, 7):
        case 0 | 1:
            outline = [(0, 0), (wide, 0), (wide, deep), (0, deep)]
        case 2:
            outline = [(0, 0), (wide, 0), (wide, b), (a, b), (a, deep), (0, deep)]
        case 3:
            outline = [(0, 0), (wide, 0), (wide, deep)]
            outline += [(a + out, deep), (a + out, deep - nib), (a, deep - nib), (a, deep)]
            outline += [(0, deep)]
        case 4:
            outline = [(0, 0), (a, 0), (a, -out), (a + out, -out), (a + out, 0), (wide, 0)]
            outline += [(wide, deep), (0, deep)]
        case 5:
            outline = [(0, 0), (wide, lot.mm(0, 300)), (wide - lot.mm(0, 500), deep), (0, deep)]
        case 6:
            outline = [(0, 0), (wide, 0), (wide, deep - out), (wide - out, deep), (0, deep)]
        case _:
            outline = [(a, 0), (wide, 0), (wide, deep), (0, deep), (0, b), (a, b)]
    return [(float(x), float(y)) for x, y in outline]


def box(lot: Lot, wide: float, deep: float, long: float, thick: float) -> Corners:
    """Return a rectangle within so much, along one way or the other, now and then askew."""
    if lot.share(0.5):
        long, thick = thick, long
    x, y = lot.mm(0, max(wide - long, 1)), lot.mm(0, max(deep - thick, 1))
    skew = lot.mm(0, 120) if lot.share(0.2) else 0
    return [(x, y), (x + long, y + skew), (x + long, y + thick + skew), (x, y + thick)]


def room(lot: Lot, wide: float, deep: float, high: float, windows_alone: bool) -> Data:
    """Return a room of about this size as data of a plan file, with or without doors."""
    corners = corners_of(lot, wide, deep)
    walls = _walls(lot, corners)
    lengths = {
        wall["id"]: math.dist(corners[i], corners[(i + 1) % len(corners)])
        for i, wall in enumerate(walls)
    }
    circuits = [
        {"id": f"c{i}", "amps": lot.one((6, 10, 16, 20, 32)), "label": lot.one(("", "Ring"))}
        for i in range(lot.count(0, 3))
    ]
    said: Data = {
        "walls": walls,
        "openings": _openings(lot, lengths, windows_alone),
        "floor": _floor(lot, wide, deep),
        "ceiling": _ceiling(lot, wide, deep, high),
        "low_things": [
            {
                "id": f"low-{i}",
                "kind": lot.one(LOW),
                "outline": box(lot, wide, deep, lot.mm(400, wide * 0.9), lot.mm(50, 400)),
                "bottom_mm": high - lot.mm(20, 700, 10),
                "label": lot.one(("", "", "Long pipe")),
            }
            for i in range(lot.one((0, 0, 1, 2, 3)))
        ],
        "columns": [
            {"id": f"column-{i}", "outline": box(lot, wide, deep, lot.mm(90, 700), 210)}
            for i in range(lot.one((0, 0, 0, 1, 2, 3)))
        ],
        "sockets": [
            {
                "id": f"socket-{i}",
                "wall": (wall := lot.one(list(lengths))),
                "offset_mm": lot.mm(0, lengths[wall] - 1),
                "height_mm": lot.one((150, 300, 450, 1100)),
                "circuit": lot.one([*[each["id"] for each in circuits], "feed", None]),
            }
            for i in range(lot.one((0, 1, 2, 3, 4)))
        ],
        "electricity": {
            "volts": lot.one((230, 230, 120)),
            "feed": lot.one(("unknown", "fused-spur", "one-circuit", "own-board")),
            "amps": lot.one((None, 3, 13, 16, 20, 32, 63)),
            "residual_current_protection": lot.one(ANSWERS),
            "circuits": circuits,
        },
    }
    for name, value in _around(lot).items():
        said[name] = value
    if lot.share(0.3):
        said["tape_error_mm"] = lot.one((0, 2, 10, 40))
    return said


def _walls(lot: Lot, corners: Corners) -> list[Data]:
    alike = lot.share(0.3)
    usual = lot.one(BUILT)
    names = lot.shuffled(NAMES)
    return [
        {
            "id": names[i],
            "x_mm": x,
            "y_mm": y,
            "thickness_mm": lot.one((75, 100, 140, 215, 330)),
            "construction": usual if alike else lot.one(BUILT),
            "finish": lot.one(FINISHES),
            "lining_mm": lot.one((0, 0, 0, 12.5, 50, 75)),
            "colour": lot.one(COLOURS),
            "outside": lot.share(0.6),
            "shared": lot.share(0.2),
            "tanked": lot.share(0.15),
        }
        for i, (x, y) in enumerate(corners)
    ]


def _openings(lot: Lot, lengths: dict[str, float], windows_alone: bool) -> list[Data]:
    """Return openings side by side along each wall; most walls have none."""
    found: list[Data] = []
    ways_out = 0
    for wall, long in lot.shuffled(list(lengths.items())):
        at = lot.mm(0, 600)
        while len(found) < 5 and lot.share(0.55 if at < long / 3 or not ways_out else 0.3):
            kind = lot.one((*DOORS, "window", "window", lot.one(GARAGE)))
            kind = "window" if windows_alone else kind
            wide = {"window": lot.mm(400, 1500), "pair": lot.mm(1200, 1800)}.get(
                kind, lot.mm(2100, 4300) if kind in GARAGE else lot.mm(560, 960)
            )
            if at + wide > long:
                break
            window = kind == "window"
            out = windows_alone or (not window and lot.share(0.8))
            ways_out += out
            found.append(
                {
                    "id": f"{lot.one('abcdefgh')}{len(found)}",
                    "wall": wall,
                    "kind": kind,
                    "offset_mm": at,
                    "width_mm": wide,
                    "height_mm": lot.mm(400, 1200) if window else lot.mm(1900, 2150),
                    "sill_mm": lot.mm(0, 1200) if window else lot.one((0, 0, 0, 15, 40, 180)),
                    "hinge": lot.one(("left", "right")),
                    "swing": lot.one(("in", "out")),
                    "slides_to": lot.one(("left", "right")),
                    "opener": lot.share(0.4),
                    "way_out": out,
                    "must_open": lot.share(0.8 if windows_alone else 0.4),
                    "glass": lot.share(0.3),
                    "open_while_training": lot.one(ANSWERS),
                    "opens_without_power": lot.one(ANSWERS),
                    "label": lot.one(("", "", "Side door")),
                }
            )
            at += wide + lot.mm(0, 900)
    return found


def _floor(lot: Lot, wide: float, deep: float) -> Data:
    planes: list[Data] = [{"id": "floor", "height_mm": 0}]
    if lot.share(0.2):
        planes[0] |= {"rise_x": lot.one((0, 3, -8, 25)), "rise_y": lot.one((0, 5, -12, 20))}
    for i in range(lot.one((0, 0, 0, 1, 2))):
        outline = box(lot, wide, deep, lot.mm(600, 1800), lot.mm(600, 2400))
        planes.append(
            {"id": f"step-{i}", "height_mm": lot.one((6, 15, 40, 150, 190)), "outline": outline}
        )
    material = lot.one(MATERIALS)
    return {
        "construction": lot.one(FLOORS),
        "uneven_mm": lot.one((0, 0, 2, 3, 5, 8, 20)),
        "covering": {
            "material": material,
            "thickness_mm": 0 if material == "bare" else lot.one((4, 6, 8, 10, 20, 40)),
        },
        "planes": lot.shuffled(planes),
    }


def _ceiling(lot: Lot, wide: float, deep: float, high: float) -> Data:
    planes: list[Data] = [{"id": "ceiling", "height_mm": high}]
    match lot.count(0, 5):
        case 0:
            rise = lot.one((-150, -40, 30, 120))
            planes = [{"id": "slope", "height_mm": high, "at": (0, 0), "rise_x": rise}]
        case 1:
            middle = lot.mm(wide * 0.3, wide * 0.7)
            left = [(-50, -950), (middle, -950), (middle, deep + 50), (-50, deep + 50)]
            right = [(middle, -950), (wide + 50, -950), (wide + 50, deep + 50), (middle, deep + 50)]
            planes = [
                {"id": "left", "height_mm": high - 500, "rise_x": 180, "outline": left},
                {"id": "right", "height_mm": high, "at": (middle, 0), "outline": right}
                | {"rise_x": lot.one((0, -150))},
            ]
        case 2:
            outline = box(lot, wide, deep, lot.mm(700, 2500), lot.mm(500, 1500))
            low = high - lot.mm(60, 500)
            planes.append({"id": "drop", "height_mm": low, "outline": outline})
        case _:
            pass
    said: Data = {
        "construction": lot.one(CEILINGS),
        "planes": lot.shuffled(planes),
        "finish_mm": lot.one((0, 0, 0, 12.5, 60)),
    }
    if lot.share(0.35):
        said["joists"] = {
            "direction_deg": lot.one((0, 90, 30)),
            "spacing_mm": lot.one((305, 400, 600)),
            "width_mm": lot.one((38, 45, 63)),
            "depth_mm": lot.one((90, 150, 220)),
            "first_mm": lot.mm(0, 400),
        }
    return said


def _around(lot: Lot) -> Data:
    """Return climate and fabric: what is not known stays so now and then."""
    fabric = (
        *("built_before_2000", "under_the_house", "post_tensioned", "floor_dry"),
        *("children_or_animals", "may_drill"),
    )
    return {
        "climate": {
            "outside_c": lot.mm(-15, 12),
            "wanted_c": lot.mm(12, 21),
            "unheated_c": lot.mm(0, 14),
            "humidity_percent": lot.mm(40, 98),
            "air_changes_per_hour": lot.one((0, 0.2, 0.5, 1, 3, 8)),
            "session_minutes": lot.one((20, 45, 60, 120)),
            "fuel_burned_here": lot.one(ANSWERS),
            "car_kept_here": lot.one(ANSWERS),
        },
        "fabric": {
            **{name: lot.one(ANSWERS) for name in fabric},
            "below": lot.one(("ground", "room", "unknown")),
            "whose": lot.one(("own", "shared", "rented", "unknown")),
            "heard_by": lot.one(("nobody", "household", "neighbours", "unknown")),
            "trains_when": lot.one(("day", "evening", "night", "unknown")),
        },
    }
