"""The shelf: the same for every plan in the same units; own kit stands in the page."""

import json
import re
from typing import Any

import pytest

from app.library.kit import kit_types
from app.usecases.files import samples
from app.usecases.plans import Elbowroom

KIT = re.compile(r'data-kit="([^"]+)"')
ROWS = re.compile(r'<script type="application/json" id="kit-rows">(.*?)</script>', re.DOTALL)
MOST_BYTES = 120_000


def test_all_kit_of_the_library_lies_on_it_with_its_row(client: Any) -> None:
    page = client.get("/shelf/metric").text
    assert sorted(KIT.findall(page)) == sorted(kit_types())
    rows = json.loads(ROWS.findall(page)[0])
    assert rows.keys() == kit_types().keys()
    assert {key: row["depth_mm"] for key, row in rows.items()} == {
        key: kit.depth_mm for key, kit in kit_types().items()
    }


def test_it_speaks_in_the_units_of_the_plan(client: Any) -> None:
    # a mid rack is 1220 wide: 48.03 inches
    assert "1220" in client.get("/shelf/metric").text
    assert "4' 0" in client.get("/shelf/feet").text.replace("&#39;", "'").replace("\xa0", " ")
    assert client.get("/shelf/cubits").status_code == 404


def test_it_is_sent_once_and_then_only_asked_for(client: Any) -> None:
    first = client.get("/shelf/metric")
    assert first.headers["Cache-Control"] == "no-cache"
    again = client.get("/shelf/metric", headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")
    other = client.get("/shelf/feet", headers={"If-None-Match": first.headers["ETag"]})
    assert other.status_code == 200


@pytest.mark.parametrize("key", [sample.key for sample in samples()])
def test_the_page_of_a_desk_is_light(client: Any, house: Elbowroom, key: str) -> None:
    page = client.get(f"/plan/{house.create_sample(key).plan_id}")
    assert len(page.data) < MOST_BYTES
    assert KIT.findall(page.text) == []


def test_first_names_where_they_can_be_put_then_where_they_hide_least(
    client: Any, house: Elbowroom
) -> None:
    plan_id = house.create_sample("double-garage").plan_id
    data = re.compile(r'id="page-data">(.*?)</script>', re.DOTALL)
    first = client.get(f"/plan/{plan_id}").text
    assert json.loads(data.findall(first)[0])["tidy"] is False
    tidy = client.get(f"/api/plans/{plan_id}/look").json["drawing"]
    assert tidy not in first
    assert first.count('class="name"') == tidy.count('class="name"')
    again = client.get(f"/plan/{plan_id}").text
    assert json.loads(data.findall(again)[0])["tidy"] is True
    assert tidy in again
