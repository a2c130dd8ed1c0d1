"""Where ways come in, by hand: a room of 5 x 5 m, its door from x = 2100 to 3000 at y = 5000."""

import math

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from app.model.kit import Piece
from app.model.room import Opening
from app.scene.build import build_scene
from app.scene.routes import routes
from app.scene.routes_graph import Bools, Medial, Samples, medial, narrowed
from app.scene.routes_thresholds import Threshold, with_thresholds
from app.scene.tolerance import HALF_MM
from tests.builders import make_plan, make_room, place, turned_plan, turned_point
from tests.checks.test_routes import door

FRONT, BACK = door(), door("back", 500)
"""The second from x = 500 to 1400 at y = 0."""
BIKE = place("bike", 2500, 900)
SHIFT = (300, -200)


def box(x: float, y: float, name: str) -> Piece:
    """A box of 600 x 600, told by its corner at the back on the left."""
    return place("other-thing", x + 300, y + 300, piece_id=name)


class Ways:
    """The graph of a room before and after its thresholds."""

    def __init__(
        self, *pieces: Piece, openings: tuple[Opening, ...] = (FRONT,), angle: float = 0
    ) -> None:
        plan = make_plan(*pieces, BIKE, room=make_room(openings=openings))
        scene = build_scene(turned_plan(plan, angle, SHIFT if angle else (0, 0)))
        paths, self.count = routes(scene), len(scene.order)
        self.samples: Samples = paths.samples
        self.doors = paths.ways_out
        self.before: Medial = narrowed(medial(self.samples), self.samples, self.count, HALF_MM)
        self.inside: Bools = np.asarray(shapely.contains_xy(scene.room.within, *self.before.at.T))
        self.after, self.thresholds = self.with_inside(self.inside)

    def with_inside(self, inside: Bools) -> tuple[Medial, tuple[Threshold, ...]]:
        return with_thresholds(self.before, self.samples, inside, self.doors, self.count)


def nearest(ways: Ways, threshold: Threshold, at: tuple[float, float]) -> int:
    away: NDArray[np.float64] = ways.after.at[threshold.nodes] - np.array(at)
    return int(np.hypot(*away.T).argmin())


@pytest.mark.parametrize("angle", [0, 33.3])
def test_one_comes_in_by_the_middle_of_a_door(angle: float) -> None:
    ways = Ways(angle=angle)
    (threshold,) = ways.thresholds
    after, before = ways.after, ways.before
    # half a millimetre beyond the wall, in a circle as wide as the door; that itself is no neck
    middle = turned_point((2550, 5000.5), angle, SHIFT if angle else (0, 0))
    assert after.at[threshold.nodes] == pytest.approx(np.array([middle]), abs=0.01)
    assert after.radius_mm[threshold.nodes] == pytest.approx([450], abs=0.01)
    assert threshold.width_mm.tolist() == after.width_mm[threshold.joins].tolist() == [np.inf]
    # the new node and the new join come after all others, which stay as they are
    assert threshold.nodes.tolist() == [len(before.at)]
    assert threshold.joins.tolist() == [len(before.one)]
    assert after.one[threshold.joins].tolist() == threshold.nodes.tolist()
    assert ways.inside[after.other[threshold.joins]].all()
    for name in ("at", "radius_mm", "one", "other", "left", "right", "width_mm"):
        old, new = getattr(before, name), getattr(after, name)
        assert len(new) == len(old) + 1
        assert np.array_equal(new[: len(old)], old)


def test_each_door_has_its_own() -> None:
    ways = Ways(openings=(FRONT, BACK))
    middles = {"front-door": (2550, 5000.5), "back-door": (950, -0.5)}
    assert len(ways.thresholds) == 2
    for threshold, shape in zip(ways.thresholds, ways.doors, strict=True):
        assert ways.after.at[threshold.nodes] == pytest.approx(
            np.array([middles[shape.opening.id]]), abs=0.01
        )
        assert ways.after.one[threshold.joins].tolist() == threshold.nodes.tolist()


