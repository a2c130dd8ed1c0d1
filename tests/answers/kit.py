"""People, kit, the way in and what is set otherwise, drawn by lot."""

from __future__ import annotations

import math
from typing import Any

from app.library.kit import KitType, kit_types
from app.library.movements import movements
from app.model.room import Room
from tests.answers.lot import Lot

Data = dict[str, Any]
RACKS = ("short-rack", "mid-rack", "full-rack", "half-rack", "squat-stands", "folding-wall-rack")
BARS = ("bar-20", "bar-15", "short-bar", "thin-bar", "hex-bar", "curl-bar")
BENCHES = ("flat-bench", "adjustable-bench", "upright-bench")
THEMES = {
    "running": ("running-machine", "walking-pad", "curved-runner", "mirror", "screen", "fan"),
    "riding": ("bike", "fan-bike", "rower", "bike-lying", "cross-trainer", "screen"),
    "climbing": ("stair-machine", "cross-trainer", "screen", "wall-bars", "back-extension"),
    "racked": ("short-rack", "mid-rack", "full-rack", "squat-stands", "half-rack", "platform"),
    "walled": ("folding-wall-rack", "wall-bars", "pull-up-bar-wall", "wall-pulley", "mirror"),
    "hung": ("hung-bag", "rings", "pull-up-bar-ceiling", "radiant-panel", "mat-space"),
    "over": ("hung-bag", "rings", "pull-up-bar-ceiling", "flat-bench", "bike", "mid-rack"),
    "thrown": ("standing-bag", "skipping-space", "swing-space", "mirror", "kettlebell-shelf"),
    "lying": ("flat-bench", "adjustable-bench", "mat-space", "mat-space", "dumbbell-rack-3"),
    "weighty": ("multi-station", "leg-press", "double-cable", "guided-bar", "iron-plates"),
    "housed": ("boiler", "consumer-unit", "water-stopcock", "gas-tap", "heater", "shelving", "car"),
    "powered": ("heater", "running-machine", "dehumidifier", "fridge", "washing-machine", "fan"),
    "jumping": ("jump-box", "step", "pull-up-tower", "dip-station", "plate-tree", "landmine"),
}
SET = (
    ("route.least-mm", 700),
    ("route.easy-mm", 950),
    ("rack.behind-mm", 250),
    ("body.shoe-mm", 15),
    ("load.rack-kg", 180),
    ("flooring.least-strip-mm", 180),
    ("light.wanted-lux", 240),
    ("paint.loss.brush", 0.2),
    ("rack.step-out-mm", 800),
)


def people(lot: Lot, placed: list[Data]) -> list[Data]:
    """Return nobody to three people, each with wishes of their own, some for what stands there."""
    at_hand = [use.movement for one in placed for use in kit_types()[one["type"]].uses]
    at_hand = list(dict.fromkeys(at_hand))
    found: list[Data] = []
    names = ["a", "b", "c"]
    for name in names[: lot.one((0, 1, 1, 2, 2, 3))]:
        stature = lot.mm(1480, 2010, 5)
        wishes = [
            {"movement": key, "wish": lot.one(("want", "want", "nice", "no"))}
            for key in {
                **dict.fromkeys(lot.rows(movements(), lot.count(0, 3 if placed else 14))),
                **dict.fromkeys(each for each in at_hand if lot.share(0.7)),
            }
        ]
        found.append(
            {
                "id": name,
                "label": lot.one(("", "", "Kim", "A")),
                "stature_mm": stature,
                "reach_mm": lot.one((None, None, stature * 1.18, stature * 1.3)),
                "mass_kg": lot.one((None, 55, 82, 130)),
                "trains_alone": lot.share(0.6),
                "trains_with": lot.one((None, *names, "somebody")),
                "wishes": wishes,
            }
        )
    return [each | {"trains_with": _other(each)} for each in lot.shuffled(found)]


def _other(person: Data) -> str | None:
    with_whom: str | None = person["trains_with"]
    return None if with_whom == person["id"] else with_whom


def pieces(lot: Lot, room: Room, count: int, theme: str) -> list[Data]:
    """Return some stations: along a wall or anywhere, a rack now and then with all that goes in.

    They are of a theme, or of all kit where there is none.
    """
    found: list[Data] = []
    types = kit_types()
    for number in range(count):
        kit = types[lot.one(THEMES[theme]) if theme else lot.row(types)]
        if not theme and lot.share(0.3):
            kit = types[lot.one((*RACKS, *BENCHES))]
        pose = _pose(lot, room, kit)
        piece = {"id": f"{lot.one('kmz')}{number}", "type": kit.key, "pose": pose, **_own(lot, kit)}
        found.append(piece)
        if kit.key in RACKS:
            found += _within(lot, piece, number)
        elif kit.key in BENCHES and lot.share(0.5):
            found.append(_beside(lot, piece, f"w{number}", lot.one(BARS), 0, 300))
    return lot.shuffled(found)


def _within(lot: Lot, rack: Data, number: int) -> list[Data]:
    """Return a bar, a bench, plates and what else is carried by a rack."""
    found = []
    depth = kit_types()[rack["type"]].depth_mm
    front = (rack.get("depth_mm") or depth) / 2 + 37
    if lot.share(0.75):
        bar = _beside(lot, rack, f"b{number}", lot.one(BARS), lot.one((0, 0, 40, 180)), front)
        found.append(bar | {"plate_mm": lot.one((None, 350, 450)), "bumper_plates": lot.share(0.3)})
    if lot.share(0.5):
        found.append(_beside(lot, rack, f"n{number}", lot.one(BENCHES), 0, lot.mm(-200, 300)))
    if lot.share(0.3):
        plates = lot.one(("rubber-plates", "iron-plates", "plate-pegs", "landmine"))
        found.append(_beside(lot, rack, f"p{number}", plates, 700, -200))
    return found


