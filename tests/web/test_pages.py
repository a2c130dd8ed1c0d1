"""The pages show what is kept, escape every name, and their forms work without any script."""

import io
import re
from html import unescape
from typing import Any
from xml.etree import ElementTree

import pytest

from app.model.versions import load
from app.usecases.plans import Elbowroom
from tests.web.building import plan_data, text

MARKUP = '<img src=x onerror="alert(1)">&amp;'
ESCAPED = "&lt;img src=x onerror"


def test_home_lists_plans_and_deleted_ones(client: Any, plan_id: str) -> None:
    assert f'href="/plan/{plan_id}"' in client.get("/").text
    gone = client.post(f"/plan/{plan_id}/delete")
    assert gone.headers["Location"] == f"/?gone={plan_id}"
    page = client.get("/").text
    assert f'href="/plan/{plan_id}"' not in page
    assert f'action="/plan/{plan_id}/restore"' in page
    client.post(f"/plan/{plan_id}/restore")
    assert f'href="/plan/{plan_id}"' in client.get("/").text


def test_a_plan_that_was_deleted_is_told_where_it_stood_with_the_way_back_at_hand(
    client: Any, plan_id: str
) -> None:
    client.post(f"/plan/{plan_id}/copy")
    copied, first = (plan["id"] for plan in client.get("/api/plans").json["plans"])
    page = client.get(client.post(f"/plan/{first}/delete").headers["Location"]).text
    listed = page[page.index('class="plan-list"') : page.index('class="back-up"')]
    assert listed.index(f'href="/plan/{copied}"') < listed.index('class="was-here"')
    assert re.search(r'restore"><button [^>]*autofocus', listed)
    assert page.count("Deleted: Room") == 1
    # above, where what was changed later stood; and alone, where nothing else is left
    client.post(f"/plan/{first}/restore")
    page = client.get(client.post(f"/plan/{copied}/delete").headers["Location"]).text
    assert page.index('class="was-here"') < page.index(f'href="/plan/{first}"')
    page = client.get(client.post(f"/plan/{first}/delete").headers["Location"]).text
    assert 'class="was-here"' in page
    assert "Deleted: Copy of Room" in page
    # an address that was kept tells of nothing that is there
    client.post(f"/plan/{first}/restore")
    assert 'class="was-here"' not in client.get(f"/?gone={first}").text


def test_home_leads_to_a_room_by_numbers_by_a_walk_and_to_samples_with_their_kit(
    client: Any,
) -> None:
    page = client.get("/").text
    assert 'href="/new"' in page
    assert 'href="/walk"' in page
    drawn = re.search(r'action="/samples/double-garage".*?</form>', page, re.DOTALL)
    assert drawn is not None
    # Each of the 14 pieces of that sample is drawn where it stands.
    assert "14 pieces" in drawn[0]
    assert drawn[0].count('class="piece"') == 14


def test_forms_copy_and_rename(client: Any, plan_id: str) -> None:
    client.post(f"/plan/{plan_id}/copy")
    client.post(f"/plan/{plan_id}/name", data={"name": " Cellar "})
    names = [plan["name"] for plan in client.get("/api/plans").json["plans"]]
    assert sorted(names) == ["Cellar", "Copy of Room"]
    reply = client.post(f"/plan/{plan_id}/name", data={"name": ""})
    assert reply.status_code == 400
    assert "name: must not be empty" in reply.text


def test_a_file_is_imported_by_the_form(client: Any) -> None:
    file = (io.BytesIO(text(plan_data())), "room.json")
    reply = client.post("/import", data={"file": file})
    assert reply.status_code == 303
    assert re.fullmatch(r"/plan/[0-9a-f]{12}", reply.headers["Location"])
    strange = plan_data()
    strange["pieces"][0]["type"] = "time-machine"
    other = client.post("/import", data={"file": (io.BytesIO(text(strange)), "bad.json")})
    assert other.status_code == 400
    said = unescape(other.text).partition('role="alert"')[2]
    assert "pieces[0].type: there is no kit type 'time-machine'" in said
    bad = client.post("/import", data={"file": (io.BytesIO(b"{"), "room.json")})
    assert bad.status_code == 400
    assert "this is not JSON" in bad.text
    assert client.post("/import").status_code == 400
    assert len(client.get("/api/plans").json["plans"]) == 1


