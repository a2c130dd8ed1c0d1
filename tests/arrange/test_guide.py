"""The guide gives the nearest places for a finding, and asks of a place only what it must."""

import math

import numpy as np
import pytest
import shapely

from app.arrange.effort import WAYS_OUT_STEPS, work_of_way
from app.arrange.guide import Guide, knows
from app.arrange.moves import Mover
from app.arrange.shifts import directions
from app.arrange.tries import shifted
from app.budget import Budget
from app.checks.run import run
from app.checks.snag import Snag
from app.model.kit import Piece
from app.model.plan import Plan
from app.placing.core import CLEAN_MM
from app.scene.build import build_scene
from tests.benchmarks.full import heap
from tests.builders import make_plan, place

NONE = np.zeros((0, 2))


def box(x: float, y: float, piece_id: str) -> Piece:
    return place("other-thing", x, y, piece_id=piece_id, width=1000, depth=500, height=1500)


def guided(plan: Plan) -> tuple[Guide, Snag]:
    """Give the guide of a plan in steps of 10 mm, and its first stop."""
    scene = build_scene(plan)
    return Guide(scene, 10, Budget(1000)), next(s for s in run(scene) if s.severity == "stop")


def test_the_nearest_place_is_a_whole_step_beyond_what_is_in_the_way() -> None:
    """Two boxes 500 deep, 103 apart in depth: 397 more clear it, 400 in steps of 10."""
    guide, snag = guided(make_plan(box(2500, 2500, "one"), box(2600, 2603, "other")))
    way = guide.way("other", 0, snag)
    shifts = guide.shifts(way, "clean", directions(guide.scene), NONE)
    assert shifts[0].tolist() == pytest.approx([0, 400])
    assert not way.allows(np.array([(0.0, 390.0)]), "clean").any()


def test_what_is_broken_besides_need_not_be_mended_by_the_same_move() -> None:
    """One that stands in two others at once is moved out of either of them by itself."""
    plan = make_plan(box(2500, 2500, "one"), box(2500, 2900, "middle"), box(2500, 3300, "other"))
    scene = build_scene(plan)
    guide = Guide(scene, 10, Budget(1000))
    for snag in run(scene):
        if snag.code != "clash":
            continue
        other = next(piece for piece in snag.pieces if piece != "middle")
        way = guide.way("middle", 0, snag)
        (dx, dy), *_ = guide.shifts(way, "milder", directions(scene), NONE).tolist()
        assert math.hypot(dx, dy) == pytest.approx(100)
        assert (dy < 0) == (other == "other")


def test_where_the_budget_ends_no_place_is_known() -> None:
    scene = build_scene(make_plan(box(2500, 2500, "one"), box(2600, 2603, "other")))
    guide, budget = Guide(scene, 10, spent := Budget(0)), Budget(1)
    (snag,) = (one for one in run(scene) if one.code == "clash")
    way = guide.way("other", 0, snag)
    assert spent.over
    for level in ("clean", "clears", "milder"):
        assert not len(guide.shifts(way, level, directions(scene), NONE))
        assert not way.allows(np.array([(0.0, 400.0)]), level).any()
    # one step is enough for two boxes, and it is asked for
    assert len(Guide(scene, 10, budget).way("other", 0, snag).required["clean"])
    assert budget.left == 0


def test_what_one_station_must_keep_to_is_not_looked_for_in_a_heap_of_thousands() -> None:
    """In 3,000 things in one place one such way takes half a minute; a garage has a dozen."""
    garage, crowd = heap(14), heap(2000)
    assert work_of_way(build_scene(garage)) < WAYS_OUT_STEPS / 10_000
    assert work_of_way(build_scene(crowd)) > WAYS_OUT_STEPS / 2


def test_the_core_knows_of_places_and_not_of_ways() -> None:
    plan = make_plan(box(2500, 2500, "one"), box(2600, 2603, "other"))
    known = {snag.code: knows(snag) for snag in run(build_scene(plan))}
    assert known["clash"]
    assert not any(known[code] for code in known if code.startswith(("no-way", "floor")))


def test_of_two_places_as_near_the_one_to_the_left_is_the_nearest() -> None:
    """A box 1000 wide right in the middle of a deep one is clear of it 1000 to either side."""
    deep = place("other-thing", 2500, 2500, piece_id="deep", width=1000, depth=3000, height=1500)
    guide, snag = guided(make_plan(box(2500, 2500, "one"), deep))
    way = guide.way("one", 0, snag)
    (dx, dy), *_ = guide.shifts(way, "clean", NONE, NONE).tolist()
    assert (dx, dy) == (pytest.approx(-1000), pytest.approx(0))


def test_a_region_is_the_bounds_less_all_that_is_refused() -> None:
    plan = make_plan(box(2500, 2500, "one"), box(2500, 2900, "middle"), box(2500, 3300, "other"))
    scene = build_scene(plan)
    guide = Guide(scene, 10, Budget(1000))
    clashes = [snag for snag in run(scene) if snag.code == "clash"]
    assert len(clashes) == 2
    bounds = guide._least.views[0].ground.bounds
    for snag in clashes:
        way = guide.way("middle", 0, snag)
        forbidden = shapely.union_all([term.shape for term in way.required["clean"]])
        alone = bounds.difference(forbidden)
        region = way.region("clean", bounds)
        assert alone.covers(region)
        assert region.covers(alone.buffer(-2 * CLEAN_MM, join_style="mitre"))


def test_a_place_that_is_tried_again_is_the_scene_that_was_judged() -> None:
    scene = build_scene(make_plan(box(2500, 2500, "one"), box(2600, 2603, "other")))
    mover = Mover(scene, run(scene))
    there = mover.moved(shifted(scene, "other", 0, 400))
    assert mover.moved(shifted(scene, "other", 0, 400)) is there
    assert mover.moved(shifted(scene, "other", 0, 410)) is not there
    assert there.placed["other"].at == (2600, 3003)
    assert run(there) == run(scene.moved(shifted(scene, "other", 0, 400)))


def test_what_nobody_would_do_is_no_help_and_costs_as_much_of_the_budget() -> None:
    scene = build_scene(make_plan(box(2500, 2500, "one"), box(2600, 2603, "other")))
    before = run(scene)
    snag = next(one for one in before if one.code == "clash")
    asked = []
    for sane in (None, lambda: True, lambda: False):
        mover = Mover(scene, before)
        there = mover.moved(shifted(scene, "other", 0, 400))
        helps = mover.speakers.helps(there, snag, sane)
        asked.append((helps, mover.budget.spent))
    spent = asked[0][1]
    assert asked == [(True, spent), (True, spent), (False, spent)]
