"""The ceiling is judged as it will be finished: boards take 40, with insulation 110 (practice)."""

import pytest

from app.checks.air import volume_m3
from app.checks.snag import Snag
from app.library.movements import movements
from app.model.plan import Plan
from app.model.room import Joists, Plane
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.takeoff.surfaces import faces
from app.usecases.drawing_set import sheet_of_file
from tests.builders import judge, make_person, make_plan, make_room, place, turned_plan

OTHERS = [movement for movement in movements() if movement != "step-up"]


def plan(height: float, finish: float, joists: Joists | None = None) -> Plan:
    """1750 wants step-ups on a box of 500 (2250 the least, 2375 with its margin)."""
    planes = [Plane(id="roof", height_mm=height)]
    room = make_room(6000, 6000, joists=joists, planes=planes)
    person = make_person(1750, want=["step-up"], no=OTHERS)
    whole = make_plan(place("jump-box", 3000, 3000), room=room, people=[person])
    return finished(whole, finish)


def finished(whole: Plan, finish: float) -> Plan:
    data = whole.model_dump(mode="json")
    data["room"]["ceiling"]["finish_mm"] = finish
    return Plan.model_validate(data)


def headroom(whole: Plan) -> list[Snag]:
    return [snag for snag in judge(whole) if snag.code == "headroom"]


@pytest.mark.parametrize(
    ("height", "finish", "severity"),
    [
        (2415, 40, None),
        (2413, 40, "care"),
        (2485, 110, None),
        (2290, 40, "care"),
        (2287, 40, "stop"),
        (2375, 0, None),
    ],
)
def test_what_is_still_to_come_is_taken_off(
    height: float, finish: float, severity: str | None
) -> None:
    snags = headroom(plan(height, finish))
    assert [snag.severity for snag in snags] == ([severity] if severity else [])
    assert all(snag.measured == height - finish for snag in snags)


def test_what_fits_today_and_not_after_boarding_says_so() -> None:
    (snag,) = headroom(plan(2287, 40))
    assert snag.sentence.endswith("; it fits today, not after boarding.")
    (low,) = headroom(plan(2240, 40))
    assert "today" not in low.sentence


def test_boards_go_under_the_joists_and_close_the_gaps() -> None:
    joists = Joists(spacing_mm=2000, first_mm=2000, depth_mm=150)
    # the box stands between two joists: today it has the height of the deck
    assert headroom(plan(2430, 0, joists)) == []
    (snag,) = headroom(plan(2430, 40, joists))
    assert (snag.severity, snag.measured) == ("stop", 2430 - 150 - 40)


@pytest.mark.parametrize("angle", [0, 27])
@pytest.mark.parametrize(("finish", "count"), [(38, 0), (42, 1)])
def test_a_tall_thing_under_a_finished_ceiling(finish: float, count: int, angle: float) -> None:
    shelf = make_plan(place("shelving", 2500, 300, height=2000), room=make_room(height=2039))
    turned = finished(turned_plan(shelf, angle), finish)
    snags = [snag for snag in judge(turned) if snag.code == "too-tall"]
    assert len(snags) == count
    assert all(snag.sentence.endswith("It fits today, not after boarding.") for snag in snags)


def test_an_empty_room_says_nothing_of_it() -> None:
    empty = finished(make_plan(room=make_room()), 110)
    assert [snag for snag in judge(empty) if snag.severity != "note"] == []


JOISTS = Joists(spacing_mm=600, first_mm=300, depth_mm=150)


def test_everything_goes_by_the_ceiling_as_it_will_be() -> None:
    """Boarded with 110 it is the room whose ceiling was measured so much lower, joists and all."""
    lower = 110 + JOISTS.depth_mm

    def sloped(height: float, under: Joists | None) -> Plan:
        roof = Plane(id="roof", height_mm=height, rise_x=60)
        room = make_room(4000, 3000, joists=under, planes=[roof])
        person = make_person(1750, want=["step-up"], no=OTHERS)
        return make_plan(place("jump-box", 2000, 1500), room=room, people=[person])

    boarded = finished(sloped(2600, JOISTS), 110)
    plain = sloped(2600 - lower, None)
    one, other = build_scene(boarded), build_scene(plain)
    assert volume_m3(one) == pytest.approx(12 * (2.6 - lower / 1000 + 0.12))
    assert [face.gross_m2 for face in faces(one)] == [face.gross_m2 for face in faces(other)]
    light = [line.working for line in take_off(one).lines if line.part == "light"]
    assert light == [line.working for line in take_off(other).lines if line.part == "light"]
    for which in ("section", "walls", "headroom", "power"):
        assert drawn(boarded, which) == drawn(plain, which), which


def drawn(whole: Plan, which: str) -> list[object]:
    """What is drawn, but the title block: the day may end between two drawings."""
    pages = sheet_of_file(whole, which, "A3", None).pages
    found = [one for page in pages for one in page.items]
    assert found
    return [one for one in found if getattr(one, "ink", "") != "title-block"]


def test_a_bar_that_comes_out_today_and_not_after_boarding() -> None:
    """A bar of 2200 lifted by 120 needs 2320 (120: common practice, no source)."""
    holder = make_plan(place("bar-holder", 2500, 2500, height=2000), room=make_room(height=2350))
    (snag,) = [one for one in judge(finished(holder, 40)) if one.code == "bar-lift-out"]
    assert snag.sentence.endswith("are 2310; it fits today, not after boarding.")
    assert [one for one in judge(holder) if one.code == "bar-lift-out"] == []


@pytest.mark.parametrize(("height", "today"), [(2582, True), (2580, False)])
def test_on_the_open_floor_too_what_boards_alone_take_is_said(height: float, today: bool) -> None:
    # a rack without its bar serves no press, so the bare room is asked: 2332 are needed, and under
    # boards of 250 lower there are 2332 and 2330
    rack = place("mid-rack", 3000, 3000, bolted=True)
    person = make_person(1750, want=["standing-press"])
    whole = make_plan(rack, room=make_room(6000, 6000, height), people=[person])
    (snag,) = headroom(finished(whole, 300))
    assert "fits today, not after boarding" in snag.sentence
    low = make_plan(rack, room=make_room(6000, 6000, 2300), people=[person])
    (never,) = headroom(finished(low, 300))
    assert "fits today" not in never.sentence
