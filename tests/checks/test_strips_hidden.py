"""Light strip behind a pipe: told once for each thing that hangs before it."""

from __future__ import annotations

from typing import Any

from app.checks.snag import Snag
from app.checks.strips_hidden import strips_hidden
from tests.builders import low_thing, make_room, rectangle
from tests.takeoff.making import scene_of

PIPE = low_thing(rectangle(0, 150, 4000, 300), 2010)


def found(height: float, **fields: Any) -> list[Snag]:
    run = {"id": "s", "wall": "back", "points": ((0, height), (4000, height)), **fields}
    room = make_room(4000, 3000, 2200, low_things=(PIPE,))
    return [*strips_hidden(scene_of(room=room, strips=[run]))]


def test_a_strip_behind_a_pipe_is_a_care_with_its_way_out() -> None:
    # as the pipe of the sample hangs: 150 off the wall, its underside at 2010
    (one,) = found(2050)
    assert (one.severity, one.code) == ("care", "strip-hidden-s")
    assert one.sentence.endswith(
        "the beam hangs before it from 0 to 4000 mm along the wall. No drill comes there "
        "and no light out: hang it under 2010 mm, or elsewhere."
    )


def test_a_strip_under_the_pipe_or_under_the_ceiling_is_none() -> None:
    assert found(2009) == []
    assert found(2050, wall=None, points=((100, 100), (3000, 100))) == []
    assert found(2050, wall="gone") == []
