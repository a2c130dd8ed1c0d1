"""Photos of a wall, and a household's own phone that walks round the room."""

import io
import json

import pytest
from flask.testing import FlaskClient
from PIL import Image

from app.model.plan import Plan
from app.model.room_walls import split
from app.model.walk_room import outlined, walk_of
from app.usecases.files import samples
from app.usecases.picture_files import export_file, import_file
from app.usecases.plans import Elbowroom
from app.usecases.sharing import make_link
from app.web.api.following import Streams
from app.web.guests.app import create_guest_app
from tests.builders import make_plan
from tests.web.test_works_done import HOME, OWN, photo


@pytest.fixture
def plan_id(house: Elbowroom) -> str:
    return house.create(next(one.plan for one in samples() if one.key == "single-garage")).plan_id


def photos(house: Elbowroom, plan_id: str, wall: int = 0) -> tuple[str, ...]:
    return house.open(plan_id).plan.room.walls[wall].photos


def add(house: Elbowroom, plan_id: str, wall: int = 0) -> dict[str, str]:
    wall_id = house.open(plan_id).plan.room.walls[wall].id
    return {"edit": "wall-photo", "wall": wall_id, "of": f"wall:{wall_id}"}


def test_a_photo_is_kept_with_its_wall_small_and_without_place_or_device(
    client: FlaskClient, house: Elbowroom, plan_id: str
) -> None:
    room = f"/plan/{plan_id}/room"
    sent = {**add(house, plan_id), "photo": (photo(), "IMG_1.jpg")}
    assert client.post(room, data=sent).status_code == 303
    (kept,) = photos(house, plan_id)
    answer = client.get(f"/plan/{plan_id}/photo/{kept}")
    seen = Image.open(io.BytesIO(answer.data))
    assert (seen.size, seen.format) == ((1600, 800), "JPEG")
    assert not seen.getexif()
    shown = client.get(f"{room}?of={sent['of']}").get_data(as_text=True)
    assert f"/photo/{kept}" in shown
    gone = {**add(house, plan_id), "edit": "remove-wall-photo", "kept": kept}
    assert client.post(room, data=gone).status_code == 303
    assert photos(house, plan_id) == ()
    client.post(room, data={"edit": "undo"})
    assert photos(house, plan_id) == (kept,)


def test_what_is_no_photo_is_refused_and_a_name_is_none(
    client: FlaskClient, house: Elbowroom, plan_id: str
) -> None:
    room = f"/plan/{plan_id}/room"
    given = {**add(house, plan_id), "photo": (io.BytesIO(b"no picture"), "x.jpg")}
    answer = client.post(room, data=given)
    assert answer.status_code == 400
    assert "no picture that can be read" in answer.get_data(as_text=True)
    # a picture that is kept for another plan is not had by its name, neither here nor there
    for path, sent in (
        (room, {"data": {**add(house, plan_id), "photo_id": "a" * 32}}),
        (
            f"/api/plans/{plan_id}/room",
            {
                "json": {
                    "edit": "wall-photo",
                    "fields": {**add(house, plan_id), "photo_id": "a" * 32},
                }
            },
        ),
    ):
        named = client.post(path, **sent)
        assert named.status_code == 400
        assert "No photo was chosen" in named.get_data(as_text=True)
    assert photos(house, plan_id) == ()


def with_photo(plan: Plan) -> Plan:
    data = json.loads(plan.model_dump_json())
    data["room"]["walls"][0]["photos"] = ["b" * 32]
    return Plan.model_validate(data)


def test_a_wall_that_is_walked_anew_keeps_its_photo_and_a_part_of_it_has_none() -> None:
    plan = with_photo(make_plan())
    again = outlined(plan, walk_of(plan)).plan
    assert [wall.photos for wall in again.room.walls] == [("b" * 32,), (), (), ()]
    first, second, *_ = split(plan.room, plan.room.walls[0].id, 1000).walls
    assert (first.photos, second.photos) == (("b" * 32,), ())


def test_photos_of_walls_go_along_in_the_file_by_choice(
    client: FlaskClient, house: Elbowroom, plan_id: str
) -> None:
    sent = {**add(house, plan_id), "photo": (photo(), "a.jpg")}
    client.post(f"/plan/{plan_id}/room", data=sent)
    (kept,) = photos(house, plan_id)
    assert "pictures" not in json.loads(export_file(house, plan_id)[1])
    whole = export_file(house, plan_id, photos=True)[1]
    assert list(json.loads(whole)["pictures"]) == [kept]
    assert import_file(house, whole).plan.room.walls[0].photos == (kept,)


def test_a_phone_with_the_right_to_change_walks_round_its_own_room_alone(
    house: Elbowroom, plan_id: str
) -> None:
    guest = create_guest_app(house, frozenset({"192.168.1.5"}), Streams(3, 3, 2)).test_client()
    doors = {
        right: f"/g/{make_link(house, plan_id, 'Ben', right, 1)[1]}" for right in ("look", "edit")
    }
    path = f"/plan/{plan_id}/walk"
    assert guest.get(f"{doors['look']}{path}", base_url=HOME).status_code == 403
    page = guest.get(f"{doors['edit']}{path}", base_url=HOME).get_data(as_text=True)
    assert f'action="{doors["edit"]}{path}"' in page
    assert "/measuring" not in page
    # whatever plan is named, that of the link is walked round
    secret = house.create(make_plan()).plan_id
    walked = {
        "plan": secret,
        "fields": {"length1": "2.70", "turn1": "in", "wall1": "", "by": "tape"},
    }
    answer = guest.post(
        f"{doors['edit']}/api/walk", base_url=HOME, json=walked, headers=OWN
    ).get_json()
    assert answer["ok"]
    assert answer["drawn"]
    length = {"length1": "2.75", "length2": "5.00", "length3": "2.75", "length4": "5.00"}
    rest = {f"turn{n}": "in" for n in range(1, 5)}
    ids = {f"wall{n}": wall.id for n, wall in enumerate(house.open(plan_id).plan.room.walls, 1)}
    form = {**length, **rest, **ids, "back": "yes", "by": "tape", "act": "use", "hand": "left"}
    took = guest.post(f"{doors['edit']}{path}", base_url=HOME, data=form, headers=OWN)
    assert took.status_code == 303, took.get_data(as_text=True)
    walls = house.open(plan_id).plan.room
    assert walls.wall_length_mm(walls.walls[0].id) == pytest.approx(2750)
    # the phone takes photos of walls as well, as large as guests may send
    sent = {**add(house, plan_id), "photo": (photo(side=600), "a.jpg")}
    kept = guest.post(f"{doors['edit']}/plan/{plan_id}/room", base_url=HOME, data=sent, headers=OWN)
    assert kept.status_code == 303
    assert len(photos(house, plan_id)) == 1
