"""Leads by how far a small thing stands from its nearest socket; figures in a room 14 m long."""

from __future__ import annotations

from typing import Any

import pytest

from app.published.register import published
from app.takeoff.leads import leads
from app.takeoff.line import Gathered
from tests.builders import make_room, place
from tests.takeoff.making import scene_of


def gathered(*pieces: Any, sockets: bool = True) -> Gathered:
    data = make_room(14_000, 3000).model_dump()
    if sockets:
        data["sockets"] = [{"id": "s", "wall": "back", "offset_mm": 200, "height_mm": 300}]
    return leads(scene_of(*pieces, room=type(make_room()).model_validate(data)))


def fan(x: float, piece_id: str = "fan") -> Any:
    return place("fan", x, 1500, piece_id=piece_id)


def test_what_no_lead_reaches_is_an_electricians_and_the_rest_is_counted() -> None:
    far = gathered(fan(13_500, "far"), fan(4000, "near"), fan(4600, "by"))
    (line,) = far.lines
    assert (line.key, line.net) == ("small.lead-3m", 2)
    assert line.part == "small"
    (problem,) = far.problems
    assert problem == (
        "Floor fan: no lead is long enough to its nearest socket; an electrician puts one there"
    )


def test_one_line_for_each_length_the_shortest_first() -> None:
    some = gathered(fan(9000, "c"), fan(3000, "a"), fan(6500, "b"), fan(8500, "d"))
    assert [(line.key, line.net) for line in some.lines] == [
        ("small.lead-3m", 1), ("small.lead-5m", 1), ("small.lead-10m", 2),
    ]  # fmt: skip
    assert some.problems == []


def test_in_a_room_without_a_socket_no_lead_helps() -> None:
    none = gathered(fan(4000), sockets=False)
    assert (none.lines, none.problems) == ([], [])


@pytest.mark.parametrize(("more", "key"), [(-1, "small.lead-3m"), (1, "small.lead-5m")])
def test_a_lead_reaches_as_far_as_it_is_long(more: float, key: str) -> None:
    scene = scene_of(fan(2000), room=make_room(14_000, 3000))
    half = scene.order[0].footprint.bounds[2] - 2000
    # level with the socket, at the height of its point on the wall: straight along the room
    reach = published("electric.cord-mm") + 3000
    across = scene.order[0].footprint.bounds[1]
    x = 200 + half + (reach**2 - across**2) ** 0.5 + more
    assert [line.key for line in gathered(fan(x)).lines] == [key]
