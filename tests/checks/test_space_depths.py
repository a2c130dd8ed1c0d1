"""How deep working spaces are free, by hand.

The bag stands at (3000, 3000) and is 560 across; the floor before it is 1500 wide and deep (rows of
the library): from y = 3280 to 4780, from x = 2250 to 3750. 600 are wanted all round it.
"""

import math

import numpy as np
import pytest

from app.checks.room_to_use import room_to_use
from app.checks.space_depths import ACROSS, figures_of
from app.model.kit import Piece
from app.model.room import Column
from app.scene.build import Scene, build_scene
from tests.builders import column, make_plan, make_room, place, turned_plan, turned_point

BAG = place("standing-bag", 3000, 3000, piece_id="a")
BEFORE, ROUND = 0, 1
SHIFT = (100, -50)
CORNER = 300 * math.sqrt(2)
"""From the middle of a box of 600 to its corner."""


def box(x: float, y: float, angle: float = 0, size: float = 600) -> Piece:
    return place("other-thing", x, y, angle, piece_id="box", width=size, depth=size)


def scene_of(
    *pieces: Piece, angle: float = 0, columns: tuple[Column, ...] = (), bag: Piece = BAG
) -> Scene:
    room = make_room(8000, 8000, columns=columns)
    return build_scene(turned_plan(make_plan(bag, *pieces, room=room), angle, SHIFT))


def figures(scene: Scene, space: int = BEFORE, owner: int = 1) -> list[float]:
    """What is told of one space and the one solid of an owner."""
    (hit,) = np.flatnonzero(scene.solids.owner == owner)
    (row,) = figures_of(scene, np.array([space]), np.array([hit]))
    return [float(value) for value in row]


@pytest.mark.parametrize("angle", [0, 37, 180])
@pytest.mark.parametrize(
    ("thing", "depth", "nearest"),
    [
        # a box 300 before the bag, and one at the very end
        (box(3000, 3880), 300, None),
        (box(3000, 4780 + 299), 1499, None),
        # a corner first
        (box(3000, 3580 + CORNER, 45), 300, (3000, 3580)),
        # a corner that is in the strip lies deeper than where the side of the box enters it
        (box(3950, 3580 + CORNER - 200, 45), 300, (3750, 3580)),
        (box(2050, 3580 + CORNER - 200, 45), 300, (2250, 3580)),
        # beside it and before it at once: nothing is free
        (box(3580, 3280), 0, None),
        (box(3580, 3571), 0, None),
        (box(3580, 3590), 10, None),
    ],
)
def test_before_an_edge_the_least_distance_counts(
    thing: Piece, depth: float, nearest: tuple[float, float] | None, angle: float
) -> None:
    scene = scene_of(thing, angle=angle)
    met, measured, area, x, y, *_ = figures(scene)
    assert met == 1
    # cores are drawn in by half a millimetre, which tells at a corner
    assert measured == pytest.approx(depth, abs=0.02 if nearest is None else 1)
    assert area == pytest.approx(599**2, rel=1e-6)
    if nearest is not None:
        assert (x, y) == pytest.approx(turned_point(nearest, angle, SHIFT), abs=1.5)


@pytest.mark.parametrize(
    ("y", "met"),
    # a thing that begins at the end of the strip touches it; what is half a millimetre in is met
    [(4780.1, 0), (4780, 0), (4779.5, 0), (4779.4, 1), (4779, 1)],
)
@pytest.mark.parametrize("angle", [0, 37])
def test_what_touches_the_end_of_a_space_is_not_in_it(y: float, met: int, angle: float) -> None:
    row = figures(scene_of(box(3000, y + 300), angle=angle))
    assert row[0] == met
    assert met or not any(row)


