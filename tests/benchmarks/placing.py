"""The fast core in the double garage: how many places a second, and the law at length."""

from functools import partial

import numpy as np

from app.arrange.effort import WAYS_OUT_STEPS
from app.arrange.four_walls import four_walls
from app.arrange.mend_all import mend_all
from app.arrange.offer import fits
from app.arrange.tries import shifted
from app.arrange.ways_out import Rounds, ways_out
from app.budget import Budget
from app.changes.commands import apply, moves
from app.checks.run import run
from app.placing.core import Core
from app.placing.layout import Layout
from app.scene.build import Scene, build_scene
from app.scene.drop import dropped
from tests.benchmarks.table import Row, fastest_ms
from tests.placing.agreement import Agreement, compare
from tests.placing.rooms import ROOMS, laid_out, sample

ONE_BY_ONE = 300
AT_ONCE = 64
BATCHES = 30
JUDGED = 20
FASTER = 30
A_SECOND = 5000
"""Places a second that the core is to answer for, one by one."""
LAYOUTS, PLACES = 5, 10_000
SAMPLES = ("double-garage", "single-garage", "basement", "upstairs-room")
WAYS_MS, MEND_MS, OFFER_MS = 300, 1500, 300
"""What is aimed at; the double garage still takes several times as long."""


def _ready() -> tuple[Core, Layout]:
    """Give a core whose tables are made, as a search has it after its first steps."""
    core = Core.of(build_scene(sample("double-garage")))
    layout = core.layout(core.free)
    for root in core.free:
        for turn in core.turns(root):
            core.admits(root, turn, np.zeros((1, 2)), layout)
    return core, layout


def _ask(given: tuple[Core, Layout], batches: int, size: int) -> None:
    core, layout = given
    rng = np.random.default_rng(1)
    x0, y0, x1, y1 = core.scene.room.free.bounds
    for i in range(batches):
        root = core.free[i % len(core.free)]
        turn = core.turns(root)[i % 4]
        points = np.column_stack([rng.uniform(x0, x1, size), rng.uniform(y0, y1, size)])
        core.admits(root, turn, points, layout)


def _judge(given: tuple[Core, Layout]) -> None:
    core, layout = given
    scene: Scene = core.scene
    for i in range(JUDGED):
        root = core.free[i % len(core.free)]
        at = layout.at[root]
        run(scene.moved(core.poses(root, at.turn_deg, (at.x_mm + i, at.y_mm))))


def _after_a_drop(key: str) -> Scene:
    """Give a sample in which one thing was moved, its ways out sought before that."""
    scene = build_scene(sample(key))
    ways_out(scene, run(scene))
    root = Core.of(scene).free[0]
    poses = shifted(scene, root, 30, 20)
    there = dropped(scene, apply(scene.plan, moves(scene.plan, poses)))
    assert there is not None
    return there


def _first_ways(scene: Scene) -> None:
    _ = Rounds(scene, run(scene), Budget(WAYS_OUT_STEPS)).first


def _ways(scene: Scene) -> None:
    ways_out(scene, run(scene))


def _searches() -> list[Row]:
    """Give what a household waits for: ways out of the samples after a drop, and mending all."""
    found: list[Row] = []
    for key in SAMPLES:
        fresh = partial(_after_a_drop, key)
        asked = (_first_ways, _ways, lambda scene: mend_all(scene.plan, scene=scene))
        first, ways, mend = fastest_ms(fresh, asked, 2)
        found.append(
            (f"ways out of one change after a drop, {key}", first, WAYS_MS, first / WAYS_MS, "")
        )
        found.append((f"ways out of both rounds, {key}", ways, WAYS_MS, ways / WAYS_MS, ""))
        found.append((f"mend all, {key}", mend, MEND_MS, mend / MEND_MS, ""))
    fresh = partial(_after_a_drop, "double-garage")
    offers = fastest_ms(fresh, (_offer_a_rower, _offer_a_shelf, _try_each_wall), 2)
    names = ("a rower from the shelf", "a kettlebell shelf from the shelf", "try each wall, rack")
    for name, ms in zip(names, offers, strict=True):
        found.append((f"{name}, double garage", ms, OFFER_MS, ms / OFFER_MS, ""))
    return found


def _offer_a_rower(scene: Scene) -> None:
    fits(scene, 600, 2450, 1050, "rower")


def _offer_a_shelf(scene: Scene) -> None:
    fits(scene, 900, 400, 600, "kettlebell-shelf")


def _try_each_wall(scene: Scene) -> None:
    four_walls(scene, "rack-1")


def rows() -> list[Row]:
    """Give places a second one by one and in batches, the full judge, and how both agree."""
    single = partial(_ask, batches=ONE_BY_ONE, size=1)
    batch = partial(_ask, batches=BATCHES, size=AT_ONCE)
    one, many, judge = fastest_ms(_ready, (single, batch, _judge), 3)
    each = [one / ONE_BY_ONE, many / (BATCHES * AT_ONCE), judge / JUDGED]
    name = f"core, one place at a time, {1000 / each[0]:.0f} a second, to {A_SECOND}"
    found: list[Row] = [(name, each[0], 1000 / A_SECOND, each[0] * A_SECOND / 1000, "1")]
    name = f"core, {AT_ONCE} places at a time, {1000 / each[1]:.0f} a second, judge / {FASTER}"
    found.append((name, each[1], each[2] / FASTER, each[1] * FASTER / each[2], "1"))
    rng = np.random.default_rng(13)
    agreement = Agreement()
    for make in ROOMS.values():
        for _ in range(LAYOUTS):
            compare(laid_out(make(), rng), PLACES // (LAYOUTS * len(ROOMS)), rng, agreement)
    refused = 100 * agreement.refused_share
    name = f"core and judge, {agreement.places} places: % refused of those the judge admits"
    found.append((name, refused, 3, refused / 3, "1"))
    wrong = len(agreement.admitted)
    found.append(("... admitted that the judge refuses", wrong, 0, wrong, "0"))
    return found + _searches()
