"""Turns what pydantic found wrong into sentences that name the field and the fault."""

from __future__ import annotations

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from app.errors import Fault, PlanError
from app.model.base import ID, PICTURE_ID
from app.model.flooring import PIECE_NUMBER
from app.model.money import CURRENCY, MONEY_KEY
from app.model.own_kit import OWN_ID
from app.model.phasing import YEAR_MONTH
from app.model.works import CLOCK

GIVEN_LETTERS = 40
"""As much of a bad value as tells which one it is."""

LIKE = {
    CLOCK: "time of the day: write it like 18:30",
    YEAR_MONTH: "month: write it like 2027-03",
    PICTURE_ID: "photo that is kept here: leave it out",
    CURRENCY: "currency: write its three letters, like EUR",
    ID: "name of a thing in a plan: small letters, digits and hyphens, 48 at most",
    OWN_ID: "name of a kit type of one's own: own- and small letters, digits and hyphens",
    MONEY_KEY: "name of a thing that has a price: small letters, digits, hyphens and dots",
    PIECE_NUMBER: "number of a piece of the floor: from 1 to 99999",
}
"""What a pattern asks for, in words."""

KINDS = {
    "bool": "true or false",
    "date": "a day, written like 2027-03-01",
    "dict": "an object with fields",
    "float": "a number",
    "int": "a whole number",
    "list": "a list",
    "model": "an object with fields",
    "string": "a text",
    "tuple": "a list",
}
"""What a field holds, by the first word of what is said where something else stands in it."""

NO_SUCH = frozenset({"type", "parsing", "attributes_type", "from_float"})
"""What is said after that word where something else stands there."""

LIMITS = {
    "greater_than": "more than",
    "greater_than_equal": "at least",
    "less_than": "less than",
    "less_than_equal": "at most",
}
"""How far a number may go, by what is said where it goes further; the key holds the limit too."""


def plan_error(error: ValidationError) -> PlanError:
    """Return a PlanError with one fault for each thing that was found, at most twenty."""
    faults = []
    for fault in error.errors(include_url=False, include_context=True)[:20]:
        field = ""
        for step in fault["loc"]:
            field += f"[{step}]" if isinstance(step, int) else f".{step}" if field else str(step)
        faults.append(Fault(field, _sentence(fault)))
    return PlanError(*faults)


def _sentence(details: ErrorDetails) -> str:
    kind, message, given = details["type"], details["msg"], details["input"]
    limit = details.get("ctx", {}).get("max_length")
    if kind == "string_too_long" and isinstance(given, str):
        return f"has {len(given):,} letters; {limit:,} is the most"
    if kind == "too_long" and isinstance(given, list | tuple | dict):
        return f"holds {len(given):,} of them; {limit:,} is the most"
    least = details.get("ctx", {}).get("min_length")
    if kind == "string_too_short" and isinstance(given, str):
        return f"has {len(given)} letters; {least} is the least" if given else "must not be empty"
    if kind == "too_short" and isinstance(given, list | tuple | dict):
        return f"holds {len(given)} of them; {least} is the least"
    if kind == "string_unicode":
        return "holds half a letter"
    if kind == "extra_forbidden":
        return "this field is not known"
    if kind == "missing":
        return "this field is missing"
    if kind == "value_error":
        return message.removeprefix("Value error, ")
    if kind == "string_pattern_mismatch" and isinstance(given, str):
        return f"{given[:GIVEN_LETTERS]!r} is no {LIKE[details['ctx']['pattern']]}"
    if kind.startswith("date_") and isinstance(given, str):
        return f"{given[:GIVEN_LETTERS]!r} is no day of the calendar: write it like 2027-03-01"
    if kind == "finite_number":
        return f"must be a finite number, not {given}"
    wanted = _wanted(details)
    if isinstance(given, str | int | float | bool) or given is None:
        return f"{wanted}, not {'nothing' if given is None else repr(given)[:60]}"
    return wanted


def _wanted(details: ErrorDetails) -> str:
    """Say what a field asks for."""
    kind, message = details["type"], details["msg"]
    if kind in LIMITS:
        (limit,) = details["ctx"].values()
        return f"must be {LIMITS[kind]} {limit:g}"
    of, _, how = kind.partition("_")
    if of == "date" or (of in KINDS and how in NO_SUCH):
        return f"must be {KINDS[of]}"
    said = message.replace("Input should be", "must be", 1)
    return f"{said[0].lower()}{said[1:]}"
