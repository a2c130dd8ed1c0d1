"""The calendar file read back by a parser that is not the writer's."""

import json
import re
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from app.cli import main
from app.works.calendar_file import calendar_file
from tests.works.plans import SPRING, of_sample, planned, sample, with_works

MADE = datetime(2027, 4, 3, 12, 0, tzinfo=UTC)


def entries(data: bytes) -> list[dict[str, str]]:
    """Read a calendar by the rules of RFC 5545: folded lines, names, parameters, escaped text."""
    lines = re.sub(r"\r\n[ \t]", "", data.decode()).split("\r\n")
    found: list[dict[str, str]] = []
    for line in lines:
        name, _, value = line.partition(":")
        if line == "BEGIN:VEVENT":
            found.append({})
        elif found and name and name not in ("END", "BEGIN"):
            plain = re.sub(r"\\([,;\\])", r"\1", value).replace("\\n", "\n")
            found[-1][name] = plain
    return found


def test_every_stretch_of_work_is_an_entry_at_a_local_time() -> None:
    answer = of_sample("upstairs-room")
    read = entries(calendar_file(answer, "plan", MADE))
    timed = [(e["SUMMARY"], e["DTSTART"], e["DTEND"]) for e in read if "DTSTART" in e]
    expected = [
        (one.task.name, f"{s.starts:%Y%m%dT%H%M%S}", f"{s.ends:%Y%m%dT%H%M%S}")
        for one in answer.programme.tasks
        for s in one.stretches
    ]
    assert timed == expected
    # floating: no zone, no Z
    assert not any(e["DTSTART"].endswith("Z") for e in read if "DTSTART" in e)
    assert all("TZID" not in name for e in read for name in e)


def test_an_order_whose_name_leaves_things_out_names_each_of_them() -> None:
    answer = of_sample("upstairs-room")
    said = {e["UID"]: e for e in entries(calendar_file(answer, "plan", MADE))}
    many = [order for order in answer.orders if order.unnamed]
    assert many
    for order in many:
        assert len(order.items) == len(order.lines) > 2
        (entry,) = [e for uid, e in said.items() if f"order-{order.line}@" in uid]
        listed = [row[2:] for row in entry["DESCRIPTION"].split("\n") if row.startswith("- ")]
        assert tuple(listed) == order.items
    for order in answer.orders:
        assert order.unnamed or all(item in order.name for item in order.items)


def test_orders_deliveries_the_first_training_and_the_year_after_are_days() -> None:
    answer = of_sample("double-garage")
    read = entries(calendar_file(answer, "plan", MADE))
    days = {(e["SUMMARY"], e["DTSTART;VALUE=DATE"]) for e in read if "DTSTART;VALUE=DATE" in e}
    for order in answer.orders:
        verb = "Book" if order.is_visit else "Order"
        assert (f"{verb}: {order.name}", f"{order.order_by:%Y%m%d}") in days
        # the hours of a visit stand there as the task
        assert order.is_visit or (f"Delivery: {order.name}", f"{order.arrives:%Y%m%d}") in days
    assert ("First training", f"{answer.programme.first_training:%Y%m%d}") in days
    assert len({e["UID"] for e in read}) == len(read)
    bolts = [look for look in answer.year_after if look.id.startswith("bolts")]
    after = [(look.on - answer.programme.first_training).days for look in bolts]
    assert after == [7, 30]  # bolts in week 1 and month 1: common practice, no source


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("works")


def test_the_command_prints_what_was_agreed(
    printed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert (
        main(["works", "sample_rooms/single-garage.json", "--start", "2027-03-01", "--json"]) == 0
    )
    told = json.loads(capsys.readouterr().out)
    keys = {"id", "name", "starts", "ends", "hours", "critical", "float_hours", "after", "who"}
    assert all(keys | {"caution"} <= set(one) for one in told["tasks"])
    ids = {one["id"] for one in told["tasks"]}
    assert all(set(one["after"]) <= ids for one in told["tasks"])
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d", one["starts"]) for one in told["tasks"])
    assert all({"line", "order_by", "arrives", "place"} <= set(one) for one in told["orders"])
    assert date.fromisoformat(told["first_training"]) > SPRING
    file = printed / "works.ics"
    assert (
        main(["works", "sample_rooms/single-garage.json", "--start", "2027-03-01", "-o", str(file)])
        == 0
    )
    assert len(entries(file.read_bytes())) > len(told["tasks"])
    assert main(["works", "sample_rooms/single-garage.json", "--start", "soon"]) == 2
    assert "no day" in capsys.readouterr().err


def test_orders_leave_time_and_the_returns_window_begins_at_delivery() -> None:
    answer = of_sample("double-garage")
    for order in answer.orders:
        assert order.order_by >= answer.programme.today
        assert order.order_by <= order.arrives <= order.needed
        assert (order.returns_until - order.arrives).days == (0 if order.is_visit else 14)
    kit = next(order for order in answer.orders if "piece.rack-1" in order.lines)
    received = answer.programme.dated("receive-first")
    assert kit.needed == received.starts.date()


def test_what_finds_no_room_beside_the_way_waits_in_the_house() -> None:
    free = of_sample("upstairs-room")
    kit = next(order for order in free.orders if "piece.bench-1" in order.lines)
    assert kit.place.startswith("in the room")
    # the whole floor but the way is taken by what stays
    full = [
        {"id": f"b{i}", "width_mm": 1200, "depth_mm": 1000, "height_mm": 1000} for i in range(14)
    ]
    crowded = planned(with_works(sample("upstairs-room"), stored=full, parts=1))
    kit = next(order for order in crowded.orders if "piece.bench-1" in order.lines)
    assert kit.place.startswith("in the house")
