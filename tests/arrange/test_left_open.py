"""What is said of a row that has no way out of its own. Rooms of our own; common practice."""

import pytest

from app.arrange.better import NOTHING
from app.arrange.left_open import left_open
from app.arrange.trial import Effect, Trials
from app.arrange.ways_out import ways_out
from app.budget import Budget
from app.checks.run import run
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan


@pytest.mark.parametrize("angle", [0.0, 23.0])
def test_a_row_that_says_what_to_do_is_not_told_that_nothing_mends_it(angle: float) -> None:
    """A dip station that tips is weighed down: that is no move of kit, and it mends."""
    plan = turned_plan(make_plan(place("dip-station", 2000, 2000), room=make_room()), angle)
    scene = build_scene(plan)
    (row,) = (one for one in run(scene) if "tipping" in one.who)
    assert "Weigh it down" in row.sentence
    assert ways_out(scene, [row]).tried[row.key] == "No move of kit was found that mends this."


@pytest.mark.parametrize("angle", [0.0, 23.0])
@pytest.mark.parametrize(
    ("now_mm", "said"),
    [
        (202, "What mends “Running machine, behind the belt” helps with this too."),
        (200, "Nothing tried here helps: another place."),
    ],
)
def test_what_another_way_out_makes_milder_is_said(angle: float, now_mm: int, said: str) -> None:
    """Of 300 to a bare wall beside a belt 200 are there; behind it 1500 of the 2000 wanted."""

    def at(side_mm: float) -> Trials:
        belt = place("running-machine", side_mm + 425, 1125, piece_id="belt")
        plan = turned_plan(make_plan(belt, room=make_room(3000, 3550)), angle)
        scene = build_scene(plan)
        return Trials.of(scene, run(scene), Budget(10_000))

    trials = at(200)
    snags = run(trials.scene)
    (behind,) = (one for one in snags if one.code == "room-behind-the-belt")
    (side,) = (one for one in snags if one.code.startswith("room-beside-the-belt"))
    effect = Effect(NOTHING, None, None, (), frozenset(), at(now_mm).scene)
    assert left_open(trials, side, ["another place"], [(behind, effect)]) == said
