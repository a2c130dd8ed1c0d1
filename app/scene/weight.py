"""About how much memory an answer holds: enough for a bound, cheap enough for every answer."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from functools import cache

import numpy as np
from shapely.geometry.base import BaseGeometry

from app.recent import Recent

BYTES_A_GEOMETRY = 600
"""What a polygon of some corners holds: measured over the shapes of 40 kinds of kit, 540 each."""

BYTES_AN_OBJECT = 1500
"""What an answer of a class of its own holds: a snag with its sentence, a way, a spot."""


_PLAIN = frozenset({bool, bytes, float, int, str, type(None)})
_MANY = (tuple, list, set, frozenset)
_WEIGHED = (*_MANY, np.ndarray, BaseGeometry, str, bytes, int, float, Mapping, Recent)


@cache
def _is_of_its_own(kind: type) -> bool:
    """Return whether answers of a class are weighed by that alone, not by what they hold."""
    return not issubclass(kind, _WEIGHED)


def weight(answer: object) -> int:
    """Return about how many bytes an answer holds; one that has its own bound counts nothing."""
    # most answers are of these two kinds: they are known at a look
    kind: type = type(answer)
    if kind in _PLAIN:
        return sys.getsizeof(answer)
    if _is_of_its_own(kind):
        return BYTES_AN_OBJECT
    if isinstance(answer, _MANY):
        return sys.getsizeof(answer) + sum(map(weight, answer))
    if isinstance(answer, np.ndarray):
        each = BYTES_A_GEOMETRY if answer.dtype == object else 0
        return answer.nbytes + answer.size * each
    if isinstance(answer, BaseGeometry):
        return BYTES_A_GEOMETRY
    if isinstance(answer, str | bytes | int | float):
        return sys.getsizeof(answer)
    if isinstance(answer, Mapping):
        return sys.getsizeof(answer) + sum(weight(part) for part in answer.values())
    return 0 if isinstance(answer, Recent) else BYTES_AN_OBJECT
