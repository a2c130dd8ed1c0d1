"""What has changed in the works, in words: what is done, put off, added, when there is time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from app.changes.commands import Change
from app.model.works import day_words

LABEL_LETTERS = 60
LISTS = {
    "free": "free hours of the week",
    "extra": "days taken for the room",
    "loud": "hours in which noise is agreed",
    "days_off": "days off",
    "stored": "things that stand in the room",
    "deliveries": "orders",
}
SWITCHES = {
    "first_time": ("hours as for the first time", "hours as of practised hands"),
    "is_empty": ("the room is empty", "the room is not empty"),
    "store_outside": ("things may be stored outside", "things stay in the room"),
}
WEEKS = {"trades_come": "trades come", "tip_opens": "the tip is open"}
FULL = {
    "little": "the room is nearly empty today",
    "half": "the room is half full today",
    "full": "the room is full to the door today",
}


def tell_works(changes: Sequence[Change]) -> Iterator[str]:
    """Return a phrase for each change of the works."""
    for change in changes:
        path, before, after = change.path[1:], change.before, change.after
        if not path:
            yield "works changed"
        elif path[0] == "tasks" and len(path) > 1:
            yield from _task(path[1:], before, after)
        elif path[0] in LISTS and len(path) > 1:
            yield f"{LISTS[path[0]]}: {_called(path[1], before, after)} {_come_or_gone(change)}"
        elif path[0] in LISTS:
            yield from _list(LISTS[path[0]], before, after)
        elif path[0] in SWITCHES:
            yield SWITCHES[path[0]][0 if after else 1]
        elif path[0] == "full":
            yield FULL.get(str(after), "how full the room is: not said")
        elif path[0] == "starts_on":
            yield f"works start {_on(after)}" if after else "works start today"
        elif path[0] == "pace":
            yield f"hours count {after or 1:g} times"
        elif path[0] in WEEKS:
            yield f"{WEEKS[path[0]]} {str(after or 'as usual').replace('-', ' to ')}"
        elif path[0] == "parts":
            yield f"floor in parts: {after or 'as few as will do'}"
        else:
            yield "tasks changed"


def _task(path: Sequence[str], before: Any, after: Any) -> Iterator[str]:
    name = _called(path[0], before, after)
    if len(path) > 1:
        yield from _fields(name, {path[1]: before}, {path[1]: after})
        return
    was: Mapping[str, Any] = before if isinstance(before, dict) else {}
    now: Mapping[str, Any] = after if isinstance(after, dict) else {}
    if not now:
        yield f"task {name} is as the plan makes it" if not was.get("added") else f"{name} removed"
    elif now.get("added") and not was:
        yield f"task {name} added"
    else:
        phrases = tuple(_fields(name, was, now))
        yield from phrases or (f"{name} changed",)


def _fields(name: str, was: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[str]:
    for field in dict.fromkeys((*was, *now)):
        old, new = was.get(field), now.get(field)
        if (old or None) == (new or None):
            continue
        if field == "done_on":
            yield f"{name} done {_on(new)}" if new else f"{name} not done after all"
        elif field == "left_out":
            yield f"{name} left out" if new else f"{name} taken in again"
        elif field in ("hours", "done_hours"):
            took = "takes" if field == "hours" else "took"
            yield f"{name} {took} {new:g} h" if _number(new) else f"{name}: hours as usual"
        elif field == "diary":
            yield f"{name}: a line in the diary"
        elif field == "photos":
            more = len(new or ()) >= len(old or ())
            yield f"{name}: a photo {'added' if more else 'taken away'}"
        elif field == "not_before":
            yield f"{name} not before {_day(new)}" if new else f"{name}: no day set"
        elif field == "parts":
            if max(old or 1, new or 1) > 1:
                yield f"{name} split into {new}" if (new or 1) > 1 else f"{name} in one"
        elif field not in ("id", "added", "label"):
            yield f"{name} changed"


def _list(name: str, before: Any, after: Any) -> Iterator[str]:
    was, now = _ids(before), _ids(after)
    if come := [i for i in now if i not in was]:
        yield f"{name}: {len(come)} added"
    if gone := [i for i in was if i not in now]:
        yield f"{name}: {len(gone)} removed"
    if any(was[i] != now[i] for i in now if i in was) or not (come or gone):
        yield f"{name} changed"


def _ids(things: Any) -> dict[str, Any]:
    if not isinstance(things, list):
        return {}
    return {str(one["id"]): one for one in things if isinstance(one, dict) and "id" in one}


def _come_or_gone(change: Change) -> str:
    if change.before is None:
        return "added"
    return "removed" if change.after is None else "changed"


def _called(thing_id: str, *sides: Any) -> str:
    for side in reversed(sides):
        label = side.get("label") if isinstance(side, dict) else None
        if label:
            return f"“{' '.join(str(label).split())[:LABEL_LETTERS]}”"
    return thing_id.removeprefix("piece.").replace("-", " ").replace(".", " ")


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _on(value: Any) -> str:
    return f"on {_day(value)}"


def _day(value: Any) -> str:
    try:
        return day_words(date.fromisoformat(str(value)))
    except ValueError:
        return str(value)[:20]
