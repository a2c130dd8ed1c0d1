"""Reads the JSON that a request carries: models of it, commands, poses."""

from __future__ import annotations

import json
from typing import Annotated, Any, NoReturn, TypeVar

from flask import request
from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    RootModel,
    StrictFloat,
    StrictInt,
    StrictStr,
    ValidationError,
)

from app.changes.commands import Command
from app.errors import ElbowroomError, Fault, PlanError
from app.model.faults import plan_error
from app.model.kit import Pose
from app.usecases.carrying_out import FIELD_LIMIT


class BodyError(ElbowroomError, ValueError):
    """What was sent is not the JSON that is expected."""

    code = "bad-json"


NUMBER = "a number"
LARGEST = 1e9
"""Far beyond any length in mm or share of a plan: what is larger is no measure of a room."""
Text = Annotated[str, Field(description="a text")]
Number = Annotated[float, Field(gt=-LARGEST, lt=LARGEST, description=NUMBER)]
Whole = Annotated[int, Field(description="a whole number")]
Flag = Annotated[bool, Field(description="true or false")]
Seen = Annotated[int | None, Field(ge=0, lt=2**53, description="a whole number")]
"""The revision that something was made on, None where it is not told; scripts count to 2**53."""
Texts = Annotated[dict[str, str], Field(max_length=FIELD_LIMIT, description="an object of texts")]
"""The fields of a form, as typed."""


class Body(BaseModel):
    """The JSON object of a request: fields of just these types; what else it holds is left alone.

    The description of a field says in an error what it must be; without one it must be there.
    """

    model_config = ConfigDict(strict=True, frozen=True, extra="ignore", defer_build=True)


Asks = TypeVar("Asks", bound=Body)


class _Fields(RootModel[dict[str, StrictStr | StrictInt | StrictFloat]]):
    """Fields of a form by name: a number may stand in place of its text."""


class Named(Body):
    """A name for something."""

    name: Text


class Shows(Body):
    """Whether the answer is to hold the drawing, as it does unless told."""

    drawing: Flag = True


def json_body() -> dict[str, Any]:
    """Return the JSON object of the request. Raises BodyError; an empty body is an empty object."""
    raw = request.get_data()
    if not raw.strip():
        return {}
    try:
        data = json.loads(raw, parse_constant=_refuse_constant)
    except RecursionError:
        raise BodyError("What was sent is nested too deeply.") from None
    except BodyError:
        raise
    except ValueError as error:
        raise BodyError(f"What was sent is not JSON: {error}.") from None
    if not isinstance(data, dict):
        raise BodyError("What was sent must be a JSON object.")
    return data


def body_of(kind: type[Asks]) -> Asks:
    """Return the body of the request as one of its models. Raises BodyError naming the field."""
    try:
        return kind.model_validate(json_body())
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
    name = str(first["loc"][0])
    what = kind.model_fields[name].description
    if what is None:
        raise BodyError(f"The field {name!r} is missing.")
    if what == NUMBER and first["type"] in ("less_than", "greater_than"):
        raise BodyError(f"The field {name!r} is out of all bounds.")
    raise BodyError(f"The field {name!r} must be {what}.")


def typed_fields() -> dict[str, str]:
    """Return the body of the request as the fields of a form. Raises BodyError, PlanError."""
    try:
        fields = _Fields.model_validate(json_body()).root
    except ValidationError as error:
        names = dict.fromkeys(str(one["loc"][0]) for one in error.errors())
        raise PlanError(*(Fault(name, "must be a text or a number") for name in names)) from None
    return {name: str(value) for name, value in fields.items()}


def read_command(data: object) -> Command:
    """Read a command from JSON data. Raises PlanError naming the fields under `command`."""
    try:
        return Command.model_validate(data)
    except ValidationError as error:
        faults = [Fault(_under("command", f.field), f.sentence) for f in plan_error(error).faults]
        raise PlanError(*faults) from None


def read_poses(data: object) -> dict[str, Pose]:
    """Read the poses of a drag, by piece id, from JSON data. Raises PlanError."""
    if not isinstance(data, dict) or not data:
        raise PlanError(Fault("moves", "must be an object with a pose for each piece that moves"))
    poses = {}
    for piece_id, pose in data.items():
        try:
            poses[piece_id] = Pose.model_validate(pose)
        except ValidationError as error:
            where = f"moves.{piece_id}"
            raise PlanError(
                *(Fault(_under(where, f.field), f.sentence) for f in plan_error(error).faults)
            ) from None
    return poses


def _under(where: str, field_name: str) -> str:
    return f"{where}.{field_name}" if field_name else where


def _refuse_constant(word: str) -> NoReturn:
    raise BodyError(f"What was sent holds {word}, which is no number.")
