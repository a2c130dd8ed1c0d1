"""The ways to lay a floor side by side: what is shown of each is what one gets by taking it."""

from pathlib import Path

import pytest

from app.model.flooring import FloorLaying
from app.model.versions import load
from app.scene.build import Scene, build_scene
from app.takeoff.floor import floor_layout
from app.takeoff.floor_layout import lay_floor
from app.takeoff.floor_region import start_of
from app.takeoff.floor_search import search_ways
from app.takeoff.floor_trade import Choice, least_mm, longest_cut_mm, order_words, trade
from tests.builders import make_plan, make_room

SAMPLES = Path(__file__).resolve().parents[2] / "sample_rooms"


def sample(name: str) -> Scene:
    return build_scene(load((SAMPLES / f"{name}.json").read_text(encoding="utf-8")))


def figures(choice: Choice) -> tuple[int, int, int, float]:
    return choice.pieces, choice.narrow, round(choice.least_mm), round(choice.knife_mm, -1)


def test_each_way_taken_is_laid_as_it_was_sought() -> None:
    scene, laying = sample("single-garage"), FloorLaying(id="f", price_minor=3000)
    ways = trade(scene, laying)
    searched = search_ways(scene, laying)
    assert searched is not None
    # the search counts along its rows, the trade over the pieces as they are laid out
    sought = {"the best way": searched.best, **dict(searched.others)}
    assert {way.name: figures(way) for way in ways} == {
        way.name: (w.mats, w.narrow, round(w.least_mm), round(w.knife_mm, -1))
        for way in ways
        for w in (sought[way.name],)
    }
    assert [way.chosen for way in ways] == [True] + [False] * (len(ways) - 1)
    best = ways[0]
    assert all(way.pieces >= best.pieces for way in ways if way.narrow <= best.narrow)
    widest = next(way for way in ways if way.name == "widest strips")
    assert widest.least_mm == max(way.least_mm for way in ways) > best.least_mm
    assert min(way.knife_mm for way in ways) == next(
        way.knife_mm for way in ways if way.name == "least knife"
    )
    assert [way.price_minor for way in ways] == [way.pieces * 3000 for way in ways]


def test_the_way_taken_is_marked_and_the_others_stay() -> None:
    scene, laying = sample("single-garage"), FloorLaying(id="f")
    before = trade(scene, laying)
    taken = next(way for way in before if way.name == "widest strips")
    after = trade(scene, taken.laying)
    assert [(w.name, figures(w)) for w in after] == [(w.name, figures(w)) for w in before]
    assert [w.name for w in after if w.chosen] == ["widest strips"]
    assert least_mm(floor_layout(scene, taken.laying, compare=False).laid) == taken.least_mm


def test_a_floor_laid_by_hand_stands_beside_the_others() -> None:
    scene = sample("single-garage")
    hand = FloorLaying(id="f", joints="balanced")
    (own,) = [way for way in trade(scene, hand) if way.chosen]
    assert (own.name, own.laying) == ("as chosen by hand", hand)
    # of what cannot be laid at all there is no choice: 13 m2 of pieces of 20 x 20 are 33,000
    assert trade(scene, FloorLaying(id="f", length_mm=20, width_mm=20)) == ()


def test_of_two_ways_that_are_alike_the_one_that_is_laid_is_marked() -> None:
    # two whole mats side by side: straight from the left is the best there is, typed by hand or not
    scene = build_scene(make_plan(room=make_room(2016, 1016)))
    hand = FloorLaying(id="f", gap_mm=8, joints="straight", start_wall="back", start_end="left")
    ways = trade(scene, hand)
    assert [way.pieces for way in ways] == [2] * len(ways)
    (own,) = [way for way in ways if way.chosen]
    assert (own.name, own.laying) == ("the best way", hand)
    assert trade(scene, FloorLaying(id="f", gap_mm=8))[0].chosen


@pytest.mark.parametrize(
    ("width", "depth", "longest"),
    [
        # mats of 1000 x 600 along the wall: whole ones, the last column, the last row, both
        (2016, 1216, 0),
        (1716, 1216, 600),
        (2016, 1016, 1000),
        (1716, 1016, 1000),
    ],
)
def test_the_longest_straight_edge_that_is_cut(width: float, depth: float, longest: float) -> None:
    laying = FloorLaying(
        id="f", gap_mm=8, width_mm=600, joints="straight", start_wall="back", start_end="left",
        along=True, first_mm=1000, first_row_mm=600,
    )  # fmt: skip
    scene = build_scene(make_plan(room=make_room(width, depth)))
    made = lay_floor(scene, laying, start_of(scene, laying))
    assert longest_cut_mm(made) == pytest.approx(longest)


@pytest.mark.parametrize(
    ("laid", "said"),
    [
        ({}, "the fewest mats; then staggered joints before straight ones, even where"),
        ({"joints": "straight"}, "the fewest mats; then the fewest cuts and the least knife."),
        ({"kind": "board"}, "the fewest boards; then the fewest cuts"),
        ({"kind": "board", "material": "timber"}, "the fewest cuts and the least sawing."),
        ({"kind": "roll", "by_metre": True}, "metres of roll; then lengths without a joint"),
        ({"least_strip_mm": 200}, "no strip narrower than 200 mm where that can be"),
    ],
)
def test_it_is_said_in_which_order_the_figures_decide(laid: dict[str, object], said: str) -> None:
    assert said in order_words(FloorLaying.model_validate({"id": "f", **laid}), "metric")


def test_what_is_said_of_the_order_is_how_it_is_chosen() -> None:
    # of as many mats with as wide a strip the one with staggered joints, though it takes more knife
    scene, laying = sample("single-garage"), FloorLaying(id="f", length_mm=1830, width_mm=1220)
    best, *others = trade(scene, laying)
    searched = search_ways(scene, laying)
    assert searched is not None
    keys = [
        (w.narrow, w.other_joints, w.mats, w.start.joints != "staggered", w.slits, w.cuts)
        for w in (searched.best, *(way for _, way in searched.others))
    ]
    assert keys[0] == min(keys)
    assert best.name == "the best way"
    assert others
