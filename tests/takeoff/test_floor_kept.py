"""A floor is kept by all it hangs on, and by nothing else."""

import pytest

from app.model.flooring import FloorLaying
from app.model.room import Column, Opening
from app.scene.build import Scene, build_scene
from app.takeoff.floor_layout import Laid, lay_floor
from app.takeoff.floor_region import start_of
from app.takeoff.floor_search import search_floor
from app.takeoff.floor_site import ground_of
from tests.builders import column, make_plan, make_room, place

MAT = FloorLaying(
    id="f", length_mm=900, width_mm=600, start_wall="back", along=True, joints="straight"
)
"""Most is said, so that little is sought: what is kept hangs on the same."""
DOOR = Opening(id="d", wall="back", kind="hinged", offset_mm=1200, width_mm=900, height_mm=2000)
NIB = ((1700, 1800), (2000, 1800), (2000, 2100), (1700, 2100))


def room(
    *pieces: tuple[str, float, float],
    width: float = 3710,
    openings: tuple[Opening, ...] = (DOOR,),
    columns: tuple[Column, ...] = (column(NIB),),
) -> Scene:
    shape = make_room(width, 3230, openings=openings, columns=columns)
    return build_scene(make_plan(*(place(*one) for one in pieces), room=shape))


def told(laid: Laid) -> tuple[object, ...]:
    return laid.start, laid.lower_bound, [(m.polygon.wkt, m.sheet, m.rect) for m in laid.mats]


def laid(scene: Scene, laying: FloorLaying) -> Laid:
    return lay_floor(scene, laying, start_of(scene, laying))


BEFORE = room(("half-rack", 1500, 1500))


@pytest.mark.parametrize(
    "fields",
    [
        {"price_minor": 4200},
        {"pack": 4},
        {"label": "in the corner", "id": "g"},
        {"material": "foam", "thickness_mm": 12, "mass_kg": 3, "density_kg_m3": 90},
        {"lasts_years": 8},
    ],
    ids=lambda fields: next(iter(fields)),
)
def test_what_a_product_is_called_and_costs_lays_no_floor_anew(fields: dict[str, object]) -> None:
    other = changed(fields)
    assert search_floor(BEFORE, other) is search_floor(BEFORE, MAT)
    assert laid(BEFORE, other).laying == other
    assert laid(BEFORE, other).mats is laid(BEFORE, MAT).mats


def test_a_rack_moved_along_lays_no_floor_anew() -> None:
    moved = room(("half-rack", 1550, 1500))
    assert search_floor(moved, MAT) is search_floor(BEFORE, MAT)


@pytest.mark.parametrize(
    "other",
    [
        room(("half-rack", 1500, 1500), width=3711),
        room(("half-rack", 1500, 1500), columns=()),
        room(("half-rack", 1500, 1500), openings=()),
        room(("half-rack", 1500, 1500), openings=(DOOR.model_copy(update={"offset_mm": 1250}),)),
        # the training is at the other end, and so is the end one begins at
        room(("half-rack", 3000, 2500)),
    ],
    ids=["width", "column", "no door", "door", "training"],
)
def test_another_room_has_a_floor_of_its_own(other: Scene) -> None:
    assert search_floor(other, MAT) is not search_floor(BEFORE, MAT)


HOW_IT_LIES: tuple[dict[str, object], ...] = (
    {"gap_mm": 12},
    {"least_strip_mm": 120},
    {"zone": ((0, 0), (3710, 0), (3710, 2000), (0, 2000))},
    {"kerf_mm": 3},
    {"turns": False},
    {"length_mm": 901},
    {"joints": "staggered"},
    {"factory_edges": True},
    {"kind": "tile"},
    {"door_stop_mm": 120},
    {"first_mm": 400},
    {"stagger": 0.4},
)


def changed(fields: dict[str, object]) -> FloorLaying:
    return MAT.model_validate({**MAT.model_dump(), **fields})


def test_what_a_floor_hangs_on_tells_it_from_every_other() -> None:
    grounds = {ground_of(BEFORE, changed(fields)) for fields in ({}, *HOW_IT_LIES)}
    assert len(grounds) == len(HOW_IT_LIES) + 1


@pytest.mark.parametrize("fields", HOW_IT_LIES[:3], ids=lambda fields: next(iter(fields)))
def test_a_floor_kept_is_the_one_that_would_be_laid_now(fields: dict[str, object]) -> None:
    other = changed(fields)
    first = told(laid(BEFORE, other))
    laid(BEFORE, MAT)
    # without a leaf the door decides the same, in a room of its own: laid without what is kept
    fresh = room(("half-rack", 1500, 1500), openings=(DOOR.model_copy(update={"kind": "gap"}),))
    assert told(laid(fresh, other)) == first
