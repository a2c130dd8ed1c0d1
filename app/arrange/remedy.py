"""What mends a finding, in words and as commands, and what is offered for all of a plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from app.changes.commands import Command


@dataclass(frozen=True, slots=True)
class Remedy:
    """What mends a snag: in words, and as commands that are carried out as they stand.

    `gives_up` tells that it mends by doing without what was wanted, `clears` that nothing is left
    of the finding. `moved` are the stations that it moves, `plain` is the sentence without price.
    """

    sentence: str
    commands: tuple[Command, ...]
    gives_up: bool = False
    clears: bool = True
    moved: frozenset[str] = frozenset()
    plain: str = ""


@dataclass(frozen=True, slots=True)
class WaysOut:
    """A way out of each finding that has one, by key; of the others what was tried, in words."""

    remedies: Mapping[str, Remedy] = field(default_factory=dict)
    tried: Mapping[str, str] = field(default_factory=dict)
