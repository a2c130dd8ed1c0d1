"""Cases of every movement on both sides of its limits, made from ``limits.toml``."""

from __future__ import annotations

from typing import Any

ROOM_MM = 5000
PLENTY_MM = 3500
OFF_MM = 40
"""How far from a limit a ceiling is: more than one body formula is from another."""
BEYOND_MM = 5
WITHIN_MM = 25
"""How far one formula of a body is from another: 1.20 and 1.204 of the stature are both right."""
COVERING_MM = 20
Data = dict[str, Any]


def cases_of(movement: str, row: Data) -> dict[str, Data]:
    """Return three cases of a movement by their keys: too low, short of the margin, clear."""
    least, need = row["least"], row["need"]
    within = row.get("within", WITHIN_MM)
    off = max(OFF_MM, within + BEYOND_MM)
    middle = (least + need) / 2
    limits = {
        "too-low": (least - off, [{"severity": "stop", "short": off}]),
        "tight": (middle, [{"severity": "care", "short": need - middle}]),
        "clear": (need + off, []),
    }
    made: dict[str, Data] = {}
    for name, (clear, says) in limits.items():
        key = f"{movement}-{name}"
        stature = row.get("stature", 1750)
        made[key] = {
            "stands": f"{movement}, stature {stature}: clear {clear:g} of {least} and {need}",
            "source": row["source"],
            "plan": _plan(movement, row, clear),
            "says": [
                {**said, "movement": movement, "person": "a", "within": within} for said in says
            ],
            "may": row.get("may", []),
            "no_way": row.get("no_way", "") if says else "",
            "open": row.get("open", {}).get(name, {}),
        }
    return made


def _plan(movement: str, row: Data, clear: float) -> Data:
    """Return the short plan of a movement under a ceiling or a beam."""
    room: Data = {"width": ROOM_MM, "depth": ROOM_MM, "clear": PLENTY_MM}
    if "beam" in row:
        x0, y0, x1, y1 = row["beam"]
        room["low_things"] = [
            {
                "id": "beam",
                "kind": "beam",
                "outline": [[x0, y0], [x1, y0], [x1, y1], [x0, y1]],
                "bottom_mm": clear + COVERING_MM,
                "label": "Beam",
            }
        ]
    else:
        room["clear"] = clear
    person: Data = {"stature_mm": row.get("stature", 1750), "want": [movement]}
    people = [person]
    if not row.get("trains_alone", True):
        person.update(trains_alone=False, trains_with="b")
        people.append({"stature_mm": 1600, "trains_alone": False, "trains_with": "a"})
    return {"room": room, "people": people, "pieces": row["pieces"]}
