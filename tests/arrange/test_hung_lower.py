"""The bar that one hangs from set lower in the posts of a rack. Common practice, no source.

Practice sheet, section 7, row 4: "pull-up bar up to 1.90" in a room of 2290; section 4: chin over
the bar asks for 0.13 H + 50 over it, and 100 of margin.
"""

import math

import pytest

from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.library.kit import kit_types
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import found, make_person, make_plan, make_room, place, turned_plan

BAR_MM = 2030 - 37
STATURE_MM = 1880


def hanging(ceiling: float, turn: float = 0, **rack: object) -> Plan:
    """Somebody of 1.88 m who hangs from a mid rack of 2030, its bar at 1993."""
    one = place("mid-rack", 2500, 2500, bolted=True).model_copy(update=rack)
    person = make_person(STATURE_MM, want=["pull-up"])
    return turned_plan(make_plan(one, room=make_room(height=ceiling), people=[person]), turn)


@pytest.mark.parametrize("turn", [0, 41])
@pytest.mark.parametrize("rack", [{}, {"pinned": True}, {"stays": True}])
@pytest.mark.parametrize(
    ("ceiling", "severity", "bar_mm"),
    [
        # 0.13 x 1880 + 50 = 294 over the bar, and 100 of margin; told in tens, rounded down
        (2386, "care", 1990),
        (2300, "care", 1900),
        (2287, "care", 1890),
        (2286, "stop", 1890),
        (2200, "stop", 1800),
    ],
)
def test_it_is_set_lower_by_what_is_missing_whoever_owns_the_rack(
    ceiling: float, severity: str, bar_mm: int, rack: dict[str, bool], turn: float
) -> None:
    plan = hanging(ceiling, turn, **rack)
    scene = build_scene(plan)
    (snag,) = found(plan, "headroom")
    assert snag.severity == severity
    remedy = ways_out(scene, run(scene)).remedies[snag.key]
    assert remedy.sentence == (
        f"Set the pull-up bar of the mid rack {BAR_MM - bar_mm} lower in its posts, "
        f"at {bar_mm} mm or the next hole below."
    )
    (command,) = remedy.commands
    after = apply(plan, command)
    assert after.pieces[0].bar_height_mm == bar_mm
    assert after.pieces[0].pose == plan.pieces[0].pose
    assert found(after, "headroom") == []


def test_where_the_margin_is_there_nothing_is_said() -> None:
    assert found(hanging(2388), "headroom") == []


def test_a_tower_has_its_bar_welded_on() -> None:
    tower = place("pull-up-tower", 2500, 2500)
    person = make_person(STATURE_MM, want=["pull-up"])
    scene = build_scene(make_plan(tower, room=make_room(height=2400), people=[person]))
    (snag,) = (s for s in run(scene) if s.movement == "pull-up")
    remedy = ways_out(scene, run(scene)).remedies.get(snag.key)
    assert remedy is None or "in its posts" not in remedy.sentence


def test_smaller_plates_are_no_cure_for_who_holds_no_bar() -> None:
    """Under a beam no rack helps: what was tried is told, and plates are not of it."""
    bar = place("bar-20", 2500, 3162, carried_by="mid-rack")
    plan = hanging(1950)
    scene = build_scene(plan.model_copy(update={"pieces": (*plan.pieces, bar)}))
    snags = [s for s in run(scene) if s.movement in ("pull-up", "squat")]
    out = ways_out(scene, snags)
    said = [out.tried.get(s.key, "") for s in snags]
    assert said
    assert not any("smaller plates" in words for words in said)


@pytest.mark.parametrize(("stature", "offered"), [(1929, False), (1930, True), (1955, True)])
def test_another_rack_is_taken_where_half_of_the_margin_over_the_head_is_missing(
    stature: float, offered: bool
) -> None:
    """Under the crossmember of a mid rack, 1955 over the floor, with 50 of margin over the head.

    The full rack has its bar no higher than who squats under it needs, a tube of 32 over the head
    and the margin: at its top who hangs from it would be too near the ceiling.
    """
    rack = place("mid-rack", 2500, 2500, bolted=True)
    hooks = place("bar-20", 2500, 2500 + 625 - 112, carried_by="mid-rack")
    people = [
        make_person(stature, want=["squat"]),
        make_person(STATURE_MM, want=["pull-up"], person_id="two"),
    ]
    plan = make_plan(rack, hooks, room=make_room(height=2430), people=people)
    scene = build_scene(plan)
    (snag,) = (s for s in run(scene) if s.movement == "squat" and s.severity == "care")
    assert snag.need is not None
    assert snag.measured is not None
    assert (snag.need - snag.measured >= 25) == offered
    remedy = ways_out(scene, run(scene)).remedies.get(snag.key)
    assert (remedy is not None) == offered
    if remedy is not None:
        high = kit_types()["full-rack"].height_mm
        bar_mm = math.ceil((stature + 50 + 32 / 2) / 10) * 10
        assert remedy.sentence == (
            f"Take the full rack instead, {high:.0f} mm high, with its pull-up bar at {bar_mm}."
        )
