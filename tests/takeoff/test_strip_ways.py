"""Strips meet windows, doors, beams and pipes, or do not."""

from __future__ import annotations

from typing import Any

import pytest

from app.model.finishing import StripRun
from app.model.room import Opening, Room
from app.scene.build import Scene
from app.takeoff.strip_ways import hidden_stretches, met_on_the_way, way_says
from tests.builders import low_thing, make_room, rectangle
from tests.takeoff.making import scene_of

WINDOW = Opening(id="w", wall="back", kind="window", offset_mm=1000, width_mm=800, height_mm=900,
                 sill_mm=1100)  # fmt: skip


def run(*points: tuple[float, float], wall: str | None = "back", **fields: Any) -> StripRun:
    return StripRun(id="s", wall=wall, points=points, **fields)


def room(**fields: Any) -> Room:
    return make_room(4000, 3000, 2400, **fields)


def met(of: StripRun, scene: Scene) -> list[tuple[str, float, float]]:
    return [(m.name, round(m.from_mm), round(m.to_mm)) for m in met_on_the_way(scene, of)]


@pytest.mark.parametrize(
    ("height", "crossed"),
    [
        # the window is from 1000 to 1800 along and from 1100 to 2000 up
        (1500, [("window", 1000, 1800)]),
        (2001, []),
        (1099, []),
    ],
)
def test_a_run_over_a_window_says_where(height: float, crossed: list[Any]) -> None:
    scene = scene_of(room=room(openings=[WINDOW]))
    assert met(run((200, height), (3000, height)), scene) == crossed


def test_a_beam_that_meets_the_wall_is_in_the_way_up_to_the_ceiling() -> None:
    beam = low_thing(rectangle(2000, 0, 2200, 3000), 2100)
    scene = scene_of(room=room(low_things=(beam,)))
    assert met(run((200, 2200), (3000, 2200)), scene) == [("beam", 2000, 2200)]
    assert met(run((200, 2099), (3000, 2099)), scene) == []
    off = scene_of(room=room(low_things=(low_thing(rectangle(2000, 500, 2200, 3000), 2100),)))
    assert met(run((200, 2200), (3000, 2200)), off) == []


def test_a_run_past_the_wall_or_above_it_is_named() -> None:
    scene = scene_of(room=room())
    assert met(run((3000, 2000), (4300, 2000)), scene) == [("end of the wall", 4000, 4300)]
    assert met(run((0, 2500), (1000, 2500)), scene) == [("end of the wall", 0, 1000)]


def test_under_the_ceiling_lengths_are_along_the_run() -> None:
    pipe = low_thing(rectangle(1000, 0, 1100, 3000), 2300)
    scene = scene_of(room=room(low_things=(pipe,)))
    assert met(run((500, 500), (2500, 500), wall=None), scene) == [("beam", 500, 600)]


def test_behind_a_lining_lengths_are_still_along_the_wall_as_measured() -> None:
    # the inner face of a wall of 4000 begins 50 beyond its corner and ends 50 before the other
    scene = scene_of(room=room(openings=[WINDOW], lining=50))
    assert met(run((200, 1500), (3000, 1500)), scene) == [("window", 1000, 1800)]
    assert met(run((3000, 2200), (4000, 2200)), scene) == [("end of the wall", 3950, 4000)]
    # a beam from 2000 to 2200 across the room
    beam = low_thing(rectangle(2000, 0, 2200, 3000), 2100)
    lined = scene_of(room=room(low_things=(beam,), lining=50))
    assert met(run((200, 2200), (3000, 2200)), lined) == [("beam", 2000, 2200)]


@pytest.mark.parametrize(
    ("height", "off", "behind"),
    [
        # a pipe at 2100 along the wall: 61 to 399 off it no drill comes to the wall behind it
        (2150, 61, True),
        (2150, 399, True),
        (2150, 401, False),
        (2101, 150, True),
        (2099, 150, False),
    ],
)
@pytest.mark.parametrize("wall", ["back", "left"])
def test_a_pipe_before_a_run_hides_it(height: float, off: float, behind: bool, wall: str) -> None:
    along = (500, off, 2500, off + 100) if wall == "back" else (off, 500, off + 100, 2500)
    pipe = low_thing(rectangle(*along), 2100)
    scene = scene_of(room=room(low_things=(pipe,)))
    of = run((1000, height), (2800, height), wall=wall)
    found = [
        (h.name, h.under_mm, round(h.from_mm), round(h.to_mm)) for h in hidden_stretches(scene, of)
    ]
    # of 3000 the pipe takes 500 to 2500 along the left wall too, whichever end that begins at
    assert found == ([("beam", 2100, 1000, 2500)] if behind else [])
    assert met(of, scene) == []
    says = [one for one in way_says(scene, of) if "no drill comes" in one]
    assert len(says) == behind


def test_what_touches_the_wall_is_in_the_way_and_hides_nothing() -> None:
    beam = low_thing(rectangle(500, 59, 2500, 200), 2100)
    scene = scene_of(room=room(low_things=(beam,)))
    of = run((1000, 2200), (2800, 2200))
    assert met(of, scene) == [("beam", 1000, 2500)]
    assert hidden_stretches(scene, of) == ()
    assert hidden_stretches(scene, run((500, 500), (2500, 500), wall=None)) == ()
