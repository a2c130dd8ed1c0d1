"""Sight of a screen from machines, of oneself in a mirror."""

import pytest

from app.checks.sight import sight
from app.checks.snag import Snag
from app.model.kit import Piece
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan

# a screen on the back wall looks towards y; a runner facing it stands below it
SCREEN = place("screen", 2500, 30, height=1900)


def judged(*pieces: Piece, width: float = 5000, depth: float = 5000) -> list[Snag]:
    return list(sight(build_scene(make_plan(*pieces, room=make_room(width, depth)))))


def test_a_screen_before_the_machine() -> None:
    assert judged(SCREEN, place("running-machine", 2500, 3000)) == []


@pytest.mark.parametrize(
    ("x", "y", "angle", "why"),
    [
        (2500, 8500, 0, "8.4 m off"),
        (2500, 3000, 180, "180 degrees to the side"),
        (2500, 3000, 90, "91 degrees to the side"),
    ],
)
def test_a_screen_that_serves_nobody(x: float, y: float, angle: float, why: str) -> None:
    (snag,) = judged(SCREEN, place("running-machine", x, y, angle), depth=10_000)
    assert (snag.code, snag.severity) == ("sight-screen", "note")
    assert why in snag.sentence


def test_a_screen_too_high() -> None:
    high = place("screen", 2500, 30, height=2600)
    (snag,) = judged(high, place("bike", 2500, 1400))
    assert "above the eye" in snag.sentence


def test_one_machine_that_sees_it_is_enough() -> None:
    far = place("bike", 2500, 9000)
    assert judged(SCREEN, far, place("running-machine", 2500, 3000), depth=10_000) == []


def test_a_mirror() -> None:
    rack = place("mid-rack", 2500, 3500)
    assert judged(place("mirror", 2500, 15), rack) == []
    (snag,) = judged(place("mirror", 8000, 15), rack, width=10_000)
    assert (snag.code, snag.severity) == ("sight-mirror", "note")


def test_something_tall_before_the_mirror() -> None:
    wall = place("fridge", 2500, 1500, width=3000, height=2000)
    (snag,) = judged(place("mirror", 2500, 15), place("mid-rack", 2500, 3500), wall)
    assert snag.code == "sight-mirror"
    low = place("chest-freezer", 2500, 1500)
    assert judged(place("mirror", 2500, 15), place("mid-rack", 2500, 3500), low) == []


def test_nothing_to_see() -> None:
    assert judged() == []
    assert judged(place("mid-rack")) == []
    assert judged(SCREEN, place("mirror", 1000, 15)) == []


@pytest.mark.parametrize("angle", [0, 37, 90, 201.5])
def test_turning_everything_changes_nothing(angle: float) -> None:
    good = make_plan(place("mirror", 2500, 15), place("mid-rack", 2500, 3500))
    bad = make_plan(place("mirror", 800, 15, width=600), place("mid-rack", 3500, 3500))
    assert list(sight(build_scene(turned_plan(good, angle)))) == []
    assert [s.code for s in sight(build_scene(turned_plan(bad, angle)))] == ["sight-mirror"]


def test_who_rides_sits_lower_than_who_runs_on_a_deck() -> None:
    # an eye at 800 + 0.458 x 1750 = 1601 on a saddle (seat: practice; ratio: Winter 2009); on a
    # running deck it is higher, and the same screen lies no more than 15 degrees above it
    screen = place("screen", 2500, 30, height=2300)
    (snag,) = judged(screen, place("bike", 2500, 1400))
    assert "18 degrees above the eye" in snag.sentence
    assert judged(screen, place("running-machine", 2500, 1800)) == []


def test_a_screen_is_for_machines_and_a_mirror_for_lifting() -> None:
    # a runner with its back to the mirror does not lift; who presses reads no screen
    assert judged(place("mirror", 2500, 15), place("running-machine", 2500, 3000)) == []
    bench = place("flat-bench", 2500, 3000)
    assert judged(SCREEN, bench) == []
    assert judged(SCREEN, place("mat-space", 2500, 8500), depth=10_000) == []


def test_of_machines_that_do_not_see_the_screen_the_nearest_is_told() -> None:
    near = place("running-machine", 2500, 3000, 180, piece_id="near")
    far = place("bike", 2500, 9000, piece_id="far")
    for pieces in ((near, far), (far, near)):
        (snag,) = judged(SCREEN, *pieces, depth=10_000)
        assert snag.pieces == ("screen", "near")
    # behind the screen's back nobody looks at it
    behind = place("bike", 2500, 500, piece_id="behind")
    free = place("screen", 2500, 3000, height=1900)
    assert judged(free, behind) == []
    (snag,) = judged(free, behind, place("bike", 2500, 4500, 180, piece_id="before"))
    assert snag.pieces == ("screen", "before")


def test_of_those_who_lift_aside_of_the_mirror_the_nearest_is_told() -> None:
    mirror = place("mirror", 8000, 15)
    near, far = place("mid-rack", 4000, 3500), place("mid-rack", 1500, 3500, piece_id="far")
    for pieces in ((near, far), (far, near)):
        (snag,) = judged(mirror, *pieces, width=10_000)
        assert snag.where == pytest.approx((8000, 30), abs=20)
        assert "the mid rack is nearest" in snag.sentence
