"""What a fitter would leave as it is: nobody buys a machine for a few millimetres."""

import pytest

from app.arrange.sizes import for_floor
from app.arrange.swaps import left_out
from app.arrange.ways_out import ways_out
from app.checks.run import run
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place, turned_plan


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(("behind_mm", "bought"), [(1900, False), (1895, True), (1990, False)])
def test_another_machine_is_not_bought_for_a_trifle(
    angle: float, behind_mm: float, bought: bool
) -> None:
    """Of 2000 behind a belt 100 are a twentieth."""
    belt = place("running-machine", 925, 200 + 925, piece_id="belt")
    room = make_room(1850, 200 + 1850 + behind_mm)
    scene = build_scene(turned_plan(make_plan(belt, room=room), angle))
    snags = [s for s in run(scene) if s.code == "room-behind-the-belt"]
    assert [s.severity for s in snags] == ["care"]
    remedy = ways_out(scene, run(scene)).remedies.get(snags[0].key)
    assert (remedy is not None and "1600 mm deep" in remedy.sentence) == bought


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize("short_mm", [10, 55, 125, 190])
def test_no_machine_is_bought_for_room_for_its_plug(angle: float, short_mm: float) -> None:
    """Common practice, no source: it is pulled out to be plugged in, and stays the machine it is.

    All of its 2000 are behind it, so that moving it to the front costs as much there.
    """
    ahead = 200 - short_mm
    belt = place("running-machine", 935, ahead + 925, piece_id="belt")
    room = make_room(1870, ahead + 1850 + 1000)
    scene = build_scene(turned_plan(make_plan(belt, room=room), angle))
    found = ways_out(scene, run(scene))
    (row,) = (s for s in run(scene) if s.code == "room-plug-and-air")
    assert row.measured == ahead
    remedy = found.remedies.get(row.key)
    assert remedy is None or "instead" not in remedy.sentence


def test_of_two_that_stand_before_one_another_the_one_in_the_way_may_be_smaller() -> None:
    # a workbench that stays and a chest freezer before it, with nothing else to be done there
    bench = place("workbench", 800, 300, piece_id="bench", stays=True)
    chest = place("chest-freezer", 800, 600 + 850 + 350, piece_id="chest", depth=700)
    room = make_room(1600, 600 + 850 + 700)
    scene = build_scene(make_plan(bench, chest, room=room))
    (row,) = (s for s in run(scene) if s.code == "room-to-work")
    assert row.measured == 850
    tried = {sentence for sentence, _ in for_floor(scene, row)}
    assert tried
    assert all("chest freezer" in one for one in tried)


@pytest.mark.parametrize(("height_mm", "left_mm"), [(2400, 0), (2320, 71), (2300, None)])
def test_smaller_plates_are_got_where_they_take_most_of_a_care(
    height_mm: float, left_mm: float | None
) -> None:
    """Plates of 450 reach 225 over the bar, those of 280 reach 140: 85 mm of what is wanted."""
    person = make_person(1720, want=("standing-press",))
    rack = place("half-rack", 2500, 800, piece_id="rack")
    bar = place("bar-20", 2500, 1100, piece_id="bar", carried_by="rack")
    plan = make_plan(rack, bar, room=make_room(5000, 5000, height_mm), people=(person,))
    scene = build_scene(plan)
    (care,) = (s for s in run(scene) if s.movement == "standing-press")
    assert care.severity == "care"
    assert care.need is not None
    remedy = ways_out(scene, run(scene)).remedies.get(care.key)
    assert (remedy is not None) == (left_mm is not None)
    if remedy is not None and left_mm is not None:
        assert remedy.sentence.startswith("Use plates of 280 mm across")
        assert remedy.clears == (left_mm == 0)
        assert (f"{height_mm} of {care.need - 85:.0f} mm" in remedy.sentence) == (left_mm > 0)
        assert max(care.need - 85 - height_mm, 0) == left_mm


def test_who_leaves_a_thing_out_is_told_what_nothing_else_is_for() -> None:
    there = [
        place("half-rack", 1500, 1500, piece_id="rack"),
        place("bar-20", 1500, 2100, piece_id="bar", carried_by="rack"),
        place("flat-bench", 1500, 2000, piece_id="bench", carried_by="rack"),
        place("shelving", 1500, 1900, piece_id="shelf"),
    ]
    wanting = make_person(1750, want=("squat", "bench-press", "floor-work"))
    wordings = {(wanting,): ": nothing else here is for bench press and squat", (): ""}
    for people, words in wordings.items():
        scene = build_scene(make_plan(*there, people=people))
        stop = next(s for s in run(scene) if {"rack", "shelf"} <= {*s.pieces})
        said = [sentence for sentence, _ in left_out(scene, stop)]
        whole = f"Leave out the half rack with what it carries{words}."
        assert said == ["Leave out the shelving.", whole]


@pytest.mark.parametrize(("held", "words"), [("stays", "stays"), ("pinned", "is pinned")])
def test_what_stays_is_named_where_nothing_else_would_mend(held: str, words: str) -> None:
    tap = place("gas-tap", 1000, 125, piece_id="tap", stays=True)
    chest = place("chest-freezer", 1000, 700, piece_id="chest")
    plan = make_plan(tap, chest)
    kept = plan.model_copy(update={"pieces": (tap, chest.model_copy(update={held: True}))})
    for one, end in ((plan, None), (kept, f" while the chest freezer {words} where it is.")):
        scene = build_scene(one)
        found = ways_out(scene, run(scene))
        (stop,) = (s for s in run(scene) if s.severity == "stop" and "tap" in s.pieces[:1])
        assert (stop.key in found.remedies) == (end is None)
        if end is not None:
            assert found.tried[stop.key] == f"No move of kit was found that mends this{end}"
