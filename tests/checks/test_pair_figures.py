"""Figures of pairs are measured once while both stand still, and held only so far as allowed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from app.checks.pair_figures import Half, PairFigures
from app.model.kit import Pose
from app.scene.build import Scene, build_scene
from tests.builders import make_plan, place

SCENE = build_scene(
    make_plan(*(place("bike", 1000, y, piece_id=f"p{y}") for y in (1000, 2000, 3000)))
)
COUNT = len(SCENE.order) + len(SCENE.fixed_names)
ENOUGH = 1_000_000


class Measured:
    """Reckons ten times the first and the second of a pair, and notes what it was asked."""

    def __init__(self) -> None:
        self.asked: list[tuple[int, int]] = []

    def __call__(self, one: NDArray[np.intp], other: NDArray[np.intp]) -> NDArray[np.float64]:
        self.asked += zip(one.tolist(), other.tolist(), strict=True)
        return np.column_stack([10.0 * one + other])


def half(*numbers: int) -> Half:
    every = np.array(numbers, dtype=np.intp)
    return Half(every, every, COUNT)


def asked(
    figures: PairFigures, scene: Scene, one: Half, other: Half, part: int = 0
) -> tuple[list[float], list[tuple[int, int]]]:
    """The figures of pairs, and which of them were measured for it."""
    measured = Measured()
    return figures.measured(scene, part, one, other, measured)[:, 0].tolist(), measured.asked


def test_each_pair_gets_its_own_figure_and_none_is_measured_twice() -> None:
    figures = PairFigures(1, ENOUGH)
    one, other = half(2, 0, 1), half(0, 1, 2)
    assert asked(figures, SCENE, one, other) == ([20, 1, 12], [(2, 0), (0, 1), (1, 2)])
    assert asked(figures, SCENE, one, other) == ([20, 1, 12], [])
    # in another order, and with a pair that is new
    assert asked(figures, SCENE, half(1, 0, 2), half(2, 2, 0)) == ([12, 2, 20], [(0, 2)])
    # what was not asked about last is forgotten; another part is another matter
    assert asked(figures, SCENE, half(0), half(1)) == ([1], [(0, 1)])
    assert asked(figures, SCENE, half(0), half(1), part=1) == ([1], [(0, 1)])


def test_of_what_moved_the_pairs_are_measured_anew() -> None:
    figures = PairFigures(1, ENOUGH)
    wall = len(SCENE.order)
    one, other = half(0, 0, 1, 1), half(1, 2, 2, wall)
    asked(figures, SCENE, one, other)
    moved = SCENE.moved({"p3000": Pose(x_mm=1000, y_mm=3100)})
    assert asked(figures, moved, one, other) == ([1, 2, 12, 10 + wall], [(0, 2), (1, 2)])
    turned = moved.moved({"p1000": Pose(x_mm=1000, y_mm=1000, angle_deg=1)})
    assert asked(figures, turned, one, other)[1] == [(0, 1), (0, 2)]


def test_what_is_too_much_is_not_kept() -> None:
    one, other = half(0, 1), half(1, 2)
    kept = PairFigures(1, ENOUGH)
    asked(kept, SCENE, one, other)
    # poses of three pieces, two pairs and their figures, 8 bytes each
    size = SCENE.poses.nbytes + 2 * 8 + 2 * 8
    assert kept.held_bytes == size
    asked(kept, SCENE, one, other, part=1)
    assert kept.held_bytes == 2 * size
    just, short = PairFigures(1, size), PairFigures(1, size - 1)
    for figures, again in ((just, []), (short, [(0, 1), (1, 2)])):
        asked(figures, SCENE, one, other)
        assert asked(figures, SCENE, one, other)[1] == again
    assert short.held_bytes == 0
    # what was kept of a part stays where its next figures are too many
    assert asked(just, SCENE, half(0, 1, 0), half(1, 2, 2))[1] == [(0, 2)]
    assert just.held_bytes == size
    assert asked(just, SCENE, one, other)[1] == []


def test_no_pairs_are_no_figures() -> None:
    figures = PairFigures(1, ENOUGH)
    assert asked(figures, SCENE, half(), half()) == ([], [])
    assert asked(figures, SCENE, half(0), half(1)) == ([1], [(0, 1)])
