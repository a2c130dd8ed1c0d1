"""The same household's plan as somebody else would have drawn it: elsewhere, in another order."""

from typing import Any

from app.model.base import json_of
from app.model.plan import Plan

_POINTS = frozenset({"outline", "zone", "points"})
"""Fields that hold a list of points."""


def elsewhere(plan: Plan, right_mm: float = 7300, down_mm: float = -4100) -> Plan:
    """Return the plan with its room and all that is in it so far off on the paper."""
    return Plan.model_validate(_shifted(json_of(plan), right_mm, down_mm))


def _shifted(node: Any, right: float, down: float) -> Any:
    if isinstance(node, list):
        return [_shifted(each, right, down) for each in node]
    if not isinstance(node, dict):
        return node
    # the points of a light strip on a wall go along the wall
    points = _POINTS - {"points"} if node.get("strip") and node["wall"] else _POINTS
    out = {
        name: [[x + right, y + down] for x, y in value]
        if name in points
        else _shifted(value, right, down)
        for name, value in node.items()
    }
    if {"x_mm", "y_mm"} <= node.keys():
        out |= {"x_mm": node["x_mm"] + right, "y_mm": node["y_mm"] + down}
    if "rise_x" in node:
        x, y = node["at"]
        out["at"] = [x + right, y + down]
    if {"way", "at_mm"} <= node.keys():
        out["at_mm"] = node["at_mm"] + (right if node["way"] == "x" else down)
    return out


def in_reverse(plan: Plan) -> Plan:
    """Return the plan with each list of things written from its end; walls go round as they do."""
    data = json_of(plan)
    room = data["room"]
    of_the_room = [room[name] for name in ("openings", "low_things", "columns", "sockets")]
    planes = [room[name]["planes"] for name in ("floor", "ceiling")]
    wishes = [person["wishes"] for person in data["people"]]
    fit_out = [each for each in data["fit_out"].values() if isinstance(each, list)]
    for each in (data["pieces"], data["people"], *of_the_room, *planes, *wishes, *fit_out):
        each.reverse()
    return Plan.model_validate(data)


def from_another_corner(plan: Plan, corner: int) -> Plan:
    """Return the plan as written by somebody who began to walk round the room at another corner."""
    data = json_of(plan)
    walls = data["room"]["walls"]
    data["room"]["walls"] = walls[corner:] + walls[:corner]
    return Plan.model_validate(data)
