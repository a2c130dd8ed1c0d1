"""What a place leaves short: as the judge's cares weigh, for ranking."""

import numpy as np
import pytest

from app.arrange.better import weight_of
from app.checks.run import run
from app.placing.core import Core
from app.scene.build import Scene, build_scene
from tests.builders import make_plan, place
from tests.placing.rooms import ROOMS, laid_out


def cares(scene: Scene) -> float:
    snags = run(scene, full=False)
    mine = (s for s in snags if s.severity == "care" and (s.space or s.code == "headroom"))
    return sum(weight_of(snag).share for snag in mine)


@pytest.mark.parametrize(("away", "share"), [(700, 0), (350, 0.5), (0, 1)])
def test_a_space_that_is_short_by_half_counts_half(away: float, share: float) -> None:
    """A bench with barbell hooks wants 700 before its foot end, see its row."""
    plan = make_plan(
        place("leg-bench", 2500, 1500), place("other-thing", 0, 0, width=600, depth=400)
    )
    scene = build_scene(plan)
    core = Core.of(scene)
    front = float(scene.placed["leg-bench"].footprint.bounds[3])
    points = np.array([(2500, front + away + 200)])
    layout = core.layout(("leg-bench",))
    assert core.shortfall("other-thing", 0, points, layout) == pytest.approx(share, abs=0.01)
    before = core.layout(("leg-bench",)).put("other-thing", 0, tuple(points[0]))
    there = scene.placed["leg-bench"]
    own = core.shortfall("leg-bench", 0, np.array([there.at]), before)
    assert own == pytest.approx(share, abs=0.01)


@pytest.mark.parametrize("name", ["single garage", "basement"])
def test_places_are_ranked_about_as_the_judge_does(name: str) -> None:
    rng = np.random.default_rng(7)
    core = Core.of(laid_out(ROOMS[name](), rng))
    layout = core.layout(core.free)
    told: list[float] = []
    judged: list[float] = []
    for root in core.free:
        turn = float(rng.choice(core.turns(root)))
        points = core.free_points(root, turn, layout, every_mm=200)
        points = points[rng.permutation(len(points))[:12]]
        told += core.shortfall(root, turn, points, layout).tolist() if len(points) else []
        gone = cares(core.scene.moved(core.poses(root, turn, (-90_000, -90_000))))
        for x, y in points.tolist():
            judged.append(cares(core.scene.moved(core.poses(root, turn, (x, y)))) - gone)
    assert np.corrcoef(np.array([told, judged]))[0, 1] > 0.8


@pytest.mark.parametrize("name", ["double garage", "L"])
def test_what_is_far_from_some_places_is_not_left_out_of_others(name: str) -> None:
    """Boxes tell which things may take room: asked one by one each place leaves as much short."""
    rng = np.random.default_rng(11)
    core = Core.of(laid_out(ROOMS[name](), rng))
    layout = core.layout(core.free)
    x0, y0, x1, y1 = core.scene.room.free.bounds
    for root in core.free:
        points = np.column_stack([rng.uniform(x0, x1, 12), rng.uniform(y0, y1, 12)])
        for turn in core.turns(root)[:2]:
            together = core.shortfall(root, turn, points, layout)
            each = [core.shortfall(root, turn, point[None], layout)[0] for point in points]
            assert together == pytest.approx(each, abs=1e-9)
    assert core.shortfall(core.free[0], 0, points[:0], layout).shape == (0,)
