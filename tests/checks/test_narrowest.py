"""One meaning of the narrowest way: options, the page of ways and the film tell the same figure."""

import math

import pytest

from app.checks.narrowest import Narrowest, narrowest
from app.checks.routes import walking
from app.drawing.route_film import RouteLine, route_film
from app.model.plan import Plan
from app.scene.build import build_scene
from app.web.pages.figures import table_of_ways
from tests.builders import make_plan, make_room, place
from tests.checks.test_routes import barred, door


def of(plan: Plan) -> Narrowest:
    return narrowest(build_scene(plan))


def test_the_narrowest_of_the_best_ways_names_its_place() -> None:
    found = of(barred(700))
    assert found.width_mm == pytest.approx(700, abs=0.6)
    assert not found.shut
    assert found.wording.worded("metric") == (
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
    assert found.wording.worded("metric").startswith(f"shut: no way to the upright bike{words}")


def test_a_second_door_that_serves_better_counts_and_the_first_is_told() -> None:
    """By the door at the front there are 290 mm to the bike, by the one at the back 900."""
    room = make_room(openings=[door(), door("back", 200)])
    scene = build_scene(barred(290, room=room))
    found = narrowest(scene)
    assert not found.shut
    assert found.width_mm is not None
    assert found.width_mm > 600
    # the shelving before them is reached from the front
    assert "By one way out alone it would be 290 mm" in found.wording.worded("metric")
    film = route_film(scene)
    worst = next(line for line in film.lines if "290 mm" in line.words)
    assert worst.ink == "stop"
    assert " By the door in the back wall " in worst.words


def test_without_a_door_or_a_station_there_is_nothing_to_judge() -> None:
    for plan in (make_plan(place("bike")), make_plan(room=make_room(openings=[door()]))):
        assert of(plan) == Narrowest(None, False, of(plan).wording)
        assert of(plan).wording.worded("metric") == "no way to judge"


def test_an_open_floor_narrows_nothing() -> None:
    plan = make_plan(place("mat-space", 2500, 2500), room=make_room(openings=[door()]))
    found = of(plan)
    assert found.width_mm is None or math.isinf(found.width_mm) or found.width_mm > 900


def turned_away() -> Plan:
    """A bike in the room, and a pull-up bar whose place to hang lies behind the back wall."""
    bar = place("pull-up-bar-wall", 2500, 30, 180, piece_id="bar")
    return make_plan(place("bike", 2500, 2500), bar, room=make_room(openings=[door()]))


def test_a_station_used_outside_the_room_is_never_well_reached() -> None:
    scene = build_scene(turned_away())
    found = narrowest(scene)
    assert (found.width_mm, found.shut) == (0, True)
    assert found.wording.worded("metric") == "shut: no way to the wall pull-up bar"
    film = route_film(scene)
    assert film.key.startswith("The narrowest of the best ways: shut: no way to the wall pull-up")
    assert film.short == "No way to the wall pull-up bar."
    assert film.lines[0] == RouteLine(
        "stop", "Wall pull-up bar: no way. No place to use it lies in the room."
    )
    assert 'class="way-shut stop" data-piece="bar"' in film.svg
    (row,) = (row for row in table_of_ways(scene) if row["name"] == "Wall pull-up bar")
    assert (row["width"], row["where"]) == ("no way", "no place to use it lies in the room")


@pytest.mark.parametrize(
    ("gap", "short"),
    [
        (0, "No way to the upright bike."),
        (440, "No way to the upright bike."),
        (560, "Narrower than it should be: the way to the upright bike."),
        (700, "Every way is as wide as it should be."),
    ],
)
def test_the_film_says_in_short_what_the_figure_says(gap: float, short: str) -> None:
    # 450 mm are the least for a way and 600 are wanted, common practice
    scene = build_scene(barred(gap))
    assert route_film(scene).short == short
    assert narrowest(scene).shut == short.startswith("No way")


def test_what_only_one_of_two_doors_leads_to_is_told_as_such() -> None:
    room = make_room(openings=[door(), door("back", 200)])
    film = route_film(build_scene(barred(290, room=room)))
    assert (
        film.short == "Every station has a way as wide as it should be, but not by every way out."
    )
    assert "The lines tell each way out by itself." in film.key
    film = route_film(build_scene(barred(700, room=room)))
    assert film.short == "Every way is as wide as it should be."
    # 700 mm by the front, and wider by the back: the line says so beside its own figure
    by_front = next(line.words for line in film.lines if ": 700 mm at its narrowest" in line.words)
    assert " By the door in the back wall " in by_front
