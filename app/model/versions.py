"""Reading and writing plan files: the format, its versions and the way up from older ones."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, NoReturn

from pydantic import ValidationError

from app.errors import Fault, PlanError
from app.model.base import json_of
from app.model.faults import plan_error
from app.model.plan import FORMAT, VERSION, Plan

BYTE_LIMIT = 16_000_000
NO_PLAN = "this file is not a plan of Elbowroom: such a file comes from “Export” and ends in .json"

Upgrade = Callable[[dict[str, Any]], dict[str, Any]]

UPGRADES: dict[int, Upgrade] = {}
"""Version n -> the step that lifts a document of version n to n + 1."""


def too_new(version: int, newest: int) -> PlanError:
    """Return the error of a file that a newer program wrote."""
    return PlanError(
        Fault(
            "version",
            f"the file is of version {version}, this program reads up to {newest}: "
            "it was written by a newer one",
        )
    )


def load(text: str | bytes) -> Plan:
    """Read a plan from the text of a file, lifting it from an older version if need be.

    Raises PlanError with the field and the fault; nothing else, whatever the text holds.
    """
    return from_data(parse(text))


def parse(text: str | bytes) -> object:
    """Return the JSON data of a file's text. Raises PlanError when it is too large or no JSON."""
    size = len(text.encode(errors="surrogatepass")) if isinstance(text, str) else len(text)
    if size > BYTE_LIMIT:
        raise PlanError(
            Fault(
                "", f"the file is {size / 1e6:.1f} MB; a plan is at most {BYTE_LIMIT / 1e6:.0f} MB"
            )
        )
    try:
        data: object = json.loads(text, parse_constant=_refuse_constant)
    except PlanError:
        raise
    except (ValueError, RecursionError) as error:
        if isinstance(error, RecursionError):
            raise PlanError(Fault("", "this is not JSON: nested too deeply")) from None
        # whoever wrote at a plan by hand looks for the place; a photo has none
        if text.lstrip()[:1] in ("{", b"{"):
            raise PlanError(Fault("", f"this is not JSON: {error}")) from None
        raise PlanError(Fault("", NO_PLAN)) from None
    return data


def from_data(data: object) -> Plan:
    """Read a plan from JSON data. Raises PlanError."""
    if not isinstance(data, dict):
        raise PlanError(Fault("", NO_PLAN))
    if data.get("format") != FORMAT:
        raise PlanError(Fault("format", NO_PLAN))
    version = data.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise PlanError(Fault("version", f"must be a whole number from 1 to {VERSION}"))
    if version > VERSION:
        raise too_new(version, VERSION)
    while version < VERSION:
        data = UPGRADES[version](data)
        version += 1
    try:
        return Plan.model_validate(data)
    except ValidationError as error:
        raise plan_error(error) from None
    except RecursionError:
        raise PlanError(Fault("", "the file is nested too deeply")) from None


def see_reads_back(plan: Plan, read_from: object = None) -> None:
    """See that a plan read back from its own JSON equals it; what does not may not be kept.

    `read_from` is the data that it was read from: where they are the plan's own JSON already,
    nothing has to be read again. Raises PlanError.
    """
    data = json_of(plan)
    if data == read_from:
        return
    if from_data(data) != plan:
        raise PlanError(Fault("", "the plan would be read otherwise than it is kept"))


def dump(plan: Plan) -> str:
    """Write a plan as the text of a file."""
    return plan.model_dump_json(indent=1) + "\n"


def schema() -> dict[str, Any]:
    """Return the JSON schema of a plan file."""
    return Plan.model_json_schema()


def _refuse_constant(word: str) -> NoReturn:
    raise PlanError(Fault("", f"the file holds {word}, which is not a number a plan can hold"))
