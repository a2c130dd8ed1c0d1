"""Numbers for the flags on the plan: a snag keeps its number for as long as its key lives."""

from __future__ import annotations

from collections.abc import Iterable, Mapping


def numbered(keys: Iterable[str], known: Mapping[str, int]) -> dict[str, int]:
    """Return each key its number: the known one, else the smallest that is free.

    Numbers of keys that no longer live are free again. New keys are numbered in their order.
    """
    living = list(dict.fromkeys(keys))
    numbers = {key: known[key] for key in living if key in known}
    taken = set(numbers.values())
    number = 0
    for key in living:
        if key in numbers:
            continue
        number += 1
        while number in taken:
            number += 1
        numbers[key] = number
    return numbers


def numbered_for_now(keys: Iterable[str], known: Mapping[str, int]) -> dict[str, int]:
    """Number keys during a drag: the known numbers stay reserved, new keys count on above them."""
    top = max(known.values(), default=0)
    numbers: dict[str, int] = {}
    for key in keys:
        if key not in numbers:
            number = known.get(key)
            if number is None:
                top += 1
                number = top
            numbers[key] = number
    return numbers
