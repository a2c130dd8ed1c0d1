"""Commands and poses from outside are read strictly."""

import pytest
from flask import Flask

from app.errors import PlanError
from app.web.api.body import (
    Body,
    BodyError,
    Flag,
    Number,
    Seen,
    Text,
    body_of,
    read_command,
    read_poses,
)


@pytest.mark.parametrize(
    ("data", "field"),
    [
        ({"name": "fly", "changes": []}, "command.name"),
        ({"name": "move", "changes": [{"path": []}]}, "command.changes[0].path"),
        ([], "command"),
        (None, "command"),
    ],
)
def test_a_misshapen_command_names_its_field(data: object, field: str) -> None:
    with pytest.raises(PlanError) as found:
        read_command(data)
    assert found.value.faults[0].field == field


@pytest.mark.parametrize("data", [None, {}, [], "a"])
def test_a_drag_moves_something(data: object) -> None:
    with pytest.raises(PlanError, match="moves"):
        read_poses(data)


class Thing(Body):
    name: Text
    wide: Number
    revision: Seen = None
    drawing: Flag = True


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": 4}, "The field 'name' must be a text."),
        ({"name": None}, "The field 'name' must be a text."),
        ({"wide": "1"}, "The field 'wide' must be a number."),
        ({"wide": True}, "The field 'wide' must be a number."),
        ({"wide": 1e9}, "The field 'wide' is out of all bounds."),
        ({"revision": 1.5}, "The field 'revision' must be a whole number."),
        ({"revision": True}, "The field 'revision' must be a whole number."),
        ({"revision": -1}, "The field 'revision' must be a whole number."),
        ({"drawing": 1}, "The field 'drawing' must be true or false."),
    ],
)
def test_a_body_names_the_field_that_is_wrong(wrong: dict[str, object], sentence: str) -> None:
    body = {"name": "Bench", "wide": 500, **wrong}
    with Flask(__name__).test_request_context(json=body), pytest.raises(BodyError) as found:
        body_of(Thing)
    assert found.value.sentence == sentence


def test_what_a_body_holds_besides_is_left_alone() -> None:
    body = {"name": "Bench", "wide": 500, "colour": "red"}
    with Flask(__name__).test_request_context(json=body):
        assert body_of(Thing) == Thing(name="Bench", wide=500.0)
