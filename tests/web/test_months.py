"""Money by month as a page: the purse, things laid into months, what is wrong beside its field."""

import re
import threading
import time
from collections.abc import Iterator
from datetime import date, datetime
from html import unescape
from typing import Any

import pytest

from app.model.phasing import month_of
from app.model.plan import Plan
from app.usecases.accounts import account_of
from app.usecases.plans import Elbowroom
from app.usecases.waiting import Gone, Waiting
from app.usecases.works import is_planned, works_of
from app.works.months import months_of
from app.works.task import next_half_hour_min

PATIENCE_S = 60.0
"""A test that waits so long for what must come has failed."""
HALF_HOUR_S = 1800
ROOM_S = 45
"""What a test takes that asks twice and may not see two half hours, on a machine under load."""
LOOKING = "Looking whether there is a better order of buying"
PROVEN = "No other order of buying is better"


class Held(Waiting):
    """Lets what searches in the background wait at its next step till a test lets it go on."""

    def hold(self) -> None:
        self.goes_on = threading.Event()

    def look(self, plan_id: str, plan: Plan, gone: Gone) -> None:
        assert self.goes_on.wait(PATIENCE_S)
        super().look(plan_id, plan, gone)


@pytest.fixture
def held(house: Elbowroom) -> Iterator[Held]:
    """The program's way to ask whether anybody waits, which makes every search stand still."""
    one = Held(house.board, house.open)
    one.hold()
    house.waiting = one
    yield one
    house.board.close()
    one.goes_on.set()


def post(client: Any, plan_id: str, edit: str, **fields: str) -> Any:
    return client.post(f"/plan/{plan_id}/months", data={"edit": edit, "of": "things", **fields})


def filled(client: Any, house: Elbowroom) -> str:
    plan_id = house.create_sample("double-garage").plan_id
    purse = {"put_by": "900", "a_month": "1 000,50", "first": "2027-04", "months": "12"}
    assert post(client, plan_id, "purse", **purse).status_code == 303
    return plan_id


@pytest.fixture
def one_half_hour() -> None:
    """Wait for the next half hour where this one ends soon: works are planned from each on anew."""
    at = datetime.now()
    left = HALF_HOUR_S - (at.minute * 60 + at.second) % HALF_HOUR_S
    if left < ROOM_S:
        time.sleep(left + 1)


def today_and_minute() -> tuple[date, int]:
    at = datetime.now()
    return at.date(), next_half_hour_min(at)


def test_an_empty_purse_asks_what_there_is(client: Any, house: Elbowroom) -> None:
    plan_id = house.create_sample("double-garage").plan_id
    page = client.get(f"/plan/{plan_id}/months")
    assert page.status_code == 200
    assert "say what there is to spend" in page.text
    assert "months-chart" not in page.text


def test_the_purse_is_kept_and_the_chart_follows(client: Any, house: Elbowroom) -> None:
    plan_id = filled(client, house)
    phasing = house.open(plan_id).plan.phasing
    assert (phasing.put_by_minor, phasing.a_month_minor) == (90_000, 100_050)
    page = client.get(f"/plan/{plan_id}/months").text
    assert "months-chart" in page
    assert "<b>from " in page
    assert "With this money the room is ready on " in page
    assert "there is €1,900.50" in page


def test_a_narrow_screen_has_a_bar_for_each_month_in_which_something_is_bought(
    client: Any, house: Elbowroom
) -> None:
    page = unescape(client.get(f"/plan/{filled(client, house)}/months").text)
    listed = page[
        page.index('<ol class="month-bars">') : page.index("<h2>The room as it fills</h2>")
    ]
    months = re.findall(r"<li><b>(.*?)</b><span class=\"sum\">€([\d.,]+)</span>", listed)
    assert months
    before = 0.0
    for month, row in zip(months, re.split(r"(?=<li><b>)", listed)[1:], strict=True):
        bought = re.search(r'class="bar-bought[^"]*" x="([\d.]+)" .*?width="([\d.]+)"', row)
        assert bought
        # each bar goes on where the last one ended, to a hundredth for each that was rounded
        assert float(bought[1]) == pytest.approx(before, abs=0.02)
        before = float(bought[1]) + float(bought[2])
        things = re.findall(r"</span><span class=\"sum\">€([\d.,]+)</span></li>", row)
        cents = [round(100 * float(one.replace(",", ""))) for one in (month[1], *things)]
        assert cents[0] == sum(cents[1:])
    assert before <= 100


