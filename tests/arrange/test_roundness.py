"""What a turn changes of round, square and oblong kit; geometry by hand, no source needed."""

import pytest

from app.arrange.moves import Mover
from app.arrange.roundness import is_round, turns_into_itself
from app.arrange.turns import net_move_words, turned, turned_words
from app.checks.run import run
from app.model.kit import Pose
from app.scene.build import build_scene
from tests.builders import make_plan, place


@pytest.mark.parametrize(
    ("type_key", "is_it", "turns"),
    [
        # a boxer stands before the bag: a turn moves the boxer, never the bag
        ("standing-bag", True, ()),
        # a stack of plates is reached from all four sides alike
        ("rubber-plates", True, (90, 180, -90)),
        # oblong, with room to get on at its sides alike: half round it is the same again
        ("flat-bench", False, None),
    ],
)
def test_round_kit_is_seen_to_be_round(type_key: str, is_it: bool, turns: tuple[int, ...]) -> None:
    scene = build_scene(make_plan(place(type_key, 2000, 2000, 0, piece_id="it")))
    assert is_round(scene, "it") is is_it
    assert not turns_into_itself(scene, "it", 90) or 90 in (turns or ())
    if turns is not None:
        found = [angle for angle in (90, 180, -90, 30, 45) if turns_into_itself(scene, "it", angle)]
        assert tuple(found) == turns


def test_what_is_round_is_used_from_another_side_and_the_rest_is_turned() -> None:
    pieces = [
        place("standing-bag", 1000, 1000, 0, piece_id="bag"),
        place("flat-bench", 3000, 2500, 0, piece_id="bench"),
    ]
    scene = build_scene(make_plan(*pieces))
    assert turned_words(scene, "bag", 90) == "Use the standing bag from a quarter further round"
    assert turned_words(scene, "bag", 180) == "Use the standing bag from the opposite side"
    assert (
        turned_words(scene, "bag", 30) == "Use the standing bag from 30 degrees further clockwise"
    )
    assert turned_words(scene, "bag", 0) == ""
    assert turned_words(scene, "bench", -90) == "Turn the flat bench a quarter"
    assert net_move_words(scene, "bag", Pose(x_mm=1000, y_mm=1000, angle_deg=90)).endswith(
        "a quarter further round."
    )


def test_no_turn_is_proposed_that_changes_nothing() -> None:
    # one stack stands half in another: a quarter round they stand as before, only a move helps
    pieces = [
        place("rubber-plates", 2000, 2000, 0, piece_id="plates"),
        place("rubber-plates", 2200, 2000, 0, piece_id="more"),
    ]
    scene = build_scene(make_plan(*pieces))
    snags = [snag for snag in run(scene) if "plates" in snag.pieces]
    assert snags
    mover = Mover(scene, run(scene))
    assert not [
        move for snag in snags for move in turned(mover, snag) if "quarter" in move.sentence
    ]


def test_the_boxer_before_a_wall_is_sent_to_another_side_of_the_bag() -> None:
    scene = build_scene(make_plan(place("standing-bag", 2500, 900, 180, piece_id="bag")))
    before = run(scene)
    mover = Mover(scene, before)
    words = [
        move.sentence for snag in before if "bag" in snag.pieces for move in turned(mover, snag)
    ]
    assert words
    assert all(sentence.startswith("Use the standing bag from ") for sentence in words)
