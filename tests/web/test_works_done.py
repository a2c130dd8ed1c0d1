"""While the works are being done: photos, true prices, a diary, the pace; what guests may of it."""

import io
import json
import re
from datetime import date
from typing import Any

import pytest
from flask.testing import FlaskClient
from PIL import Image

from app.changes.commands import Change, Command
from app.changes.telling import tell
from app.model.base import json_of
from app.model.plan import PHOTOS_AT_MOST, Plan
from app.model.works import PHOTOS_A_TASK, TaskNote, Works
from app.store.plans import OWNER
from app.usecases.files import samples
from app.usecases.picture_files import export_file, import_file
from app.usecases.plans import Elbowroom
from app.usecases.sharing import make_link
from app.web.api.following import Streams
from app.web.guests.app import create_guest_app
from tests.builders import make_plan

HOME = "http://192.168.1.5:8766"
OWN = {"Origin": HOME}
DAY = "2031-04-05"
TICK = {"edit": "tick", "task": "ask", "on": DAY, "done_on": DAY, "done_hours": "3.5"}


def photo(colour: tuple[int, int, int] = (90, 120, 60), side: int = 2000) -> io.BytesIO:
    """A photo as a phone makes it, with the place and the device in it."""
    exif = Image.Exif()
    exif[0x010F] = "maker of phones"
    exif.get_ifd(0x8825)[1] = "N"
    written = io.BytesIO()
    Image.new("RGB", (side, side // 2), colour).save(written, "JPEG", exif=exif)
    return io.BytesIO(written.getvalue())


@pytest.fixture
def plan_id(house: Elbowroom) -> str:
    plan = next(one.plan for one in samples() if one.key == "upstairs-room")
    works = Works(starts_on=date(2031, 4, 5))
    return house.create(plan.model_copy(update={"works": works}), OWNER).plan_id


def notes(house: Elbowroom, plan_id: str) -> dict[str, TaskNote]:
    return {note.id: note for note in house.open(plan_id).plan.works.tasks}


def test_today_without_work_says_so_and_what_is_ticked_can_be_taken_back_there(
    client: FlaskClient, plan_id: str
) -> None:
    path = f"/plan/{plan_id}/today"
    ahead = client.get(path).get_data(as_text=True)
    assert re.search(r"No work today, \w+ \d+ \w+\. Next: Saturday 5 April\.", ahead)
    assert "No work today" not in client.get(f"{path}?on={DAY}").get_data(as_text=True)
    answer = client.post(path, data={**TICK, "diary": "All said yes."})
    assert answer.location.endswith(f"today?on={DAY}&did=ask")
    shown = client.get(answer.location).get_data(as_text=True)
    assert re.search(r"<p>Done: [^.]+\. The line for the diary is kept\.</p>", shown)
    assert shown.index("Not done after all") < shown.index("Done on this day")
    client.post(path, data={"edit": "untick", "task": "ask", "on": DAY})
    assert "<p>Done: " not in client.get(answer.location).get_data(as_text=True)


def test_a_photo_comes_with_a_tick_small_and_without_place_or_device(
    client: FlaskClient, house: Elbowroom, plan_id: str
) -> None:
    sent = {**TICK, "diary": "All said yes.", "photo": (photo(), "IMG_1.jpg")}
    assert client.post(f"/plan/{plan_id}/today", data=sent).status_code == 303
    (kept,) = notes(house, plan_id)["ask"].photos
    answer = client.get(f"/plan/{plan_id}/photo/{kept}")
    seen = Image.open(io.BytesIO(answer.data))
    assert (seen.size, seen.format) == ((1600, 800), "JPEG")
    assert not seen.getexif()
    assert b"maker of phones" not in answer.data
    shown = client.get(f"/plan/{plan_id}/today?on={DAY}").get_data(as_text=True)
    assert "Done on this day" in shown
    assert f"/photo/{kept}" in shown
    diary = client.get(f"/plan/{plan_id}/works?of=diary").get_data(as_text=True)
    assert "Saturday 5 April" in diary
    assert "All said yes." in diary
    # the photo of another plan, or none that is kept, is not given out here
    assert client.get(f"/plan/{plan_id}/photo/{'0' * 32}").status_code == 404


def test_a_photo_alone_is_kept_taken_away_and_undone(
    client: FlaskClient, house: Elbowroom, plan_id: str
) -> None:
    works = f"/plan/{plan_id}/works"
    add = {"edit": "photo", "task": "sort", "of": "task.sort"}
    assert client.post(works, data={**add, "photo": (photo(), "a.jpg")}).status_code == 303
    (kept,) = notes(house, plan_id)["sort"].photos
    gone = {"edit": "remove-photo", "task": "sort", "kept": kept, "of": "task.sort"}
    assert client.post(works, data=gone).status_code == 303
    assert notes(house, plan_id) == {}
    client.post(works, data={"edit": "undo"})
    assert notes(house, plan_id)["sort"].photos == (kept,)
    client.post(works, data={"edit": "undo"})
    # what a form names is not taken for what came with it
    named = client.post(works, data={**add, "photo_id": kept})
    assert named.status_code == 400
    assert "No photo was chosen" in named.get_data(as_text=True)


@pytest.mark.parametrize(
    ("given", "says"),
    [(b"<svg xmlns='http://www.w3.org/2000/svg'/>", "SVG"), (b"no picture", "no picture that can")],
)
def test_what_is_no_photo_is_a_sentence_and_what_was_typed_stays(
    client: FlaskClient, house: Elbowroom, plan_id: str, given: bytes, says: str
) -> None:
    # one of that day's tasks, and one that is not: it came from a page that is older than the plan
    for task, typed in (("sort", 'value="All said yes."'), ("ask", "You typed: “All said yes.”")):
        said = {"task": task, "diary": "All said yes.", "photo": (io.BytesIO(given), "x.jpg")}
        answer = client.post(f"/plan/{plan_id}/today", data={**TICK, **said})
        shown = answer.get_data(as_text=True)
        assert answer.status_code == 400
        assert says in shown
        assert typed in shown
        assert notes(house, plan_id) == {}


def test_photos_are_counted() -> None:
    ids = [f"{n:032x}" for n in range(PHOTOS_AT_MOST + 1)]
    some = [ids[n : n + PHOTOS_A_TASK] for n in range(0, PHOTOS_AT_MOST, PHOTOS_A_TASK)]
    notes = [TaskNote(id=f"t{n}", photos=tuple(photos)) for n, photos in enumerate(some)]
    full = {**json_of(make_plan()), "works": json_of(Works(tasks=tuple(notes)))}
    assert len(Plan.model_validate(full).photos) == PHOTOS_AT_MOST
    # one of a wall counts like one of a task; one that both have is one
    full["room"]["walls"][0]["photos"] = [ids[0]]
    assert len(Plan.model_validate(full).photos) == PHOTOS_AT_MOST
    full["room"]["walls"][1]["photos"] = [ids[-1]]
    with pytest.raises(ValueError, match=f"{PHOTOS_AT_MOST + 1} photos; at most 60"):
        Plan.model_validate(full)


def test_photos_go_along_in_the_file_by_choice(
    client: FlaskClient, house: Elbowroom, plan_id: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    client.post(f"/plan/{plan_id}/today", data={**TICK, "photo": (photo(), "a.jpg")})
    (kept,) = notes(house, plan_id)["ask"].photos
    assert export_file(house, plan_id) == house.export(plan_id)
    whole = client.get(f"/api/plans/{plan_id}/export?photos=yes").data
    assert list(json.loads(whole)["pictures"]) == [kept]
    other = Elbowroom(tmp_path_factory.mktemp("other"))
    try:
        # without them the plan opens; the photo is simply not there
        plain = import_file(other, export_file(house, plan_id)[1])
        assert plain.plan.works.tasks[0].photos == (kept,)
        assert not other.store.pictures.holds(kept)
        there = import_file(other, whole)
        (anew,) = there.plan.works.tasks[0].photos
        assert Image.open(io.BytesIO(other.store.pictures.read(anew))).size == (1600, 800)
    finally:
        other.close()


def test_what_has_come_counts_at_its_true_price_from_its_day(
    client: FlaskClient, house: Elbowroom, plan_id: str
) -> None:
    page = f"/plan/{plan_id}/works"
    shown = client.get(f"{page}?of=orders").get_data(as_text=True)
    assert 'data-of="order.piece.rower-1"' in shown
    form = {"edit": "bought", "of": "order.piece.rower-1", "line": "piece.rower-1"}
    for wrong, says in (
        ({"paid": "-5", "came_on": DAY}, "less than nothing"),
        ({"paid": "500 GBP", "came_on": DAY}, "is in GBP"),
        ({"paid": "500", "came_on": ""}, "the day on which it came is missing"),
    ):
        refused = client.post(page, data={**form, **wrong})
        assert refused.status_code == 400
        assert says in refused.get_data(as_text=True)
    sent = {**form, "paid": "512,50", "came_on": "2031-04-12", "second_hand": "yes"}
    assert client.post(page, data=sent).status_code == 303
    plan = house.open(plan_id).plan
    entry = next(one for one in plan.money.entries if one.id == "piece.rower-1")
    assert (entry.minor, entry.standing, entry.second_hand) == (51250, "bought", True)
    assert plan.works.deliveries[0].arrives_on == date(2031, 4, 12)
    assert "512.50" in client.get(f"{page}?of=diary").get_data(as_text=True)
    client.post(page, data={"edit": "undo"})
    assert house.open(plan_id).plan.works.deliveries == ()


def test_the_rest_is_planned_at_the_pace_that_was_found(
    client: FlaskClient, house: Elbowroom, plan_id: str
) -> None:
    page = f"/plan/{plan_id}/works"
    hours = {
        row["id"]: row["hours"]
        for row in json_tasks(client, plan_id)
        if row["who"] != "electrician"
    }
    slow = [one for one in ("ask", "sort", "tip", "hazard") if one in hours]
    for task in slow:
        sent = {**TICK, "task": task, "done_hours": f"{hours[task] * 1.5:.2f}"}
        assert client.post(f"/plan/{plan_id}/today", data=sent).status_code == 303
    shown = client.get(f"{page}?of=diary").get_data(as_text=True)
    factor = re.search(r'name="pace" value="([\d.]+)"', shown)
    assert factor is not None
    assert float(factor[1]) == pytest.approx(1.5, abs=0.01)
    client.post(page, data={"edit": "pace", "of": "diary", "pace": factor[1]})
    assert house.open(plan_id).plan.works.pace == pytest.approx(1.5, abs=0.01)
    after = {row["id"]: row["hours"] for row in json_tasks(client, plan_id)}
    assert after["wash"] == pytest.approx(1.5 * hours["wash"], rel=0.01)
    assert after["elec-1"] > 0
    assert client.post(page, data={"edit": "pace", "pace": "9"}).status_code == 400


def json_tasks(client: FlaskClient, plan_id: str) -> list[dict[str, Any]]:
    """The tasks as the command line gives them."""
    from app.usecases.works import works_of
    from app.works.report import as_json

    house = client.application.extensions["elbowroom"]
    answer = works_of(house, plan_id, date(2031, 4, 5))[1].answer
    assert answer is not None
    return list(as_json(answer)["tasks"])


def test_a_link_that_ticks_adds_photos_and_no_guest_sees_those_of_another_plan(
    house: Elbowroom, plan_id: str
) -> None:
    app = create_guest_app(house, frozenset({"192.168.1.5"}), Streams(3, 3, 2))
    guest = app.test_client()
    doors = {
        name: f"/g/{make_link(house, plan_id, name, right, 1, ticks=ticks)[1]}"
        for name, right, ticks in (
            ("Ben", "look", True),
            ("Ann", "look", False),
            ("Eve", "edit", False),
        )
    }
    sent = {"edit": "photo", "task": "ask", "photo": (photo(side=600), "a.jpg")}
    path = f"/plan/{plan_id}/today"
    assert (
        guest.post(f"{doors['Ben']}{path}", base_url=HOME, data=sent, headers=OWN).status_code
        == 303
    )
    (kept,) = notes(house, plan_id)["ask"].photos
    seen = {
        name: guest.get(f"{door}/plan/{plan_id}/photo/{kept}", base_url=HOME).status_code
        for name, door in doors.items()
    }
    assert seen == {"Ben": 200, "Ann": 403, "Eve": 200}
    # a command cannot name a picture of another plan to come to see it
    change = Change(path=("works", "tasks", "sort"), after={"id": "sort", "photos": ["a" * 32]})
    command = {"name": "edit", "says": "x", "changes": [change.model_dump(mode="json")]}
    answer = guest.post(
        f"{doors['Eve']}/api/plans/{plan_id}/commands", base_url=HOME, json={"command": command},
        headers=OWN,
    )  # fmt: skip
    assert answer.status_code == 403
    assert "sort" not in notes(house, plan_id)
    # who only looks is shown days and orders, not the diary
    diary = guest.get(f"{doors['Ann']}/plan/{plan_id}/works?of=task.ask", base_url=HOME)
    assert "Photos" not in diary.get_data(as_text=True)


def test_words_of_the_log() -> None:
    added = Command(
        name="edit",
        changes=(Change(path=("works", "tasks", "ask", "photos"), before=[], after=["a" * 32]),),
    )
    assert "photo added" in " ".join(tell(added.changes, {}))
