"""Where the largest is built first: a rectangle of its longest part and 700 round it, all free.

700 mm round a part that lies flat is common practice, no source.
"""

import math

import pytest
import shapely

from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import build_scene
from app.works.building_room import building_room
from tests.builders import make_plan, make_room, place

ROUND_MM = 700.0


def sides(ring: tuple[tuple[float, float], ...]) -> list[float]:
    return sorted(math.dist(a, b) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))


def room_of(width: float, depth: float, *more: Piece) -> Plan:
    rack = place("mid-rack", 800, 700, piece_id="rack")
    return make_plan(rack, *more, room=make_room(width, depth))


@pytest.mark.parametrize(("width", "depth"), [(5320, 5180), (3600, 1700), (1700, 3600)])
def test_part_and_room_round_it_are_free(width: float, depth: float) -> None:
    stays = place("chest-freezer", width - 500, depth - 400, piece_id="f")
    plan = room_of(width, depth, *([stays.model_copy(update={"stays": True})] * (width > 4000)))
    scene = build_scene(plan)
    found = building_room(scene)
    assert found is not None
    assert found.free is not None
    assert found.part is not None
    assert found.placed.piece.id == "rack"
    # a mid rack comes in boxes of 2200 x 300 (its row of parcels)
    assert sides(found.part) == pytest.approx([300, 300, 2200, 2200])
    free, part = shapely.Polygon(found.free), shapely.Polygon(found.part)
    assert sides(found.free) == pytest.approx([1700, 1700, 3600, 3600])
    assert free.exterior.distance(part) == pytest.approx(ROUND_MM)
    assert scene.room.free.buffer(1.5, join_style="mitre").covers(free)
    for other in scene.order:
        if other.piece.stays:
            assert free.intersection(other.footprint).area < free.length * 2


@pytest.mark.parametrize(("width", "depth"), [(3596, 5000), (5000, 1690), (3000, 3000)])
def test_a_room_too_small_by_a_little_has_none(width: float, depth: float) -> None:
    turned = width < 3600 <= depth and width >= 1700
    found = building_room(build_scene(room_of(width, depth)))
    assert found is not None
    assert (found.free is not None) is turned


def test_nothing_is_built_of_what_comes_whole() -> None:
    bare = make_plan(place("chest-freezer", 800, 800), room=make_room(4000, 4000))
    assert building_room(build_scene(bare)) is None
