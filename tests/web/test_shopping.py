"""The shopping list: shop by shop, ticked off, what is owned left out."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest

from app.takeoff.line import READY_NAME
from app.usecases.files import samples
from app.usecases.plans import Elbowroom


@pytest.fixture
def garage(house: Elbowroom) -> str:
    plan = next(one.plan for one in samples() if one.key == "single-garage")
    return house.create(plan).plan_id


def got(client: Any, plan_id: str, key: str, standing: str) -> Any:
    where = f"/plan/{plan_id}/shopping"
    return client.post(where, data={"edit": f"got.{key}", "standing": standing})


def rows(client: Any, plan_id: str) -> list[dict[str, str]]:
    text = client.get(f"/plan/{plan_id}/shopping.csv").data.decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))


def test_things_stand_under_the_shop_that_sells_them(client: Any, garage: str) -> None:
    shops = {row["key"]: row["shop"] for row in rows(client, garage)}
    assert shops["paint.emulsion"] == "Paint, screws and timber"
    assert shops["light.batten-1500"] == "Electrical shop"
    assert shops["tools.extractor-day"] == "Tool hire"
    assert shops["floor.floor-1"] == "Flooring"
    page = client.get(f"/plan/{garage}/shopping").text
    heads = [page.index(f">{name} <span") for name in ("Flooring", "Electrical shop", "Kit")]
    assert heads == sorted(heads)


def test_what_a_household_likely_has_is_told_to_have_ready(client: Any, garage: str) -> None:
    told = [row for row in rows(client, garage) if row["shop"] == READY_NAME]
    assert {"have.torch", "have.broom", "have.vacuum"} < {row["key"] for row in told}
    assert {(row["packs"], row["sum"], row["standing"]) for row in told} == {("1", "", "owned")}
    shop, quantities = (
        client.get(f"/plan/{garage}/{of}").text for of in ("shopping", "quantities")
    )
    for row in told:
        assert row["item"] in shop
        assert f'id="line-{row["key"]}"' in quantities
    assert (READY_NAME in shop, READY_NAME in quantities) == (True, True)


def test_the_table_says_its_units_and_adds_up(client: Any, garage: str) -> None:
    paint = [row for row in rows(client, garage) if row["key"] == "paint.emulsion"]
    # two tins of 10 L for 62.00 each and one of 1 L for 12.00
    told = [(r["packs"], r["holds"], r["unit"], r["price each"], r["sum"]) for r in paint]
    assert told == [("2", "10", "L", "62.00", "124.00"), ("1", "1", "L", "12.00", "12.00")]
    assert {row["currency"] for row in paint} == {"EUR"}


def test_a_tick_is_kept_with_the_money_and_taken_back(
    client: Any, garage: str, house: Elbowroom
) -> None:
    assert got(client, garage, "paint.emulsion", "bought").status_code == 303
    (entry,) = house.open(garage).plan.money.entries
    assert (entry.id, entry.standing) == ("paint.emulsion", "bought")
    page = client.get(f"/plan/{garage}/shopping").text
    assert page.count('aria-pressed="true"') == 1
    got(client, garage, "paint.emulsion", "to-come")
    assert house.open(garage).plan.money.entries == ()


def test_what_is_owned_is_left_out_and_can_come_back(client: Any, garage: str) -> None:
    got(client, garage, "tools.ladder", "owned")
    assert "tools.ladder" not in {row["key"] for row in rows(client, garage)}
    assert "To buy after all" in client.get(f"/plan/{garage}/shopping").text
    got(client, garage, "tools.ladder", "to-come")
    assert "tools.ladder" in {row["key"] for row in rows(client, garage)}


def test_what_was_typed_of_a_line_stays_when_it_is_ticked(
    client: Any, garage: str, house: Elbowroom
) -> None:
    data = {"edit": "entry.paint.emulsion", "whole": "99", "standing": "to-come", "later": "yes"}
    client.post(f"/plan/{garage}/cost", data=data)
    got(client, garage, "paint.emulsion", "bought")
    (entry,) = house.open(garage).plan.money.entries
    assert (entry.standing, entry.minor, entry.later) == ("bought", 9900, True)


@pytest.mark.parametrize(
    ("edit", "standing", "says"),
    [
        ("got.paint.emulsion", "stolen", "still to come, bought, or owned already"),
        ("entry.paint.emulsion", "bought", "only ticked off here"),
        ("got.<script>", "bought", "no longer on the list"),
    ],
)
def test_what_is_no_tick_is_a_sentence(
    client: Any, garage: str, house: Elbowroom, edit: str, standing: str, says: str
) -> None:
    reply = client.post(f"/plan/{garage}/shopping", data={"edit": edit, "standing": standing})
    assert reply.status_code == 400
    assert says in reply.text
    assert house.open(garage).plan.money.entries == ()


def test_what_a_seller_says_is_shown_for_a_yes_and_fills_the_form(
    client: Any, garage: str, house: Elbowroom
) -> None:
    where = f"/plan/{garage}/kit/read"
    text = "Tower <b>strong</b>, 1100 x 900 x 2200 mm, 55 kg, €240"
    page = client.post(where, data={"text": text}).text
    assert 'name="take-mass" value="55"' in page
    assert "<b>strong" not in page
    assert page.count('type="checkbox" name="take-') == 5
    # pressed with nothing ticked it asks for ticks and keeps what was pasted
    page = client.post(where, data={"take": "1", "text": text}).text
    assert "Nothing is ticked." in page
    assert page.count(", 1100 x 900 x 2200 mm, 55 kg, €240</textarea>") == 2
    assert page.count('type="checkbox" name="take-') == 5
    taken = {"take": "1", "text": text, "take-mass": "55", "take-width": "1100 mm"}
    page = client.post(where, data=taken).text
    assert 'name="mass" value="55"' in page
    assert 'name="width" value="1100 mm"' in page
    assert house.open(garage).plan.own_kit == ()
