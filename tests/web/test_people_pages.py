"""Who trains: a refused form leads to what is wrong in it, a kept one to the card."""

import re
from typing import Any

import pytest

from app.arranging.wish_list import wish_list
from app.changes.commands import wishes
from app.library.movements import movements
from app.usecases.plans import Elbowroom


def _post(client: Any, plan_id: str, **form: str) -> Any:
    return client.post(f"/plan/{plan_id}/people", data=form)


def test_a_refused_height_is_named_linked_described_and_focused(client: Any, plan_id: str) -> None:
    reply = _post(client, plan_id, edit="add", label="Bo", stature="big", **{"with": "alone"})
    page = reply.get_data(as_text=True)
    assert reply.status_code == 400
    summary = re.search(r'<div class="faults" role="alert".*?</div>', page, re.S)
    assert summary is not None
    assert '<a href="#new-stature">Height</a>: “big” cannot be read as a length' in summary[0]
    field = re.search(r'<input id="new-stature"[^>]*>', page)
    assert field is not None
    assert 'aria-invalid="true"' in field[0]
    assert 'aria-describedby="new-stature-fault"' in field[0]
    assert " autofocus" in field[0]
    assert 'id="new-stature-fault"' in page
    assert page.count(" autofocus") == 1
    assert 'value="Bo"' in page


def test_of_two_wrong_fields_the_first_has_the_focus_and_both_are_named(
    client: Any, plan_id: str
) -> None:
    reply = _post(client, plan_id, edit="add", stature="", reach="far", **{"with": "alone"})
    page = reply.get_data(as_text=True)
    assert page.count(" autofocus") == 1
    assert re.search(r'<input id="new-stature"[^>]* autofocus', page)
    assert '<a href="#new-stature">Height</a>' in page
    assert '<a href="#new-reach">Reach</a>' in page


def test_who_was_added_or_changed_is_led_to_and_has_a_card_there(client: Any, plan_id: str) -> None:
    reply = _post(client, plan_id, edit="add", label="Bo", stature="1.70 m", **{"with": "alone"})
    assert (reply.status_code, reply.headers["Location"].partition("#")[2]) == (
        303,
        "person-person-1",
    )
    page = client.get(f"/plan/{plan_id}/people").get_data(as_text=True)
    assert 'id="person-person-1"' in page
    changed = _post(client, plan_id, edit="change", person="ada", stature="1.80 m", reach="",
                    label="Ada", **{"with": "alone"})  # fmt: skip
    assert changed.headers["Location"].endswith("/people#person-ada")
    gone = _post(client, plan_id, edit="remove", person="ada")
    assert gone.headers["Location"].endswith("/people")


def test_a_height_typed_in_feet_stays_as_typed_in_a_metric_plan(client: Any, plan_id: str) -> None:
    typed = {"stature": "5' 6 1/2\"", "reach": "7' 1\""}
    _post(client, plan_id, edit="add", label="Bo", **typed, **{"with": "alone"})
    page = client.get(f"/plan/{plan_id}/people").get_data(as_text=True)
    assert re.search(r'id="person-1-stature" name="stature" value="5&#39; 6 1/2&#34;"', page)
    assert re.search(r'id="person-1-reach" name="reach" value="7&#39; 1&#34;"', page)
    assert '<p class="stature">5&#39;\xa06\xa01/2&#34;</p>' in page
    assert "reach measured, 7&#39;\xa01&#34;, trains alone" in page
    before = client.get(f"/api/plans/{plan_id}").get_json()
    (bo,) = [person for person in before["plan"]["people"] if person["id"] == "person-1"]
    # 66.5 and 85 inches of 25.4 mm
    assert (bo["stature_mm"], bo["reach_mm"]) == (1689.1, 2159.0)
    # sent back as it stands it changes nothing
    _post(client, plan_id, edit="change", person="person-1", label="Bo", **typed,
          **{"with": "alone"})  # fmt: skip
    assert client.get(f"/api/plans/{plan_id}").get_json()["revision"] == before["revision"]


@pytest.mark.parametrize("page", ["people", "kit"])
def test_undo_and_redo_are_forms_that_say_what_they_take_back(
    client: Any, plan_id: str, page: str
) -> None:
    address = f"/plan/{plan_id}/{page}"
    assert client.get(address).get_data(as_text=True).count('type="submit" disabled') == 2
    _post(client, plan_id, edit="remove", person="ada")
    assert 'title="Undo: remove ada"' in client.get(address).get_data(as_text=True)
    reply = client.post(address, data={"edit": "undo"})
    assert (reply.status_code, reply.headers["Location"]) == (303, address)
    shown = client.get(address).get_data(as_text=True)
    assert 'title="Redo: remove ada"' in shown
    people = client.get(f"/api/plans/{plan_id}").get_json()["plan"]["people"]
    assert [person["id"] for person in people] == ["ada"]
    client.post(address, data={"edit": "redo"})
    assert client.get(f"/api/plans/{plan_id}").get_json()["plan"]["people"] == []


def test_each_card_is_reached_past_the_head(client: Any, plan_id: str) -> None:
    page = client.get(f"/plan/{plan_id}/people").get_data(as_text=True)
    assert '<a class="skip" href="#person-ada">To the card of 1.75 m</a>' in page
    assert '<a class="skip" href="#add-person">To somebody new</a>' in page


def test_every_movement_can_be_marked_and_what_is_sold_for_it_is_on_the_list(
    client: Any, house: Elbowroom, plan_id: str
) -> None:
    page = client.get(f"/plan/{plan_id}/people").get_data(as_text=True)
    marked = re.findall(r'data-of="([^"]+)"', page)
    people = house.open(plan_id).plan.people
    assert sorted(marked) == sorted(key for key in movements() for _ in people)
    (person, *_) = people
    house.do(plan_id, wishes(house.open(plan_id).plan, person.id, machine_row="want"))
    listed = wish_list(house.open(plan_id).plan, ())
    assert "rower" in {one.station.type for one in listed}
