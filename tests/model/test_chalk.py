"""Chalk lines: drawn and rubbed out by commands, taken back, and told of."""

from typing import Any

import pytest

from app.changes.commands import Change, Command, apply, inverse
from app.changes.difference import difference
from app.changes.telling import tell
from app.errors import PlanError
from app.model.base import json_of
from app.model.chalk import ChalkLine
from app.model.versions import dump, load
from tests.builders import make_plan

LINE = ChalkLine(id="chalk-1", way="x", at_mm=1500)


def drawn(line: dict[str, Any]) -> Command:
    """The command that draws a line."""
    place = ("chalk", str(line["id"]))
    return Command(name="edit", changes=(Change(path=place, before=None, after=line),))


def test_a_line_is_drawn_kept_and_taken_back() -> None:
    plan = make_plan()
    command = drawn(json_of(LINE))
    after = apply(plan, command)
    assert after.chalk == (LINE,)
    assert load(dump(after)) == after
    assert apply(after, inverse(command)) == plan
    assert tell(command.changes, {}) == ("Chalk lines changed",)


def test_the_way_from_one_plan_to_another_takes_its_lines_along() -> None:
    plan = make_plan()
    after = apply(plan, drawn(json_of(LINE)))
    command = difference(plan, after, "edit")
    assert command is not None
    assert command.changes[0].path == ("chalk", "chalk-1")
    assert apply(plan, command) == after


def test_a_line_runs_along_one_of_two_ways() -> None:
    with pytest.raises(PlanError) as caught:
        apply(make_plan(), drawn({"id": "chalk-1", "way": "z", "at_mm": 0}))
    assert caught.value.faults[0].field == "chalk[0].way"
