"""The best set of a wish list: beside every set tried one by one, and each reason tried again."""

from itertools import combinations

import pytest

from app.arrange.better import weight_of
from app.arranging.best_set import (
    WANTED_AT_MOST,
    Wanted,
    WishListError,
    best_set,
    usual_station,
)
from app.arranging.problem import Problem, Task
from app.arranging.search import Search
from app.arranging.wish_list import weighed, wish_list
from app.budget import Budget
from app.changes.commands import adds, apply, moves
from app.library.kit import kit_types
from app.library.starters import Station
from app.model.plan import Plan
from tests.builders import judge, make_person, make_plan, make_room, place

NARROW = make_plan(room=make_room(3200, 2700, 2400), people=(make_person(1750),))


def wanted(**worths: float) -> list[Wanted]:
    return [Wanted(usual_station(key.replace("_", "-")), worth) for key, worth in worths.items()]


LIST = wanted(mid_rack=10, rower=5, bike=4, running_machine=8, standing_bag=3)


def found_together(plan: Plan, some: tuple[Wanted, ...]) -> bool:
    """Whether a search of its own finds a layout of some things without a stop and of use."""
    pieces = [place(one.station.type, piece_id=f"p{i}") for i, one in enumerate(some)]
    with_all = apply(plan, adds(pieces))
    search = Search(Problem(Task(with_all)), 3, 0)
    for _ in range(12):
        search.step()
        best = search.layouts.best
        if (
            best is not None
            and not best.stops
            and used(apply(with_all, moves(with_all, best.poses)))
        ):
            return True
    return False


def used(plan: Plan) -> bool:
    """Whether at least half of each space is free that something asks for."""
    cares = [snag for snag in judge(plan) if snag.severity == "care" and snag.hangs_on_place]
    return all(weight_of(snag).share <= 0.5 for snag in cares if not snag.movement)


def test_a_set_is_in_the_sum_and_brings_no_stop() -> None:
    limit = 150_000
    best = best_set(NARROW, LIST, limit)
    # guide prices of the library: rack 520 + bar 180 + bench 110
    assert best.minor == sum(kit_types()[p.type].price_minor or 0 for p in best.pieces) <= limit
    assert not [snag for snag in judge(best.plan) if snag.severity == "stop"]
    assert used(best.plan)
    assert len(best.chosen) + len(best.left_out) == len(LIST)
    affordable = max(
        sum(one.worth for one in some)
        for count in range(len(LIST) + 1)
        for some in combinations(LIST, count)
        if sum(one.about_minor for one in some) <= limit
    )
    assert sum(one.worth for one in best.chosen) <= affordable
    chosen = {kit_types()[one.station.type].name.lower() for one in best.chosen}
    for one in best.left_out:
        why = one.why.worded("metric")
        if best.minor + one.wanted.about_minor > limit:
            assert "comes to about" in why
        else:
            # the room is narrow: who boxes has no floor beside what is worth more
            named = why.removeprefix("a place was found for it only without the ")
            assert named in chosen
    # a rower is more than the sum that is left, beside a rack as beside a running machine
    assert "rower" in {one.wanted.station.type for one in best.left_out}
    # a rack and a bike are a set that can be had: what is found is worth no less
    assert sum(one.worth for one in best.chosen) >= 14


@pytest.mark.long
def test_no_set_that_is_found_together_is_better() -> None:
    # a room of 1.7 x 1.2 m, in which not all of them are of use at once
    plan = make_plan(room=make_room(1700, 1200))
    things = [
        Wanted(Station(type=key), worth)
        for key, worth in (("jump-box", 3.0), ("bike", 5.0), ("kettlebell-shelf", 4.0))
    ]
    best = best_set(plan, things)
    assert best.proven
    most = max(
        sum(one.worth for one in some)
        for count in range(1, len(things) + 1)
        for some in combinations(things, count)
        if found_together(plan, some)
    )
    assert sum(one.worth for one in best.chosen) >= most
    # what is left out was tried in place of what is named
    assert best.left_out
    for left in best.left_out:
        why = left.why.worded("metric")
        before, _, named = why.partition("a place was found for it only without the ")
        assert not before
        rest = [one for one in best.chosen if one.kit.name.lower() != named]
        assert len(rest) == len(best.chosen) - 1
        again = best_set(plan, [*rest, left.wanted])
        assert again.left_out == ()
        assert used(again.plan)


