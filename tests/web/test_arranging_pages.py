"""The page on which layouts are looked for: it begins, says what it finds, and one is taken."""

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, NamedTuple

import pytest

from app.changes.commands import adds
from app.model.versions import load
from app.usecases import arranging
from app.usecases.layout_run import View
from app.usecases.plans import Elbowroom
from app.web.app import create_app
from app.web.pages.arranging_words import CLEARLY, NONE_BETTER, is_worth_it
from tests.arranging.test_in_part import two_faults
from tests.builders import make_person, make_plan, make_room, place
from tests.web.building import plan_data, text


class Looked(NamedTuple):
    """A plan for which layouts were looked for, and its page."""

    house: Elbowroom
    plan_id: str
    page: str


def page_of(client: Any, house: Elbowroom, plan_id: str, steps: int = 2) -> str:
    """The page once a short search has ended."""
    # what the page's script asks for as soon as the page is there
    assert client.post(f"/plan/{plan_id}/arrange", data={"edit": "ready"}).status_code == 204
    reply = client.post(f"/plan/{plan_id}/arrange", data={"edit": "begin", "steps": f"{steps}"})
    assert reply.status_code == 303
    arranging.wait(house, plan_id)
    return str(client.get(f"/plan/{plan_id}/arrange").text)


@pytest.fixture(scope="module")
def looked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Looked]:
    """A search that is over, for all tests that only read what it found."""
    house = Elbowroom(tmp_path_factory.mktemp("looked"))
    client = create_app(house, "the mark").test_client()
    plan_id = house.create(load(text(plan_data()))).plan_id
    yield Looked(house, plan_id, page_of(client, house, plan_id))
    house.close()


def test_before_it_begins_there_is_one_button(client: Any, plan_id: str) -> None:
    page = client.get(f"/plan/{plan_id}/arrange").text
    assert "Nothing on the plan changes until you say so" in page
    assert 'value="begin">Look for layouts' in page
    assert "arrange-card" not in page


def test_layouts_are_kept_as_options_or_taken_as_one_command_and_undone(
    client: Any, house: Elbowroom, plan_id: str
) -> None:
    looked = page_of(client, house, plan_id)
    assert "data-running" not in looked
    keys = re.findall(r'data-key="([\d.]+)"', looked)
    assert keys
    # where there is little to choose from the page says why
    assert ("All else that was found" in looked) == (len(keys) < 3)
    assert "Put on the plan" in looked
    reply = client.post(f"/plan/{plan_id}/arrange", data={"edit": "keep", "of": keys[0]})
    assert reply.headers["Location"].endswith(f"/plan/{plan_id}/options")
    assert len(house.list_plans()) == 2
    before = house.open(plan_id)
    # what comes to the plan meanwhile stays where it is
    house.do(plan_id, adds([place("fan", 300, 300)]))
    reply = client.post(f"/plan/{plan_id}/arrange", data={"edit": "take", "of": keys[0]})
    assert reply.status_code == 303
    after = house.open(plan_id)
    assert after.revision == before.revision + 2
    assert after.plan.pieces != before.plan.pieces
    assert any(piece.type == "fan" for piece in after.plan.pieces)
    house.undo(plan_id)
    house.undo(plan_id)
    assert house.open(plan_id).plan == before.plan


@pytest.mark.long
def test_any_point_of_what_moving_is_worth_can_be_put_beside_the_others_and_taken(
    client: Any, house: Elbowroom
) -> None:
    plan_id = house.create_sample("upstairs-room").plan_id
    page = page_of(client, house, plan_id, steps=6)
    shown = set(re.findall(r'data-key="([\d.]+)"', page))
    more = re.findall(r'name="of" value="([\d.]+)"><button class="btn small"', page)
    assert more
    assert not shown & set(more)
    asked = client.post(f"/plan/{plan_id}/arrange", data={"edit": "look", "of": more[0]})
    assert asked.status_code == 303
    page = client.get(f"/plan/{plan_id}/arrange").text
    assert set(re.findall(r'data-key="([\d.]+)"', page)) == shown | {more[0]}
    view = arranging.view(house, plan_id)
    assert view is not None
    card = view.cards[-1]
    assert card.key == more[0]
    assert card.shown.name.endswith(f", {len(card.shown.moved)} moved")
    assert "1 more that you looked at." in page
    there = {piece.id: piece.pose for piece in house.open(plan_id).plan.pieces}
    client.post(f"/plan/{plan_id}/arrange", data={"edit": "take", "of": more[0]})
    after = {piece.id: piece.pose for piece in house.open(plan_id).plan.pieces}
    assert after == {**there, **card.shown.poses} != there
    unknown = client.post(f"/plan/{plan_id}/arrange", data={"edit": "look", "of": "99.99"})
    assert unknown.status_code == 404
    assert "choose again" in unknown.text


