"""A plan as one file with its picture: out of one house, into another, and what is refused."""

import base64
import io
import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from app.changes.difference import difference
from app.errors import ElbowroomError
from app.forms.room_edits_sketch import laid
from app.model.versions import load
from app.usecases.picture_files import export_file, import_file, read_plan_file
from app.usecases.picture_reading import read_picture
from app.usecases.plans import Elbowroom
from app.web.app import create_app
from tests.web.building import plan_data, text


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Elbowroom]:
    house = Elbowroom(tmp_path / "one")
    yield house
    house.close()


@pytest.fixture
def other(tmp_path: Path) -> Iterator[Elbowroom]:
    other = Elbowroom(tmp_path / "other")
    yield other
    other.close()


def made(kind: str = "PNG", size: tuple[int, int] = (300, 200)) -> bytes:
    """A picture of one colour, with a remark about the camera in it."""
    written = io.BytesIO()
    exif = Image.Exif()
    exif[0x0110] = "a camera"
    Image.new("RGB", size, (200, 30, 30)).save(written, kind, exif=exif)
    return written.getvalue()


def with_picture(house: Elbowroom) -> str:
    """A kept plan with a kept picture under it."""
    state = house.create(load(text(plan_data())))
    drawn = read_picture(made())
    house.store.pictures.keep(drawn.id, drawn.data)
    after = laid(state.plan, drawn.id, drawn.width_px, drawn.height_px)
    command = difference(state.plan, after, "room", "a picture")
    assert command is not None
    house.do(state.plan_id, command)
    return state.plan_id


def exported(house: Elbowroom) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(export_file(house, with_picture(house))[1])
    return data


def count(house: Elbowroom) -> tuple[int, int]:
    """How many plans and how many pictures are kept."""
    with house.store.database.reading() as db:
        (pictures,) = db.execute("SELECT count(*) FROM pictures").fetchone()
    return len(house.list_plans()), pictures


def test_a_plan_without_a_picture_is_the_plain_file(house: Elbowroom, other: Elbowroom) -> None:
    plan_id = house.create(load(text(plan_data()))).plan_id
    assert export_file(house, plan_id) == house.export(plan_id)
    state = import_file(other, export_file(house, plan_id)[1])
    assert state.plan == house.open(plan_id).plan


def test_a_picture_goes_with_its_plan_into_another_house(
    house: Elbowroom, other: Elbowroom
) -> None:
    plan_id = with_picture(house)
    name, whole = export_file(house, plan_id)
    assert name == house.export(plan_id)[0]
    data = json.loads(whole)
    assert list(data) == ["format", "version", "plan", "pictures"]
    assert (data["format"], data["version"]) == ("elbowroom-plan-with-pictures", 1)
    there = import_file(other, whole).plan
    here = house.open(plan_id).plan
    assert here.picture is not None
    assert there.picture is not None
    with Image.open(io.BytesIO(other.store.pictures.read(there.picture.id))) as shown:
        red, green, blue = shown.convert("RGB").resize((1, 1)).tobytes()
        assert (shown.format, shown.size) == ("JPEG", (300, 200))
    # what was drawn is (200, 30, 30); JPEG comes near it
    assert abs(red - 200) + abs(green - 30) + abs(blue - 30) <= 12
    same = here.picture.model_dump(exclude={"id"})
    assert there.picture.model_dump(exclude={"id"}) == same
    assert there.model_dump(exclude={"picture"}) == here.model_dump(exclude={"picture"})


def test_the_same_picture_is_kept_once(house: Elbowroom) -> None:
    whole = export_file(house, with_picture(house))[1]
    again = import_file(house, whole)
    assert count(house) == (2, 1)
    assert json.loads(export_file(house, again.plan_id)[1]) == json.loads(whole)


def test_a_picture_that_is_not_kept_here_is_left_out(house: Elbowroom, other: Elbowroom) -> None:
    plain = house.export(with_picture(house))[1]
    state = import_file(other, plain)
    assert export_file(other, state.plan_id)[1] == plain


def test_what_lies_beside_a_picture_does_not_come_in(house: Elbowroom, other: Elbowroom) -> None:
    data = exported(house)
    for kind in ("PNG", "JPEG"):
        given = made(kind)
        assert b"a camera" in given
        data["pictures"] = dict.fromkeys(data["pictures"], base64.b64encode(given).decode())
        picture = import_file(other, json.dumps(data)).plan.picture
        assert picture is not None
        assert b"a camera" not in other.store.pictures.read(picture.id)


