"""Who trains: a refused form leads to what is wrong in it, a kept one to the card."""

import re
from typing import Any


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
