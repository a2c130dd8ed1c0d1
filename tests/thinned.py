"""Which of many alike cases the short run takes: the first of every so many, and --long all."""

from collections.abc import Iterable
from typing import Any

import pytest


def one_of(count: int, values: Iterable[Any]) -> list[Any]:
    """Return values as parameters of a test; all but one of each `count` are marked long."""
    return [
        pytest.param(value, marks=[pytest.mark.long] if number % count else [])
        for number, value in enumerate(values)
    ]
