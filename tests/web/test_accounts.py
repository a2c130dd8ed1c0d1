"""Quantities and cost as pages: every choice by a form, tables out and in, sheets, faults kept."""

import csv
import io
import re
from typing import Any

import pytest

from app.library.floor_products import floor_products
from app.model.versions import load
from app.usecases import accounts
from app.usecases.drawing_set import Asked, sheet_of_plan
from app.usecases.plans import Elbowroom
from app.web.pages.accounts_view import CHOICES
from app.web.pages.cost_view import COST_CHOICES
from tests.web.building import plan_data, text
from tests.web.form_reader import forms_of

MARKUP = '<img src=x onerror="alert(1)">'
SAMPLES = ("basement", "double-garage", "single-garage", "upstairs-room")
MAT = {
    "kind": "mat", "material": "rubber", "length": "1 m", "width": "1 m", "thickness": "20 mm",
    "price": "34", "pack": "1", "turns": "yes",
}  # fmt: skip


def post(client: Any, plan_id: str, page: str, edit: str, of: str = "", **fields: str) -> Any:
    return client.post(f"/plan/{plan_id}/{page}", data={"edit": edit, "of": of, **fields})


def kept(client: Any, plan_id: str) -> Any:
    return client.get(f"/api/plans/{plan_id}").json


def fitted(client: Any, plan_id: str) -> None:
    """Choose one of everything."""
    for edit, fields in (
        ("add-floor", MAT),
        ("add-paint", {"surface": "walls", "colour": "white"}),
        ("add-strip", {"wall": "back", "long": "2 m", "height": "2.2"}),
        ("add-mirror", {"wall": "right", "offset": "0.5", "width": "1.2 m", "height": "1.5 m"}),
        ("add-projection", {"wall": "left", "middle": "1.5 m"}),
        ("light", {"fitting": "batten-1200", "other": "panel-600"}),
    ):
        assert post(client, plan_id, "quantities", edit, **fields).status_code == 303, edit


def whole(page: str) -> None:
    """Ids stand once, and every label names a field."""
    ids = re.findall(r' id="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'<label[^>]* for="([^"]+)"', page)) <= set(ids)


@pytest.mark.parametrize("key", SAMPLES)
def test_the_list_of_every_sample_is_shown(client: Any, house: Elbowroom, key: str) -> None:
    plan_id = house.create_sample(key).plan_id
    page = client.get(f"/plan/{plan_id}/quantities")
    assert page.status_code == 200
    whole(page.text)
    for line in accounts.account_of(house, plan_id)[1].take_off.lines:
        assert f'id="line-{line.key}"' in page.text
    page = client.get(f"/plan/{plan_id}/cost")
    assert page.status_code == 200
    whole(page.text)
    for piece in house.open(plan_id).plan.pieces:
        assert f'id="cost-piece.{piece.id}"' in page.text


def test_every_choice_is_shown(client: Any, plan_id: str) -> None:
    fitted(client, plan_id)
    things = ["floor:floor-1", "paint:paint-1", "strip:strip-1", "mirror:mirror-1",
              "projection:projection-1"]  # fmt: skip
    for of in [*(key for key, _ in CHOICES), *things, MARKUP]:
        page = client.get(f"/plan/{plan_id}/quantities", query_string={"of": of})
        assert page.status_code == 200, of
        whole(page.text)
        assert MARKUP not in page.text
        assert 'aria-current="true"' in page.text
    for of in [*(key for key, _ in COST_CHOICES), "x"]:
        page = client.get(f"/plan/{plan_id}/cost", query_string={"of": of})
        assert page.status_code == 200, of
        whole(page.text)


