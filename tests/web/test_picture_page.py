"""The picture as a page: from every corner, the door shut and open, in a plan in feet."""

from typing import Any

import pytest

from app.usecases.plans import Elbowroom


@pytest.mark.parametrize("asked", ["", "?corner=1", "?corner=3&door=open", "?corner=nine"])
def test_the_picture_is_shown(client: Any, house: Elbowroom, asked: str) -> None:
    plan_id = house.create_sample("double-garage").plan_id
    page = client.get(f"/plan/{plan_id}/picture{asked}")
    assert page.status_code == 200
    assert "room-picture" in page.text
    assert "too high" in page.text
    assert ("Door shut" if "open" in asked else "Door open") in page.text


def test_each_turn_leads_on_to_the_next(client: Any, house: Elbowroom) -> None:
    plan_id = house.create_sample("single-garage").plan_id
    page = client.get(f"/plan/{plan_id}/picture?corner=3")
    assert f"/plan/{plan_id}/picture?corner=0" in page.text
    assert "A, squat: fits" in page.text
