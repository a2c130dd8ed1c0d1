"""Ways out in two rounds: what is shown first stays, or gives way to what mends more."""

import pytest

from app.arrange.better import CARE, weight_of
from app.arrange.effort import WAYS_OUT_STEPS
from app.arrange.ways_out import Rounds, ways_out
from app.budget import Budget
from app.checks.run import run
from app.scene.build import build_scene
from tests.placing.rooms import sample


@pytest.mark.parametrize("key", ["double-garage", "single-garage", "basement", "upstairs-room"])
def test_the_second_round_keeps_what_the_first_found_or_mends_more(key: str) -> None:
    scene = build_scene(sample(key))
    snags = {one.key: one for one in run(scene)}
    rounds = Rounds(scene, snags.values(), Budget(WAYS_OUT_STEPS))
    first = rounds.first
    both = rounds.both
    assert first.remedies
    assert first.remedies.keys() <= both.remedies.keys()
    for found, remedy in first.remedies.items():
        better = both.remedies[found]
        # only a care is looked into again
        assert better == remedy or weight_of(snags[found]).severity == CARE
        assert better.clears >= remedy.clears
    assert first.tried.items() <= both.tried.items()
    # nothing is left without a word
    sought = {one.key for one in snags.values() if one.severity != "note"}
    assert sought <= both.remedies.keys() | both.tried.keys()
    # asked for at once it is the same
    assert ways_out(scene, snags.values()) == both
