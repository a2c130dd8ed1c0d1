"""The judge alone, beside the bare calls that nobody can do without."""

import math
from functools import partial

import shapely

from app.checks.run import run
from app.model.plan import Plan
from app.scene.build import Scene, build_scene
from app.scene.tolerance import heights_meet
from tests.benchmarks.crowd import crowd
from tests.benchmarks.table import Row, fastest_ms

SIZES = (30, 300, 3000)
LIMIT = "2"
STEEPEST = "1.2"


def bare(scene: Scene) -> None:
    """Ask the tree with a predicate, sift by height, measure each hit once; same arrays."""
    solids, spaces = scene.solids, scene.spaces
    one, other = scene.tree.query(solids.cores[: scene.piece_solids], predicate="intersects")
    meet = solids.owner[one] < solids.owner[other]
    meet &= heights_meet(
        solids.low_mm[one], solids.high_mm[one], solids.low_mm[other], solids.high_mm[other]
    )
    shapely.intersection(solids.cores[one[meet]], solids.cores[other[meet]])
    of, hit = scene.tree.query(spaces.cores, predicate="intersects")
    meet = spaces.owner[of] != solids.owner[hit]
    meet &= heights_meet(
        spaces.low_mm[of], spaces.high_mm[of], solids.low_mm[hit], solids.high_mm[hit]
    )
    shapely.intersection(spaces.cores[of[meet]], solids.cores[hit[meet]])


def ready(plan: Plan) -> Scene:
    """Give a new scene of a plan, its tree planted."""
    scene = build_scene(plan)
    assert scene.tree is not None
    return scene


def rows() -> list[Row]:
    """Give ratio to the bare calls for each size, and how steeply the judge grows between them.

    Every run judges a scene nobody has asked before; its tree stands for both.
    """
    found: list[Row] = []
    taken: list[float] = []
    for count in SIZES:
        plan = crowd(count)
        times = 9 if count < max(SIZES) else 3
        fresh = partial(ready, plan)
        ms, base = fastest_ms(fresh, (partial(run, full=False), bare), times)
        each = len(run(fresh(), full=False)) / count
        taken.append(ms)
        name = f"judge alone, {count} pieces, {each:.1f} snags a piece"
        found.append((name, ms, base, ms / base, LIMIT))
    for i in range(1, len(SIZES)):
        steep = math.log(taken[i] / taken[i - 1]) / math.log(SIZES[i] / SIZES[i - 1])
        name = f"judge alone, {SIZES[i - 1]} to {SIZES[i]} pieces: exponent"
        found.append((name, taken[i], taken[i - 1], steep, STEEPEST))
    return found
