"""Turning a plan by quarters on the paper: every place follows, nothing moves against another.

A quarter turn clockwise as drawn takes (x, y) to (-y, x), so it is exact to the last digit.
"""

from __future__ import annotations

from typing import Any

from app.model.base import Point, json_of
from app.model.fronts import ahead_of, main_door
from app.model.plan import Plan

QUARTERS = 4
_POINTS = frozenset({"outline", "zone", "points"})
"""Fields that hold a list of points."""


def turned_point(at: Point, quarters: int) -> Point:
    """Return a point turned about the origin by so many quarters, clockwise as drawn."""
    x, y = at
    for _ in range(quarters % QUARTERS):
        x, y = -y + 0.0, x
    return (x, y)


def turned_plan(plan: Plan, quarters: int) -> Plan:
    """Return the plan turned by so many quarters, clockwise as drawn."""
    if not quarters % QUARTERS:
        return plan
    data = _turned(json_of(plan), quarters % QUARTERS)
    data["quarter_turns"] = (plan.quarter_turns + quarters) % QUARTERS
    return Plan.model_validate(data)


def turned_by_hand(plan: Plan, quarters: int) -> Plan:
    """Return the plan turned as somebody wants to see it; its door stays where that puts it."""
    return _drawn(turned_plan(plan, quarters), "as-turned")


def door_below(plan: Plan) -> Plan:
    """Return the plan drawn with its main door below, and kept so."""
    marked = _drawn(plan, "door-below")
    if main_door(plan.room) is None:
        return marked
    here, quarters = ahead_of(plan.room), 0
    while turned_point(here, quarters) != (0.0, -1.0):
        quarters += 1
    return turned_plan(marked, quarters)


def as_it_is_drawn(plan: Plan) -> Plan:
    """Return the plan with its door below where that is how it is drawn, else as it stands."""
    return door_below(plan) if plan.drawn == "door-below" else plan


def _drawn(plan: Plan, how: str) -> Plan:
    return plan if plan.drawn == how else Plan.model_validate({**json_of(plan), "drawn": how})


def _turned(node: Any, quarters: int) -> Any:
    if isinstance(node, list):
        return [_turned(each, quarters) for each in node]
    if not isinstance(node, dict):
        return node
    out = {
        name: [list(turned_point((x, y), quarters)) for x, y in value]
        if name in _POINTS
        else _turned(value, quarters)
        for name, value in node.items()
    }
    for one, other in (("x_mm", "y_mm"), ("rise_x", "rise_y")):
        if one in node:
            out[one], out[other] = turned_point((node[one], node[other]), quarters)
    if "rise_x" in node:
        out["at"] = list(turned_point(tuple(node["at"]), quarters))
    for name in ("angle_deg", "direction_deg"):
        if name in node:
            out[name] = (node[name] + 90.0 * quarters) % 360.0
    if node.keys() >= {"way", "at_mm"}:
        upright = node["way"] == "x"
        x, y = turned_point((node["at_mm"], 0.0) if upright else (0.0, node["at_mm"]), quarters)
        out["way"] = "x" if upright == (quarters % 2 == 0) else "y"
        out["at_mm"] = x if out["way"] == "x" else y
    return out
