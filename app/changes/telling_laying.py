"""What has changed in a floor that is being laid, in words: pieces put down, taken up, spoiled."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

_AT_MOST = 4
"""Pieces named by their numbers: of more it is told how many."""


def tell_laying(path: Sequence[str], before: Any, after: Any) -> str:
    """Return the phrase for what a floor that is being laid holds; nothing for any other field."""
    if tuple(path[:2]) != ("fit_out", "floors") or len(path) != _FIELD + 1:
        return ""
    field = path[_FIELD]
    if field == "begun":
        return "floor: begun to lay" if before is None else "floor: to be laid anew"
    if not isinstance(before, list) or not isinstance(after, list):
        return ""
    if field == "laid":
        was, now = _down(before), _down(after)
        put, taken = [one for one in now if one not in was], [one for one in was if one not in now]
        parts = [f"{_named(put)} laid"] if put else []
        parts += [f"{_named(taken)} taken up"] if taken else []
        return f"floor: {', '.join(parts) or 'what is left is planned anew'}"
    if field == "spoiled":
        return f"floor: {'a piece' if len(after) > len(before) else 'no piece'} spoiled"
    return ""


_FIELD = 3
"""Where the name of a field stands in the path of a floor."""


def _down(pieces: list[Any]) -> list[str]:
    return [str(one.get("id")) for one in pieces if isinstance(one, dict) and one.get("down")]


def _named(numbers: list[str]) -> str:
    if len(numbers) > _AT_MOST:
        return f"{len(numbers)} pieces"
    return f"piece{'' if len(numbers) == 1 else 's'} {', '.join(numbers)}"
