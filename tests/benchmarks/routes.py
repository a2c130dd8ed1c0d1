"""How fast ways on foot and conflicts are found, beside a bare Voronoi diagram."""

import math
import time
from collections.abc import Callable

from app.checks.together import together
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from app.scene.routes import Routes
from tests.builders import make_plan, make_room, place

Row = tuple[str, float, float, float, str]
KIT = (
    "mid-rack",
    "bike",
    "plate-tree",
    "running-machine",
    "dumbbell-rack-2",
    "standing-bag",
    "wall-pulley",
    "mat-space",
    "jump-box",
    "rower",
)
FEW, MANY = 30, 300
APART_MM = 3200
STEEPEST = 1.3


def crowd(count: int) -> Plan:
    """A hall with `count` pieces in rows, as much floor for each whatever their number."""
    across = math.ceil(math.sqrt(count))
    pieces = (
        place(
            KIT[i % len(KIT)],
            (i % across + 0.5) * APART_MM,
            (i // across + 0.5) * APART_MM,
            37 * i % 360,
            piece_id=f"p{i:03}",
        )
        for i in range(count)
    )
    side = across * APART_MM
    door = Opening(
        id="door", wall="front", kind="hinged", offset_mm=300, width_mm=900, height_mm=2000
    )
    return make_plan(*pieces, room=make_room(side, side, openings=[door]))


def fastest_ms(make: Callable[[], object], times: int = 7) -> float:
    """The quickest of several runs, in ms."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        make()
        taken.append((time.perf_counter() - start) * 1000)
    return min(taken)


def rows() -> list[Row]:
    """What was measured: name, ms, baseline ms, ratio (or exponent), and its limit."""
    from scipy.spatial import Voronoi

    found: list[Row] = []
    ways, pairs = {}, {}
    for count in (FEW, MANY):
        scene = build_scene(crowd(count))
        xy = Routes(scene).samples.xy
        bare = fastest_ms(lambda xy=xy: Voronoi(xy))  # type: ignore[misc]
        ways[count] = fastest_ms(lambda scene=scene: Routes(scene).ways)  # type: ignore[misc]
        pairs[count] = fastest_ms(lambda scene=scene: together(scene))  # type: ignore[misc]
        name = f"routes, {count} pieces, {len(xy)} samples, to scipy's Voronoi"
        found.append((name, ways[count], bare, ways[count] / bare, "2"))
    for name, ms in (("routes", ways), ("conflicts", pairs)):
        steep = math.log(ms[MANY] / ms[FEW]) / math.log(MANY / FEW)
        title = f"{name}, {FEW} to {MANY} pieces: exponent"
        found.append((title, ms[MANY], ms[FEW], steep, str(STEEPEST)))
    return found
