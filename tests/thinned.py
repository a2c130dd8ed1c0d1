"""Which of many alike cases the short run takes: the first of every so many, and --long all."""

from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import settings

PARAMETER = type(pytest.param())


def one_of(count: int, values: Iterable[Any]) -> list[Any]:
    """Return values as parameters of a test; all but one of each `count` are marked long.

    A value that is a parameter already keeps its name and its marks.
    """
    return [_long(value) if number % count else value for number, value in enumerate(values)]


def drawn(short: int, long: int, **more: Any) -> settings:
    """Return how many examples a law draws that wants others than every law: `short` and `long`."""
    # the run's own profile is loaded before any test is
    count = long if settings.default is not None and not settings.default.derandomize else short
    return settings(max_examples=count, deadline=None, **more)


def _long(value: Any) -> Any:
    if isinstance(value, PARAMETER):
        return pytest.param(*value.values, id=value.id, marks=[*value.marks, pytest.mark.long])
    return pytest.param(value, marks=pytest.mark.long)
