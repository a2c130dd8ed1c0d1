"""What has changed, in words: "Mid rack moved 240 mm left", from the changes of commands."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from typing import Any

from app.changes.commands import Change
from app.changes.telling_ceiling import tell_ceiling
from app.changes.telling_laying import tell_laying
from app.changes.telling_parts import PartTeller
from app.changes.telling_phasing import tell_phasing
from app.changes.telling_works import tell_works
from app.model.fronts import PAPER, Front
from app.model.room import Room
from app.model.room_check import KIND_NAMES
from app.model.room_walls import letter_at
from app.scales import MASS
from app.units import Units, format_length, format_money
from app.wording import counted

NAMES_AT_ONCE = 3
OWN = "own-"
"""What the key of a row of one's own begins with: its name is the household's."""
LABEL_LETTERS = 60
Data = dict[str, Any]

FIELDS = {
    "bar_height_mm": "height of the bar",
    "deck_mm": "deck",
    "grade_percent": "incline",
    "label": "name",
    "manual_mm": "room its manual asks for",
    "mass_kg": "mass",
    "plate_mm": "plates",
    "power_w": "power",
    "price_minor": "price",
    "reach_mm": "reach",
    "reach_typed": "reach as typed",
    "stature_mm": "stature",
    "stature_typed": "stature as typed",
}
TOGGLES = {
    "bolted": ("bolted down", "no longer bolted down"),
    "bumper_plates": ("with bumper plates", "without bumper plates"),
    "catches": ("with catches", "without catches"),
    "later": ("put off until later", "no longer put off"),
    "on_floor": ("laid on the floor", "no longer on the floor"),
    "pinned": ("pinned down", "no longer pinned"),
    "stays": ("marked as staying", "no longer marked as staying"),
    "trains_alone": ("trains alone", "does not train alone"),
}
PARTS = {
    "ceiling": "ceiling",
    "chalk": "chalk lines",
    "climate": "climate",
    "columns": "columns",
    "currency": "currency",
    "drawn_for": "whom it is drawn for",
    "electricity": "electricity",
    "fabric": "the building",
    "fit_out": "fit-out",
    "floor": "floor",
    "layout_wishes": "wishes of where things stand",
    "low_things": "low things overhead",
    "money": "prices and money",
    "openings": "doors and windows",
    "own_kit": "your own kit",
    "overrides": "published values set otherwise",
    "situations": "situations",
    "picture": "picture under the drawing",
    "sockets": "sockets",
    "tape_error_mm": "error of the tape",
    "units": "units",
    "walls": "walls",
    "way_in": "way in",
}
WISHES = {"want": "wants", "nice": "would like", "no": "does not want"}


def tell(
    changes: Iterable[Change],
    names: Mapping[str, str],
    units: Units = "metric",
    currency: str = "EUR",
    room: Room | None = None,
    undone: bool = False,
    front: Front | None = None,
) -> tuple[str, ...]:
    """Return a phrase for each thing that changed, those that moved alike in one.

    `names` are what to call pieces and people, by id; others are called by their own label or id.
    `names` call kit types too, by "type" and their key, and movements, by "movement" and theirs.
    `room` is one whose walls stood before and after, by which the sides of a ceiling are told.
    With `undone` these are changes that were taken back: what they came to is what was, and what
    they began with is now. `front` are the directions of the room, else those of the paper.
    """
    teller = _Teller(names, units, currency, room, undone, front or PAPER)
    changes = list(changes)
    turned = any(change.path[0] == "quarter_turns" for change in changes)
    if turned:
        changes = [change for change in changes if not _follows_a_turn(change)]
    by_head: defaultdict[str, list[Change]] = defaultdict(list)
    for change in changes:
        by_head[change.path[0]].append(change)
    phrases: list[str] = []
    for head, some in by_head.items():
        if head in ("quarter_turns", "drawn"):
            continue
        if head == "pieces":
            phrases += teller.pieces(some)
        elif head == "people":
            phrases += teller.people(some)
        elif head == "settled":
            phrases += teller.settled(some)
        elif head == "name":
            phrases += [f"renamed “{_short(some[-1].after)}”"]
        elif head == "works":
            phrases += tell_works(some)
        elif head == "phasing":
            phrases += tell_phasing(some, currency)
        else:
            phrases += teller.parts(some)
    # a first door turns the drawing so that it is below: what somebody did is said first
    phrases += ["drawing turned by a quarter or more"] if turned else []
    return tuple(_capital(phrase) for phrase in dict.fromkeys(phrases) if phrase)


class _Teller:
    def __init__(
        self,
        names: Mapping[str, str],
        units: Units,
        currency: str,
        room: Room | None,
        undone: bool,
        front: Front,
    ) -> None:
        self._names = names
        self._units = units
        self._currency = currency
        self._room = room
        self._undone = undone
        self._front = front
        # what a household calls a thing of its own has no plural
        self._kinds = {
            name
            for key, name in names.items()
            if key.startswith("type ") and not key.startswith(f"type {OWN}")
        }
        self._parts = PartTeller(names, units, currency, self._from_to)

    def pieces(self, changes: Sequence[Change]) -> Iterator[str]:
        moved: defaultdict[str, list[str]] = defaultdict(list)
        come: list[str] = []
        gone: list[str] = []
        kinds = set(self._kinds)
        for change in changes:
            piece_id = change.path[1] if len(change.path) > 1 else ""
            name = self._name(piece_id, change)
            if _is_of_a_kind(change):
                kinds.add(name)
            if len(change.path) == 2 and change.before is None:
                come.append(name)
            elif len(change.path) == 2 and change.after is None:
                gone.append(name)
            elif _is_pose(change):
                moved[self._way(change.before, change.after)].append(name)
        yield from (f"{_listed(some, kinds)} {way}" for way, some in moved.items() if way)
        if come:
            yield f"{_listed(come, kinds)} added"
        if gone:
            yield f"{_listed(gone, kinds)} removed"
        for change in changes:
            if len(change.path) > 1 and not _is_pose(change):
                yield from self._fields(self._name(change.path[1], change), change)

    def people(self, changes: Sequence[Change]) -> Iterator[str]:
        paths = {change.path for change in changes}
        for change in changes:
            if len(change.path) < 2:
                continue
            # a length that changed tells what was typed for it
            field = change.path[-1]
            if field.endswith("_typed") and (*change.path[:-1], f"{field[:-6]}_mm") in paths:
                continue
            name = self._name(change.path[1], change)
            if len(change.path) == 4 and change.path[2] == "wishes":
                key = change.path[3]
                movement = self._names.get(f"movement {key}", key.replace("-", " "))
                word = change.after.get("wish") if isinstance(change.after, dict) else None
                word_for = WISHES.get(str(word), "no longer says anything of")
                yield f"{name} {word_for} {movement}"
            elif len(change.path) == 2 and change.before is None:
                yield f"{name} added"
            elif len(change.path) == 2 and change.after is None:
                yield f"{name} removed"
            else:
                yield from self._fields(name, change)

    def settled(self, changes: Sequence[Change]) -> Iterator[str]:
        for change in changes:
            if isinstance(change.after, dict) and len(change.path) == 2:
                yield f"a snag settled: “{_short(change.after.get('reason'))}”"
            elif change.after is None:
                yield "a settled snag opened again"

    def parts(self, changes: Sequence[Change]) -> Iterator[str]:
        for change in changes:
            path = change.path[1:] if change.path[0] == "room" else change.path
            if not path:
                continue
            name = PARTS.get(path[0], path[0].replace("_", " "))
            before, after = change.before, change.after
            if path == ("ceiling",) and isinstance(before, dict) and isinstance(after, dict):
                yield tell_ceiling(before, after, self._room, self._units, self._from_to)
            elif len(path) == 1 and isinstance(before, list) and isinstance(after, list):
                yield from self._list(name, before, after)
            elif len(path) == 2 and path[0] == "situations":
                yield from self._list(name, [before], [after])
            elif len(path) == 1 and isinstance(before, dict) and isinstance(after, dict):
                yield from self._parts.tell(path[0], name, before, after)
            else:
                yield tell_laying(path, before, after) or f"{name} changed"

    def _from_to(self, was: str, now: str) -> str:
        return f"{now}, now {was}" if self._undone else f"{was}, now {now}"

    def _list(self, name: str, before: list[Any], after: list[Any]) -> Iterator[str]:
        was, now = _by_id(before), _by_id(after)
        come = [_thing(now[i], i) for i in now if i not in was]
        gone = [_thing(was[i], i) for i in was if i not in now]
        if come:
            yield f"{name}: {_listed(come)} added"
        if gone:
            yield f"{name}: {_listed(gone)} removed"
        changed = [i for i in now if i in was and was[i] != now[i]]
        letters = {i: f"wall {letter_at(at)}" for at, i in enumerate(now)}
        # a wall has no name but its letter
        edited = [letters[i] if name == "walls" else _thing(now[i], i) for i in changed]
        if len(changed) == 1 and not _moved(was[changed[0]], now[changed[0]]):
            (one,) = changed
            yield from self._parts.tell(name, edited[0], was[one], now[one])
        elif edited:
            yield f"{name}: {_listed(edited)} changed"
        elif not come and not gone:
            yield f"{name} changed"

    def _fields(self, name: str, change: Change) -> Iterator[str]:
        if len(change.path) == 2 and isinstance(change.before, dict):
            if not isinstance(change.after, dict):
                return
            for field in dict.fromkeys((*change.before, *change.after)):
                was, now = change.before.get(field), change.after.get(field)
                if was != now:
                    yield self._field(name, field, was, now)
        elif len(change.path) == 3:
            yield self._field(name, change.path[2], change.before, change.after)

    def _field(self, name: str, field: str, was: Any, now: Any) -> str:
        if field == "pose":
            return f"{name} {self._way(was, now) or 'moved'}"
        if field == "label":
            return f"{name} is now called “{_short(now)}”" if now else f"{name} has lost its name"
        if field == "carried_by":
            host = self._names.get(str(now), str(now))
            return f"{name} now belongs to {host}" if now else f"{name} is on its own"
        if field == "trains_with":
            other = self._names.get(str(now), str(now))
            return f"{name} trains with {other}" if now else f"{name} trains with nobody named"
        if field == "type":
            first, then = (self._names.get(f"type {key}", "") for key in (was, now))
            if first and then:
                return f"{first} exchanged for {then[0].lower()}{then[1:]}"
            return f"{name} is another kit type"
        if field in TOGGLES and isinstance(now, bool):
            return f"{name} {TOGGLES[field][0 if now else 1]}"
        words = FIELDS.get(field, field.removesuffix("_mm").replace("_", " "))
        if isinstance(was, dict | list) or isinstance(now, dict | list):
            return f"{name}: {words} changed"
        changed = self._from_to(self._value(field, was), self._value(field, now))
        return f"{name}: {words} {changed}"

    def _value(self, field: str, value: Any) -> str:
        if value is None:
            return "not given"
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, int | float):
            if field.endswith("_mm"):
                return self._long(value)
            if field.endswith("_minor"):
                return format_money(round(value), self._currency)
            if field.endswith("_kg"):
                return MASS.words(value, self._units)
            return f"{value:g}"
        return _short(value)

    def _way(self, before: Any, after: Any) -> str:
        """Return how a pose differs from another, for a reader who looks at the plan."""
        was, now = _pose(before), _pose(after)
        if was is None or now is None:
            return "moved"
        ways = [
            f"{self._long(length)} {word}"
            for length, word in self._front.words(now[0] - was[0], now[1] - was[1])
            if round(length)
        ]
        turn = (now[2] - was[2]) % 360
        turn -= 360 if turn > 180 else 0
        parts = [f"moved {' and '.join(ways)}"] if ways else []
        if round(turn, 1):
            parts.append(f"turned by {abs(turn):.4g}°{'' if turn > 0 else ' to the left'}")
        if not parts and was != now:
            return "moved by less than a millimetre"
        return ", ".join(parts)

    def _name(self, thing_id: str, change: Change) -> str:
        if thing_id in self._names:
            return self._names[thing_id]
        for data in (change.after, change.before):
            if len(change.path) == 2 and isinstance(data, dict):
                return _called(data, thing_id)
        return thing_id.replace("-", " ")

    def _long(self, length_mm: float) -> str:
        return format_length(length_mm, self._units)


def _follows_a_turn(change: Change) -> bool:
    """Return whether a change is of a place alone, as every place changes when a plan is turned."""
    room = {"walls", "low_things", "columns", "ceiling", "floor"}
    return (
        _is_pose(change)
        or change.path[0] in ("chalk", "picture")
        or (change.path[0] == "room" and len(change.path) > 1 and change.path[1] in room)
    )


def _is_pose(change: Change) -> bool:
    return len(change.path) == 3 and change.path[2] == "pose"


def _pose(data: Any) -> tuple[float, float, float] | None:
    if not isinstance(data, dict):
        return None
    values = [data.get("x_mm"), data.get("y_mm"), data.get("angle_deg", 0)]
    if not all(isinstance(value, int | float) for value in values):
        return None
    x, y, angle = (float(value) for value in values if value is not None)
    return x, y, angle


def _by_id(things: list[Any]) -> dict[str, Any]:
    return {
        str(thing["id"]): thing for thing in things if isinstance(thing, dict) and "id" in thing
    }


def _called(data: Any, thing_id: str) -> str:
    label = data.get("label") if isinstance(data, dict) else None
    return _short(label) if label else thing_id.replace("-", " ")


def _thing(data: Mapping[str, Any], thing_id: str) -> str:
    """Return what to call a thing of the room: its label, or what it is."""
    kind = str(data.get("kind") or "")
    return _called(data, KIND_NAMES.get(kind, kind) or thing_id)


def _moved(was: Mapping[str, Any], now: Mapping[str, Any]) -> bool:
    """Return whether a corner moved: then lengths of other walls are others, too."""
    return any(was.get(axis) != now.get(axis) for axis in ("x_mm", "y_mm"))


def _is_of_a_kind(change: Change) -> bool:
    """Return whether a piece that comes or goes is called as its kind is, by no name of its own."""
    data = change.after or change.before
    if not isinstance(data, dict) or len(change.path) != 2:
        return False
    return not data.get("label") and not str(data.get("type", "")).startswith(OWN)


def _listed(names: Iterable[str], kinds: Container[str] = ()) -> str:
    every = counted(names, kinds)
    some = list(every[:NAMES_AT_ONCE])
    more = len(every) - len(some)
    if more:
        some.append(f"{more} more")
    return some[0] if len(some) == 1 else f"{', '.join(some[:-1])} and {some[-1]}"


def _short(text: Any) -> str:
    words = " ".join(str(text if text is not None else "").split())
    return words if len(words) <= LABEL_LETTERS else f"{words[: LABEL_LETTERS - 1]}…"


def _capital(phrase: str) -> str:
    return phrase[:1].upper() + phrase[1:]
