"""What makes no sense in a fit-out, by file, by command and by form: a sentence, the rest counted.

A strip longer than any supply feeds, a mat larger than the room, a gap of 200 mm and one that
leaves no floor, a roll narrower than the least strip.
"""

from typing import Any

import pytest

from app.usecases import accounts
from app.usecases.plans import Elbowroom
from tests.thinned import one_of
from tests.web.building import plan_data, text
from tests.web.test_accounts import MAT, post

PAINT = {"id": "paint-1", "surface": "walls"}
LONG = [(100 if i % 2 else 4900, 2300 - 5 * i) for i in range(16)]
"""Sixteen corners to and fro along the back wall: 72 m of strip."""
BAD: dict[str, tuple[dict[str, Any], str]] = {
    "a strip longer than any supply feeds": (
        {"strips": [{"id": "s", "wall": "back", "points": LONG}]},
        "The light strip on the back wall: no cable in the table carries",
    ),
    "a mat larger than the room": (
        {"floors": [{"id": "f", "length_mm": 6000, "width_mm": 5000}]},
        "One mat of 6000 mm by 5000 mm is larger than the floor: check its size.",
    ),
    "a gap of 200": (
        {"floors": [{"id": "f", "gap_mm": 200}]},
        "A gap of 200 mm all round is wide: a foot finds the edge. 8 mm is usual.",
    ),
    "a gap that leaves no floor": (
        {"floors": [{"id": "f", "gap_mm": 2000}]},
        "The floor (rubber mat): there is no floor left to cover",
    ),
    "a roll narrower than the least strip": (
        {"floors": [{"id": "f", "kind": "roll", "length_mm": 10_000, "width_mm": 140}]},
        "The floor (rubber roll): a roll narrower than the narrowest strip: say a wider roll or a "
        "narrower strip",
    ),
}
FITTED = {"nothing_assumed": True, "paint": [PAINT]}


def counted_with(client: Any, house: Elbowroom, plan_id: str, sentence: str) -> None:
    """The sentence stands on the page, the paint is counted, and nothing typed is lost."""
    page = client.get(f"/plan/{plan_id}/quantities")
    assert page.status_code == 200
    assert sentence.lower() in page.text.lower()
    lines = accounts.account_of(house, plan_id)[1].take_off.lines
    assert [line for line in lines if line.part == "paint"]
    for page in ("cost", "shopping", "shopping.csv", "sheet.svg?sheet=quantities&paper=A4"):
        assert client.get(f"/plan/{plan_id}/{page}").status_code == 200, page


@pytest.mark.parametrize("case", BAD)
def test_in_a_plan_file(client: Any, house: Elbowroom, case: str) -> None:
    bad, sentence = BAD[case]
    reply = client.post("/api/plans/import", data=text(plan_data(fit_out={**FITTED, **bad})))
    assert reply.status_code == 201
    counted_with(client, house, reply.json["id"], sentence)


@pytest.mark.parametrize("case", one_of(3, BAD))
def test_by_a_command(client: Any, house: Elbowroom, case: str) -> None:
    bad, sentence = BAD[case]
    reply = client.post("/api/plans/import", data=text(plan_data(fit_out=FITTED)))
    plan_id = reply.json["id"]
    ((part, (thing,)),) = bad.items()
    change = {"path": ["fit_out", part, thing["id"]], "before": None, "after": thing}
    command = {"name": "add", "changes": [change], "says": "add it"}
    reply = client.post(f"/api/plans/{plan_id}/commands", json={"command": command})
    assert reply.status_code == 200, reply.json
    counted_with(client, house, plan_id, sentence)


@pytest.mark.parametrize(
    ("edit", "fields", "sentence"),
    [
        ("add-floor", {**MAT, "length": "6 m", "width": "5 m"}, "is larger than the floor"),
        ("add-floor", {**MAT, "kind": "roll", "length": "10 m", "width": "140 mm"},
         "a roll narrower than the narrowest strip"),
        ("floor.f", {**MAT, "gap": "200 mm"}, "A gap of 200 mm all round is wide"),
    ],
)  # fmt: skip
def test_by_a_form(
    client: Any, house: Elbowroom, edit: str, fields: dict[str, str], sentence: str
) -> None:
    fit_out = {**FITTED, "floors": [{"id": "f"}]} if edit == "floor.f" else FITTED
    reply = client.post("/api/plans/import", data=text(plan_data(fit_out=fit_out)))
    plan_id = reply.json["id"]
    assert post(client, plan_id, "quantities", edit, **fields).status_code == 303
    counted_with(client, house, plan_id, sentence)


@pytest.mark.parametrize(
    ("edit", "fields", "field"),
    [
        ("floor.f", {**MAT, "gap": "2 m"}, "2.00 m; it must be 0 mm to 200 mm"),
        ("floor.f", {**MAT, "gap": "hello"}, "cannot be read as a length"),
        ("add-strip", {"wall": "back", "long": "80 m", "height": "2 m"}, "it must be 50 mm to"),
    ],
)
def test_what_no_form_takes_comes_back_as_it_was_typed(
    client: Any, edit: str, fields: dict[str, str], field: str
) -> None:
    plan = plan_data(fit_out={**FITTED, "floors": [{"id": "f"}]})
    plan_id = client.post("/api/plans/import", data=text(plan)).json["id"]
    of = "floor:f" if edit == "floor.f" else "strip"
    page = post(client, plan_id, "quantities", edit, of, **fields)
    assert page.status_code == 400
    assert field in page.text
    assert f'value="{fields.get("gap", fields.get("long"))}"' in page.text
