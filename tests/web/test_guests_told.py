"""What guests are told: every answer to every right is searched for what is not theirs to know."""

import io
import json
import re
import sqlite3
from pathlib import Path
from typing import Any

import pypdf
import pytest
from flask import Flask
from werkzeug.wrappers import Response

from app.model.versions import load
from app.store.database import FILE_NAME
from app.usecases.options import copy_as_option
from app.usecases.plans import Elbowroom
from app.usecases.sharing import add_remark, make_link
from tests.thinned import one_of
from tests.web.building import pieces, plan_data, text
from tests.web.test_guests import HOME, asks, door, guests

__all__ = ["guests"]

WEIGHT = 137.0
STATURE, REACH, PRICE, BUDGET, OWN_VALUE = 1873.0, 2341.0, 7_654_321, 9_876_543, 2317.0
MAT_PRICE = 4_321_987
PRIVATE = {
    "the stature": r"1[ ,.\s]?873",
    "the reach": r"2[ ,.\s]?341",
    "the weight": r'137(\.0)?[ ,"]|mass_kg',
    "a price": r"76[ ,.\s]?543|7654321",
    "the price of a mat": r"43[ ,.\s]?219[.,]87|4321987",
    "the budget": r"98[ ,.\s]?765|9876543",
    "why it was settled": "Because of Otto",
    "why a value is ours": "Our own yardstick",
    "a value of the household": r"2[ ,.\s]?317",
    "a note": "Bought from a neighbour",
    "wishes": "deadlift",
}
"""What who may not change a plan is not told, and how it could be written."""

ANY_MONEY = {"any money": r"[€$£]\s?\d|\d\s?€|no price"}


@pytest.fixture
def telling_id(house: Elbowroom) -> str:
    """A plan that says of its people, money and reasons what guests have no business with."""
    bench, other = pieces(2)
    kept = house.create(
        load(
            text(
                plan_data(
                    people=[
                        {
                            "id": "ada",
                            "stature_mm": STATURE,
                            "reach_mm": REACH,
                            "mass_kg": WEIGHT,
                            "wishes": [
                                {"movement": "deadlift", "wish": "want"},
                                {"movement": "standing-press", "wish": "want"},
                            ],
                        }
                    ],
                    pieces=[
                        {**bench, "price_minor": PRICE, "note": "Bought from a neighbour"},
                        other,
                        {
                            "id": "wall-rack",
                            "type": "folding-wall-rack",
                            "pose": {"x_mm": 2500, "y_mm": 275},
                        },
                    ],
                    money={"budget_minor": BUDGET},
                    fit_out={"floors": [{"id": "mats", "price_minor": MAT_PRICE}]},
                    overrides=[
                        {
                            "id": "running.behind.recommended-mm",
                            "value": OWN_VALUE,
                            "reason": "Our own yardstick",
                        }
                    ],
                )
            )
        )
    )
    snag = kept_snag(house, kept.plan_id)
    data = {**json.loads(house.export(kept.plan_id)[1]), "settled": [snag]}
    return house.create(load(text(data))).plan_id


def kept_snag(house: Elbowroom, plan_id: str) -> dict[str, Any]:
    snag = house.verdict(plan_id)["snags"][0]
    numbers = {key: snag[key] for key in ("measured", "required") if snag[key] is not None}
    return {"id": snag["key"], "reason": "Because of Otto", "on": "2026-01-02", **numbers}


