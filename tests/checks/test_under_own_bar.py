"""A rack's own pull-up bar over who squats between its posts: both sides of each limit.

Practice sheet, section 1, row 2: "judge person and bar against the host's own prisms"; a stop where
the bare head is higher, a care within a shoe of 25 and 25 more. That a pull-up bar is a tube of 32,
and is measured to its middle, is common practice, no source.
"""

import math

import pytest

from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.checks.snag import Snag
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import found, make_person, make_plan, make_room, place, turned_plan
from tests.checks.hanging import but
from tests.placing.test_underfoot import admitted

STATURE_MM = 1880
UNDER_BAR_MM = 32 / 2
"""From the middle of a tube of 32 to its underside."""
MARGIN_MM = 25 + 25
INSIDE_MM, OUTER_MM = 2013, 2162
"""Where a bar hangs on the hooks of a rack whose middle is at 1500: between the posts, before."""


def squatting(
    bar_mm: float | None,
    stature_mm: float = STATURE_MM,
    rack: str = "mid-rack",
    hooks: float = INSIDE_MM,
    covering: float = 0,
    ceiling: float = 2800,
    want: tuple[str, ...] = ("squat",),
) -> Plan:
    """Somebody who squats at a rack whose pull-up bar is set at a height, to its middle."""
    return make_plan(
        but(place(rack, 2500, 1500, bolted=True), bar_height_mm=bar_mm),
        place("bar-20", 2500, hooks, carried_by=rack, plate=450),
        people=(make_person(stature_mm, want=want),),
        room=make_room(height=ceiling, covering=covering),
    )


def rows(plan: Plan) -> list[Snag]:
    return [snag for snag in found(plan, "headroom") if snag.movement == "squat"]


def way_out(plan: Plan, snag: Snag) -> str:
    scene = build_scene(plan)
    remedy = ways_out(scene, run(scene)).remedies.get(snag.key)
    return remedy.sentence if remedy else ""


@pytest.mark.parametrize("turn", [0, 41, 90])
@pytest.mark.parametrize("rack", ["mid-rack", "full-rack", "tall-rack"])
@pytest.mark.parametrize(
    ("over_mm", "severity"),
    # the head against the underside: a stop above it, a care within the shoe and the margin
    [(-180, "stop"), (-1, "stop"), (0, "care"), (MARGIN_MM - 1, "care"), (MARGIN_MM, None)],
)
def test_the_head_meets_the_bar_that_is_lower_than_the_crossmember(
    over_mm: float, severity: str | None, rack: str, turn: float
) -> None:
    bar = STATURE_MM + UNDER_BAR_MM + over_mm
    told = rows(turned_plan(squatting(bar, rack=rack), turn))
    assert [snag.severity for snag in told] == ([severity] if severity else [])
    for snag in told:
        assert f"the pull-up bar of the {rack.replace('-', ' ')}" in snag.sentence
        assert snag.sentence.endswith("; the middle of its bar is 16 higher.")
        assert snag.measured == STATURE_MM + over_mm


def test_of_the_two_the_lower_counts() -> None:
    """The crossmember of a mid rack of 2030 hangs from 1955: a bar of 32 at 1971 is level."""
    crossmember = 2030 - 75
    for bar, met, clear in (
        (None, "crossmember", crossmember),
        (2030 - 37, "crossmember", crossmember),
        (crossmember + UNDER_BAR_MM, "crossmember", crossmember),
        (crossmember + UNDER_BAR_MM - 1, "pull-up bar", crossmember - 1),
    ):
        (snag,) = rows(squatting(bar, stature_mm=1990))
        assert f"the {met} of the mid rack" in snag.sentence
        assert snag.measured == clear


def test_on_a_covering_bar_and_who_squats_stand_higher_alike() -> None:
    bar = STATURE_MM + UNDER_BAR_MM
    for covering in (0, 20):
        assert [s.severity for s in rows(squatting(bar, covering=covering))] == ["care"]
        assert [s.severity for s in rows(squatting(bar - 1, covering=covering))] == ["stop"]


