"""Reads the fields of a form as a person typed them and gathers what is wrong with them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import cast, get_args

from app.errors import Fault, LengthError, PlanError
from app.model.base import LABEL_LIMIT
from app.scales import MASS, Scale, read_fall_permille, written_fall
from app.units import Units, format_length, parse_length_mm, read_length_mm

LARGE_MM = 100.0
_CLOCK = re.compile(r"([01]?[0-9]|2[0-3])[:.h]?([0-5][0-9])?")


class Typed:
    """The fields of one form, read one by one; `done` raises PlanError with every fault found.

    A field that cannot be read gives its least value, so that the rest can be read too.
    """

    def __init__(self, fields: Mapping[str, str], units: Units) -> None:
        self.fields = fields
        self.units = units
        self.faults: list[Fault] = []

    def fault(self, field: str, sentence: str) -> None:
        """Note what is wrong with a field."""
        self.faults.append(Fault(field, sentence))

    def wrong(self, *fields: str) -> bool:
        """Return whether something is wrong with one of some fields."""
        return any(fault.field in fields for fault in self.faults)

    def done(self) -> None:
        """Raise PlanError when anything was wrong."""
        if self.faults:
            raise PlanError(*self.faults)

    def say(self, length_mm: float) -> str:
        """Write a length for a sentence, in the units of the plan."""
        return format_length(length_mm, self.units)

    def text(self, field: str, most: int = LABEL_LIMIT) -> str:
        """Return a text of one line, of at most so many letters."""
        text = " ".join(self.fields.get(field, "").split())
        if len(text) > most:
            self.fault(field, f"this has {len(text)} letters; {most} is the most")
            return text[:most]
        return text

    def yes(self, field: str) -> bool:
        """Return whether a box is ticked."""
        return bool(self.fields.get(field, "").strip())

    def choice(self, field: str, choices: Sequence[str]) -> str:
        """Return one of the choices; none given is `unknown` if it is one, else the first."""
        unsaid = "unknown" if "unknown" in choices else choices[0]
        given = self.fields.get(field, "").strip() or unsaid
        if given not in choices:
            self.fault(field, "choose one of the list")
            return choices[0]
        return given

    def day(self, field: str, what: str) -> date | None:
        """Read a day that may be left empty; None also for what is no day."""
        text = self.fields.get(field, "").strip()
        if not text:
            return None
        try:
            return date.fromisoformat(text)
        except ValueError:
            self.fault(field, f"{what} is no day: write it as 2027-03-01, year, month and day")
            return None

    def clock(self, field: str, what: str) -> str:
        """Read a time of the day: "18:30" of 18.30 or 18h30 too, "18:00" of 18."""
        read = _CLOCK.fullmatch(self.fields.get(field, "").strip())
        if read is None:
            self.fault(field, f"{what} is no time: write it as 18:30")
            return "00:00"
        return f"{int(read[1]):02d}:{read[2] or '00'}"

    def one_of(self, field: str, literal: object) -> str:
        """Return one of the words of a Literal type."""
        return self.choice(field, cast("Sequence[str]", get_args(literal)))

    def length(
        self,
        field: str,
        what: str,
        bounds: tuple[float, float],
        *,
        empty: float | None = None,
        signed: bool = False,
        loose: bool = False,
    ) -> float:
        """Read a length in mm within `bounds`; `empty` is what nothing typed stands for.

        `signed` takes a minus sign before it; `loose` takes a small bare number for what makes
        sense, as it is always done where nothing so small can be meant.
        """
        text = self.fields.get(field, "").strip()
        least, most = bounds
        if not text:
            if empty is not None:
                return empty
            self.fault(field, f"{what} is missing")
            return least
        minus = signed and text[0] in "-−"
        try:
            bare = text[1:] if minus else text
            # only what cannot be a few mm lets a small bare number mean centimetres or metres
            if loose or least >= LARGE_MM:
                length = read_length_mm(bare, self.units, bounds)
            else:
                length = parse_length_mm(bare, self.units)
        except LengthError as error:
            self.fault(field, error.sentence)
            return least
        length = -length if minus else length
        if least <= length <= most:
            return length
        self.fault(
            field,
            f"{what} is read as {self.say(length)}; "
            f"it must be {self.say(least)} to {self.say(most)}",
        )
        return least

    def maybe_length(self, field: str, what: str, bounds: tuple[float, float]) -> float | None:
        """Read a length in mm that may be left empty."""
        return self.length(field, what, bounds) if self.fields.get(field, "").strip() else None

    def number(
        self, field: str, what: str, bounds: tuple[float, float], empty: float | None = None
    ) -> float:
        """Read a plain number within `bounds`, with a point or a comma."""
        text = self.fields.get(field, "").strip().replace("−", "-").replace(",", ".")
        least, most = bounds
        if not text and empty is not None:
            return empty
        try:
            number = float(text) if len(text) <= LABEL_LIMIT else float("nan")
        except ValueError:
            number = float("nan")
        if not least <= number <= most:
            self.fault(field, f"{what} must be a number from {least:g} to {most:g}")
            return least
        return number

    def mass(
        self, field: str, what: str, bounds: tuple[float, float], empty: float | None = None
    ) -> float:
        """Read a mass in kg: typed in the unit of the plan, or with its own behind it."""
        return self.counted(field, what, bounds, MASS, empty)

    def counted(
        self,
        field: str,
        what: str,
        bounds: tuple[float, float],
        scale: Scale,
        empty: float | None = None,
    ) -> float:
        """Read a figure of a scale, typed in the unit of the plan, and give it in metric units."""
        low, high = (scale.counted(bound, self.units) for bound in bounds)
        return self._within(
            field,
            lambda text: scale.read(text[:LABEL_LIMIT], self.units),
            bounds,
            f"{what} must be a number from {low:.4g} to {high:.4g} {scale.unit(self.units)}",
            empty,
        )

    def fall(
        self, field: str, what: str, bounds: tuple[float, float], empty: float | None = None
    ) -> float:
        """Read a fall in mm for each metre; in feet it is typed as inches in each foot."""
        low, high = (written_fall(bound, self.units) for bound in bounds)
        unit = " in each foot" if self.units == "feet" else ""
        return self._within(
            field,
            lambda text: read_fall_permille(text, self.units),
            bounds,
            f"{what} must be a number from {low} to {high}{unit}",
            empty,
        )

    def _within(
        self,
        field: str,
        read: Callable[[str], float],
        bounds: tuple[float, float],
        sentence: str,
        empty: float | None,
    ) -> float:
        """Read a figure as `read` does; what it refuses or is out of bounds is a fault in words."""
        text = self.fields.get(field, "").strip()
        least, most = bounds
        if not text and empty is not None:
            return empty
        try:
            value = read(text)
        except (LengthError, ValueError):
            value = float("nan")
        if least <= value <= most:
            return value
        self.fault(field, sentence)
        return least
