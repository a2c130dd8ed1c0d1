"""What people call kit besides its name, and the words that lead elsewhere than to the shelf."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from types import MappingProxyType

from app.errors import ElbowroomError
from app.library.kit import kit_types

TOPICS = "topics"


@cache
def _rows() -> Mapping[str, object]:
    text = resources.files("app.library").joinpath("called.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)
    for key in rows:
        if key != TOPICS and key not in kit_types():
            raise ElbowroomError(f"called.toml: there is no kit type {key!r}")
    return MappingProxyType(rows)


def called(key: str) -> str:
    """Return the other names of a kit type, between commas; empty where it has none."""
    return str(_rows().get(key, ""))


def topics() -> Mapping[str, str]:
    """Return words that people look for, with the page or part of the room that tells of them."""
    rows = _rows()[TOPICS]
    assert isinstance(rows, dict)
    return MappingProxyType({str(word): str(page) for word, page in rows.items()})
