"""Plans in the short form of the catalogue: what is not said is plain and answered.

Lengths in mm. A room is `width` from the left wall and `depth` from the back wall, `clear` from
its covering of 20 mm rubber to the ceiling; walls of solid brick, a ground slab, solid joists
hidden behind a plain ceiling, a board with 32 A, and one door in the left wall that opens out.
Every question that a household can be asked is answered, so that no row is a question.
"""

from __future__ import annotations

import math
from copy import deepcopy
from typing import Any

Data = dict[str, Any]
COVERING_MM = 20
DOOR = {
    "id": "door",
    "wall": "left",
    "kind": "hinged",
    "offset_mm": 150,
    "width_mm": 838,
    "height_mm": 1981,
    "swing": "out",
    "label": "Door",
}


def plan_file(name: str, short: Data) -> Data:
    """Return a plan file of the short form of a plan.

    `room` holds width, depth and clear, and any field of the file's room, which is laid over the
    plain one; `corners` in place of width and depth names the walls of another outline and where
    each starts; `walls` in it says by wall what is not plain. A person has `want`, `nice` and
    `no_wish` beside the fields of the file. `at` of a piece is its pose: x, y and its angle.
    Whatever else stands in the short form stands in the file as it is.
    """
    short = deepcopy(short)
    people = [_person(row, index) for index, row in enumerate(short.pop("people", []))]
    pieces = [_piece(row) for row in short.pop("pieces", [])]
    return {
        "format": "elbowroom-plan",
        "version": 1,
        "name": name.replace("-", " "),
        "room": _room(short.pop("room", {})),
        "people": people,
        "pieces": pieces,
        **short,
    }


def _room(short: Data) -> Data:
    """Return a whole room of a short one."""
    width, depth = short.pop("width", 4000), short.pop("depth", 4000)
    clear, covering = short.pop("clear", 2600), short.pop("covering_mm", COVERING_MM)
    walls = short.pop("walls", {})
    box = {"back": (0, 0), "right": (width, 0), "front": (width, depth), "left": (0, depth)}
    corners = short.pop("corners", box)
    plain: Data = {
        "walls": [
            {
                "id": side,
                "x_mm": x,
                "y_mm": y,
                "thickness_mm": 215,
                "construction": "solid-brick",
                **walls.get(side, {}),
            }
            for side, (x, y) in corners.items()
        ],
        "openings": [DOOR],
        "floor": {
            "construction": "ground-slab",
            "covering": {"material": "rubber" if covering else "bare", "thickness_mm": covering},
        },
        "ceiling": {
            "construction": "solid-joists",
            "planes": [{"id": "ceiling", "height_mm": clear + covering}],
        },
        "electricity": {
            "feed": "own-board",
            "amps": 32,
            "residual_current_protection": "yes",
        },
        "climate": {"fuel_burned_here": "no", "car_kept_here": "no"},
        "fabric": {
            "built_before_2000": "no",
            "below": "ground",
            "under_the_house": "no",
            "post_tensioned": "no",
            "floor_dry": "yes",
            "children_or_animals": "no",
        },
    }
    for part, value in short.items():
        laid_over = isinstance(value, dict) and isinstance(plain.get(part), dict)
        plain[part] = {**plain[part], **value} if laid_over else value
    return plain


def _person(short: Data, index: int) -> Data:
    """Return a person of a short one: A, B ... of 1750 where nothing is said."""
    wishes = [
        {"movement": movement, "wish": wish}
        for part, wish in (("want", "want"), ("nice", "nice"), ("no_wish", "no"))
        for movement in short.pop(part, [])
    ]
    key = "abcdef"[index]
    return {"id": key, "label": key.upper(), "stature_mm": 1750, "wishes": wishes, **short}


def _piece(short: Data) -> Data:
    """Return a piece of a short one; its id is its type where none is given."""
    x, y, *angle = short.pop("at")
    pose = {"x_mm": x, "y_mm": y, "angle_deg": angle[0] if angle else 0}
    return {"id": short["type"], "pose": pose, **short}


def turned(plan: Data, degrees: float) -> Data:
    """Return a plan file whose room is turned about the origin with all that is in it."""
    plan = deepcopy(plan)
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def turn(x: float, y: float) -> tuple[float, float]:
        return x * cos - y * sin, x * sin + y * cos

    room = plan["room"]
    for wall in room["walls"]:
        wall["x_mm"], wall["y_mm"] = turn(wall["x_mm"], wall["y_mm"])
    for thing in (*room.get("low_things", []), *room.get("columns", [])):
        thing["outline"] = [turn(*point) for point in thing["outline"]]
    for plane in (*room["ceiling"]["planes"], *room["floor"].get("planes", [])):
        plane["at"] = turn(*plane.get("at", (0.0, 0.0)))
        plane["rise_x"], plane["rise_y"] = turn(plane.get("rise_x", 0.0), plane.get("rise_y", 0.0))
        plane["outline"] = [turn(*point) for point in plane.get("outline", [])]
    if joists := room["ceiling"].get("joists"):
        joists["direction_deg"] = joists.get("direction_deg", 0) + degrees
    for piece in plan["pieces"]:
        pose = piece["pose"]
        pose["x_mm"], pose["y_mm"] = turn(pose["x_mm"], pose["y_mm"])
        pose["angle_deg"] = pose.get("angle_deg", 0) + degrees
    return plan