def _beside(lot: Lot, host: Data, key: str, kit: str, right: float, front: float) -> Data:
    """Return a piece in the frame of another one, which mostly carries it."""
    pose = host["pose"]
    a = math.radians(pose["angle_deg"])
    return {
        "id": key,
        "type": kit,
        "pose": {
            "x_mm": pose["x_mm"] + right * math.cos(a) - front * math.sin(a),
            "y_mm": pose["y_mm"] + right * math.sin(a) + front * math.cos(a),
            "angle_deg": pose["angle_deg"] + lot.one((0, 0, 0, 90, 180)),
        },
        "carried_by": host["id"] if lot.share(0.85) else None,
    }


def _pose(lot: Lot, room: Room, kit: KitType) -> Data:
    """Return a place: with its back to a wall, or anywhere within what the room spans."""
    xs, ys = zip(*room.corners, strict=True)
    if lot.share(0.35):
        x, y = lot.mm(min(xs), max(xs)), lot.mm(min(ys), max(ys))
        return {"x_mm": x, "y_mm": y, "angle_deg": lot.one((0, 90, 180, 270, 30, 200))}
    wall = lot.one(room.walls)
    (x0, y0), (x1, y1) = room.wall_ends(wall.id)
    long = math.dist((x0, y0), (x1, y1))
    along, off = lot.mm(0, long), lot.one((0, 0, 0, 20, 100, 300, 600)) + wall.lining_mm
    dx, dy = (x1 - x0) / long, (y1 - y0) / long
    deep = off + kit.depth_mm / 2
    return {
        "x_mm": x0 + dx * along - dy * deep,
        "y_mm": y0 + dy * along + dx * deep,
        "angle_deg": math.degrees(math.atan2(dy, dx)) + lot.one((0, 0, 0, 0, 90, 180)),
    }


def _own(lot: Lot, kit: KitType) -> Data:
    """Return what is said of one piece: mostly little, now and then all that can be said."""
    said: Data = {"bolted": lot.share(0.4), "stays": lot.share(0.15), "later": lot.share(0.1)}
    if lot.share(0.4):
        said["label"] = lot.one(("", "Old one", "squat stands"))
        size = lot.one(("width_mm", "depth_mm", "height_mm"))
        said[size] = round(getattr(kit, size) * lot.one((0.7, 0.9, 1.1, 1.4)))
    if lot.share(0.3):
        said |= {"mass_kg": lot.one((12, 60, 240)), "price_minor": lot.one((None, 0, 12_345))}
        said |= {"power_w": lot.one((0, 800, 2300)), "circuit": lot.one((None, "c0", "c1", "gone"))}
    if kit.states and lot.share(0.4):
        said["state"] = lot.one(kit.states).key
    if kit.spaces and lot.share(0.25):
        spaces = [lot.one(kit.spaces).name for _ in range(2)]
        said["manual_mm"] = [
            {"space": name, "least_mm": lot.one((0, 300, 1500))} for name in dict.fromkeys(spaces)
        ]
    said |= {"catches": lot.one((None, None, True, False)), "on_floor": lot.share(0.1)}
    said |= {"deck_mm": lot.one((None, None, 150, 260)), "grade_percent": lot.one((None, 0, 12))}
    said["bar_height_mm"] = lot.one((None, None, None, 1900, 2300))
    return said


def way_in(lot: Lot) -> list[Data]:
    """Return the places on the way from the street to the room."""
    kinds = ("door", "corridor", "corner", "stairs", "landing", "hatch")
    return [
        {
            "id": f"way-{i}",
            "kind": lot.one(kinds),
            "width_mm": lot.mm(560, 1100, 10),
            "height_mm": lot.mm(1850, 2300, 10),
            "beyond_mm": lot.one((None, 700, 900)),
            "length_mm": lot.one((0, 1200, 3600)),
            "label": lot.one(("", "Cellar door")),
        }
        for i in range(lot.one((0, 0, 1, 2, 3, 4)))
    ]


def situations(lot: Lot, placed: list[Data]) -> list[Data]:
    """Return none to three situations: the door open, pieces in other states or out of the room."""
    found = []
    for i in range(lot.one((0, 0, 0, 1, 2, 3))):
        states = [
            {"id": piece["id"], "state": lot.one(("out", *_states(piece)))}
            for piece in placed
            if lot.share(0.3)
        ]
        said = {"door_open": lot.share(0.5), "trains": lot.share(0.7), "states": states}
        found.append({"id": f"time-{i}", "label": lot.one(("", "Car in")), **said})
    return found


def _states(piece: Data) -> list[str]:
    kit = kit_types().get(piece["type"])
    return [state.key for state in kit.states] if kit else []


def set_otherwise(lot: Lot) -> list[Data]:
    """Return published values that the household sets otherwise."""
    if not lot.share(0.2):
        return []
    chosen = lot.shuffled(SET)[: lot.count(1, 4)]
    return [{"id": key, "value": value, "reason": "we say so"} for key, value in chosen]
