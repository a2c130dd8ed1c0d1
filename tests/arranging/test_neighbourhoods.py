"""What a step takes apart follows what such steps gained, and no kind is given up."""

from collections import Counter
from random import Random

from app.arranging.neighbourhoods import BEST, LEAST, Neighbourhoods


def test_the_kind_that_gains_is_chosen_most_and_none_is_given_up() -> None:
    rng, one = Random(1), Neighbourhoods()
    first = Counter(one.draw(rng) for _ in range(400))
    assert first.most_common(1)[0][0] == "one"
    for _ in range(200):
        kind = one.draw(rng)
        one.learn(kind, BEST if kind == "swap" else 0.0)
    later = Counter(one.draw(rng) for _ in range(400))
    assert later.most_common(1)[0][0] == "swap"
    # four kinds at the least weight beside one at most 1: each is drawn now and then
    assert all(weight >= LEAST for weight in one.weights.values())
    assert set(later) == set(one.weights)


def test_the_same_steps_lead_to_the_same_choices() -> None:
    def drawn() -> list[str]:
        rng, one = Random(7), Neighbourhoods()
        kinds = []
        for number in range(60):
            kinds.append(one.draw(rng))
            one.learn(kinds[-1], number % 3 / 2)
        return list(kinds)

    assert drawn() == drawn()
