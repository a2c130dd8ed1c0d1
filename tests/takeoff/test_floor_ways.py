"""What decides between ways to lay a floor, by hand: mats of 1000 x 1000 and their cuts."""

from typing import Any

import pytest

from app.model.flooring import FloorLaying, Joints
from app.scene.build import build_scene
from app.takeoff.effort import CUTS_NESTED_AT_MOST, EDGED_AT_MOST, NESTED_AT_MOST
from app.takeoff.floor_region import Start
from app.takeoff.floor_ways import (
    Nesting,
    Ranked,
    Searched,
    Sizes,
    Way,
    aimed_of,
    best_of,
    by_area,
    joined_of,
)
from tests.builders import make_plan, make_room

HALF: Sizes = ((500, 1000),)


def way(number: int = 0, joints: Joints = "staggered", **fields: Any) -> Way:
    start = Start("back", False, True, joints, float(number), (0.0,))
    given: dict[str, Any] = {
        "narrow": 0,
        "other_joints": False,
        "bound": 6,
        "mats": 6,
        "slits": 0,
        "cuts": 2,
        "knife_mm": 2000.0,
        "trimmed": 1,
        "least_mm": 400.0,
        "first_mm": 0,
        "first_row_mm": 0,
    }
    return Way(start, **given | fields)


def nesting(**fields: Any) -> Nesting:
    scene = build_scene(make_plan(room=make_room(3016, 2016)))
    return Nesting(scene, FloorLaying.model_validate({"id": "f", **fields}))


def test_the_weightiest_decides_first() -> None:
    worse: tuple[dict[str, Any], ...] = (
        {"narrow": 1},
        {"other_joints": True},
        {"mats": 7},
        {"unstaggered": True, "cuts": 2},
        {"slits": 1},
        {"cuts": 3},
        {"knife_mm": 2100.0},
        {"trimmed": 2},
        {"least_mm": 399.0},
    )
    better: dict[str, Any] = {
        "narrow": -1,
        "mats": 5,
        "slits": -1,
        "cuts": 1,
        "knife_mm": 1000.0,
        "trimmed": 0,
        "least_mm": 900.0,
    }
    for number, fields in enumerate(worse):
        assert way().merit < way(**fields).merit, fields
        # whatever weighs less does not make up for it
        later = {name for each in worse[number + 1 :] for name in each}
        made_up = {name: value for name, value in better.items() if name in later}
        assert way().merit < way(**made_up | fields).merit, fields
    # knife by the decimetre, strips by the millimetre
    assert way(knife_mm=2040.0).merit == way().merit == way(least_mm=400.3).merit
    assert way(bound=5, mats=6).rough < way(bound=6, mats=6).rough
    assert way(bound=5, mats=6).merit == way(bound=6, mats=6).merit


@pytest.mark.parametrize(
    ("sizes", "least"),
    [
        ((), 0),
        (HALF, 1),
        (HALF * 2, 1),
        (HALF * 3, 2),
        # a square millimetre over is rounding, four are not
        ((*HALF * 2, (1, 1)), 1),
        ((*HALF * 2, (2, 2)), 2),
        # larger than half both ways: none shares a mat
        (((600, 600),) * 3, 3),
        (((500, 600),) * 3, 1),
        (((501, 501), (400, 900), (300, 300)), 1),
    ],
)
def test_no_fewer_than_by_area_and_by_those_that_share_none(sizes: Sizes, least: int) -> None:
    assert by_area(sizes, (1000, 1000)) == least


def test_longer_pieces_share_by_their_longer_side() -> None:
    # of 1200 x 600: 601 x 601 does not exist; 550 x 590 is less than 600 both ways
    assert by_area(((590, 550),) * 2, (1200, 600)) == 1
    assert by_area(((700, 599),) * 2, (1200, 600)) == 2


def test_how_many_a_way_takes() -> None:
    plain = nesting()
    # five whole and two halves of one
    assert plain.of(way(mats=0), HALF * 2).mats == 6
    # known: no second try, for another way too
    assert plain.tries == 1
    assert plain.of(way(1, bound=9, mats=0), HALF * 2).mats == 9
    assert plain.tries == 1
    # 600 x 400 four times round a hole: two, where the area asks for one
    assert plain.of(way(mats=0), (*((600, 400),) * 4, (200, 200))).mats == 7
    assert plain.of(way(bound=5, mats=0), ()).mats == 5
    # a saw that takes 3: the halves come from two
    assert nesting(kerf_mm=3).of(way(mats=0), HALF * 2).mats == 7
    # two of 1000 x 500 as laid and one way round only
    lying, standing = ((1000.0, 500.0),), ((500.0, 1000.0),)
    assert nesting().of(way(mats=0), lying + standing).mats == 6
    assert nesting(turns=False).of(way(mats=0), lying + standing).mats == 7


def test_floors_that_ask_for_factory_edges_are_laid_out() -> None:
    # 3 x 2 whole tiles in 3016 x 2016
    tiles = nesting(kind="tile", joints="straight")
    assert tiles.edged
    assert not nesting().edged
    assert nesting(factory_edges=True).edged
    start = Start("back", False, True, "straight", 8.0, (8.0, 8.0))
    assert tiles.of(Way(start, 0, False, 9, 9, 0, 0, 0.0, 0, 1000, 0, 0), ()).mats == 6
    assert tiles.tries == 1