@pytest.mark.parametrize("angle", [0, 33.3])
@pytest.mark.parametrize("free", [300, 500, 800])
def test_what_stands_right_before_a_door_leaves_so_much_of_it(free: float, angle: float) -> None:
    # from the left post at 2100 to a box that stands 10 off the threshold
    ways = Ways(box(2100 + free, 4390, "a"), angle=angle)
    (threshold,) = ways.thresholds
    at = turned_point((2100 + free / 2, 5000.5), angle, SHIFT if angle else (0, 0))
    here = nearest(ways, threshold, at)
    assert threshold.width_mm[here] == pytest.approx(free, abs=1.5)
    assert ways.after.width_mm[threshold.joins[here]] == pytest.approx(free, abs=1.5)
    assert ways.after.radius_mm[threshold.nodes[here]] == pytest.approx(free / 2, abs=1)
    # behind the box there are 10 between it and the threshold, half a millimetre beyond the wall
    others = np.delete(np.arange(len(threshold.nodes)), here)
    assert len(others)
    assert (threshold.width_mm[others] < 50).all()


@pytest.mark.parametrize("angle", [0, 33.3])
@pytest.mark.parametrize("free", [300, 500])
def test_between_two_things_before_a_door_all_that_is_free_counts(
    free: float, angle: float
) -> None:
    # their cores are half a millimetre smaller on either side, which is no way
    ways = Ways(box(2300 - 600, 4390, "a"), box(2300 + free, 4390, "b"), angle=angle)
    (threshold,) = ways.thresholds
    at = turned_point((2300 + free / 2, 5000.5), angle, SHIFT if angle else (0, 0))
    here = nearest(ways, threshold, at)
    # to their corners, 11 before the place on the threshold
    apart = 2 * (math.hypot(free / 2 + 0.5, 11) - 0.5)
    assert threshold.width_mm[here] == pytest.approx(apart, abs=0.05)


def test_joins_and_nodes_of_many_ways_in_go_together() -> None:
    ways = Ways(box(2400, 4390, "a"), openings=(FRONT, BACK))
    nodes = np.concatenate([one.nodes for one in ways.thresholds])
    joins = np.concatenate([one.joins for one in ways.thresholds])
    assert len(nodes) > 2
    assert nodes.tolist() == list(range(len(ways.before.at), len(ways.after.at)))
    assert joins.tolist() == list(range(len(ways.before.one), len(ways.after.one)))
    assert ways.after.one[joins].tolist() == nodes.tolist()
    assert ways.inside[ways.after.other[joins]].all()
    # all of them on a threshold, between its posts
    x, y = ways.after.at[nodes].T
    on_front, on_back = np.abs(y - 5000.5) < 0.01, np.abs(y + 0.5) < 0.01
    assert (on_front | on_back).all()
    assert ((x[on_front] >= 2100) & (x[on_front] <= 3000)).all()
    assert ((x[on_back] >= 500) & (x[on_back] <= 1400)).all()


def test_where_no_way_leads_out_the_graph_stays_as_it_is() -> None:
    ways = Ways(openings=(FRONT, BACK))
    for inside in (np.ones_like(ways.inside), np.zeros_like(ways.inside)):
        graph, thresholds = ways.with_inside(inside)
        assert graph is ways.before
        assert [len(one.nodes) for one in thresholds] == [0, 0]
        assert [len(one.joins) for one in thresholds] == [0, 0]
        assert [len(one.width_mm) for one in thresholds] == [0, 0]


def test_a_door_is_not_come_in_by_elsewhere_in_its_wall() -> None:
    # an open doorway beside the door that is a way out: ways lead through it as well
    gap = Opening(id="gap", wall="front", kind="gap", offset_mm=500, width_mm=900, height_mm=2000)
    ways = Ways(openings=(FRONT, gap))
    for threshold, shape in zip(ways.thresholds, ways.doors, strict=True):
        x = ways.after.at[threshold.nodes][:, 0]
        low, high = sorted((shape.left[0], shape.right[0]))
        assert ((x >= low - HALF_MM) & (x <= high + HALF_MM)).all()
        assert len(x) == 1
