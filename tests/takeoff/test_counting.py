"""Lines of the list counted in packs, by hand."""

from typing import Any

import pytest

from app.takeoff.counting import PIECE, counted
from app.takeoff.line import Gathered, Line, Step
from tests.takeoff.making import scene_of


def line(net: float, waste: float = 0.0, unit: str = PIECE, **fields: Any) -> Line:
    given = {"key": "k", "part": "small", "item": "Plugs", "where": "walls", **fields}
    gathered = Gathered()
    pack = given.pop("pack", "plugs-light-20")
    made = counted(scene_of(), gathered, net=net, waste=waste, unit=unit, pack=pack, **given)
    assert gathered.problems == []
    return made


@pytest.mark.parametrize(
    ("net", "waste", "counts", "boxes"),
    [
        (20, 0, (20, 0), 1),
        (20.2, 0, (21, 0), 2),
        # a third three times is one, whatever floating point makes of it
        (0.1 * 3 * 10, 0, (3, 0), 1),
        (18.4, 0.5, (19, 1), 1),
        (19.0, 1.5, (19, 2), 2),
        (0.5, 0, (1, 0), 1),
    ],
)
def test_pieces_are_counted_up_to_whole_ones(
    net: float, waste: float, counts: tuple[int, int], boxes: int
) -> None:
    made = line(net, waste)
    assert (made.net, made.waste) == counts
    assert sum(pack.count for pack in made.bought) == boxes


def test_what_is_measured_is_bought_as_it_is() -> None:
    made = line(12.25, 0.5, "m", pack="masking-tape-50m")
    assert (made.net, made.waste, made.bought[0].count) == (12.25, 0.5, 1)
    assert line(49.9, 0.2, "m", pack="masking-tape-50m").bought[0].count == 2


def test_the_cheapest_of_several_sizes_and_the_working() -> None:
    made = line(5)
    assert [(step.label, step.value, step.unit) for step in made.working] == [
        ("measured or counted", 5, "pc")
    ]
    assert not made.assumed
    own = (Step("holes", 5, "pc"),)
    assert line(5, working=own, assumed=True).working == own
    assert line(5, assumed=True).assumed