def test_the_best_is_found_and_said_to_be_whole() -> None:
    first, second, third = way(0, bound=6), way(1, bound=6, cuts=3), way(2, bound=7)
    # the first takes a mat more than its bound, so the second wins; the third cannot
    ranked = [(first, ((600.0, 400.0),) * 4 + ((200.0, 200.0),)), (second, HALF * 2), (third, HALF)]
    nested = nesting()
    best, whole = best_of(ranked, nested)
    assert (best.start, best.mats, whole) == (second.start, 6, True)
    assert nested.tries == 2
    # all are looked at where each might still win
    same = [(way(number, trimmed=9 - number), HALF * 2) for number in range(3)]
    best, whole = best_of(same, nesting())
    assert (best.start, whole) == (same[2][0].start, True)


def test_a_nesting_that_is_spent_leaves_the_rest_and_says_so() -> None:
    # each with cuts of its own that take one mat more than by area, and more than the limit
    cuts = [((600.0 - n, 400.0), (400.0, 600.0 - n)) * 2 + ((200.0, 200.0 + n),) for n in range(90)]
    ranked = [(way(number, cuts=number), sizes) for number, sizes in enumerate(cuts)]
    nested = nesting()
    best, whole = best_of(ranked, nested)
    assert nested.spent is not whole
    assert best.mats >= 6


def found(best: Way, ranked: Ranked) -> Searched:
    """One search whose best is known."""
    return Searched(best, (), len(ranked), 6, True, tuple(aimed_of(ranked, nesting())))


def others(best: Way, *ranked: Way) -> dict[str, Way]:
    """What is offered beside the best, each kind of joints sought by itself."""
    parts = []
    for joints in ("staggered", "straight"):
        ways = [way for way in (best, *ranked) if way.start.joints == joints]
        if ways:
            first = min(ways, key=lambda each: each.merit)
            parts.append(found(first, [(each, HALF * 2) for each in ways]))
    joined = joined_of(parts)
    assert joined.best == best
    assert joined.looked_at == 1 + len(ranked)
    return dict(joined.others)


def test_others_are_better_at_one_thing() -> None:
    best = way(0, mats=6, knife_mm=3000.0)
    fewest = way(1, bound=5, mats=5, narrow=1)
    widest = way(2, bound=6, cuts=3, least_mm=600.0, knife_mm=3000.0)
    least = way(3, bound=6, cuts=3, knife_mm=2000.0, least_mm=300.0)
    straight = way(4, "straight", bound=7, mats=7, least_mm=100.0, knife_mm=3000.0)
    assert {
        name: other.start for name, other in others(best, fewest, widest, least, straight).items()
    } == {
        "fewest pieces": fewest.start,
        "widest strips": widest.start,
        "least knife": least.start,
        "straight joints": straight.start,
    }


def test_where_straight_joints_save_a_mat_staggered_ones_are_offered() -> None:
    best = way(0, "straight", unstaggered=True, knife_mm=0.0)
    bond = way(1, bound=7, mats=7)
    assert others(best, bond)["staggered joints"].start == bond.start
    # not where straight ones were asked for: then no other is sought
    assert others(way(0, "straight", knife_mm=0.0)) == {}


def test_joints_across_the_lengths_of_a_roll_are_offered_where_they_save() -> None:
    best = way(0, "straight", mats=195, bound=195)
    for mats, offered in ((178, True), (195, False)):
        head = way(1, other_joints=True, bound=mats, mats=mats, head_joints=True, knife_mm=5e3)
        assert ("joints across the lengths" in others(best, head)) is offered


def test_whole_pieces_that_fit_without_a_cut_lie_straight() -> None:
    whole = way(0, "straight", unstaggered=True, cuts=0, knife_mm=0.0)
    assert whole.merit < way(1).merit < way(0, "straight", unstaggered=True, cuts=1).merit


@pytest.mark.parametrize(
    "other",
    [
        {"trimmed": 2},
        # a millimetre wider is as wide; wider with a narrow strip is none
        {"least_mm": 401.0, "cuts": 3},
        {"least_mm": 600.0, "narrow": 1},
        # a decimetre of knife less is as much
        {"knife_mm": 1900.0, "cuts": 3},
        {"knife_mm": 1000.0, "narrow": 1},
    ],
)
def test_what_is_hardly_better_is_no_other(other: dict[str, Any]) -> None:
    assert others(way(0), way(1, **other)) == {}
    # straight joints are nothing new where the best has them
    assert others(way(0, "straight"), way(1, "straight", **other)) == {}


def test_what_cannot_be_laid_is_worse_than_any_way_that_can() -> None:
    # 15,000 tiles of 20 x 20 are not laid out: two more than by area for each cut
    tiles = nesting(kind="tile", length_mm=20, width_mm=20)
    assert tiles.edged
    assert tiles.of(way(bound=6), HALF * 3).mats == 6 + 2 * 3


@pytest.mark.parametrize(("kind", "most"), [("mat", NESTED_AT_MOST), ("tile", EDGED_AT_MOST)])
def test_after_so_many_tries_or_cuts_no_more_are_nested(kind: str, most: int) -> None:
    nested = nesting(kind=kind)
    assert not nested.spent
    nested.tries = most - 1
    assert not nested.spent
    nested.tries = most
    assert nested.spent
    nested.tries, nested.cuts = 0, CUTS_NESTED_AT_MOST
    assert not nested.spent
    nested.cuts += 1
    assert nested.spent


def test_each_list_of_cuts_is_nested_once() -> None:
    nested = nesting()
    first = nested.of(way(bound=6), HALF * 2)
    # four whole ones are six less the two by area, and two halves come out of one
    assert (nested.tries, nested.cuts) == (1, 2)
    assert nested.of(way(number=1, bound=7), HALF * 2).mats == first.mats + 1
    assert (nested.tries, nested.cuts) == (1, 2)
    nested.of(way(bound=6), HALF * 3)
    assert (nested.tries, nested.cuts) == (2, 5)