def answers(app: Flask, house: Elbowroom, plan_id: str, rights: str) -> dict[str, str]:
    """Every answer of the guests' application with its headers, by method and address.

    Without the numbers of which the drawing's lines are made: any may stand there by chance.
    """
    remark = add_remark(house, plan_id, 0, 0, "here", "x", "Ben")
    inside, client = door(house, plan_id, rights), app.test_client()
    told = {}
    for endpoint, method, path in asks(app, plan_id, remark):
        # HEAD tells what GET tells, without its words
        if endpoint == "static" or method == "HEAD":
            continue
        address = inside + ("/" if endpoint == "guests.page" else path)
        if endpoint == "following.stream":
            address += "?once"
        # the addresses of sheets give another one for each name; no other reads it
        whole = ("?sheet=set",) if path.endswith("sheet.pdf") else ()
        sheets = ("?sheet=quantities", *whole) if endpoint.startswith("sheets.") else ()
        for query in ("", *sheets):
            with client.open(address + query, method=method, base_url=HOME, data=b"{}") as reply:
                words = re.sub(r' (d|points|transform)=\\?"[^"]*"', "", words_of(reply))
                told[f"{method} {path}{query}"] = f"{reply.headers}\n{words}"
    return told


def words_of(reply: Response) -> str:
    """Return what an answer says; of a PDF file its lettering and what it says of itself."""
    if reply.mimetype != "application/pdf" or not reply.get_data():
        return reply.get_data(as_text=True)
    file = pypdf.PdfReader(io.BytesIO(reply.get_data()))
    return "\n".join([str(file.metadata), *(page.extract_text() for page in file.pages)])


@pytest.mark.parametrize("rights", one_of(2, ["comment", "look"]))
def test_who_may_not_change_a_plan_is_not_told_what_it_says_of_people_money_and_reasons(
    house: Elbowroom, guests: Flask, telling_id: str, rights: str
) -> None:
    copy_as_option(house, telling_id, "Another way")
    for where, told in answers(guests, house, telling_id, rights).items():
        for what, pattern in (PRIVATE | ANY_MONEY).items():
            if what == "wishes" and where.endswith("?sheet=set"):
                continue  # sections and picture draw what everybody does, with its name
            found = re.search(pattern, told)
            assert found is None, (what, where, told[found.start() - 80 : found.end() + 40])


def test_who_may_change_a_plan_is_told_all_of_that(
    house: Elbowroom, guests: Flask, telling_id: str
) -> None:
    inside, client = door(house, telling_id, "edit"), guests.test_client()
    told = client.get(f"{inside}/api/plans/{telling_id}", base_url=HOME).get_data(as_text=True)
    missing = [what for what, pattern in PRIVATE.items() if not re.search(pattern, told)]
    assert missing == []


# who may change a plan is told all that the others are told, and more
@pytest.mark.parametrize("rights", one_of(3, ["edit", "comment", "look"]))
def test_no_answer_names_another_plan_a_folder_or_a_secret(
    house: Elbowroom, guests: Flask, telling_id: str, rights: str, tmp_path: Path
) -> None:
    other = house.create(load(text(plan_data(name="Private")))).plan_id
    option = copy_as_option(house, telling_id, "Another way").plan_id
    link, secret = make_link(house, telling_id, "Ben", "edit", 1)
    names = (other, option, "Private", link.id, secret, str(tmp_path))
    for where, told in answers(guests, house, telling_id, rights).items():
        assert not [name for name in names if name in told], where


@pytest.mark.parametrize("rights", ["look", "comment", "edit"])
def test_a_file_that_cannot_be_read_is_no_word_about_where_it_lies(
    house: Elbowroom, guests: Flask, plan_id: str, rights: str, tmp_path: Path
) -> None:
    inside, client = door(house, plan_id, rights), guests.test_client()
    with sqlite3.connect(tmp_path / "plans" / FILE_NAME) as broken:
        broken.execute("ALTER TABLE remarks RENAME TO elsewhere")
        broken.execute("ALTER TABLE revisions RENAME TO nowhere")
    broken.close()
    failed = 0
    for endpoint, method, path in asks(guests, plan_id, 1):
        address = inside + ("/" if endpoint == "guests.page" else path)
        with client.open(address, method=method, base_url=HOME, data=b"{}") as reply:
            assert str(tmp_path) not in reply.get_data(as_text=True), (endpoint, method)
            assert "sqlite" not in reply.get_data(as_text=True).lower(), (endpoint, method)
            failed += (
                reply.status_code == 503
                and "cannot be read or kept just now" in reply.get_data(as_text=True)
            )
    assert failed