def test_a_room_by_the_form_leads_to_the_people(client: Any) -> None:
    fields = {"width": "5.32", "depth": "5.18", "height": "2.31", "person1_stature": "1.75"}
    reply = client.post("/new", data=fields)
    assert reply.status_code == 303
    assert re.fullmatch(r"/plan/[0-9a-f]{12}/people", reply.headers["Location"])
    assert client.get(reply.headers["Location"]).status_code == 200


def test_a_wrong_form_comes_back_with_what_was_typed(client: Any) -> None:
    reply = client.post("/new", data={"width": MARKUP, "depth": "5.18", "height": "2.31"})
    assert reply.status_code == 400
    assert 'value="5.18"' in reply.text
    assert ESCAPED in reply.text
    assert "<img src=x" not in reply.text


@pytest.mark.parametrize("path", ["", "/people", "/print", "/sheet", "/sheet.svg"])
def test_a_name_with_markup_is_text_everywhere(client: Any, house: Elbowroom, path: str) -> None:
    data = plan_data(name=MARKUP)
    data["people"][0]["label"] = MARKUP
    data["pieces"][0]["label"] = MARKUP
    data["pieces"][1] |= {"label": MARKUP, "pose": {"x_mm": 1200, "y_mm": 2000}}
    plan_id = house.create(load(text(data))).plan_id
    for page in (client.get("/").text, client.get(f"/plan/{plan_id}{path}").text):
        assert "<img src=x" not in page
        assert ESCAPED in page or "\\u003cimg src=x" in page


def test_the_sheet_is_an_svg_of_the_size_of_its_paper(client: Any, plan_id: str) -> None:
    reply = client.get(f"/plan/{plan_id}/sheet.svg?paper=A3&scale=25")
    assert reply.mimetype == "image/svg+xml"
    root = ElementTree.fromstring(reply.data)
    # ISO 216: A3 is 297 x 420 mm
    assert {root.get("width"), root.get("height")} == {"297mm", "420mm"}
    page = client.get(f"/plan/{plan_id}/sheet?paper=A3&scale=25").text
    assert re.search(r"size: (420(\.0)?mm 297(\.0)?mm|297(\.0)?mm 420(\.0)?mm)", page)
    assert "<svg" in page
    assert "<?xml" not in page


@pytest.mark.parametrize("query", ["paper=B9", "scale=7", "scale=x", "scale=-25", "scale=99999"])
def test_a_sheet_that_cannot_be_is_refused(client: Any, plan_id: str, query: str) -> None:
    reply = client.get(f"/plan/{plan_id}/sheet.svg?{query}")
    assert reply.status_code == 400
    assert "there is no" in reply.text


def test_print_proposes_and_keeps_the_choice(client: Any, plan_id: str) -> None:
    page = client.get(f"/plan/{plan_id}/print").text
    assert "paper=A3" in page
    chosen = client.get(f"/plan/{plan_id}/print?paper=A4&scale=50&flags=0").text
    assert "paper=A4&amp;scale=50&amp;flags=0" in chosen


def test_a_scale_too_large_is_said_on_the_print_page(client: Any, plan_id: str) -> None:
    page = client.get(f"/plan/{plan_id}/print?paper=A4&scale=10")
    assert page.status_code == 200
    assert "does not fit on A4" in page.text


@pytest.mark.parametrize(
    "path",
    [
        "/plan/nothing",
        "/plan/nothing/people",
        "/plan/nothing/print",
        "/plan/nothing/sheet",
        "/nowhere",
    ],
)
def test_what_is_not_there_is_a_small_page(client: Any, path: str) -> None:
    reply = client.get(path)
    assert reply.status_code == 404
    assert reply.mimetype == "text/html"
    assert "There is no" in reply.text


def test_scripts_are_served_as_scripts(client: Any) -> None:
    reply = client.get("/static/js/api.js")
    assert reply.headers["Content-Type"].startswith("text/javascript")
    assert reply.headers["Cache-Control"] == "no-cache"
    reply.close()


def test_the_cautions_are_a_page(client: Any) -> None:
    assert client.get("/cautions").status_code == 200


def test_every_sample_opens(client: Any) -> None:
    keys = re.findall(r'action="/samples/([a-z0-9-]+)"', client.get("/").text)
    assert len(keys) >= 4
    for key in keys:
        opened = client.post(f"/samples/{key}")
        assert opened.status_code == 303
        assert client.get(opened.headers["Location"]).status_code == 200
    assert client.post("/samples/nothing").status_code == 404
