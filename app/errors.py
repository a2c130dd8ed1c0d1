"""The exception family: every fault that a person can mend says what and where."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with what was given: the field it stands in and a sentence about it."""

    field: str
    sentence: str

    def __str__(self) -> str:
        """Return the field and its sentence on one line."""
        return f"{self.field}: {self.sentence}" if self.field else self.sentence


class ElbowroomError(Exception):
    """Base of the family; `sentence` can be shown to a person as it stands."""

    code = "fault"

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class PlanError(ElbowroomError, ValueError):
    """A plan, or a part of one, cannot be read; `faults` name each field."""

    code = "bad-plan"

    def __init__(self, *faults: Fault) -> None:
        super().__init__("; ".join(str(fault) for fault in faults[:3]))
        self.faults = faults


class LengthError(ElbowroomError, ValueError):
    """A typed length cannot be understood."""

    code = "bad-length"


class CommandError(ElbowroomError, ValueError):
    """A command names something that is not in the plan, or is itself misshapen."""

    code = "bad-command"


class ConflictError(ElbowroomError):
    """What a command expected to find has been changed by somebody else meanwhile."""

    code = "conflict"


class NotFoundError(ElbowroomError, LookupError):
    """There is no such plan, sheet or sample."""

    code = "not-found"


class UnbuildableError(ElbowroomError):
    """A plan that was kept cannot be made into a scene any more."""

    code = "unbuildable"


class OutdatedError(ElbowroomError):
    """The plan that something long was sought in has been changed meanwhile."""

    code = "outdated"


class EndingError(ElbowroomError):
    """The program is ending: what takes long is let go."""

    code = "ending"


class StoreError(ElbowroomError, OSError):
    """The plans cannot be read from or written to the disk."""

    code = "store"


class DiskFullError(StoreError):
    """There is no room on the disk for what was to be kept."""


def one_line(text: str) -> str:
    """Show control characters by their codes, so that a name cannot write over the console."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)
