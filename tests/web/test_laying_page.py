"""A floor laid from the phone: the page of one piece, its tick, a wall measured anew."""

from __future__ import annotations

import re
from typing import Any

import pytest

from app.model.flooring import FloorLaying
from app.model.plan import Plan
from app.usecases.plans import Elbowroom
from app.usecases.sharing import make_link
from app.web.api.following import Streams
from app.web.guests.app import create_guest_app
from tests.builders import make_plan, make_room

HOME = "http://192.168.1.5:8766"
MAT = FloorLaying(id="rubber", length_mm=1000, width_mm=1000, joints="straight")


@pytest.fixture
def floor(house: Elbowroom) -> str:
    plan = make_plan(room=make_room(2430, 1730))
    fit = plan.fit_out.model_copy(update={"floors": (MAT,)})
    return house.create(plan.model_copy(update={"fit_out": fit})).plan_id


def plan_of(house: Elbowroom, plan_id: str) -> Plan:
    return house.open(plan_id).plan


def lies(house: Elbowroom, plan_id: str) -> list[str]:
    return [one.id for one in plan_of(house, plan_id).fit_out.floors[0].laid if one.down]


def test_one_piece_is_shown_ticked_and_the_next_one_comes(
    client: Any, house: Elbowroom, floor: str
) -> None:
    where = f"/plan/{floor}/lay"
    page = client.get(where).text
    (count,) = re.findall(r"Piece 1 of (\d+)", page)
    assert int(count) == 6
    # the walls of 2430 x 1730 leave 2414 x 1714 inside a gap of 8: 1000, 1000, 414 by 1000, 714
    reply = client.post(where, data={"edit": "laid.rubber", "piece": "1", "of": "rubber"})
    assert reply.status_code == 303
    assert lies(house, floor) == ["1"]
    page = client.get(reply.headers["Location"]).text
    assert "Piece 2 of 6" in page
    assert "1 laid" in page


def test_a_cut_piece_is_told_by_the_tape_and_leaves_an_offcut(
    client: Any, house: Elbowroom, floor: str
) -> None:
    where = f"/plan/{floor}/lay"
    pages = {number: client.get(f"{where}?at={number}").text for number in range(1, 7)}
    cut = next(n for n, page in pages.items() if "Keep the" in page)
    told = re.findall(r"<li>(\d+) mm from the \w+ edge, at both ends", pages[cut])
    assert told, pages[cut]
    assert {int(mm) for mm in told} <= {414, 714, 586, 286}
    client.post(where, data={"edit": "laid.rubber", "piece": str(cut)})
    page = client.get(where).text
    assert f"left after {cut}: write it on" in page or "more that no piece needs" in page


def test_a_wall_that_is_longer_is_kept_with_the_room_and_undone(
    client: Any, house: Elbowroom, floor: str
) -> None:
    where = f"/plan/{floor}/lay"
    client.post(where, data={"edit": "laid.rubber", "piece": "1"})
    data = {"edit": "wall-length", "wall": "back", "length": "2439"}
    assert client.post(where, data=data).status_code == 303
    assert plan_of(house, floor).room.wall_length_mm("back") == 2439
    told = [client.get(f"{where}?at={number}").text for number in range(2, 7)]
    assert any("423 mm from" in page for page in told)
    client.post(where, data={"edit": "undo"})
    assert plan_of(house, floor).room.wall_length_mm("back") == 2430
    assert lies(house, floor) == ["1"]


def test_after_a_wall_was_measured_the_page_says_what_came_of_it(client: Any, floor: str) -> None:
    where = f"/plan/{floor}/lay"
    page = client.get(where).text
    # the wall is called as the picture calls it, and by its letter in the room
    assert '<option value="back">the back wall (A), kept as 2.43 m</option>' in page
    client.post(where, data={"edit": "laid.rubber", "piece": "1", "of": "rubber"})
    data = {"edit": "wall-length", "wall": "back", "length": "2439", "of": "rubber"}
    reply = client.post(where, data=data)
    page = client.get(reply.headers["Location"]).text
    assert "The back wall (A) is 2.439 m now: what is left to lay is planned anew, 5 p" in page
    # the address is only looked up
    assert "is planned anew" not in client.get(f"{where}?wall=%3Cb%3E").text


def test_the_last_tick_ends_the_floor(client: Any, floor: str) -> None:
    where = f"/plan/{floor}/lay"
    told = []
    for number in range(1, 7):
        page = client.get(where).text
        told += re.findall(r"<h1>(From the offcut[^<]*)</h1>", page)
        assert "The floor is down" not in page
        if "Keep the" not in page and "From the offcut" in page:
            assert "as it is:" in page
        client.post(where, data={"edit": "laid.rubber", "piece": str(number), "of": "rubber"})
    assert told
    page = client.get(where).text
    assert "The floor is down: all 6 pieces." in page
    assert "in all, and all 6 pieces lie." in page
    assert "keep them till the last piece is down" not in page


def test_the_list_of_a_floor_that_is_being_laid_opens(client: Any, floor: str) -> None:
    client.post(f"/plan/{floor}/lay", data={"edit": "laid.rubber", "piece": "1", "of": "rubber"})
    page = client.get(f"/plan/{floor}/quantities?of=floor:rubber")
    assert page.status_code == 200
    assert "1 of 6 pieces lie" in page.text
    # what lies can be laid no other way
    assert "Ways to lay it" not in page.text


def test_a_wrong_length_is_told_beside_what_was_typed(client: Any, floor: str) -> None:
    data = {"edit": "wall-length", "wall": "back", "length": "a bit", "of": "rubber"}
    reply = client.post(f"/plan/{floor}/lay", data=data)
    assert reply.status_code == 400
    assert 'value="a bit"' in reply.text
    assert 'role="alert"' in reply.text


def test_guests_with_the_right_tick_and_do_nothing_else(house: Elbowroom, floor: str) -> None:
    app = create_guest_app(house, frozenset({"192.168.1.5"}), Streams(3, 3, 2))
    guest = app.test_client()
    for ticks, answer, lying in ((False, 403, []), (True, 303, ["1"])):
        secret = make_link(house, floor, "Ben", "look", 1, ticks=ticks)[1]
        where = f"{HOME}/g/{secret}/plan/{floor}/lay"
        page = guest.get(where).text
        assert ("It is down" in page) is ticks
        assert "It measures" not in page
        reply = guest.post(where, data={"edit": "laid.rubber", "piece": "1"})
        assert reply.status_code == answer
        assert lies(house, floor) == lying
        for data in (
            {"edit": "undo"},
            {"edit": "anew.rubber"},
            {"edit": "wall-length", "wall": "back", "length": "3 m"},
        ):
            assert guest.post(where, data=data).status_code in (400, 403)
    assert lies(house, floor) == ["1"]


def test_a_plan_without_a_floor_says_where_to_choose_one(client: Any, plan_id: str) -> None:
    page = client.get(f"/plan/{plan_id}/lay")
    assert page.status_code == 200
    assert "No floor covering is chosen yet" in page.text