def test_a_floor_is_laid_and_undone(client: Any, plan_id: str) -> None:
    reply = post(client, plan_id, "quantities", "add-floor", **MAT)
    assert reply.headers["Location"] == f"/plan/{plan_id}/quantities?of=floor:floor-1"
    page = client.get(reply.headers["Location"]).text
    # 5.00 x 4.00 m inside a gap of 8 mm is 4984 x 3984: 5 by 4 mats of 1 m, staggered
    assert 'class="laid"' in page
    assert page.count('class="lay-number"') >= 20
    assert "proven" in page
    assert kept(client, plan_id)["undo_says"] == "add the rubber mat"
    post(client, plan_id, "quantities", "undo")
    assert kept(client, plan_id)["plan"]["fit_out"]["floors"] == []


def test_products_are_compared_and_another_is_laid(client: Any, plan_id: str) -> None:
    fitted(client, plan_id)
    page = client.get(f"/plan/{plan_id}/quantities?of=floor:floor-1").text
    rows = re.findall(r'data-edit="floor-product.floor-1"', page)
    assert len(rows) == len(floor_products())
    tile = {**MAT, "kind": "tile", "length": "500 mm", "width": "500 mm"}
    post(client, plan_id, "quantities", "floor-product.floor-1", **tile)
    assert kept(client, plan_id)["plan"]["fit_out"]["floors"][0]["kind"] == "tile"


def beside(page: str) -> list[list[str]]:
    """The cells of each product beside the floor's own."""
    (table,) = re.findall(r'<table class="list side-by-side">.*?</table>', page, re.S)
    rows = [re.findall(r"<td>(.*?)</td>", row, re.S)[:5] for row in table.split("<tr")[3:]]
    assert all(len(row) == 5 for row in rows)
    return rows


def test_products_beside_a_floor_come_while_the_page_is_read(client: Any, plan_id: str) -> None:
    post(client, plan_id, "quantities", "add-floor", **MAT)
    address = f"/plan/{plan_id}/quantities?of=floor:floor-1"
    to_come, ways = "being laid …", "The other ways are being looked at"
    first = client.get(address).text
    # it is there itself at once, and any product can be taken before it is laid
    assert 'class="laid"' in first
    assert first.count(to_come) == len(floor_products())
    assert ways in first
    assert "Laid otherwise" in first
    assert re.search(r'id="account"[^>]* data-looking', first)
    # then come its ways, and product after product
    second = client.get(address).text
    assert ways not in second
    assert 'class="trade"' in second
    assert "Joints straight: 20 mats" in second
    left = second.count(to_come)
    assert left == first.count(to_come)
    while left:
        page = client.get(address).text
        # each time at least one more
        assert page.count(to_come) < left
        left = page.count(to_come)
    assert "data-looking" not in page
    rows = beside(page)
    assert len(rows) == len(floor_products())
    # a price changes no layout: what was laid stays
    post(client, plan_id, "quantities", "floor-product.floor-1", **{**MAT, "price": "35"})
    assert beside(client.get(address).text) == rows
    # where the floor itself is another all are laid anew
    post(client, plan_id, "quantities", "floor.floor-1", **{**MAT, "gap": "20 mm"})
    assert to_come in client.get(address).text


def test_another_way_to_lay_is_taken_with_one_press_and_undone(client: Any, plan_id: str) -> None:
    post(client, plan_id, "quantities", "add-floor", **MAT)
    address = f"/plan/{plan_id}/quantities?of=floor:floor-1"
    client.get(address)
    page = client.get(address).text
    assert re.search(r'class="is-chosen"><th scope="row">The best way', page)
    form = next(f for f in forms_of(page) if "floor-way.floor-1" in f.edits())
    assert client.post(form.action, data=form.fields).status_code == 303
    floor = kept(client, plan_id)["plan"]["fit_out"]["floors"][0]
    # 4984 in mats of 1 m from both ends: 3 whole and two of 992, wider than two of 492
    assert (floor["joints"], floor["first_mm"], floor["price_minor"]) == ("straight", 992, 3400)
    # the ways that were laid once are there at once
    client.get(address)
    page = client.get(address).text
    assert re.search(r'class="is-chosen"><th scope="row">Widest strips', page)
    assert kept(client, plan_id)["undo_says"] == "lay the rubber mat another way"
    post(client, plan_id, "quantities", "undo")
    page = client.get(address).text
    assert re.search(r'class="is-chosen"><th scope="row">The best way', page)


