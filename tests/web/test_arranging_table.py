"""The table of layouts, what moving is worth and what a layout costs, as the page tells it."""

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from shapely import Point

from app.arranging.shown import narrower, way_words
from app.model.versions import load
from app.scene.build import build_scene
from app.usecases import arranging
from app.usecases.plans import Elbowroom
from app.web.app import create_app
from app.web.pages.arranging_words import BUSY, ENDING, plain_words, table, wishes_words
from tests.arranging.test_in_part import two_faults
from tests.arranging.test_too_much import overfull
from tests.web.building import plan_data, text
from tests.web.test_arranging_pages import Looked, page_of


@pytest.fixture(scope="module")
def looked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Looked]:
    """A search that is over, for all tests that only read what it found."""
    house = Elbowroom(tmp_path_factory.mktemp("looked"))
    client = create_app(house, "the mark").test_client()
    plan_id = house.create(load(text(plan_data()))).plan_id
    yield Looked(house, plan_id, page_of(client, house, plan_id))
    house.close()


def test_what_moving_is_worth_is_drawn_as_bars_from_one_line(looked: Looked) -> None:
    view = arranging.view(looked.house, looked.plan_id)
    assert view is not None
    points = view.answer.moves
    assert len(points) > 1
    bars = re.findall(
        r'viewBox="0 0 10 (\d+)".*?y="(\d+)" width="10" height="(\d+)"/></svg>(–|\d+)<',
        looked.page,
    )
    now, *rest = bars
    assert (now[3] == "–") == (view.answer.now_points is None)
    assert [int(told) for *_, told in rest] == [round(one.layout.value) for one in points]
    assert all(int(y) + int(high) == int(whole) for whole, y, high, _ in bars)
    # the last one is worth most, for each point is better than those before it
    heights = [int(high) for _, _, high, _ in rest]
    assert heights == sorted(heights)
    assert all(
        int(high) == round(int(whole) * one.layout.value / 100)
        for (whole, _, high, _), one in zip(rest, points, strict=True)
    )


@pytest.mark.parametrize(("value", "points"), [(0.0, 0.0), (56.0, 50.0), (112.0, 100.0)])
def test_points_are_of_a_hundred_whatever_may_be_left_out(
    looked: Looked, value: float, points: float
) -> None:
    # a bike worth 12 points that may be left out: with nothing against it a layout is worth 112
    view = arranging.view(looked.house, looked.plan_id)
    assert view is not None
    answer = replace(view.answer, full=112.0)
    assert answer.of_100(value) == pytest.approx(points)


def test_a_row_names_the_best_only_of_a_choice_that_today_does_not_outdo(looked: Looked) -> None:
    view = arranging.view(looked.house, looked.plan_id)
    assert view is not None
    now, one = view.answer.now, view.cards[0].shown

    def best(today_mm: float, *ways_mm: float, stops: int = 1) -> list[int]:
        every = [replace(now, narrowest_mm=today_mm, shut="", stops=stops, unmendable=0)]
        every += [replace(one, narrowest_mm=mm, shut="", stops=0, unmendable=0) for mm in ways_mm]
        (row,) = [cells for name, cells in table(every, view) if name == "Narrowest way"]
        return [number for number, (_, looks) in enumerate(row) if looks]

    # one layout is no choice, unless today's is one too
    assert best(700, 800) == []
    assert best(700, 800, stops=0) == [1]
    assert best(700, 660, 800) == [2]
    assert best(800, 660, 800) == [2]
    assert best(801, 660, 800) == []
    # two people pass one another: more is no better
    assert best(700, 1199, 1200, 4882) == [2, 3]


def test_ways_on_foot_that_are_shut_or_narrower_than_today_are_said(looked: Looked) -> None:
    view = arranging.view(looked.house, looked.plan_id)
    assert view is not None
    one = view.cards[0].shown

    def said(mm: float, today_mm: float) -> str:
        there, today = (replace(one, narrowest_mm=each, shut="") for each in (mm, today_mm))
        return narrower(there, today, "metric")

    assert said(741, 1687) == "narrowest way 741 mm, now 1.687 m"
    # layouts.md: 900 is wide; a hand less than today is felt
    assert said(900, 1687) == ""
    assert said(899, 1687)
    assert said(700, 800)
    assert said(701, 800) == ""
    assert said(700, math.inf) == "narrowest way 700 mm, now nothing narrows it"
    shut = replace(one, narrowest_mm=0.0, shut="shut: no way to the jump box")
    assert narrower(shut, one, "metric") == shut.shut
    assert way_words(shut, "metric") == "shut"
    assert way_words(replace(one, narrowest_mm=None), "metric") == "no way to judge"


def test_only_what_leaves_its_place_is_drawn_as_moved(client: Any, house: Elbowroom) -> None:
    plan_id = house.create(two_faults()).plan_id
    client.post(f"/plan/{plan_id}/arrange", data={"edit": "begin", "steps": "3", "moves": "1"})
    arranging.wait(house, plan_id)
    view = arranging.view(house, plan_id)
    assert view is not None
    for card in view.cards:
        assert set(card.pieces) == set(card.shown.moved)
        assert len(card.pieces) == 1
    page = client.get(f"/plan/{plan_id}/arrange").text
    assert re.findall(r'data-moved="([^"]*)"', page) == [card.pieces[0] for card in view.cards]
    assert "stays where it is" in page