@pytest.mark.long
def test_who_has_the_best_of_it_already_is_told_and_pushed_to_nothing(
    client: Any, house: Elbowroom
) -> None:
    there = [place("bike", 1500, 1500), place("plate-tree", 2500, 1400)]
    plan_id = house.create(make_plan(*there, room=make_room(4000, 3000))).plan_id

    def looked() -> str:
        client.post(f"/plan/{plan_id}/arrange", data={"edit": "begin", "steps": "6"})
        arranging.wait(house, plan_id)
        return str(client.get(f"/plan/{plan_id}/arrange").text)

    first = looked()
    assert NONE_BETTER not in first
    assert 'class="btn large primary way"' in first
    best = re.findall(r'data-key="([\d.]+)"', first)[0]
    client.post(f"/plan/{plan_id}/arrange", data={"edit": "take", "of": best})
    again = looked()
    assert NONE_BETTER in again
    assert 'class="btn large" type="submit" name="edit" value="take"' in again


def row_of(page: str, name: str) -> list[str]:
    """The cells of a row of the table that compares layouts, with how they look."""
    row, *_ = re.findall(rf'<tr><th scope="row">{name}</th>(.*?)</tr>', page)
    return re.findall(r'<td class="([^"]*)">', row)


def test_a_plan_with_a_stop_is_nobodys_best_and_what_nothing_mends_stands_apart(
    client: Any, house: Elbowroom
) -> None:
    # a press under 2.0 m nothing mends: it is told as left, now and in each layout
    press = make_person(1800, want=("standing-press",))
    there = [place("bike", 600, 600), place("adjustable-dumbbells", 2500, 2500)]
    plan = make_plan(*there, room=make_room(4000, 3000, 2000), people=(press,))
    page = page_of(client, house, house.create(plan).plan_id)
    assert "best" not in row_of(page, "Cares left")[0]
    assert "best" not in row_of(page, "Open floor, m")[0]
    (stays,) = re.findall(r"of them in every layout</th>(.*?)</tr>", page)
    (left,) = re.findall(r"Stops left</th>(.*?)</tr>", page)
    layouts = len(re.findall('data-key="', page))
    assert layouts
    assert re.findall(r">(\d+)<", stays) == ["1"] * (1 + layouts)
    assert re.findall(r">(\d+)<", left) == ["1"] * (1 + layouts)


def test_what_is_good_of_a_plan_whose_stops_stay_is_not_written_as_a_stop(
    client: Any, house: Elbowroom
) -> None:
    # a press under 2.0 m nothing mends, and nothing else is wrong
    press = make_person(1800, want=("standing-press",))
    there = [place("adjustable-dumbbells", 2500, 1500)]
    plan = make_plan(*there, room=make_room(4000, 3000, 2000), people=(press,))
    page = page_of(client, house, house.create(plan).plan_id)
    assert "One stop stays</b>" in page or "stop stays in every layout" in page
    (now,) = re.findall(r'arrange-card is-now">.*?</li>\s*(?=<li|</ol)', page, re.DOTALL)
    assert "stays free" in now
    assert "is-stop" not in now


def test_more_cares_than_now_are_said_beside_a_layout(looked: Looked) -> None:
    view = arranging.view(looked.house, looked.plan_id)
    assert view is not None
    assert view.seconds_left is None
    now = view.answer.now
    card = view.cards[0]
    worse = replace(card, shown=replace(card.shown, cares=now.cares + 2, total=now.total + 9))
    without = replace(view.answer, now=replace(now, stops=0))
    assert not is_worth_it(replace(view, answer=without, cards=(worse,)))
    alike = replace(worse, shown=replace(worse.shown, cares=now.cares))
    assert is_worth_it(replace(view, answer=without, cards=(alike,)))
    least = replace(alike, shown=replace(alike.shown, total=now.total + CLEARLY))
    assert is_worth_it(replace(view, answer=without, cards=(least,)))
    little = replace(alike, shown=replace(alike.shown, total=now.total + CLEARLY - 0.01))
    assert not is_worth_it(replace(view, answer=without, cards=(little,)))
    assert is_worth_it(replace(view, answer=replace(without, now=replace(now, stops=1))))


