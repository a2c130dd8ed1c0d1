"""Rooms of many shapes with kit in them, laid out by the core at random places."""

import math
from collections.abc import Callable

import numpy as np

from app.changes.commands import apply, moves
from app.model.plan import Plan
from app.model.room import Joists, Opening, Plane
from app.model.versions import load
from app.placing.core import Core
from app.resources import folder
from app.scene.build import Scene, build_scene
from tests.builders import (
    column,
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    two_slopes,
)

# Sizes and heights of all rooms here: our own invention.
PEOPLE = (
    make_person(1880, person_id="tall", want=("squat", "standing-press", "pull-up", "run")),
    make_person(
        1640, person_id="short", want=("bench-press", "barbell-row", "bike"), no=("box-jump",)
    ),
)
DOOR = Opening(
    id="door", wall="w1", kind="hinged", offset_mm=300, width_mm=800, height_mm=2000, way_out=True
)


def sample(key: str) -> Plan:
    """Give a sample room."""
    return load((folder("sample_rooms") / f"{key}.json").read_bytes())


def l_shaped() -> Plan:
    """An L with joists, a column and a door that opens into it."""
    corners = ((0, 0), (6000, 0), (6000, 3000), (3500, 3000), (3500, 5500), (0, 5500))
    room = make_room(
        height=2450,
        corners=corners,
        covering=15,
        openings=(DOOR,),
        joists=Joists(direction_deg=90, spacing_mm=450, width_mm=50, depth_mm=120, first_mm=150),
        columns=(column(rectangle(3000, 2500, 3200, 2700)),),
    )
    return make_plan(
        place("half-rack"),
        place("bar-20", carried_by="half-rack"),
        place("flat-bench", carried_by="half-rack"),
        place("rower"),
        place("bike"),
        place("plate-tree"),
        place("jump-box"),
        room=room,
        people=PEOPLE,
    )


def loft() -> Plan:
    """Two slopes with a ridge along the middle, and a purlin under one of them."""
    purlin = low_thing(rectangle(900, 0, 1050, 5000), 1850)
    planes = two_slopes(4000, 5000, 1500, 800)
    room = make_room(4000, 5000, planes=planes, low_things=(purlin,))
    return make_plan(
        place("squat-stands"),
        place("bar-20", carried_by="squat-stands"),
        place("running-machine"),
        place("rower"),
        place("adjustable-dumbbells"),
        place("mirror"),
        room=room,
        people=PEOPLE,
    )


def slanted() -> Plan:
    """Five walls, two of them at angles, with a window to look through and one to climb out of."""
    corners = ((0, 0), (5200, 0), (6400, 1900), (6400, 4600), (400, 4900))
    openings = (
        Opening(
            id="garage",
            wall="w1",
            kind="side-sliding",
            offset_mm=900,
            width_mm=2400,
            height_mm=2100,
            way_out=True,
        ),
        Opening(
            id="window",
            wall="w3",
            kind="window",
            offset_mm=600,
            width_mm=1200,
            height_mm=1000,
            sill_mm=900,
            must_open=True,
        ),
    )
    room = make_room(height=2600, corners=corners, covering=20, openings=openings)
    return make_plan(
        place("half-rack"),
        place("bar-20", carried_by="half-rack"),
        place("running-machine"),
        place("hung-bag"),
        place("mirror"),
        place("kettlebell-shelf"),
        place("mat-space"),
        room=room,
        people=PEOPLE,
    )


def escape() -> Plan:
    """A cellar that is left by its window alone, under a garage door that opens overhead."""
    openings = (
        Opening(
            id="window",
            wall="right",
            kind="window",
            offset_mm=1200,
            width_mm=900,
            height_mm=1000,
            sill_mm=800,
            must_open=True,
            way_out=True,
        ),
        Opening(
            id="garage",
            wall="front",
            kind="tracks",
            offset_mm=900,
            width_mm=2400,
            height_mm=2100,
            open_while_training="yes",
        ),
    )
    room = make_room(4300, 5200, 2350, openings=openings)
    return make_plan(
        place("half-rack"),
        place("bar-20", carried_by="half-rack"),
        place("rower"),
        place("plate-tree"),
        place("consumer-unit", 2000, 60, stays=True),
        place("bike"),
        room=room,
        people=PEOPLE,
    )


def stepped() -> Plan:
    """A step of 150, a floor 500 up without a way out, platforms, and a beam over the middle."""
    floors = (
        Plane(id="floor", height_mm=0),
        Plane(id="bay", height_mm=150, outline=rectangle(0, 0, 1800, 1500)),
        Plane(id="stage", height_mm=500, outline=rectangle(4600, 0, 6000, 6500)),
    )
    door = DOOR.model_copy(update={"wall": "left", "swing": "out", "offset_mm": 500})
    beam = low_thing(rectangle(0, 3000, 6000, 3400), 2090)
    bare = make_room(6000, 6500, 2900, openings=(door,), low_things=(beam,))
    floor = bare.floor.model_copy(update={"planes": floors})
    room = bare.model_copy(update={"floor": floor})
    return make_plan(
        place("mid-rack"),
        place("bar-20", carried_by="mid-rack"),
        place("platform", piece_id="deck"),
        place("platform", piece_id="stage", width=1830, depth=1830, height=80),
        place("running-machine"),
        place("bike"),
        place("mat-space"),
        room=room,
        people=PEOPLE,
    )


ROOMS: dict[str, Callable[[], Plan]] = {
    "double garage": lambda: sample("double-garage"),
    "single garage": lambda: sample("single-garage"),
    "basement": lambda: sample("basement"),
    "upstairs room": lambda: sample("upstairs-room"),
    "L": l_shaped,
    "loft": loft,
    "slanted": slanted,
    "escape": escape,
    "stepped": stepped,
}


def laid_out(plan: Plan, rng: np.random.Generator) -> Scene:
    """Give a plan with its stations at random places that the core admits; what finds none goes."""
    scene = build_scene(plan)
    core = Core.of(scene)
    layout = core.layout()
    large_first = sorted(
        core.free, key=lambda root: -math.prod(_sides(core.stations[root][0].footprint.bounds))
    )
    for root in large_first:
        for turn in rng.permutation(core.turns(root)).tolist():
            points = core.free_points(root, turn, layout, every_mm=300)
            points = points[core.admits(root, turn, points, layout)]
            if len(points):
                x, y = points[rng.integers(len(points))].tolist()
                layout = layout.put(root, turn, (x, y))
                break
    moved = apply(plan, moves(plan, layout.poses(root for root in core.free if root in layout.at)))
    kept = {piece.piece.id for root in layout.at for piece in core.stations[root]}
    pieces = tuple(piece for piece in moved.pieces if piece.id in kept)
    return build_scene(moved.model_copy(update={"pieces": pieces}))


def _sides(bounds: tuple[float, float, float, float]) -> tuple[float, float]:
    return bounds[2] - bounds[0], bounds[3] - bounds[1]
