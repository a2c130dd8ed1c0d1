"""The picture under the drawing: what is taken, what is refused and why, who gets it."""

import io
import re
import struct
import zlib

import pytest
from flask.testing import FlaskClient
from PIL import Image

from app.model.sketch import Picture
from app.model.versions import load
from app.usecases.plans import Elbowroom


def made(kind: str = "PNG", size: tuple[int, int] = (300, 200)) -> bytes:
    """A picture of one colour, with a remark about the camera in it."""
    written = io.BytesIO()
    exif = Image.Exif()
    exif[0x0110] = "a camera"
    Image.new("RGB", size, (200, 30, 30)).save(written, kind, exif=exif)
    return written.getvalue()


def lies(house: Elbowroom, plan_id: str) -> Picture:
    """The picture under a plan."""
    picture = house.open(plan_id).plan.picture
    assert picture is not None
    return picture


def of_many_pixels() -> bytes:
    """A PNG of a hundred bytes that says it is 30000 pixels wide and high."""
    head = struct.pack(">IIBBBBB", 30_000, 30_000, 8, 2, 0, 0, 0)
    parts = ((b"IHDR", head), (b"IDAT", zlib.compress(bytes(100))), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in parts
    )


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP"])
def test_a_picture_is_written_anew_and_comes_back(
    client: FlaskClient, house: Elbowroom, plan_id: str, kind: str
) -> None:
    answer = client.post(f"/api/plans/{plan_id}/picture", data=made(kind, (4800, 3000)))
    assert answer.status_code == 200, answer.json
    picture = lies(house, plan_id)
    # 2400 px is the longest side; 3000 x 2400 / 4800 = 1500
    assert (picture.width_px, picture.height_px) == (2400, 1500)
    back = client.get(f"/api/plans/{plan_id}/picture/{picture.id}")
    assert back.mimetype == "image/jpeg"
    assert b"a camera" not in back.data
    with Image.open(io.BytesIO(back.data)) as shown:
        assert (shown.format, shown.size) == ("JPEG", (2400, 1500))
    house.undo(plan_id)
    assert house.open(plan_id).plan.picture is None
    assert client.get(f"/api/plans/{plan_id}/picture/{picture.id}").status_code == 404


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (b"", "No picture was chosen."),
        (b"<?xml version='1.0'?><svg xmlns='x'><script/></svg>", "This is an SVG drawing"),
        (b"GIF89a" + bytes(60), "This is no picture that can be read"),
        (b"%PDF-1.7 and so on", "This is no picture that can be read"),
        (made()[:60], "This picture is damaged"),
        (of_many_pixels(), "pixels; at most 80 million are taken"),
    ],
    ids=["nothing", "svg", "gif", "pdf", "cut off", "many pixels"],
)
def test_what_is_no_picture_is_refused_in_a_sentence(
    client: FlaskClient, house: Elbowroom, plan_id: str, given: bytes, sentence: str
) -> None:
    answer = client.post(f"/api/plans/{plan_id}/picture", data=given)
    assert answer.status_code == 400
    assert sentence in answer.json["error"]["message"]  # type: ignore[index]
    assert house.open(plan_id).plan.picture is None


def test_more_than_40_mb_are_refused_and_20_are_not(client: FlaskClient, plan_id: str) -> None:
    # a JPEG is over at its end mark; what follows is not looked at
    large = client.post(f"/api/plans/{plan_id}/picture", data=made("JPEG") + bytes(20_000_000))
    assert large.status_code == 200
    over = client.post(f"/api/plans/{plan_id}/picture", data=made("JPEG") + bytes(40_000_000))
    assert over.status_code == 400
    assert "The picture has 40 MB; at most 40 MB" in over.json["error"]["message"]  # type: ignore[index]
    far = client.post(f"/api/plans/{plan_id}/picture", data=bytes(42_000_000))
    assert far.status_code == 413
    assert client.post(f"/api/plans/{plan_id}/commands", data=bytes(17_000_000)).status_code == 413


def test_the_page_of_the_room_lays_scales_and_takes_it_away(
    client: FlaskClient, house: Elbowroom, plan_id: str
) -> None:
    wrong = client.post(
        f"/plan/{plan_id}/picture", data={"file": (io.BytesIO(b"words"), "sketch.png")}
    )
    assert wrong.status_code == 400
    assert "This is no picture that can be read" in wrong.text
    sent = client.post(
        f"/plan/{plan_id}/picture", data={"file": (io.BytesIO(made()), "sketch.png")}
    )
    assert sent.status_code == 303
    was = lies(house, plan_id)
    page = client.get(f"/plan/{plan_id}/room?of=picture").text
    assert f"/api/plans/{plan_id}/picture/{was.id}" in page
    places = {"ax": "1 m", "ay": "0", "bx": "3 m", "by": "0", "known": "10'"}
    fields = {"edit": "picture-scale", "of": "picture", **places}
    assert client.post(f"/plan/{plan_id}/room", data=fields).status_code == 303
    # ten feet are 3048 mm; the points were 2000 mm apart; the first one stays where it is
    now = lies(house, plan_id)
    assert now.mm_per_px == pytest.approx(was.mm_per_px * 1.524)
    assert now.x_mm == pytest.approx(1000 + (was.x_mm - 1000) * 1.524, abs=0.01)
    same = client.post(f"/plan/{plan_id}/room", data={**fields, "bx": "1 m"})
    assert same.status_code == 400
    assert "choose two different points" in same.text
    gone = client.post(f"/plan/{plan_id}/room", data={"edit": "no-picture", "of": "picture"})
    assert gone.status_code == 303
    assert house.open(plan_id).plan.picture is None


def test_a_plan_file_without_its_picture_still_opens(
    client: FlaskClient, house: Elbowroom, plan_id: str
) -> None:
    client.post(f"/api/plans/{plan_id}/picture", data=made())
    _, text = house.export(plan_id)
    other = house.create(load(text.replace(lies(house, plan_id).id, "0" * 32))).plan_id
    page = client.get(f"/plan/{other}/room?of=picture").text
    assert "is not kept here" in page
    assert "<image" not in page
    assert re.search(r'"sketch": ?false', client.get(f"/plan/{other}").text)
