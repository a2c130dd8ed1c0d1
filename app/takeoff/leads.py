"""Leads for small things that a cord does not reach: one of each length, told by what hangs on it.

What draws much power wants a socket of its own, and no machine runs on a lead: the judge says so.
"""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.loads import loads, outlets
from app.takeoff.counting import PIECE, counted
from app.takeoff.line import Gathered
from app.units import KILO
from app.wording import phrase

LEADS = {3.0: "lead-3m", 5.0: "lead-5m", 10.0: "lead-10m"}
"""The leads of the stock list by their length in m."""
_WIRED = ("wall", "ceiling")
_MACHINES = "Machines"


def leads(scene: Scene) -> Gathered:
    """Return a line for each length of lead; what no lead reaches is left to an electrician."""
    gathered = Gathered()
    by_pack: dict[str, list[Placed]] = {}
    for placed, away_mm in _out_of_reach(scene):
        pack = next((pack for long, pack in LEADS.items() if long * KILO >= away_mm), None)
        if pack is None:
            gathered.problems.append(
                f"{placed.name}: no lead is long enough to its nearest socket; an electrician puts "
                "one there"
            )
            continue
        by_pack.setdefault(pack, []).append(placed)
    for long, pack in LEADS.items():
        some = by_pack.get(pack)
        if some:
            gathered.lines.append(
                counted(
                    scene, gathered, key=f"small.{pack}", part="small",
                    item=phrase("Socket lead, {:metres}", long * KILO).worded(scene.plan.units),
                    where=", ".join(one.name for one in some),
                    net=len(some), unit=PIECE, pack=pack,
                    notes=("Along the walls, never where somebody walks.",),
                )
            )  # fmt: skip
    return gathered


def _out_of_reach(scene: Scene) -> Iterator[tuple[Placed, float]]:
    """Yield small things farther from every socket than a cord, and how far a lead must reach."""
    if not scene.plan.room.sockets:
        return
    points = scene.memo(("outlets",), lambda: shapely.multipoints(outlets(scene)))
    cord, much = published("electric.cord-mm"), published("electric.lead-matters-w")
    for load in loads(scene):
        placed = load.placed
        small = load.watts < much and placed.kit.group != _MACHINES
        if small and placed.kit.fixing not in _WIRED and not placed.piece.stays:
            away = float(shapely.distance(points, placed.footprint))
            if away > cord:
                yield placed, away - cord
