"""Cords of 1.8 m from sockets of a room of 5 x 5 m, by hand; under 500 W a lead does no harm."""

from typing import Any

import pytest

from app.checks.snag import Snag
from app.checks.sockets import sockets_in_reach
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_plan, place


def judged(*pieces: Any, sockets: Any = None) -> list[Snag]:
    data = make_plan(*pieces).model_dump()
    one = [{"id": "s", "wall": "back", "offset_mm": 500}]
    data["room"]["sockets"] = one if sockets is None else sockets
    return list(sockets_in_reach(build_scene(Plan.model_validate(data))))


@pytest.mark.parametrize(("off", "far"), [(1800, False), (1801, True), (3000, True)])
def test_a_cord_reaches_so_far_along_the_floor(off: float, far: bool) -> None:
    # its near edge lies so far from the back wall, straight before the socket
    machine = place("walking-pad", 500, 0)
    deep = build_scene(make_plan(machine)).order[0].extent.depth_mm
    found = judged(place("walking-pad", 500, off + deep / 2))
    assert [snag.measured for snag in found] == ([off] if far else [])


def test_all_that_is_out_of_reach_is_one_row_by_the_farthest() -> None:
    found = judged(
        place("heater", 4700, 4700),
        place("running-machine", 3500, 3000),
        place("walking-pad", 700, 900),
    )
    (snag,) = found
    assert set(snag.pieces) == {"heater", "running-machine"}
    assert snag.sentence.startswith("Running machine and convector heater: the nearest socket is")
    assert snag.where == (4700, 4700)
    assert (snag.required, snag.unit) == (1800, "mm")


def test_what_draws_little_is_wired_or_stays_is_not_asked_about() -> None:
    far = (4500, 4500)
    assert [snag.code for snag in judged(place("fan", *far), place("bike", 3000, 4000))] == [
        "lead-over-the-floor"
    ]
    assert judged(place("radiant-panel", *far)) == []
    assert judged(place("heater", *far, stays=True)) == []
    assert judged(place("dehumidifier", *far)) != []
    assert judged(place("heater", *far), sockets=[]) == []


@pytest.mark.parametrize(("off", "far"), [(1800, False), (1801, True)])
def test_the_lead_of_what_draws_little_is_a_note_that_it_trips(off: float, far: bool) -> None:
    deep = build_scene(make_plan(place("fan", 500, 0))).order[0].extent.depth_mm
    found = judged(place("fan", 500, off + deep / 2))
    assert [(s.severity, s.background, s.measured) for s in found] == [("note", True, off)] * far
    # a heater beside it has its own row, a care
    both = judged(place("fan", 4500, 4500), place("heater", 4500, 3000))
    assert [(snag.code, snag.severity) for snag in both] == [
        ("socket-reach", "care"),
        ("lead-over-the-floor", "note"),
    ]
    assert judged(place("fan", 4500, 4500, stays=True)) == []


def test_a_heater_under_two_sockets_is_told_once() -> None:
    twice = [
        {"id": name, "wall": "back", "offset_mm": 500 + off, "height_mm": 900}
        for name, off in (("s", 0), ("t", 80))
    ]
    (snag,) = judged(place("heater", 520, 100), sockets=twice)
    assert (snag.code, snag.pieces) == ("heater-under-socket", ("heater",))
    # one that is folded away or not there yet hides no other
    out = place("heater", 4000, 100, piece_id="a").model_copy(update={"state": "out"})
    assert len(judged(out, place("heater", 520, 100), sockets=twice)) == 1


def test_the_nearest_of_several_sockets_counts() -> None:
    both = [
        {"id": "s", "wall": "back", "offset_mm": 500},
        {"id": "t", "wall": "front", "offset_mm": 500},
    ]
    assert judged(place("heater", 4500, 4500), sockets=both) == []
