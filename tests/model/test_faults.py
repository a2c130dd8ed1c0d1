"""What is wrong with a plan or a command is said in plain words, never in those of a library."""

import re
from collections.abc import Iterator
from typing import Any

import pytest

from app.changes.commands import Command
from app.errors import PlanError
from app.model.faults import LIKE
from app.model.plan import Plan
from app.model.versions import from_data
from app.web.api.body import read_command
from tests.web.building import plan_data

FOREIGN = re.compile(
    r"validation|should|pattern|\bInput\b|unicode|tuple|\bitems?\b|raw data|valid "
)


def told(data: object) -> list[str]:
    with pytest.raises(PlanError) as refused:
        from_data(data)
    return [fault.sentence for fault in refused.value.faults]


def with_room(**fields: object) -> dict[str, Any]:
    data = plan_data()
    data["room"].update(fields)
    return data


BAD = {
    "currency": (plan_data(currency="euros"), "'euros' is no currency: write its three letters"),
    "no name": (plan_data(name=""), "must not be empty"),
    "half a letter": (plan_data(name="\ud800"), "holds half a letter"),
    "two walls": (with_room(walls=[]), "holds 0 of them; 3 is the least"),
    "an id": (
        plan_data(own_kit=[{"id": "Mine", "name": "x"}]),
        "'Mine' is no name of a kit type of one's own",
    ),
    "a list": (plan_data(pieces="many"), "must be a list, not 'many'"),
    "units": (plan_data(units="ells"), "must be 'metric' or 'feet', not 'ells'"),
}


@pytest.mark.parametrize(("data", "wanted"), BAD.values(), ids=BAD.keys())
def test_a_plan_is_refused_in_plain_words(data: object, wanted: str) -> None:
    sentences = told(data)
    assert any(sentence.startswith(wanted) for sentence in sentences), sentences
    assert [sentence for sentence in sentences if FOREIGN.search(sentence)] == []


@pytest.mark.parametrize(
    ("command", "wanted"),
    [
        ({"name": "edit", "says": "", "changes": []}, "holds 0 of them; 1 is the least"),
        ({"name": "edit", "says": "\udc00", "changes": []}, "holds half a letter"),
        ({"name": "edit", "says": "", "changes": [{"path": []}]}, "holds 0 of them"),
    ],
)
def test_a_command_is_refused_in_plain_words(command: object, wanted: str) -> None:
    with pytest.raises(PlanError) as refused:
        read_command(command)
    sentences = [fault.sentence for fault in refused.value.faults]
    assert any(sentence.startswith(wanted) for sentence in sentences), sentences
    assert [sentence for sentence in sentences if FOREIGN.search(sentence)] == []


def patterns(schema: object) -> Iterator[str]:
    if isinstance(schema, dict):
        if isinstance(schema.get("pattern"), str):
            yield schema["pattern"]
        for part in schema.values():
            yield from patterns(part)
    elif isinstance(schema, list):
        for part in schema:
            yield from patterns(part)


def test_every_pattern_of_the_document_has_its_words() -> None:
    asked = {*patterns(Plan.model_json_schema()), *patterns(Command.model_json_schema())}
    assert asked
    assert asked - LIKE.keys() == set()
