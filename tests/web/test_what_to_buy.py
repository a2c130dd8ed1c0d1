"""The page of what to buy: a list from what one wants to do and a sum, taken as one command."""

import re
from typing import Any

import pytest

from app.usecases.plans import Elbowroom
from tests.builders import make_person, make_plan, make_room, place

ASK = "list=1&for=heart&sum=500"


@pytest.fixture
def empty(house: Elbowroom) -> str:
    """A small empty room."""
    room = make_room(3000, 2600, 2400)
    return house.create(make_plan(room=room, people=(make_person(1700),))).plan_id


def test_before_anything_is_asked_nothing_is_looked_for(client: Any, empty: str) -> None:
    page = client.get(f"/plan/{empty}/start").text
    assert "Make a list" in page
    assert "start-list" not in page
    assert "Or begin with a set" in page


def test_a_list_is_shown_and_taken_as_one_command(
    client: Any, house: Elbowroom, empty: str
) -> None:
    page = client.get(f"/plan/{empty}/start?{ASK}").text
    # bike 420, rope 15, mat 30: all of the set to begin with, and 35 are left
    assert re.search(r"\d of \d+ go in together, about €\d+", page)
    assert "with it the list comes to about" in page
    before = house.open(empty).plan
    assert before.pieces == ()
    form = {"list": "1", "for": "heart", "sum": "500"}
    assert client.post(f"/plan/{empty}/start", data=form).status_code == 303
    state = house.open(empty)
    assert {"bike", "mat-space"} <= {piece.type for piece in state.plan.pieces}
    assert state.revision == 1
    # the sum is typed once: it is the budget and what is saved up, and goes with the step
    assert "the sum goes to Cost and Months with it" in page
    assert (state.plan.money.budget_minor, state.plan.phasing.put_by_minor) == (50000, 50000)
    house.undo(empty)
    assert house.open(empty).plan == before


def test_of_stops_that_were_there_before_it_is_said_that_none_is_new(
    client: Any, house: Elbowroom
) -> None:
    # a box that stands half in the left wall is a stop, with the list or without it
    box = place("other-thing", 0, 600, piece_id="box", width=400, depth=400, height=400)
    plan_id = house.create(make_plan(box, room=make_room(3000, 2600, 2400))).plan_id
    page = client.get(f"/plan/{plan_id}/start?{ASK}").text
    assert re.search(r"<p>1 stop[^<]* with it; no stop is new</p>", page)


def test_a_sum_that_was_said_before_stays(client: Any, house: Elbowroom, empty: str) -> None:
    typed = {"edit": "terms", "budget": "900"}
    assert client.post(f"/plan/{empty}/cost", data=typed).status_code == 303
    assert client.post(f"/plan/{empty}/start", data={"list": "1", "for": "heart", "sum": "500"})
    plan = house.open(empty).plan
    assert (plan.money.budget_minor, plan.phasing.put_by_minor) == (90000, 50000)


def test_ones_own_word_counts(client: Any, empty: str) -> None:
    page = client.get(f"/plan/{empty}/start?{ASK}&w-bike=0").text
    (row,) = re.findall(r"<tr[^>]*><th scope=\"row\">Upright bike.*?</tr>", page, re.DOTALL)
    assert "you left it out" in row
    assert '<option value="0" selected>' in row


@pytest.mark.parametrize(
    ("query", "words"),
    [("list=1", "nothing on the list"), ("list=1&for=heart&sum=much", "the sum")],
)
def test_what_cannot_be_asked_is_said_and_nothing_typed_is_lost(
    client: Any, empty: str, query: str, words: str
) -> None:
    reply = client.get(f"/plan/{empty}/start?{query}")
    assert words in reply.text
    assert 'role="alert"' in reply.text
    if "sum=" in query:
        assert 'value="much"' in reply.text


def test_where_nothing_has_a_place_each_reason_is_there_and_nothing_is_taken(
    client: Any, house: Elbowroom
) -> None:
    full = house.create(make_plan(room=make_room(500, 400))).plan_id
    page = client.get(f"/plan/{full}/start?list=1&for=boxing").text
    assert "Nothing of the list finds a place here" in page
    reply = client.post(f"/plan/{full}/start", data={"list": "1", "for": "boxing"})
    assert reply.status_code == 409
    assert "Nothing of this list finds a place in this room." in reply.text


@pytest.mark.long
def test_the_page_of_what_fits_says_of_each_kind_whether_and_how_large(
    client: Any, empty: str
) -> None:
    first = client.get(f"/plan/{empty}/fits").text
    assert f'data-whole="/plan/{empty}/fits?whole"' in first
    assert "fits-parts" not in first
    page = client.get(f"/plan/{empty}/fits?whole").text
    assert "fits-parts" in client.get(f"/plan/{empty}/fits").text
    # a room of 3 x 2.6 m, 2.4 high, with nothing in it
    assert "<dd>2400</dd>" in page.replace(" mm", "")
    assert "3.0 × 2.6 m" in page
    _, full = page.split("Fits, with all the room it asks for", 1)
    full, rest = full.split("</section>", 1)
    assert "Adjustable dumbbells" in full
    # a belt of 1.85 m wants 2 m behind it
    assert "Running machine" in rest