def test_a_thing_is_laid_left_out_and_put_back(client: Any, house: Elbowroom) -> None:
    plan_id = filled(client, house)
    before = house.open(plan_id).plan.phasing
    edit = "thing.piece.bike-1"
    assert post(client, plan_id, edit, month="2027-09", must="", worth="").status_code == 303
    assert house.open(plan_id).plan.phasing.note_of("piece.bike-1").month == "2027-09"
    assert post(client, plan_id, edit, month="out", must="yes", worth="7").status_code == 303
    said = house.open(plan_id).plan.phasing.note_of("piece.bike-1")
    assert (said.left_out, said.must, said.worth) == (True, True, 7)
    things = client.get(f"/plan/{plan_id}/months?of=things").text
    assert "left out" in things
    assert post(client, plan_id, "back.piece.bike-1").status_code == 303
    assert house.open(plan_id).plan.phasing == before


def test_what_is_wrong_stands_at_its_field_and_nothing_is_lost(
    client: Any, house: Elbowroom
) -> None:
    plan_id = filled(client, house)
    before = house.open(plan_id).plan
    for edit, fields, words in (
        ("purse", {"put_by": "-3", "months": "12"}, "less than nothing"),
        ("purse", {"put_by": "3", "months": "0"}, "must be a number from 1 to 60"),
        ("purse", {"put_by": "3", "first": "March", "months": "12"}, "is no month"),
        ("thing.piece.bike-1", {"worth": "99"}, "must be a number from 0 to 20"),
        ("thing.piece.bike-1", {"month": "soon"}, "month"),
    ):
        answer = post(client, plan_id, edit, **fields)
        assert answer.status_code == 400, (edit, fields)
        assert words in answer.text
    assert house.open(plan_id).plan == before


@pytest.mark.long
def test_each_part_beside_the_chart_is_shown(client: Any, house: Elbowroom) -> None:
    plan_id = filled(client, house)
    for of, words in (
        ("purse", "Saved up, EUR"),
        ("things", "Running machine"),
        ("sums", "Second-hand"),
        ("thing:piece.rack-1", "Bought in"),
        ("thing:part.paint", "must be there"),
        ("thing:piece.none", "Saved up, EUR"),
    ):
        page = client.get(f"/plan/{plan_id}/months?of={of}")
        assert page.status_code == 200
        assert words in page.text, of


def test_one_sees_what_one_can_train_and_what_to_look_at_second_hand(
    client: Any, house: Elbowroom
) -> None:
    plan_id = house.create_sample("double-garage").plan_id
    address = f"/plan/{plan_id}/months"
    form = {"edit": "purse", "of": "purse", "put_by": "3000", "a_month": "900", "months": "6"}
    assert client.post(address, data=form).status_code == 303
    shown = client.get(f"{address}?of=sums").text
    trained = shown.partition("One can train")[2].partition("</ol>")[0]
    assert trained.count("<li><svg") == trained.count('class="whom"') > 3
    look = client.get(f"/plan/{plan_id}/second-hand")
    assert f"/plan/{plan_id}/second-hand" in shown
    # each piece by the row for its kind; what is of the house or owned is not looked at
    for words in ("Catches lock at every height", "Roll it on a flat floor", "Safety key and stop"):
        assert words in look.text
    assert "Chest freezer" not in look.text


def test_nobody_trains_before_the_works_are_done(client: Any, house: Elbowroom) -> None:
    plan_id = house.create_sample("upstairs-room").plan_id
    start = {"edit": "start", "of": "times", "starts_on": "2031-04-05", "first_time": "yes"}
    assert client.post(f"/plan/{plan_id}/works", data=start).status_code == 303
    works = client.get(f"/plan/{plan_id}/works").text
    first = re.search(r"First training: (\d+ \w+ 2031)", works)
    assert first is not None
    purse = {"put_by": "9000", "first": "2031-04", "months": "12"}
    assert post(client, plan_id, "purse", **purse).status_code == 303
    shown = client.get(f"/plan/{plan_id}/months").text
    trained = shown.partition("One can train")[2].partition("</ol>")[0]
    assert re.findall(r"<b>from ([^<]*)</b>", trained) == [first[1]]


def sums_left_over(page: str) -> set[int]:
    """Return what the sums that there are, as lettered in the chart, leave over in steps of 300."""
    sums = re.findall(r"there is €([\d,]+)<", page)
    return {int(one.replace(",", "")) % 300 for one in sums}