@pytest.mark.parametrize(
    ("plan", "one", "words"),
    [
        (
            make_plan(place("bike", 1000, 1000), room=make_room(4000, 3000)),
            wanted(bike=3),
            "already here: the upright bike",
        ),
        (make_plan(room=make_room(1200, 1200)), wanted(rower=3), "alone in the empty room"),
        (
            make_plan(place("car", 1500, 2500, piece_id="car"), room=make_room(3000, 5000)),
            wanted(running_machine=3),
            "no place was found for it",
        ),
        (
            # a car of 2.0 x 4.3 m that stays leaves half a metre about it on 3 x 5 m of floor
            make_plan(
                place("car", 1500, 2500, piece_id="car", stays=True), room=make_room(3000, 5000)
            ),
            wanted(running_machine=3),
            "it fits nowhere beside what stays here; without the car it would",
        ),
        (
            # six things of 3.0 x 0.6 m fill 3 x 4 m but for strips of 0.06 m; without one 0.72 m
            # are free, and a running machine is 0.85 m wide
            make_plan(
                *(
                    place(
                        "other-thing",
                        1500,
                        330 + 660 * row,
                        piece_id=f"thing-{row}",
                        width=3000,
                        depth=600,
                        stays=True,
                    )
                    for row in range(6)
                ),
                room=make_room(3000, 4000),
            ),
            wanted(running_machine=3),
            "it cannot be: it fits nowhere beside what stays here",
        ),
    ],
)
def test_why_something_is_left_out_is_said(plan: Plan, one: list[Wanted], words: str) -> None:
    best = best_set(plan, one)
    assert best.chosen == ()
    assert best.plan is plan
    (left,) = best.left_out
    assert words in left.why.worded("metric")
    assert ("without" in words) == ("without" in left.why.worded("metric"))


def test_plates_go_with_a_bar() -> None:
    best = best_set(NARROW, wanted(mid_rack=1, iron_plates=9), 50_000)
    assert best.chosen == ()
    told = [one.why.worded("metric") for one in best.left_out]
    assert told[1] == "plates are of no use without a bar"


@pytest.mark.parametrize(("more", "taken"), [(-1, False), (0, True)])
def test_a_bar_comes_with_plates_or_not_at_all(more: int, taken: bool) -> None:
    # rack, bar and bench alone are within both sums; with nothing on the bar they are of little use
    things = wanted(mid_rack=9, iron_plates=1, bike=2)
    rack, plates, bike = (one.about_minor for one in things)
    best = best_set(NARROW, things, rack + plates + more)
    names = [one.kit.key for one in best.chosen]
    assert names == (["mid-rack", "iron-plates"] if taken else ["bike"])
    if not taken:
        assert rack + bike > rack + plates
        assert "comes to about" in best.left_out[0].why.worded("metric")
        # plates that lie here already are plates
        there = apply(NARROW, adds([place("iron-plates", 300, 300, piece_id="lie-here")]))
        assert "mid-rack" in [one.kit.key for one in best_set(there, things, rack).chosen]


def test_the_same_budget_finds_the_same_and_without_one_it_says_so() -> None:
    one, other = (best_set(NARROW, LIST[1:], budget=Budget(4)) for _ in range(2))
    assert one == other
    nothing = best_set(NARROW, LIST, budget=Budget(0))
    assert nothing.chosen == ()
    assert not nothing.proven


def test_an_empty_list_and_a_long_one_are_said() -> None:
    with pytest.raises(WishListError, match="nothing on the list"):
        best_set(NARROW, [])
    with pytest.raises(WishListError, match="at most 12"):
        best_set(NARROW, LIST * 3)
    assert len(LIST * 3) > WANTED_AT_MOST


def test_a_list_is_what_people_want_and_nothing_twice() -> None:
    plan = make_plan(people=(make_person(1750, want=("squat", "bag"), no=("run", "walk")),))
    every = wish_list(plan, ("heart",))
    types = [one.station.type for one in every]
    assert {"mid-rack", "standing-bag", "bike"} <= set(types)
    assert "running-machine" not in types
    assert len(types) == len(set(types))
    assert sum(kit_types()[key].group == "Racks" for key in types) == 1


def test_a_low_room_has_the_lower_rack_on_its_list() -> None:
    # the mid rack is 2030 high, the short one 1830
    low, high = (
        wish_list(make_plan(room=make_room(5000, 4000, height)), ("strength",))
        for height in (1950, 2400)
    )
    assert [every[0].station.type for every in (low, high)] == ["short-rack", "mid-rack"]


def test_what_is_worth_nothing_is_off_the_list() -> None:
    every = wish_list(NARROW, ("heart",))
    fewer = weighed(every, {every[0].station.type: 0.0, every[1].station.type: 9.0})
    assert [one.station.type for one in fewer] == [one.station.type for one in every[1:]]
    assert fewer[0].worth == 9.0