@pytest.mark.parametrize(
    "name", ["basement", pytest.param("upstairs-room", marks=pytest.mark.long)]
)
def test_cares_are_counted_alike_in_both_tables(client: Any, house: Elbowroom, name: str) -> None:
    plan_id = house.create_sample(name).plan_id
    page_of(client, house, plan_id)
    view = arranging.view(house, plan_id)
    assert view is not None
    assert view.cards
    for card in view.cards:
        assert card.shown.layout is not None
        assert card.shown.layout.cares == card.shown.cares


def test_who_had_a_busy_machine_is_told_and_may_look_on(client: Any, house: Elbowroom) -> None:
    plan_id = house.create(two_faults()).plan_id
    # more of a processor than any process has
    arranging.begin(house, plan_id, seconds=0.5, least_share=2.0)
    arranging.wait(house, plan_id)
    page = client.get(f"/plan/{plan_id}/arrange").text
    assert BUSY in page
    assert 'value="on">Look on</button>' in page
    assert "data-running" not in page
    assert "All else that was found" not in page
    assert client.post(f"/plan/{plan_id}/arrange", data={"edit": "on"}).status_code == 303
    page = client.get(f"/plan/{plan_id}/arrange").text
    assert "data-running" in page
    assert BUSY not in page
    arranging.stop(house, plan_id)
    page = client.get(f"/plan/{plan_id}/arrange").text
    assert BUSY not in page
    assert "Look on" not in page


def test_wishes_that_no_layout_meets_together_are_said(looked: Looked) -> None:
    view = arranging.view(looked.house, looked.plan_id)
    assert view is not None
    card = view.cards[0]

    def said(*unmet: tuple[str, ...]) -> str:
        return wishes_words(
            [replace(card, shown=replace(card.shown, unmet=words)) for words in unmet]
        )

    assert said() == said(()) == said(("bike far",), ()) == ""
    assert said(("bike far",), ("bike far", "fan near")) == (
        "No layout was found that is as you wish: bike far."
    )
    assert said(("bike far",), ("fan near",)) == (
        "Each wish is met in one of these, but no layout was found that meets them all."
    )


def test_layouts_that_are_no_longer_kept_are_told(
    client: Any, house: Elbowroom, plan_id: str
) -> None:
    gone = "What was found for this plan before is no longer kept"
    assert gone not in client.get(f"/plan/{plan_id}/arrange").text
    page_of(client, house, plan_id, steps=1)
    assert gone not in client.get(f"/plan/{plan_id}/arrange").text
    arranging.runs_of(house).forget(plan_id)
    assert gone in client.get(f"/plan/{plan_id}/arrange").text


@pytest.mark.long
def test_walls_that_are_called_by_letters_have_them_on_the_drawing(
    client: Any, house: Elbowroom
) -> None:
    # an L of six walls: all but the door's are called by their letters
    plan_id = house.create_sample("upstairs-room").plan_id
    page = page_of(client, house, plan_id, steps=1)
    view = arranging.view(house, plan_id)
    assert view is not None
    scene = build_scene(view.plan)
    named = [name.removeprefix("wall ") for name in scene.fixed_names if name.startswith("wall ")]
    assert [letter for letter, *_ in view.letters] == named
    for letter, x, y in view.letters:
        wall = scene.room.walls[scene.fixed_names.index(f"wall {letter}")]
        assert wall.polygon.covers(Point(x, y))
        assert f">{letter}</text>" in page
    # in a room of four each side has its name
    plan_id = house.create_sample("single-garage").plan_id
    page_of(client, house, plan_id, steps=1)
    other = arranging.view(house, plan_id)
    assert other is not None
    assert other.letters == ()


def test_how_long_nothing_new_has_come_is_said_and_nobody_waits_for_no_time(
    looked: Looked,
) -> None:
    view = arranging.view(looked.house, looked.plan_id)
    assert view is not None
    running = replace(view, running=True, seconds_left=28)
    fresh, long = (plain_words(replace(running, unchanged_s=s)) for s in (9, 10))
    assert "The list may still change. It looks for 28 s more." in fresh
    assert "Nothing new has come for 10 s: you need not wait" in long
    assert long.endswith("It looks for 28 s more.")
    # its time is up, and a step of a search is not yet
    last = plain_words(replace(running, seconds_left=0))
    assert "0 s" not in last
    assert last.endswith(ENDING)
    # with steps counted nobody knows for how long
    assert "looks for" not in plain_words(replace(running, seconds_left=None))


def test_the_same_layouts_are_counted_from_when_they_were_first_seen(looked: Looked) -> None:
    run = arranging.runs_of(looked.house).get(looked.plan_id)
    assert run is not None
    run.unchanged_s(("0.1", "0.2"))
    run.changed -= 12
    assert run.unchanged_s(("0.1", "0.2")) == 12
    assert run.unchanged_s(("0.3", "0.2")) == 0


@pytest.mark.long
def test_kit_that_is_too_much_is_said_with_what_helps(client: Any, house: Elbowroom) -> None:
    plan_id = house.create(overfull()).plan_id
    page = page_of(client, house, plan_id, steps=6)
    assert "4 things are much for this room: each layout leaves" in page
    arranging.wait(house, plan_id)
    page = client.get(f"/plan/{plan_id}/arrange").text
    assert "Found with one thing left out" in page
    assert "without the running machine" in page
    assert "being tried" not in page
    assert "data-running" not in page
