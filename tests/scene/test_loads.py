"""What draws power, what runs at once, and on which circuit, in a room of 5 x 5 m by hand.

A running machine draws 2000 W, a walking pad 600, a heater 2000, a fan 150 (rows of the library).
"""

from typing import Any

import pytest

from app.model.plan import Plan
from app.scene.build import Scene, build_scene
from app.scene.loads import circuit_of, loads, outlets, typed_circuit, used_together
from tests.builders import make_person, make_plan, place

MACHINES = (
    place("walking-pad", 1000, 1000),
    place("running-machine", 3000, 3000),
    place("bike", 4000, 1000),
)
HOUSE = (place("fan", 500, 4500), place("heater", 4500, 4500))


def scene_of(*pieces: Any, people: int = 0, **room: Any) -> Scene:
    persons = [make_person(person_id=f"p{i}") for i in range(people)]
    data = make_plan(*pieces, people=persons).model_dump()
    data["room"] |= room
    return build_scene(Plan.model_validate(data))


def drawn(scene: Scene) -> list[tuple[str, float]]:
    return [(load.placed.piece.type, load.watts) for load in loads(scene)]


def test_the_largest_comes_first_and_of_equal_ones_the_machine() -> None:
    scene = scene_of(*HOUSE, *MACHINES, place("plate-tree"))
    assert drawn(scene) == [
        ("running-machine", 2000), ("heater", 2000), ("walking-pad", 600), ("fan", 150),
        ("bike", 100),
    ]  # fmt: skip


def test_what_was_typed_for_a_piece_wins_and_nothing_is_no_load() -> None:
    own = place("running-machine").model_copy(update={"power_w": 700.0})
    none = place("walking-pad").model_copy(update={"power_w": 0.0})
    faint = place("bike").model_copy(update={"power_w": 0.5})
    out = place("fan", piece_id="away").model_copy(update={"state": "out"})
    assert drawn(scene_of(own, none, faint, out)) == [("running-machine", 700), ("bike", 0.5)]


@pytest.mark.parametrize(
    # nobody entered counts as one person: the machine that draws most, and all of the house
    ("people", "watts"),
    [(0, 4150), (1, 4150), (2, 4750), (3, 4850), (9, 4850)],
)
def test_a_machine_for_each_person_and_all_of_the_house_run_at_once(
    people: int, watts: float
) -> None:
    scene = scene_of(*MACHINES, *HOUSE, people=people)
    assert sum(load.watts for load in used_together(scene, loads(scene))) == watts


SOCKETS = [
    {"id": "a", "wall": "back", "offset_mm": 500, "circuit": "one"},
    {"id": "b", "wall": "right", "offset_mm": 4000, "circuit": "two"},
    {"id": "c", "wall": "left", "offset_mm": 1000},
]
TWO = {"circuits": [{"id": "one", "amps": 16}, {"id": "two", "amps": 16}]}


def test_sockets_lie_along_their_wall_from_its_first_corner() -> None:
    # walked round with the walls on the left: down the right wall, up the left one
    points = outlets(scene_of(sockets=SOCKETS))
    assert [(point.x, point.y) for point in points] == [(500, 0), (5000, 4000), (0, 4000)]


def test_the_circuit_of_a_piece_is_the_typed_one_else_that_of_the_nearest_socket() -> None:
    near, far = place("bike", 700, 600), place("heater", 4500, 4500)
    typed = place("fan", 4500, 4000).model_copy(update={"circuit": "one"})
    beside = place("fridge", 500, 4000)
    scene = scene_of(near, far, typed, beside, sockets=SOCKETS, electricity=TWO)
    circuits = {p.piece.type: circuit_of(scene, p) for p in scene.order}
    assert circuits == {"bike": "one", "heater": "two", "fan": "one", "fridge": None}
    assert typed_circuit(scene, scene.placed["bike"]) is None


def test_the_only_circuit_is_that_of_all() -> None:
    only = {"circuits": [{"id": "one", "amps": 16}]}
    scene = scene_of(place("heater", 4500, 4500), sockets=SOCKETS[2:], electricity=only)
    assert circuit_of(scene, scene.order[0]) == "one"
    unknown = scene_of(place("heater", 4500, 4500), sockets=SOCKETS[2:], electricity=TWO)
    assert circuit_of(unknown, unknown.order[0]) is None