@pytest.mark.parametrize("angle", [0, 37])
def test_of_what_reaches_round_only_the_part_in_the_strip_counts(angle: float) -> None:
    # one leg lies beside the bag and behind the edge, the other 300 before it
    legs = (
        *((3500, 2000), (4200, 2000), (4200, 4000), (3500, 4000)),
        *((3500, 3580), (4000, 3580), (4000, 2600), (3500, 2600)),
    )
    scene = scene_of(angle=angle, columns=(column(legs),))
    number = len(scene.order) + scene.fixed_names.index(scene.fixed_names[-1])
    met, measured, _, x, y, *_ = figures(scene, owner=number)
    assert met == 1
    assert measured == pytest.approx(300, abs=0.01)
    # at that side of the leg, wherever along it
    back = turned_point((x - SHIFT[0], y - SHIFT[1]), -angle)
    assert back[1] == pytest.approx(3580.5, abs=0.01)


@pytest.mark.parametrize("angle", [0, 37])
@pytest.mark.parametrize(
    ("thing", "depth", "nearest"),
    [
        # to the right of the bag, behind it, touching it; and off a corner of the box
        (box(3000 + 280 + 200 + 300, 3000), 200, None),
        (box(3000, 3000 - 280 - 450 - 300), 450, None),
        (box(3580, 3000), 0, None),
        (box(3000 + 280 + 200 + CORNER, 3000, 45), 200, (3480, 3000)),
    ],
)
def test_all_round_the_distance_from_the_outline_counts(
    thing: Piece, depth: float, nearest: tuple[float, float] | None, angle: float
) -> None:
    met, measured, _, x, y, *across = figures(scene_of(thing, angle=angle), ROUND)
    assert met == 1
    assert measured == pytest.approx(depth, abs=0.5)
    assert across == [0] * 6
    if nearest is not None:
        assert (x, y) == pytest.approx(turned_point(nearest, angle, SHIFT), abs=1.5)


def test_in_an_area_of_its_own_nothing_is_free() -> None:
    # a mat is floor to lie on; a box within it
    scene = scene_of(box(3000, 3000, size=100), bag=place("mat-space", 3000, 3000, piece_id="a"))
    (area,) = (i for i, s in enumerate(scene.spaces.shapes) if s.space.side == "area")
    assert figures(scene, area)[:3] == [1, 0, pytest.approx(99**2)]


def test_several_pairs_at_once_are_told_each() -> None:
    far = place("other-thing", 3000, 6000, piece_id="far")
    scene = scene_of(box(3000, 3880), far)
    (near_one, far_one) = (np.flatnonzero(scene.solids.owner == n)[0] for n in (1, 2))
    rows = figures_of(
        scene, np.array([ROUND, BEFORE, BEFORE]), np.array([near_one, far_one, near_one])
    )
    assert rows[:, :2] == pytest.approx(np.array([[1, 300], [0, 0], [1, 300]]), abs=0.5)
    # what lies across the strip comes with it, from -300 to 300
    assert rows[2, 1 + ACROSS :][:2] == pytest.approx([-300, 300])
    assert not rows[1].any()


def test_strips_are_looked_in_to_their_very_end() -> None:
    scene = scene_of()
    strip, ring = scene.spaces.looked_in[[BEFORE, ROUND]]
    dx, dy = SHIFT
    # a core is drawn in by 0.5 all round and then moved out by 0.45
    assert strip.bounds == pytest.approx(
        (2250.5 + dx, 3280.95 + dy, 3749.5 + dx, 4779.95 + dy), abs=1e-6
    )
    # that round it lies within chords of a circle of 600: 600 (1 / cos(90 / 16) - 1) is 2.9
    assert ring.bounds == pytest.approx(
        (2120.05 - 2.903 + dx, 2120.05 - 2.903 + dy, 3879.95 + 2.903 + dx, 3879.95 + 2.903 + dy),
        abs=0.01,
    )


@pytest.mark.parametrize("angle", [0, 5.6, 37])
def test_all_round_two_short_is_told_at_any_angle(angle: float) -> None:
    for lack, met in ((0.4, 0), (2, 1)):
        scene = scene_of(box(3000 + 280 + 600 - lack + 300, 3000), angle=angle)
        snags = [snag for snag in room_to_use(scene) if snag.all_round]
        assert len(snags) == met
