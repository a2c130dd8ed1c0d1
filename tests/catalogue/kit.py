"""Cases of each kind of kit wrongly placed once, made from ``kit.toml``."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

ROOM_MM = 8000
MIDDLE_MM = ROOM_MM / 2
CUPBOARD_MM = 600
CLEAR_MM = 2600
NEARER_MM = 50
"""Of several sides that are blocked all but the first are, so that chance names none of them."""
WITHIN_MM = 3
RACK = {"id": "rack", "type": "mid-rack", "bolted": True}
HOOKS_MM = 37
"""How far before its front posts the hooks of a mid rack hold a bar."""
SIDES = {"front": (0, 1), "back": (0, -1), "left": (-1, 0), "right": (1, 0)}
Data = dict[str, Any]


@cache
def library() -> dict[str, Data]:
    """Return every kind of kit by its key, as the library's files have it."""
    rows: dict[str, Data] = {}
    for part in (files("app.library") / "kit").iterdir():
        if part.name.endswith(".toml"):
            rows |= tomllib.loads(part.read_text("utf-8"))
    return rows


def case_of(key: str, row: Data) -> Data:
    """Return the case of a kind of kit."""
    said: Data = {"severity": row.get("severity", "care"), "about": row["about"], "piece": "it"}
    there = next((row[part] for part in ("free", "close", "wall", "end") if part in row), None)
    if there is not None:
        said |= {"is": there, "within": WITHIN_MM}
    if "of" in row:
        said["of"] = row["of"]
    if "low" in row:
        short = row.get("short", library()[key]["height_mm"] - row["low"])
        said |= {"short": short, "within": WITHIN_MM}
    return {
        "stands": _words(key, row),
        "source": row.get("source", "common practice, no source"),
        "plan": _plan(key, row),
        "says": [said],
        "may": row.get("may", []),
        "open": row.get("open", {}),
    }


def _words(key: str, row: Data) -> str:
    """Return what is wrong in words."""
    how = {
        "blocked": f"a cupboard {row.get('free')} from it, {row.get('blocked')}",
        "wall": f"{row.get('wall')} inside the wall",
        "close": f"its back {row.get('close')} off the wall",
        "low": f"under clear {row.get('low')}",
        "adrift": "off any wall",
        "trusses": "under roof trusses",
        "racked": "on the hooks of a mid rack",
        "swing": "in the arc of a door",
    }
    return f"{library()[key]['name']}: " + ", ".join(how[part] for part in row if part in how)


def _plan(key: str, row: Data) -> Data:
    """Return the short plan of a kind of kit, wrongly placed."""
    kit = library()[key]
    width, depth = kit["width_mm"], kit["depth_mm"]
    at_wall = "wall" in kit.get("fixing", "") and "adrift" not in row
    x, y = MIDDLE_MM, depth / 2 if at_wall else MIDDLE_MM
    if "wall" in row:
        y = depth / 2 - row["wall"]
    if "close" in row:
        y = depth / 2 + row["close"]
    room: Data = {"width": ROOM_MM, "depth": ROOM_MM, "clear": row.get("low", CLEAR_MM)}
    if "trusses" in row:
        room["ceiling"] = {"construction": "trussed-rafters"}
    piece: Data = {"id": "it", "type": key, "at": [x, y]}
    pieces = [piece]
    if kit.get("fixing") == "bolt":
        piece["bolted"] = True
    if "floor" in row:
        piece["on_floor"] = True
    if "racked" in row:
        rack = library()["mid-rack"]
        x = row.get("end", MIDDLE_MM) + width / 2
        piece |= {"at": [x, 775 + rack["depth_mm"] / 2 + HOOKS_MM], "carried_by": "rack"}
        pieces.insert(0, {**RACK, "at": [x, 775]})
    if "swing" in row:
        piece["at"] = [depth / 2 + 100, MIDDLE_MM]
        room["openings"] = [_door_inwards()]
    blocked = row.get("blocked", "")
    several = {"both": ("left", "right"), "all": tuple(SIDES)}
    for number, side in enumerate(several.get(blocked, (blocked,) if blocked else ())):
        to_x, to_y = SIDES[side]
        free = row["free"] - (NEARER_MM if number else 0)
        off_x = to_x * (width / 2 + free + CUPBOARD_MM / 2)
        off_y = to_y * (depth / 2 + free + CUPBOARD_MM / 2)
        pieces.append(_cupboard(side, x + off_x, y + off_y))
    return {"room": room, "people": [{}], "pieces": pieces}


def _cupboard(side: str, x: float, y: float) -> Data:
    """Return a tall cupboard that stands in the way."""
    size = {"width_mm": CUPBOARD_MM, "depth_mm": CUPBOARD_MM, "height_mm": 1800}
    return {"id": side, "type": "other-thing", "at": [x, y], "label": "Cupboard", **size}


def _door_inwards() -> Data:
    """Return the only door, in the middle of the left wall, opening in."""
    return {
        "id": "door",
        "wall": "left",
        "kind": "hinged",
        "offset_mm": MIDDLE_MM - 419,
        "width_mm": 838,
        "height_mm": 1981,
        "swing": "in",
        "label": "Door",
    }