def test_the_desk_begins_with_one_press_and_does_not_look_twice_at_one_plan(
    client: Any, house: Elbowroom, plan_id: str
) -> None:
    assert 'name="edit" value="open">Arrange it for me' in client.get(f"/plan/{plan_id}").text

    def opened() -> View:
        reply = client.post(f"/plan/{plan_id}/arrange", data={"edit": "open"})
        assert reply.headers["Location"].endswith(f"/plan/{plan_id}/arrange")
        arranging.stop(house, plan_id)
        view = arranging.view(house, plan_id)
        assert view is not None
        return view

    house.do(plan_id, adds([place("fan", 300, 300)]))
    # asked with something to mind, which a press on the desk keeps while the piece is there
    asked = {"edit": "begin", "steps": "1", "piece-fan": "12"}
    client.post(f"/plan/{plan_id}/arrange", data=asked)
    arranging.wait(house, plan_id)
    looked = opened()
    assert looked.task is not None
    assert looked.task.worths == (("fan", 12.0),)
    assert looked.revision == house.open(plan_id).revision
    house.undo(plan_id)
    later = opened()
    assert later.revision == looked.revision + 1
    assert later.task is not None
    assert later.task.worths == ()


def test_what_is_not_at_hand_is_said(client: Any, plan_id: str) -> None:
    for edit, words in (("take", "look for layouts again"), ("dance", "no such thing to do")):
        reply = client.post(f"/plan/{plan_id}/arrange", data={"edit": edit, "of": "9.9"})
        assert reply.status_code >= 400
        assert words in reply.text
    assert client.post(f"/plan/{plan_id}/arrange", data={"edit": "stop"}).status_code == 303


def test_with_one_move_that_mends_one_of_two_stops_the_page_is_not_empty(
    client: Any, house: Elbowroom
) -> None:
    plan_id = house.create(two_faults()).plan_id
    client.post(f"/plan/{plan_id}/arrange", data={"edit": "begin", "steps": "3", "moves": "1"})
    arranging.wait(house, plan_id)
    arranging.view(house, plan_id)
    arranging.wait(house, plan_id)
    page = client.get(f"/plan/{plan_id}/arrange").text
    assert "None without a stop was found; what leaves fewest is below" in page
    assert '<li class="is-stop">1 of 2 stops stays: ' in page
    # of 100 points: none while a stop is left, now as little as with one moved
    worth = page[page.index("What moving is worth</caption>") :]
    assert "Points, of 100" not in worth
    assert "“Show”" not in worth
    assert '<th scope="row">Stops that moving mends</th>' in page
    assert "With 2 pieces moving a layout was found." in page
    assert "try what helped here" in page
    # whoever has stopped is told of nothing that was not tried
    client.post(f"/plan/{plan_id}/arrange", data={"edit": "begin", "steps": "3", "moves": "1"})
    client.post(f"/plan/{plan_id}/arrange", data={"edit": "stop"})
    page = client.get(f"/plan/{plan_id}/arrange").text
    assert "look longer, let more move.</p>" in page
    assert "try what helped here" not in page


@pytest.mark.parametrize("moves", ["0", "-1", "two", "10000"])
def test_what_is_no_number_of_pieces_is_said(client: Any, plan_id: str, moves: str) -> None:
    reply = client.post(f"/plan/{plan_id}/arrange", data={"edit": "begin", "moves": moves})
    assert reply.status_code == 400
    assert f"“{moves}” is no number of pieces or steps: write one from 1 to 9,999" in reply.text


def test_an_empty_plan_is_told_at_once(client: Any, house: Elbowroom, plan_id: str) -> None:
    plan = house.open(plan_id).plan
    empty = house.create(plan.model_copy(update={"pieces": ()})).plan_id
    reply = client.post(f"/plan/{empty}/arrange", data={"edit": "begin"})
    assert reply.status_code == 400
    assert "nothing on the plan yet" in reply.text