def test_what_was_typed_is_kept_with_what_is_wrong(client: Any, plan_id: str) -> None:
    reply = post(client, plan_id, "quantities", "add-floor", **{**MAT, "length": MARKUP})
    assert reply.status_code == 400
    assert 'value="&lt;img src=x onerror=&#34;alert(1)&#34;&gt;"' in reply.text
    assert MARKUP not in reply.text
    assert 'aria-invalid="true"' in reply.text
    assert "cannot be read as a length" in reply.text
    assert not kept(client, plan_id)["can_undo"]


def test_a_fault_of_a_line_is_told_and_the_rest_is_counted(client: Any, house: Elbowroom) -> None:
    paint = [{"id": "p", "surface": "walls", "rate_m2_l": 0}]
    plan_id = house.create(load(text(plan_data(fit_out={"paint": paint})))).plan_id
    page = client.get(f"/plan/{plan_id}/quantities").text
    assert "the paint for the walls: a spreading rate of 0 m2/L covers nothing" in page
    assert 'id="line-paint.emulsion"' in page


def test_prices_standings_and_the_budget(client: Any, plan_id: str) -> None:
    assert post(client, plan_id, "cost", "entry.piece.bench-1", whole="120").status_code == 303
    post(client, plan_id, "cost", "entry.piece.bench-2", standing="owned")
    fields = {"budget": "100", "tax": "20", "with_tax": "no", "rounding": "total-down"}
    post(client, plan_id, "cost", "terms", **fields)
    page = client.get(f"/plan/{plan_id}/cost").text
    assert "The budget of €100.00 is broken by" in page
    assert "€120.00" in page
    money = kept(client, plan_id)["plan"]["money"]
    assert [entry["standing"] for entry in money["entries"]] == ["to-come", "owned"]
    assert money["budget_minor"] == 10000


def test_a_price_in_another_currency_stands_beside_its_field(client: Any, plan_id: str) -> None:
    reply = post(client, plan_id, "cost", "entry.piece.bench-1", whole="12 GBP")
    assert reply.status_code == 400
    assert 'value="12 GBP"' in reply.text
    assert "the price is in GBP, the plan&#39;s money is EUR: give it in EUR" in reply.text


def table(client: Any, plan_id: str) -> list[dict[str, str]]:
    reply = client.get(f"/plan/{plan_id}/cost.csv")
    assert reply.mimetype == "text/csv"
    return list(csv.DictReader(io.StringIO(reply.get_data(as_text=True).lstrip("\ufeff"))))


def send(client: Any, plan_id: str, rows: list[dict[str, str]]) -> Any:
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)
    file = (io.BytesIO(out.getvalue().encode()), "table.csv")
    return client.post(f"/plan/{plan_id}/cost.csv", data={"file": file})


def test_a_table_that_comes_back_as_it_went_changes_nothing(client: Any, plan_id: str) -> None:
    fitted(client, plan_id)
    before = kept(client, plan_id)
    assert send(client, plan_id, table(client, plan_id)).status_code == 303
    after = kept(client, plan_id)
    assert (after["revision"], after["plan"]) == (before["revision"], before["plan"])


def test_a_filled_table_is_one_command_and_names_its_bad_rows(client: Any, plan_id: str) -> None:
    rows = table(client, plan_id)
    bench = next(row for row in rows if row["key"] == "piece.bench-1")
    other = next(row for row in rows if row["key"] == "piece.bench-2")
    bench["price"], bench["standing"] = "99.50", "bought"
    other["price"] = "cheap"
    reply = send(client, plan_id, rows)
    assert reply.status_code == 400
    assert "piece.bench-2: &#39;cheap&#39; is no price" in reply.text
    (entry,) = kept(client, plan_id)["plan"]["money"]["entries"]
    assert (entry["id"], entry["minor"], entry["standing"]) == ("piece.bench-1", 9950, "bought")
    assert kept(client, plan_id)["undo_says"] == "prices from a table"


