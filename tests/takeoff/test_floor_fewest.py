"""The fewest mats: no layout drawn by lot in a small awkward room takes fewer than the best."""

import random

import pytest

from app.errors import PlanError
from app.model.flooring import FloorLaying
from app.scene.build import Scene, build_scene
from app.takeoff.floor_layout import lay_floor
from app.takeoff.floor_lines import lines
from app.takeoff.floor_region import Start
from app.takeoff.floor_search import search_floor
from app.takeoff.floor_site import site_of
from tests.builders import Corner, column, make_plan, make_room, rectangle

SEED, ROOMS, TRIES = 29, 12, 60
SIZES = ((1000, 1000), (1220, 915), (1830, 1220), (600, 600), (1000, 500))


def room(
    width: int, depth: int, skew: int, nib: int, out: int, *columns: tuple[Corner, ...]
) -> Scene:
    """A nib beside the back, a right wall that may run askew, and columns."""
    corners = (
        *((0, 0), (width, 0), (width + skew, depth)),
        *((nib, depth), (nib, depth - out), (0, depth - out)),
    )
    shape = make_room(corners=corners, columns=[column(one) for one in columns])
    return build_scene(make_plan(room=shape))


def mats(size: tuple[int, int]) -> FloorLaying:
    return FloorLaying(id="f", length_mm=size[0], width_mm=size[1])


@pytest.mark.parametrize(
    ("scene", "size", "fewest"),
    [
        # each laid so by hand: found by drawing shifts and staggers by lot
        (room(1675, 2565, 0, 461, 160, rectangle(660, 1167, 906, 1344)), (1220, 915), 4),
        (room(2078, 1661, 0, 426, 569), (1000, 500), 7),
        (room(1426, 2290, -136, 746, 118, rectangle(785, 951, 876, 1060)), (1220, 915), 3),
        (room(3815, 2904, 0, 237, 483), (1000, 1000), 11),
    ],
    ids=["column", "nib", "skew", "grid"],
)
def test_layouts_that_were_missed_are_found(
    scene: Scene, size: tuple[int, int], fewest: int
) -> None:
    searched = search_floor(scene, mats(size))
    assert searched is not None
    assert (searched.best.narrow, searched.best.mats) == (0, fewest)
    # and what is found can be laid: counted anew over the pieces
    laid = lay_floor(scene, mats(size), searched.best.start)
    assert (laid.narrow_mats, laid.to_buy) == (0, fewest)


@pytest.mark.long
@pytest.mark.parametrize("number", range(ROOMS))
def test_no_layout_drawn_by_lot_takes_fewer(number: int) -> None:
    lot = random.Random(SEED + number)
    width, depth = lot.randint(1400, 2900), lot.randint(1400, 2600)
    nib, out = lot.randint(200, 900), lot.randint(40, 600)
    x, y = lot.randint(200, width - 600), lot.randint(150, max(160, depth - out - 500))
    post = rectangle(x, y, x + lot.randint(80, 300), y + lot.randint(80, 300))
    skew = lot.choice([0, 0, lot.randint(-250, 250)])
    scene = room(width, depth, skew, nib, out, *[post] * lot.randint(0, 1))
    laying = mats(lot.choice(SIZES))
    searched = search_floor(scene, laying)
    assert searched is not None
    best = searched.best.narrow, searched.best.mats
    for wall in scene.room.walls[:4]:
        for along in (True, False):
            for _ in range(TRIES // 2):
                drawn = by_lot(lot, scene, laying, wall.id, along)
                assert drawn is None or drawn >= best, (wall.id, along, drawn, best)


def by_lot(
    lot: random.Random, scene: Scene, laying: FloorLaying, wall: str, along: bool
) -> tuple[int, int] | None:
    """Narrow strips and mats of a layout with shifts and a stagger drawn by lot."""
    stagger = lot.choice([0, 1 / 2, 1 / 3, 1 / 4, 2 / 5, 2 / 3])
    joints = "staggered" if stagger else "straight"
    down, up = float(lot.randint(0, 1999)), lot.randint(0, 1999)
    plain = Start(wall, False, along, "straight")
    site = site_of(scene, laying, plain)
    _, low, _, high = site.region.bounds
    length = site.grid.length
    rows = len(lines(low, high, down, site.grid.depth)) - 1
    phases = tuple((up + i * stagger * length) % length for i in range(rows))
    start = Start(wall, False, along, joints, down, phases, stagger or 1 / 2)  # type: ignore[arg-type]
    try:
        laid = lay_floor(scene, laying, start)
    except PlanError:
        return None
    return laid.narrow_mats, laid.to_buy