SVG = base64.b64encode(b"<svg xmlns='x'><script/></svg>").decode()
CUT = base64.b64encode(made()[:60]).decode()
WIDE = base64.b64encode(made(size=(400, 200))).decode()


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"version": 2}, "it was written by a newer one"),
        ({"version": True}, "version: must be 1"),
        ({"version": "1"}, "version: must be 1"),
        ({"more": 1}, "has the fields format, version, plan and pictures only"),
        ({"pictures": {}}, "the picture that the plan shows is missing"),
        ({"pictures": []}, "must be an object with a text for each picture"),
        ({"pictures": None}, "must be an object with a text for each picture"),
        ({"pictures": "*"}, "is not a text in base64"),
        ({"pictures": "é"}, "is not a text in base64"),
        ({"pictures": 5}, "is not a text in base64"),
        ({"pictures": ["x"]}, "is not a text in base64"),
        ({"pictures": ""}, "No picture was chosen."),
        ({"pictures": SVG}, "This is an SVG drawing"),
        ({"pictures": CUT}, "This picture is damaged"),
        ({"pictures": WIDE}, "has 400 x 200 pixels; the plan says 300 x 200"),
        ({"plan": []}, "not a plan of Elbowroom"),
        ({"plan": None}, "not a plan of Elbowroom"),
    ],
)
def test_what_is_bad_is_refused_in_a_sentence_and_nothing_kept(
    house: Elbowroom, other: Elbowroom, change: dict[str, Any], sentence: str
) -> None:
    data = exported(house)
    if "pictures" in change and change["pictures"] not in ({}, [], None):
        change = {"pictures": dict.fromkeys(data["pictures"], change["pictures"])}
    whole = json.dumps({**data, **change})
    for read in (lambda: import_file(other, whole), lambda: read_plan_file(whole)):
        with pytest.raises(ElbowroomError) as refused:
            read()
        assert sentence in refused.value.sentence
    assert count(other) == (0, 0)


def test_a_picture_without_a_plan_that_shows_it_is_refused(
    house: Elbowroom, other: Elbowroom
) -> None:
    data = exported(house)
    del data["plan"]["picture"]
    with pytest.raises(ElbowroomError, match="a picture that the plan does not show"):
        import_file(other, json.dumps(data))
    assert count(other) == (0, 0)


def test_a_plan_that_names_what_there_is_not_keeps_no_picture(
    house: Elbowroom, other: Elbowroom
) -> None:
    data = exported(house)
    data["plan"]["pieces"][0]["type"] = "no-such-kit"
    with pytest.raises(ElbowroomError):
        import_file(other, json.dumps(data))
    assert count(other) == (0, 0)


def test_the_pages_write_and_take_the_file(house: Elbowroom, other: Elbowroom) -> None:
    plan_id = with_picture(house)
    reply = create_app(house).test_client().get(f"/api/plans/{plan_id}/export")
    assert reply.headers["Content-Disposition"].endswith('.json"')
    client = create_app(other).test_client()
    taken = client.post("/api/plans/import", data=reply.data)
    assert taken.status_code == 201
    data = taken.get_json()
    shown = client.get(f"/api/plans/{data['id']}/picture/{data['plan']['picture']['id']}")
    assert (shown.status_code, shown.mimetype) == (200, "image/jpeg")
    form = client.post("/import", data={"file": (io.BytesIO(reply.data), "plan.json")})
    assert form.status_code == 303
    bad = reply.data.replace(b'"version": 1,\n "plan"', b'"version": 9,\n "plan"')
    assert bad != reply.data
    form = client.post("/import", data={"file": (io.BytesIO(bad), "plan.json")})
    assert (form.status_code, "it was written by a newer one" in form.text) == (400, True)
    refused = client.post("/api/plans/import", data=bad)
    assert refused.status_code == 400
    assert count(other) == (2, 1)


@pytest.mark.long
def test_the_command_line_reads_both_forms(house: Elbowroom, tmp_path: Path) -> None:
    plan_id = with_picture(house)
    told = []
    for name, whole in (("p", house.export(plan_id)[1]), ("w", export_file(house, plan_id)[1])):
        file = tmp_path / f"{name}.json"
        file.write_text(whole, encoding="utf-8")
        asked = [sys.executable, "-m", "app", "check", str(file), "--json"]
        ran = subprocess.run(asked, capture_output=True, text=True, check=False)
        assert ran.stderr == ""
        told.append((ran.returncode, ran.stdout))
    assert told[0] == told[1]
    assert json.loads(told[0][1])["plan"] == house.open(plan_id).plan.name
    data = json.loads(whole)
    data["pictures"] = dict.fromkeys(data["pictures"], SVG)
    file.write_text(json.dumps(data), encoding="utf-8")
    ran = subprocess.run(asked, capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stdout) == (2, "")
    assert "w.json: This is an SVG drawing" in ran.stderr
