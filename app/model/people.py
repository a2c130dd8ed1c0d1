"""Who trains here and what they want to do."""

from __future__ import annotations

import re
from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator

from app.errors import LengthError
from app.model.base import Frozen, Hundredth, Id, Label, Size
from app.units import Units, format_length, parse_length_mm

WishWord = Literal["want", "nice", "no"]
AsTyped = Label
_INCH_MARKS = {"'": '"', "′": "″", "’": "”"}
_INCHES_WITHOUT_MARK = re.compile(r"\d+ ?(['′’]) ?\d+(?:[. -]\d+(?:/\d+)?|/\d+)?$")
_SAME_MM = 0.01


class Wish(Frozen):
    """What one person says of one movement."""

    movement: Id
    wish: WishWord


class Person(Frozen):
    """One who trains: barefoot stature, reach where it was measured, weight if told, alone or not.

    `reach_mm` is the height of the middle of a gripped bar, arms locked overhead, barefoot on
    the bare floor. `trains_with` names another person of the plan, None if nobody is named; one
    who is no longer in the plan counts as somebody. `stature_typed` and `reach_typed` are the texts
    that were typed, empty where the program's own way of writing says the same.
    """

    id: Id
    label: Label = ""
    stature_mm: Annotated[float, Field(ge=1000, le=2300), Hundredth]
    stature_typed: AsTyped = ""
    reach_mm: Size | None = None
    reach_typed: AsTyped = ""
    mass_kg: Annotated[float, Field(ge=20, le=300), Hundredth] | None = None
    trains_alone: bool = True
    trains_with: Id | None = None
    wishes: tuple[Wish, ...] = ()

    def wish_for(self, movement: str) -> WishWord | None:
        """Return the wish for a movement, None where nothing was said of it."""
        for wish in self.wishes:
            if wish.movement == movement:
                return wish.wish
        return None

    def stature_words(self, units: Units) -> str:
        """Write the stature: the text typed for it where that is still true, else to the mm."""
        typed = with_its_mark(still_true(self.stature_typed, self.stature_mm, units))
        return typed or format_length(self.stature_mm, units)

    def reach_words(self, units: Units) -> str:
        """Write the reach likewise; empty where it was not measured."""
        if self.reach_mm is None:
            return ""
        typed = with_its_mark(still_true(self.reach_typed, self.reach_mm, units))
        return typed or format_length(self.reach_mm, units)

    @field_validator("wishes")
    @classmethod
    def _one_each(cls, wishes: tuple[Wish, ...]) -> tuple[Wish, ...]:
        ordered = tuple(sorted(wishes, key=lambda wish: wish.movement))
        names = [wish.movement for wish in ordered]
        if len(set(names)) < len(names):
            raise ValueError("a movement stands twice among the wishes")
        return ordered

    @model_validator(mode="after")
    def _reach_above_head(self) -> Person:
        if self.reach_mm is not None and not (
            self.stature_mm < self.reach_mm < 2 * self.stature_mm
        ):
            raise ValueError(
                f"the reach of {self.label or self.id!r} is {self.reach_mm:.0f} mm at a stature of "
                f"{self.stature_mm:.0f} mm: arms overhead reach higher than the head; measure it "
                "barefoot, arms locked, to the middle of a gripped bar"
            )
        return self


def worth_keeping(text: str) -> str:
    """Return a typed length as it is kept: in one line, with its unit; empty for a bare number."""
    tidy = " ".join(text.split())
    return tidy if any(mark.isalpha() or mark in "'\"′″’”" for mark in tidy) else ""


def with_its_mark(typed: str) -> str:
    """Return a typed length with the inch mark that was left out after feet: ``6' 4"``."""
    mark = _INCHES_WITHOUT_MARK.match(typed)
    return f"{typed}{_INCH_MARKS[mark[1]]}" if mark else typed


def still_true(typed: str, length_mm: float, units: Units) -> str:
    """Return a typed text while it means this length, else nothing."""
    try:
        true = bool(typed) and abs(parse_length_mm(typed, units) - length_mm) < _SAME_MM
    except LengthError:
        return ""
    return typed if true else ""