@pytest.mark.parametrize(
    ("data", "words"),
    [(b"", "Choose a table first"), (b"\xff\xfe\x00", "UTF-8"), (b"a,b\n1,2\n", "column")],
)
def test_a_table_that_is_none(client: Any, plan_id: str, data: bytes, words: str) -> None:
    file = (io.BytesIO(data), "table.csv")
    reply = client.post(f"/plan/{plan_id}/cost.csv", data={"file": file})
    assert reply.status_code == 400
    assert words in reply.text


def test_two_plans_are_compared(client: Any, house: Elbowroom, plan_id: str) -> None:
    other = house.copy(plan_id).plan_id
    post(client, other, "cost", "entry.piece.bench-1", whole="1000")
    page = client.get(f"/plan/{plan_id}/cost?of=compare&with={other}").text
    assert "dearer" in page
    assert "€1,000.00" in page
    house.do(other, _currency(house, other))
    page = client.get(f"/plan/{plan_id}/cost?of=compare&with={other}").text
    assert "one option counts in EUR, the other in GBP" in page


def _currency(house: Elbowroom, plan_id: str) -> Any:
    from app.forms.money_edits import edit_money

    command = edit_money(house.open(plan_id).plan, "terms", {"currency": "GBP"})
    assert command is not None
    return command


@pytest.mark.long
def test_a_floor_of_many_cuts_prints_all_its_sheets(client: Any, house: Elbowroom) -> None:
    tiles = {"id": "floor-1", "kind": "tile", "length_mm": 300, "width_mm": 300}
    data = plan_data(fit_out={"floors": [tiles]})
    # no wall square to another: hardly a cut tile is like another one
    data["room"]["walls"][1]["y_mm"] += 170
    data["room"]["walls"][2]["x_mm"] -= 200
    plan_id = house.create(load(text(data))).plan_id
    asked = {"sheet": "floor:floor-1", "paper": "A4"}
    bare = client.get(f"/plan/{plan_id}/sheet", query_string=asked).text
    numbers = re.findall(r'data-sheet="(\d+)"', bare)
    sheets = sheet_of_plan(house, plan_id, Asked("floor:floor-1", "A4", None)).svgs
    assert len(sheets) > 1
    assert bare.count('role="img"') == len(sheets)
    # every cut stock piece once over all the sheets
    assert numbers == re.findall(r'data-sheet="(\d+)"', "".join(sheets))
    assert len(numbers) == len(set(numbers)) > 20
    page = client.get(f"/plan/{plan_id}/print", query_string=asked).text
    assert f"There are {len(sheets)} sheets" in page
    assert page.count('alt="The sheet as it will be printed, page ') == len(sheets)
    second = client.get(f"/plan/{plan_id}/sheet.svg", query_string={**asked, "page": "2"})
    assert second.text == sheets[1]


def test_sheets_are_chosen_and_drawn(client: Any, plan_id: str) -> None:
    page = client.get(f"/plan/{plan_id}/print?sheet=floor")
    assert "No floor covering is chosen" in page.text
    fitted(client, plan_id)
    for sheet in ("plan", "floor:floor-1", "quantities"):
        page = client.get(f"/plan/{plan_id}/print", query_string={"sheet": sheet})
        assert page.status_code == 200
        assert f'value="{sheet}" checked' in page.text
        assert 'role="alert"' not in page.text
        drawn = client.get(f"/plan/{plan_id}/sheet.svg", query_string={"sheet": sheet})
        assert drawn.text.startswith("<?xml")
    assert client.get(f"/plan/{plan_id}/sheet.svg?sheet=roof").status_code == 404
