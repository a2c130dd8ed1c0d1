"""The pages of the works: chart, forms that are kept or refused in a sentence, one day, guests."""

import json
import re
import time
from datetime import date

import pytest
from flask.testing import FlaskClient

from app.model.versions import load
from app.store.plans import OWNER
from app.usecases.accounts import Account
from app.usecases.files import samples
from app.usecases.plans import Elbowroom
from app.usecases.sharing import make_link
from app.usecases.works import PlannedWorks
from app.web.api.following import Streams
from app.web.guests.app import create_guest_app
from app.web.pages.works_day_view import DayView
from tests.web.building import plan_data, text
from tests.works.plans import of_sample

PATIENCE_S = 60.0
"""A test that waits so long for what must come has failed."""
HOME = "http://192.168.1.5:8766"
START = {"edit": "start", "of": "times", "starts_on": "2031-04-05", "first_time": "yes"}


def kept(client: FlaskClient, plan_id: str) -> dict[str, object]:
    works = client.get(f"/api/plans/{plan_id}").get_json()["plan"]["works"]
    return dict(works)


@pytest.fixture
def page(client: FlaskClient, plan_id: str) -> str:
    address = f"/plan/{plan_id}/works"
    assert client.post(address, data=START).status_code == 303
    return address


def test_the_page_shows_chart_tasks_orders_and_the_first_training(
    client: FlaskClient, page: str
) -> None:
    shown = client.get(page).get_data(as_text=True)
    assert re.search(r"First training: \d+ \w+ 2031", shown)
    assert "decides the date" in shown
    assert 'class="works-chart"' in shown
    assert "Order or book next" in shown
    assert "What moves the date" in shown


def test_the_page_says_what_the_purse_does_to_the_first_training(
    client: FlaskClient, house: Elbowroom
) -> None:
    plan_id = house.create_sample("upstairs-room").plan_id
    address = f"/plan/{plan_id}/works"
    without = client.get(address).text
    assert 'class="paid' not in without
    purse = {"edit": "purse", "of": "purse", "put_by": "600", "a_month": "300", "months": "24"}
    assert client.post(f"/plan/{plan_id}/months", data=purse).status_code == 303
    # the page waits for no count: its script asks again while one runs
    until = time.monotonic() + PATIENCE_S
    while "data-looking" in (shown := client.get(f"{address}?of=orders").text):
        assert 'role="status">Counting' in shown or "is still looked for" in shown
        assert time.monotonic() < until
    assert "First training with your money: " in shown
    assert re.search(r"Your money reaches (all of )?it in \w+ 20\d\d\.", shown)
    months = client.get(f"/plan/{plan_id}/months").text
    first = re.search(r"<b>from ([^<]*)</b>", months)
    assert first is not None
    assert f"First training with your money: {first[1]}<" in shown


@pytest.mark.long
def test_the_parts_of_the_floor_stand_on_the_page_with_their_days_and_what_stands_where(
    client: FlaskClient, house: Elbowroom
) -> None:
    plan_id = house.create_sample("double-garage").plan_id
    shown = client.get(f"/plan/{plan_id}/works").text
    parts = shown.partition('<div class="floor-parts">')[2].partition("</div>")[0]
    assert parts.count('class="stage-plan"') == 2
    assert parts.count("<li>Chest freezer</li>") == parts.count("<li>Two bicycles</li>") == 2
    # coats of a household go on when it is free: by default on these evenings and the weekend
    assert len(re.findall(r"Coats go on (?:(?:Tue|Thu|Sat|Sun) \d+ \w+(?:, )?)+\.", parts)) == 2
    day = re.search(r'\?of=day&amp;on=([\d-]+)"', parts)
    assert day is not None
    assert 'class="stage-box"' in client.get(f"/plan/{plan_id}/works?of=day&on={day[1]}").text


