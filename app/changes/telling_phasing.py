"""What has changed in buying by months, in words: the purse, things laid into months, left out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from app.changes.commands import Change
from app.units import format_money

_SUMS = {"put_by_minor": "saved up", "a_month_minor": "comes in every month"}
_REST = {
    "first_month": "first month of buying",
    "months": "months looked at",
    "trainings_a_week": "trainings a week",
}


def tell_phasing(changes: Sequence[Change], currency: str) -> Iterator[str]:
    """Return a phrase for each change of the months."""
    for change in changes:
        path, after = change.path[1:], change.after
        if not path:
            yield "buying by months changed"
        elif path[0] in _SUMS and isinstance(after, int):
            yield f"{format_money(after, currency)} {_SUMS[path[0]]}"
        elif path[0] in _REST:
            yield f"{_REST[path[0]]}: {_plain(after)}"
        elif path[0] == "things" and len(path) == 2:
            yield _thing(path[1], after)
        else:
            yield "months of some things changed"


def _plain(value: Any) -> str:
    if value is None:
        return "nothing said"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _thing(key: str, after: Any) -> str:
    name = key.partition(".")[2].replace("-", " ")
    note: Mapping[str, Any] = after if isinstance(after, dict) else {}
    if note.get("left_out"):
        return f"{name}: not bought"
    if note.get("month"):
        return f"{name}: bought in {note['month']}"
    return f"{name}: bought where it comes best"