@pytest.mark.parametrize("bar", [1000, 1450])
def test_a_bar_at_the_chest_is_met_too(bar: float) -> None:
    """A rail down there stands beside who squats; a pull-up bar goes right across."""
    (snag,) = rows(squatting(bar))
    assert (snag.severity, snag.measured) == ("stop", bar - UNDER_BAR_MM)


def test_before_the_posts_nobody_squats_under_it() -> None:
    """From the hooks before the posts it is lifted before them: without catches, and it says so."""
    for bar, told in ((STATURE_MM + UNDER_BAR_MM - 1, True), (STATURE_MM + 70, False)):
        plan = squatting(bar, hooks=OUTER_MM)
        assert rows(plan) == []
        scene = build_scene(plan)
        caught = [s for s in run(scene) if s.code == "squat-before-posts"]
        assert bool(caught) is told
        for snag in caught:
            assert "between the posts of the mid rack under the pull-up bar" in snag.sentence
            assert "set its pull-up bar higher" in snag.sentence.lower()
            assert way_out(plan, snag).startswith("Set the pull-up bar of the mid rack 55 higher")


def test_who_has_the_choice_is_told_of_the_bar() -> None:
    plan = squatting(STATURE_MM + UNDER_BAR_MM + 20, hooks=OUTER_MM)
    (snag,) = (s for s in run(build_scene(plan)) if s.code == "squat-before-posts")
    assert snag.severity == "care"
    assert "has 20 mm over the head between the posts of the mid rack under the" in snag.sentence
    assert "or set its pull-up bar higher" in snag.sentence
    assert "taller rack" not in snag.sentence


def test_who_lies_or_hangs_there_does_not_meet_it() -> None:
    plan = squatting(1700, want=("bench-press", "pull-up"))
    bench = place("flat-bench", 2500, 1500, piece_id="bench", carried_by="mid-rack")
    plan = make_plan(*plan.pieces, bench, people=plan.people, room=plan.room)
    assert [s.code for s in found(plan, "headroom") if s.code != "headroom-unsaid"] == []


@pytest.mark.parametrize("turn", [0, 41])
@pytest.mark.parametrize("bar", [1700, 1900])
def test_the_way_out_is_the_bar_set_higher(bar: float, turn: float) -> None:
    """As far as the margin asks, to the next ten: then nothing is left to say."""
    plan = turned_plan(squatting(bar), turn)
    (snag,) = rows(plan)
    at = math.ceil((STATURE_MM + MARGIN_MM + UNDER_BAR_MM) / 10) * 10
    scene = build_scene(plan)
    remedy = ways_out(scene, run(scene)).remedies[snag.key]
    assert remedy.sentence == (
        f"Set the pull-up bar of the mid rack {at - bar} higher in its posts, "
        f"at {at} mm or the next hole above."
    )
    (command,) = remedy.commands
    assert rows(apply(plan, command)) == []


@pytest.mark.parametrize(
    ("want", "lower"),
    [(("pull-up",), True), (("pull-up", "squat"), False)],
)
def test_it_is_set_lower_for_the_ceiling_unless_somebody_squats_under_it(
    want: tuple[str, ...], lower: bool
) -> None:
    """Under 2290 a hang of 1.88 m is 69 short: at 1920 it passes, its underside at 1904 of 1930."""
    plan = squatting(None, ceiling=2290, want=want)
    (snag,) = (s for s in found(plan, "headroom") if s.movement == "pull-up")
    assert snag.severity == "care"
    said = way_out(plan, snag)
    assert ("lower in its posts" in said) is lower


@pytest.mark.parametrize("turn", [0, 27])
@pytest.mark.parametrize(
    ("over_mm", "wanted", "free"),
    [
        (0, False, True),
        (-2, False, False),
        (MARGIN_MM, True, True),
        (MARGIN_MM - 2, True, False),
    ],
)
def test_the_placing_core_knows_the_bar_too(
    over_mm: float, wanted: bool, free: bool, turn: float
) -> None:
    """Its verdict is held to the judge's of the same place, for stops; then for the margin."""
    plan = turned_plan(squatting(STATURE_MM + UNDER_BAR_MM + over_mm), turn)
    assert admitted(plan, "mid-rack", wanted) is free
