"""One meaning of the narrowest way: options, the page of ways and the film tell the same figure."""

import math

import pytest

from app.checks.narrowest import Narrowest, narrowest
from app.checks.routes import walking
from app.drawing.route_film import route_film
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place
from tests.checks.test_routes import barred, door


def of(plan: Plan) -> Narrowest:
    return narrowest(build_scene(plan))


def test_the_narrowest_of_the_best_ways_names_its_place() -> None:
    found = of(barred(700))
    assert found.width_mm == pytest.approx(700, abs=0.6)
    assert not found.shut
    assert found.said.told("metric") == (
        "700 mm to the upright bike, between the shelving and the right wall"
    )


def test_it_is_that_of_the_snag_and_of_the_film() -> None:
    scene = build_scene(barred(500))
    (snag,) = walking(scene)
    assert snag.measured == 500
    film = route_film(scene)
    assert film.key.startswith("The narrowest of the best ways: 500 mm to the upright bike, ")
    assert film.lines[0].words.startswith("Door to the upright bike: 500 mm at its narrowest")
    assert narrowest(scene).width_mm == pytest.approx(500, abs=0.6)


@pytest.mark.parametrize(("gap", "words"), [(290, ": 290 mm at most, between the"), (0, "")])
def test_a_station_that_is_not_reached_shuts_it(gap: float, words: str) -> None:
    # 450 mm are the least for a way, common practice
    found = of(barred(gap))
    assert found.shut
    assert found.width_mm == pytest.approx(gap, abs=0.6)
    assert found.said.told("metric").startswith(f"shut: no way to the upright bike{words}")


def test_a_second_door_that_serves_better_counts_and_the_first_is_told() -> None:
    """By the door at the front there are 290 mm to the bike, by the one at the back 900."""
    room = make_room(openings=[door(), door("back", 200)])
    scene = build_scene(barred(290, room=room))
    found = narrowest(scene)
    assert not found.shut
    assert found.width_mm is not None
    assert found.width_mm > 600
    # the shelving before them is reached from the front
    assert "By one way out alone it would be 290 mm" in found.said.told("metric")
    film = route_film(scene)
    worst = next(line for line in film.lines if "290 mm" in line.words)
    assert worst.ink == "stop"
    assert " By the door in the back wall " in worst.words


def test_without_a_door_or_a_station_there_is_nothing_to_judge() -> None:
    for plan in (make_plan(place("bike")), make_plan(room=make_room(openings=[door()]))):
        assert of(plan) == Narrowest(None, False, of(plan).said)
        assert of(plan).said.told("metric") == "no way to judge"


def test_an_open_floor_narrows_nothing() -> None:
    plan = make_plan(place("mat-space", 2500, 2500), room=make_room(openings=[door()]))
    found = of(plan)
    assert found.width_mm is None or math.isinf(found.width_mm) or found.width_mm > 900
