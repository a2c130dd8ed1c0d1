"""What cannot be is said in a sentence that somebody understands who typed it, and nothing is lost.

By plan file and by command here; what a form refuses stands with the pages.
"""

import json
import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from app.cli import main
from app.errors import PlanError
from app.model.base import json_of
from app.model.versions import load
from app.works.task import WorksError
from tests.works.plans import planned, sample, with_works

START = date(2027, 3, 1)
OWN = {"label": "Own", "added": True, "hours": 1}
SAT = {"id": "sat", "day": "sat"}


@pytest.mark.parametrize(
    ("works", "says"),
    [
        ({"tasks": [{"id": "ask", "after": ["ask"]}]}, "a task cannot wait for itself"),
        (
            {"tasks": [{"id": "ask", "began_on": "2027-03-05", "done_on": "2027-03-01"}]},
            "done on 1 March 2027, before it began on 5 March 2027",
        ),
        (
            {"deliveries": [{"id": "piece.a", "ordered_on": "2027-02-01",
                             "arrives_on": "2026-02-01"}]},
            "arrives on 1 February 2026, before it is ordered on 1 February 2027",
        ),
        ({"free": [{**SAT, "starts": "09:00", "ends": "15:00", "people": 0}]}, "not 0"),
        ({"free": [{**SAT, "starts": "25:00", "ends": "26:00"}]}, "no time of the day: write it"),
        ({"days_off": [{"id": "d", "first": "2027-02-30", "last": "2027-03-01"}]},
         "'2027-02-30' is no day of the calendar"),
        ({"days_off": [{"id": "d", "first": "2027-03-05", "last": "2027-03-01"}]},
         "end on 1 March 2027, before they begin on 5 March 2027"),
        ({"days_off": "never"}, "works.days_off: must be a list, not 'never'"),
        ({"days_off": [{"id": "d", "first": 3, "last": "2027-03-01"}]},
         "first: must be a day, written like 2027-03-01, not 3"),
        ({"days_off": [{"id": "d", "first": "2027-03-01", "last": "2027-03-01", "shut": "maybe"}]},
         "shut: must be true or false, not 'maybe'"),
        ({"pace": 0}, "works.pace: must be at least 0.25, not 0"),
        ({"tasks": [{"id": "x", "label": "X", "added": True}]}, "needs a name and hours"),
        ({"tasks": [{"id": "ask", "photos": ["../../etc"]}]},
         "'../../etc' is no photo that is kept here: leave it out"),
    ],
)  # fmt: skip
def test_a_plan_file_that_cannot_be_says_why(works: dict[str, Any], says: str) -> None:
    data = {**json_of(sample("upstairs-room")), "works": works}
    with pytest.raises(PlanError, match=re.escape(says)) as fault:
        load(json.dumps(data))
    # the day as people say it, never the pattern of a machine
    assert "^" not in fault.value.sentence
    assert "input" not in fault.value.sentence.lower()


@pytest.mark.parametrize(
    ("works", "says"),
    [
        (
            {"tasks": [{"id": "a", **OWN, "after": ["b"]}, {"id": "b", **OWN, "after": ["a"]}]},
            "in a ring: Own, which waits for Own, which waits for Own",
        ),
        ({"free": [{**SAT, "starts": "09:00", "ends": "09:20"}]}, "used up by the 30 minutes"),
        ({"free": [{**SAT, "starts": "09:00", "ends": "15:00"}]}, "take 2 people, "),
        ({"days_off": [{"id": "d", "first": "2027-01-01", "last": "2035-01-01"}]},
         "finds no room in your free hours within three years"),
        ({"starts_on": "9999-12-30"}, "beyond the year 9999"),
    ],
)  # fmt: skip
def test_works_that_cannot_be_planned_say_why_and_the_plan_stays(
    works: dict[str, Any], says: str
) -> None:
    plan = with_works(sample("upstairs-room"), **works)
    with pytest.raises(WorksError, match=re.escape(says)):
        planned(plan, START)
    assert load(json.dumps(json_of(plan))).works == plan.works


def test_a_delivery_before_today_is_asked_for() -> None:
    late = [{"id": "piece.bench-1", "arrives_on": "2026-02-01"}]
    answer = planned(with_works(sample("upstairs-room"), deliveries=late), START)
    assert any("was to come on 1 February 2026" in problem for problem in answer.problems)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (("--start-sum=-600", "--month", "300"), "is less than nothing"),
        (("--start-sum", "0", "--month", "0"), "nothing is saved up and nothing comes in"),
        (("--start-sum", "$600", "--month", "300"), "is in $, the plan's money is EUR"),
        (("--start-sum", "600 USD", "--month", "300"), "is in USD, the plan's money is EUR"),
    ],
)
def test_a_purse_that_cannot_be_says_why(
    asked: tuple[str, ...], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["phases", "sample_rooms/upstairs-room.json", *asked]) == 2
    told = capsys.readouterr().err
    assert says in told
    assert "phasing" not in told


def test_months_know_the_day_on_which_the_works_end(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = json_of(sample("upstairs-room"))
    foreign = {"id": "piece.bench-1", "minor": 9900, "currency": "USD"}
    plan["money"] = {**plan["money"], "entries": [*plan["money"]["entries"], foreign]}
    file = tmp_path / "plan.json"
    file.write_text(json.dumps(plan), encoding="utf-8")
    asked = ["phases", str(file), "--start-sum", "3000", "--month", "300", "--first", "2031-03"]
    assert main([*asked, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    ready = planned(sample("upstairs-room"), date(2031, 3, 1)).programme.first_training
    assert told["first_training"] == ready.isoformat()
    # what is bought before the works end is trained from that day on, what comes later from then
    since = [(month["month"], new["from"]) for month in told["months"] for new in month["new"]]
    assert since
    month = ready.isoformat()[:7]
    for bought, begins in since:
        assert begins == (ready.isoformat() if bought <= month else bought)
    # a price in another money is named, and the sums stand without it
    assert any("its price is in USD" in problem for problem in told["problems"])
