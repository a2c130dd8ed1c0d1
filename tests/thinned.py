"""Which of many alike cases the short run takes: the first of every so many, and --long all."""

from collections.abc import Iterable
from typing import Any

import pytest

PARAMETER = type(pytest.param())


def one_of(count: int, values: Iterable[Any]) -> list[Any]:
    """Return values as parameters of a test; all but one of each `count` are marked long.

    A value that is a parameter already keeps its name and its marks.
    """
    return [_long(value) if number % count else value for number, value in enumerate(values)]


def _long(value: Any) -> Any:
    if isinstance(value, PARAMETER):
        return pytest.param(*value.values, id=value.id, marks=[*value.marks, pytest.mark.long])
    return pytest.param(value, marks=pytest.mark.long)
