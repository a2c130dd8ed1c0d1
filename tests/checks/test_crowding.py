"""Where everything stands in one place: counts and bytes, never a time."""

import json

import numpy as np
import pytest
from shapely import box

from app.checks.crowding import ROWS_AT_LEAST, ROWS_AT_MOST, near_pairs, parts_of_pairs
from app.model.plan import Plan
from app.scene.build import build_scene
from app.usecases.judged import find
from app.usecases.verdict import verdict_of
from tests.benchmarks.crowd import KIT
from tests.builders import judge, make_person, make_plan, make_room, place

UNSEEN = {"clash-unseen", "room-unseen", "shared-unseen", "shut-off-unseen"}
MOST_BYTES = 2_000_000


def heap(count: int) -> Plan:
    """So many pieces of many kinds in one place, each turned another way."""
    pieces = (
        place(KIT[i % len(KIT)], 5000, 5000, 37 * i % 360, piece_id=f"p{i:04}")
        for i in range(count)
    )
    people = (make_person(1880, person_id="a", want=("squat",)), make_person(1640, person_id="b"))
    return make_plan(*pieces, room=make_room(10_000, 10_000), people=people)


@pytest.mark.parametrize("count", [300, pytest.param(3000, marks=pytest.mark.long)])
def test_a_heap_is_judged_in_part_and_says_so(count: int) -> None:
    plan = heap(count)
    snags = find(build_scene(plan)).snags
    codes = [snag.code for snag in snags]
    assert codes.count("clash") == ROWS_AT_MOST
    assert ROWS_AT_LEAST <= sum(snag.code.startswith("room-") for snag in snags) <= ROWS_AT_MOST + 1
    unseen = [snag for snag in snags if snag.code in UNSEEN]
    assert {"clash-unseen", "room-unseen"} <= {snag.code for snag in unseen}
    # nobody is told that there is no stop where not all was looked at
    assert {snag.severity for snag in unseen} == {"stop"}
    assert all("more pairs not looked at" in snag.sentence for snag in unseen)
    assert len(json.dumps(verdict_of(plan, snags, {})).encode()) < MOST_BYTES


def test_before_what_shuts_off_so_much_may_stand_that_not_all_is_looked_at() -> None:
    # each stands before each of the others, and each is too high to step over
    taps = [place("gas-tap", 2500, 2500, 37 * i % 360, piece_id=f"t{i:03}") for i in range(300)]
    snags = find(build_scene(make_plan(*taps))).snags
    (rest,) = (snag for snag in snags if snag.code == "shut-off-unseen")
    before = [snag for snag in snags if snag.space == "to-reach-the-gas-tap"]
    assert rest.severity == "stop"
    assert rest.measured is not None
    assert 100 < len(before) < len(taps)


def test_a_heap_is_judged_alike_every_time_and_its_deepest_rows_are_told() -> None:
    plan = heap(60)
    pairs = 60 * 59 // 2
    first, second = (find(build_scene(plan)).snags for _ in range(2))
    assert [snag.key for snag in first] == [snag.key for snag in second]
    clashes = [snag for snag in first if snag.code == "clash"]
    (rest,) = (snag for snag in first if snag.code == "clash-unseen")
    assert ROWS_AT_LEAST < len(clashes) == ROWS_AT_MOST
    assert rest.measured is not None
    assert 0 < rest.measured <= pairs - ROWS_AT_MOST


def test_up_to_200_rows_nothing_is_left_out() -> None:
    # 19 boxes in one place: 171 pairs, as a household might have it on the way to a layout
    boxes = [place("jump-box", 2500, 2500, piece_id=f"b{i}") for i in range(19)]
    snags = judge(make_plan(*boxes))
    assert sum(snag.code == "clash" for snag in snags) == 171
    assert not UNSEEN & {snag.code for snag in snags}


@pytest.mark.parametrize("first", [1, 2, 3, 9])
def test_pairs_come_deepest_first_and_alike_pairs_by_their_numbers(first: int) -> None:
    cores = np.array(
        [
            box(0, 0, 10, 10),
            box(8, 0, 18, 10),
            box(5, 0, 9, 10),
            box(90, 0, 99, 9),
            box(6, 0, 7, 9),
        ],
        dtype=object,
    )
    # 4 mm of 0 and 2, 2 mm of 0 and 1, 1 mm of 1 and 2; 4 is above the count, 1 mm of 0 and of 2
    wanted = [(0, 2), (0, 1), (0, 4), (1, 2), (2, 4)]
    count, parts = near_pairs(cores, np.arange(5), 4, first)
    of, with_ = (np.concatenate(side) for side in zip(*parts, strict=True))
    assert count == len(wanted)
    assert list(zip(of.tolist(), with_.tolist(), strict=True)) == wanted
    # the first are the first of all, however the rest is
    _, parts = near_pairs(cores, np.arange(5), 4, first)
    one, other = next(parts)
    assert list(zip(one.tolist(), other.tolist(), strict=True)) == wanted[:first]


def test_the_parts_of_a_pair_are_each_with_each() -> None:
    owners = np.array([0, 0, 1, 2, 2, 2])
    first, second = parts_of_pairs(owners, np.array([0, 1]), np.array([2, 2]))
    pairs = list(zip(first.tolist(), second.tolist(), strict=True))
    assert pairs == [(0, 3), (0, 4), (0, 5), (1, 3), (1, 4), (1, 5), (2, 3), (2, 4), (2, 5)]