@pytest.mark.usefixtures("one_half_hour")
def test_months_are_there_while_a_better_order_is_looked_for(
    client: Any, house: Elbowroom, held: Held
) -> None:
    plan_id = house.create_sample("single-garage").plan_id
    address, purse = f"/plan/{plan_id}/months?of=things", {"a_month": "300", "months": "12"}
    assert post(client, plan_id, "purse", **purse, put_by="900").status_code == 303
    first = client.get(address).text
    assert LOOKING in first
    assert "data-looking" in first
    assert sums_left_over(first) == {0}
    # told by itself where it is read out; a link where there is no script
    assert re.search(rf'role="status"><span class="is-looking">{LOOKING}', first)
    assert re.search(r'<noscript>.*months\?of=things">Look again</a>', first)
    before = account_of(house, plan_id)[1]
    # the plan is changed while it is looked for: that search ends, and the new plan has its own
    assert post(client, plan_id, "purse", **purse, put_by="1550").status_code == 303
    changed = client.get(address).text
    assert LOOKING in changed
    assert sums_left_over(changed) == {50}
    held.goes_on.set()
    until = time.monotonic() + PATIENCE_S
    while "data-looking" in (page := client.get(address).text):
        assert time.monotonic() < until
    assert PROVEN in page
    assert LOOKING not in page
    assert "Look again" not in page
    assert sums_left_over(page) == {50}
    account = account_of(house, plan_id)[1]
    # what is saved up changes nothing of what was counted
    assert account.plan != before.plan
    assert account.costs is before.costs
    known = account.months_known(month_of(date.today()))
    assert known is not None
    ready = works_of(house, plan_id, *today_and_minute())[1].ready
    assert known == months_of(account.scene, account.costs, known.first_month, ready)


@pytest.mark.usefixtures("one_half_hour")
def test_a_link_leads_to_the_page_at_once_and_its_script_asks_for_the_whole(
    client: Any, house: Elbowroom
) -> None:
    plan_id = house.create_sample("single-garage").plan_id
    address = f"/plan/{plan_id}/months"
    by_link = {"Sec-Fetch-Mode": "navigate"}
    # with nothing to spend there is little to count, and no page that says so first
    assert "say what there is to spend" in client.get(address, headers=by_link).text
    purse = {"put_by": "900", "a_month": "300", "first": "", "months": "24"}
    assert post(client, plan_id, "purse", **purse).status_code == 303
    first = client.get(address + "?of=things", headers=by_link).text
    assert "Counting what there is to buy" in first
    assert 'data-looking="counting"' in first
    assert 'value="900.00"' in first
    assert "months-chart" not in first
    assert not is_planned(house, plan_id, *today_and_minute())
    # without a script the link below it leads to the whole
    (whole,) = re.findall(r"<noscript>.*?href=\"([^\"]*)\"", first)
    assert "months-chart" in client.get(unescape(whole), headers=by_link).text
    # and from then on the page comes whole, also when the purse is another
    purse["put_by"] = "950"
    assert post(client, plan_id, "purse", **purse).status_code == 303
    assert "months-chart" in client.get(address, headers=by_link).text


def test_the_room_is_shown_as_it_fills_month_by_month(client: Any, house: Elbowroom) -> None:
    plan_id = filled(client, house)
    page = client.get(f"/plan/{plan_id}/months?of=things").text
    rooms = re.findall(r'<li><b>([^<]+)</b><img [^>]*src="([^"]+picture\.svg[^"]+)"', page)
    assert len(rooms) > 1
    pieces = {piece.id for piece in house.open(plan_id).plan.pieces}
    before: set[str] | None = None
    for _, address in rooms:
        missing = set(unescape(address).partition("without=")[2].replace("%2C", ",").split(","))
        missing -= {""}
        assert missing <= pieces
        # from one picture to the next something comes and nothing goes
        assert before is None or missing < before
        before = missing
        svg = client.get(unescape(address)).text
        drawn = set(re.findall(r'data-owner="([^"]+)"', svg)) & pieces
        assert drawn
        assert not drawn & missing
    first, last = (client.get(unescape(rooms[i][1])).text for i in (0, -1))
    assert len(set(re.findall(r'data-owner="([^"]+)"', first))) < len(
        set(re.findall(r'data-owner="([^"]+)"', last))
    )
    # what is no piece of the plan is missing anyway
    assert client.get(f"/plan/{plan_id}/picture.svg?without=sofa,%3Cb%3E").status_code == 200