@pytest.mark.long
def test_where_there_is_no_layout_it_says_what_would_help(client: Any, house: Elbowroom) -> None:
    # two boxes fill the room, the third has no place
    crowd = [
        place("other-thing", piece_id=f"b{i}", width=1000, depth=1500, height=500) for i in range(3)
    ]
    plan_id = house.create(make_plan(*crowd, room=make_room(2000, 1500))).plan_id
    client.post(f"/plan/{plan_id}/arrange", data={"edit": "begin", "steps": "1"})
    arranging.wait(house, plan_id)
    arranging.view(house, plan_id)
    arranging.wait(house, plan_id)
    page = client.get(f"/plan/{plan_id}/arrange").text
    assert "It cannot be: at 50 mm above the floor the kit alone takes 4.5 m²" in page
    assert "Not found together: three other things. Without any one of these" in page


@pytest.mark.long
def test_wishes_and_what_may_be_left_out_are_asked_for_and_come_back(
    client: Any, house: Elbowroom
) -> None:
    plan = make_plan(
        place("bike", 2500, 2000, piece_id="bike"), place("fan", 600, 600, piece_id="fan")
    )
    plan_id = house.create(plan).plan_id
    form = {
        "edit": "begin",
        "steps": "2",
        "piece-fan": "4",
        "wish-piece-0": "bike",
        "wish-how-0": "near",
        "wish-to-0": f"wall:{plan.room.walls[0].id}",
    }
    assert client.post(f"/plan/{plan_id}/arrange", data=form).status_code == 303
    arranging.wait(house, plan_id)
    page = client.get(f"/plan/{plan_id}/arrange").text
    assert "as you wish: upright bike near the back wall" in page
    assert '<option value="4" selected>may be left out</option>' in page
    # the plan holds the wish; typed ones come beside it, and undo takes them back
    (kept,) = house.open(plan_id).plan.layout_wishes
    assert (kept.piece, kept.relation, kept.target) == ("bike", "near", form["wish-to-0"])
    typed = form | {"wish-words": "fan far from the bike\n\n"}
    assert client.post(f"/plan/{plan_id}/arrange", data=typed).status_code == 303
    arranging.stop(house, plan_id)
    assert len(house.open(plan_id).plan.layout_wishes) == 2
    house.undo(plan_id)
    assert house.open(plan_id).plan.layout_wishes == (kept,)
    reply = client.post(
        f"/plan/{plan_id}/arrange", data=form | {"wish-words": "fan eats bike", "moves": "3"}
    )
    assert reply.status_code == 400
    assert "is no wish that is understood" in reply.text
    assert '<option value="3" selected>at most 3</option>' in reply.text
    assert "fan eats bike</textarea>" in reply.text
    reply = client.post(f"/plan/{plan_id}/arrange", data=form | {"wish-to-0": ""})
    assert reply.status_code == 400
    assert "“upright bike near …”: choose a piece, a wall" in reply.text
    assert '<option value="bike" selected>' in reply.text
    reply = client.post(f"/plan/{plan_id}/arrange", data=form | {"wish-words": "fan near bath"})
    assert reply.status_code == 400
    assert "“fan near bath”: there is no “bath” in this room." in reply.text
    assert "fan near bath</textarea>" in reply.text
    # the same wish the other way round beside it is refused, and what was chosen is still there
    form |= {"wish-piece-1": "bike", "wish-how-1": "far", "wish-to-1": form["wish-to-0"]}
    reply = client.post(f"/plan/{plan_id}/arrange", data=form)
    assert reply.status_code == 400
    assert "contradict one another" in reply.text
    assert '<option value="far" selected>' in reply.text


@pytest.mark.long
def test_a_layout_without_a_piece_takes_it_off_the_plan_and_undo_brings_it_back(
    client: Any, house: Elbowroom
) -> None:
    # two boxes fill the room; the third is left out
    crowd = [
        place("other-thing", piece_id=f"b{i}", width=1000, depth=1500, height=500) for i in range(3)
    ]
    plan_id = house.create(make_plan(*crowd, room=make_room(2000, 1500))).plan_id
    form = {"edit": "begin", "steps": "4", "piece-b2": "4"}
    client.post(f"/plan/{plan_id}/arrange", data=form)
    arranging.wait(house, plan_id)
    page = client.get(f"/plan/{plan_id}/arrange").text
    assert "left out: other thing" in page
    key = re.findall(r'data-key="([\d.]+)"', page)[0]
    client.post(f"/plan/{plan_id}/arrange", data={"edit": "take", "of": key})
    assert {piece.id for piece in house.open(plan_id).plan.pieces} == {"b0", "b1"}
    house.undo(plan_id)
    assert {piece.id for piece in house.open(plan_id).plan.pieces} == {"b0", "b1", "b2"}
