"""Reads the JSON that a request carries: texts, numbers, commands, poses."""

from __future__ import annotations

import json
from typing import Any, NoReturn

from flask import request
from pydantic import ValidationError

from app.changes.commands import Command
from app.errors import ElbowroomError, Fault, PlanError
from app.model.faults import plan_error
from app.model.kit import Pose


class BodyError(ElbowroomError, ValueError):
    """What was sent is not the JSON that is expected."""

    code = "bad-json"


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


def text_of(data: dict[str, Any], key: str) -> str:
    """Return a text of the body. Raises BodyError when it is missing or something else."""
    value = data.get(key)
    if not isinstance(value, str):
        raise BodyError(f"The field {key!r} must be a text.")
    return value


def number_of(data: dict[str, Any], key: str) -> float:
    """Return a number of the body. Raises BodyError when it is missing or something else."""
    value = data.get(key)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BodyError(f"The field {key!r} must be a number.")
    if not abs(value) < 1e9:
        raise BodyError(f"The field {key!r} is out of all bounds.")
    return float(value)


def seen_of(data: dict[str, Any], key: str = "revision") -> int | None:
    """Return the revision that something was made on, None where it is not told. BodyError."""
    value = data.get(key)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value < 2**53:
        raise BodyError(f"The field {key!r} must be a whole number.")
    return value


def drawing_of(data: dict[str, Any]) -> bool:
    """Return whether an answer is to hold the drawing, as it does unless told. BodyError."""
    value = data.get("drawing", True)
    if not isinstance(value, bool):
        raise BodyError("The field 'drawing' must be true or false.")
    return value


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