@pytest.mark.parametrize(
    ("form", "field", "says"),
    [
        ({"edit": "add-free", "day": "sat", "starts": "12", "ends": "10"}, "free", "the end must"),
        ({"edit": "add-free", "day": "sat", "starts": "noon", "ends": "10"}, "free", "no time"),
        ({"edit": "add-off", "first": "2031-05-02", "last": "2031-05-01"}, "days_off", "before"),
        ({"edit": "add-off", "first": "2031-02-30", "shut": "yes"}, "days_off", "is no day"),
        ({"edit": "photo", "task": "ask"}, "tasks", "No photo was chosen."),
        ({"edit": "remove-photo", "task": "ask", "kept": "a" * 32}, "tasks",
         "That photo is no longer there"),
        ({"edit": "start", "starts_on": "soon"}, "starts_on", "is no day"),
        ({"edit": "start", "tip": "sometimes"}, "tip_opens", "choose one of the list"),
        ({"edit": "add-stored", "label": "", "width": "1 m", "depth": "1 m"}, "stored", "missing"),
        ({"edit": "add-stored", "label": "x", "width": "0", "depth": "1 m"}, "stored", "must be"),
        ({"edit": "add-task", "label": "Paint", "hours": "-2"}, "tasks", "number from 0.1"),
        ({"edit": "add-task", "label": "Paint", "hours": "2", "after": "9:15"}, "tasks",
         "no longer"),
        (
            {"edit": "tick", "task": "ask", "done_on": "2031-04-01", "began_on": "2031-04-02"},
            "tasks",
            "before it began",
        ),
        (
            {"edit": "delivery", "line": "floor.rubber", "ordered_on": "2031-05-02",
             "arrives_on": "2031-05-01"},
            "deliveries",
            "before it is ordered",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_is_a_sentence_and_loses_nothing(
    client: FlaskClient, plan_id: str, page: str, form: dict[str, str], field: str, says: str
) -> None:
    before = kept(client, plan_id)
    answer = client.post(page, data={"of": "times", **form})
    assert answer.status_code == 400
    assert says in answer.get_data(as_text=True)
    assert kept(client, plan_id)[field] == before[field]


def test_who_opens_the_day_before_any_work_sees_what_is_to_be_ordered_till_then() -> None:
    monday = date(2027, 3, 1)
    answer = of_sample("upstairs-room", monday)
    account = Account(answer.scene.plan, answer.scene)
    known = PlannedWorks(
        account.plan, account.scene, account.take_off, account.costs, monday, answer
    )
    view = DayView(account.plan, "day", known)
    # evenings at home are Tuesday and Thursday where nothing else is said
    assert view.day == date(2027, 3, 2)
    due = [order for order in answer.orders if order.order_by <= view.day]
    assert due
    assert view.to_order == due
    assert view.by_when == "today"
    # the day itself, asked for, has what falls on it alone
    asked = DayView(account.plan, "day", known, view.day)
    assert asked.to_order == [order for order in due if order.order_by == view.day]
    assert DayView(account.plan, "day", known, monday).to_order == due


@pytest.mark.parametrize(
    ("path", "before", "after", "says"),
    [
        (["room", "floor", "uneven_mm"], 0, -1, "uneven_mm: must be at least 0, not -1"),
        (["room", "floor", "uneven_mm"], 0, 101, "uneven_mm: must be at most 100, not 101"),
        (["works", "days_off"], [], [{"id": "d", "first": "2031-02-30", "last": "2031-03-01"}],
         "'2031-02-30' is no day of the calendar"),
        (["works", "days_off"], [], [{"id": "d"}], "first: this field is missing"),
        (["works", "tasks"], [], [{"id": "ask", "photos": ["zz"]}], "'zz' is no photo"),
        (["works", "tasks"], [], [{"id": "ask", "photos": 7}], "photos: must be a list, not 7"),
    ],
)  # fmt: skip
def test_a_command_that_cannot_be_is_a_sentence_and_loses_nothing(
    client: FlaskClient, plan_id: str, path: list[str], before: object, after: object, says: str
) -> None:
    plan = client.get(f"/api/plans/{plan_id}").get_json()["plan"]
    change = {"path": path, "before": before, "after": after}
    command = {"name": "edit", "says": "an edit", "changes": [change]}
    answer = client.post(f"/api/plans/{plan_id}/commands", json={"command": command})
    assert answer.status_code == 400
    assert says in answer.get_json()["error"]["message"]
    assert client.get(f"/api/plans/{plan_id}").get_json()["plan"] == plan


def test_what_is_typed_is_kept_told_and_undone(
    client: FlaskClient, plan_id: str, page: str
) -> None:
    forms = [
        {"edit": "add-free", "day": "sat", "starts": "9", "ends": "15:30", "people": "2"},
        {"edit": "add-off", "first": "2031-05-01", "label": "holiday"},
        {"edit": "add-extra", "on": "2031-04-10", "starts": "8:00", "ends": "16:00"},
        {"edit": "add-loud", "day": "sat", "starts": "10", "ends": "16"},
        {"edit": "add-stored", "label": "Boxes", "width": "1.2 m", "depth": "0.6 m"},
        {"edit": "add-task", "label": "Hang the clock", "hours": "0.5"},
        {"edit": "delivery", "line": "floor.rubber", "lead": "7"},
    ]
    for form in forms:
        assert client.post(page, data={"of": "times", **form}).status_code == 303, form
    works = json.loads(json.dumps(kept(client, plan_id)))
    assert works["free"][0]["starts"] == "09:00"
    assert works["days_off"][0]["last"] == "2031-05-01"
    assert works["stored"][0]["width_mm"] == 1200
    assert works["deliveries"][0]["lead_workdays"] == 7
    assert "Hang the clock" in client.get(f"{page}?of=tasks").get_data(as_text=True)
    changed = {"edit": "stored", "of": "contents", "thing": "thing-1", "label": "Boxes"}
    changed |= {"width": "1 m", "depth": "0.6 m", "becomes": "tip"}
    assert client.post(page, data=changed).status_code == 303
    removed = {"edit": "remove-stored", "of": "contents", "thing": "thing-1"}
    assert client.post(page, data=removed).status_code == 303
    assert kept(client, plan_id)["stored"] == []
    assert client.post(page, data={"edit": "undo"}).status_code == 303
    again = json.loads(json.dumps(kept(client, plan_id)))["stored"]
    assert [(one["width_mm"], one["becomes"]) for one in again] == [(1000, "tip")]
    history = client.get(f"/plan/{plan_id}/history").get_data(as_text=True)
    assert "Hang the clock" in history


def test_no_free_hours_is_said_on_the_page(client: FlaskClient, plan_id: str, page: str) -> None:
    evening = {"edit": "add-free", "of": "times", "day": "mon", "starts": "18:00", "ends": "19:00"}
    assert client.post(page, data=evening).status_code == 303
    shown = client.get(page).get_data(as_text=True)
    assert "In your free hours there are never more than 1: say when somebody helps" in shown


def test_what_cannot_be_planned_is_taken_back_on_the_page(
    client: FlaskClient, plan_id: str, page: str
) -> None:
    crowd = {"edit": "task", "of": "tasks", "task": "wash", "people": "9"}
    assert client.post(page, data=crowd).status_code == 303
    shown = client.get(f"{page}?of=tasks").get_data(as_text=True)
    assert "takes 9 people" in shown
    assert "What you said of tasks" in shown
    back = {"edit": "forget", "of": "tasks", "task": "wash"}
    assert client.post(page, data=back).status_code == 303
    assert "First training" in client.get(page).get_data(as_text=True)


def test_a_day_for_the_phone_is_ticked_off_and_the_rest_is_planned_again(
    client: FlaskClient, plan_id: str, page: str
) -> None:
    day = re.search(r"on=(\d{4}-\d\d-\d\d)", client.get(page).get_data(as_text=True))
    assert day is not None
    today = f"/plan/{plan_id}/today"
    shown = client.get(f"{today}?on=2031-04-05").get_data(as_text=True)
    assert "Ask landlord" in shown
    assert "If this day is missed" in shown
    done = {"edit": "tick", "task": "ask", "done_on": "2031-04-05", "done_hours": "2,5"}
    sent = client.post(today, data={**done, "on": "2031-04-05", "diary": "All said yes."})
    assert sent.status_code == 303
    note = json.loads(json.dumps(kept(client, plan_id)))["tasks"][0]
    assert (note["done_on"], note["done_hours"]) == ("2031-04-05", 2.5)
    still, done_by_now = (
        client.get(f"{today}?on=2031-04-05").get_data(as_text=True).split("Done on this day")
    )
    assert "Ask landlord" not in still
    assert "Ask landlord" in done_by_now
    chosen = client.get(f"{page}?of=task.ask").get_data(as_text=True)
    assert "All said yes." in chosen
    refused = client.post(today, data={"edit": "tick", "task": "sort", "done_on": ""})
    assert refused.status_code == 400
    assert "the day on which it was done is missing" in refused.get_data(as_text=True)


def test_the_calendar_file_and_the_sheets_come(
    client: FlaskClient, plan_id: str, page: str
) -> None:
    file = client.get(f"/plan/{plan_id}/works.ics")
    assert file.mimetype == "text/calendar"
    assert b"BEGIN:VEVENT" in file.data
    sheet = client.get(f"/plan/{plan_id}/sheet.svg?sheet=works&paper=A3")
    assert sheet.status_code == 200
    assert "first training" in sheet.get_data(as_text=True)


@pytest.mark.parametrize("rights", ["look", "edit"])
def test_guests_see_and_who_may_change_ticks(house: Elbowroom, rights: str) -> None:
    plan = next(one.plan for one in samples() if one.key == "upstairs-room")
    plan_id = house.create(plan, OWNER).plan_id
    app = create_guest_app(house, frozenset({"192.168.1.5"}), Streams(3, 3, 2))
    guest = app.test_client()
    door = f"/g/{make_link(house, plan_id, 'Anna', rights, 1)[1]}/plan/{plan_id}"
    shown = guest.get(f"{door}/works", base_url=HOME).get_data(as_text=True)
    assert "First training" in shown
    assert ("€" in shown) == (rights == "edit")
    today = guest.get(f"{door}/today", base_url=HOME).get_data(as_text=True)
    assert (">Done</button>" in today) == (rights == "edit")
    done = {"edit": "tick", "task": "ask", "done_on": date.today().isoformat()}
    answer = guest.post(f"{door}/today", base_url=HOME, data=done, headers={"Origin": HOME})
    assert answer.status_code == (303 if rights == "edit" else 403)
    assert bool(house.open(plan_id).plan.works.tasks) == (rights == "edit")


def test_a_link_that_ticks_ticks_and_changes_nothing_else(house: Elbowroom) -> None:
    plan = next(one.plan for one in samples() if one.key == "upstairs-room")
    plan_id = house.create(plan, OWNER).plan_id
    app = create_guest_app(house, frozenset({"192.168.1.5"}), Streams(3, 3, 2))
    guest = app.test_client()
    secret = make_link(house, plan_id, "Ben", "look", 1, ticks=True)[1]
    door, own = f"/g/{secret}/plan/{plan_id}", {"Origin": HOME}
    assert ">Done</button>" in guest.get(f"{door}/today", base_url=HOME).get_data(as_text=True)
    done = {"edit": "tick", "task": "ask", "done_on": date.today().isoformat()}
    assert guest.post(f"{door}/today", base_url=HOME, data=done, headers=own).status_code == 303
    assert house.open(plan_id).plan.works.tasks[0].done_on == date.today()
    for edit in ("add-task", "start", "remove-free", "undo"):
        sent = {**done, "edit": edit, "label": "Mine", "hours": "1"}
        answer = guest.post(f"{door}/today", base_url=HOME, data=sent, headers=own)
        assert answer.status_code >= 400, edit
    assert guest.post(f"{door}/works", base_url=HOME, data=done, headers=own).status_code == 403
    assert len(house.open(plan_id).plan.works.tasks) == 1


def test_a_plan_with_little_in_it_has_works_too(client: FlaskClient, house: Elbowroom) -> None:
    plan_id = house.create(load(text(plan_data(pieces=[], people=[])))).plan_id
    assert "First training" in client.get(f"/plan/{plan_id}/works").get_data(as_text=True)
    assert client.get(f"/plan/{plan_id}/today").status_code == 200
