"""What has changed in a part that is kept as a whole, in words: which of its fields, to what.

House and money, floor, electricity, fit-out: "whose house it is: ours", "mid rack: bought".
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from app.model.money import PIECE
from app.scales import MASS, TEMPERATURE
from app.units import Units, format_length, format_money

FromTo = Callable[[str, str], str]

FIELDS = {
    "air_changes_per_hour": "changes of air an hour",
    "amps": "fuse or breaker",
    "below": "what is below the floor",
    "budget_minor": "what may be spent",
    "built_before_2000": "built before 2000",
    "car_kept_here": "a car is kept here",
    "children_or_animals": "children or animals live here",
    "construction": "made of",
    "contingency_percent": "kept back for surprises, %",
    "delivery_minor": "delivery",
    "feed": "what feeds the room",
    "floor_dry": "floor is dry",
    "floors": "floor to lay",
    "fuel_burned_here": "fuel is burned here",
    "heard_by": "who hears you train",
    "humidity_percent": "humidity, %",
    "later": "bought later",
    "light": "light",
    "may_drill": "walls and ceiling may be drilled",
    "measured_by": "how openings are counted",
    "minor": "price",
    "outside_c": "cold day outside",
    "pack": "what one pack holds",
    "paint": "paint",
    "planes": "shape or fall",
    "post_tensioned": "slab with tensioned cables",
    "prices_with_tax": "prices with tax",
    "residual_current_protection": "trip switch (RCD)",
    "second_hand": "second-hand",
    "session_minutes": "minutes of one training",
    "standing": "status",
    "strips": "light strip",
    "tax_percent": "tax, %",
    "tax_rounding": "how tax is rounded",
    "trains_when": "when you train, mostly",
    "under_the_house": "rooms of the house above it",
    "uneven_mm": "gap under a long straight board",
    "unheated_c": "unheated room",
    "volts": "mains voltage",
    "wanted_c": "warmth wanted",
    "whose": "whose house it is",
}
VALUES = {
    "own": "ours",
    "shared": "partly other people's",
    "household": "the household",
    "day": "by day",
    "evening": "evenings",
    "night": "early or late",
    "ground": "the ground",
    "room": "a room",
    "to-come": "not ordered",
    "committed": "ordered",
    "bought": "paid",
    "owned": "owned",
    "unknown": "not said",
    "True": "yes",
    "False": "no",
    "None": "not said",
}
SPEAKS_FOR_ITSELF = frozenset({"fabric", "money", "climate", "electricity", "fit_out"})
"""Parts whose fields say what they belong to."""
TEXT_LETTERS = 60


class PartTeller:
    """Says what differs between two states of a part of the plan."""

    def __init__(
        self, names: Mapping[str, str], units: Units, currency: str, from_to: FromTo
    ) -> None:
        self._names = names
        self._units = units
        self._currency = currency
        self._from_to = from_to

    def tell(
        self, key: str, called: str, before: Mapping[str, Any], after: Mapping[str, Any]
    ) -> Iterator[str]:
        """Yield a phrase for each field of a part that differs; `called` is the part's name."""
        begin = "" if key in SPEAKS_FOR_ITSELF else f"{called}: "
        for field in dict.fromkeys((*before, *after)):
            was, now = before.get(field), after.get(field)
            if was == now:
                continue
            if field in ("entries", "prices") and _is_list(was) and _is_list(now):
                yield from self._things(was or [], now or [])
            else:
                yield f"{begin}{self._field(field, was, now)}"

    def _field(self, field: str, was: Any, now: Any) -> str:
        words = FIELDS.get(field, field.removesuffix("_mm").removesuffix("_minor"))
        words = words.replace("_", " ")
        if _is_list(was) and _is_list(now):
            more = len(now or []) - len(was or [])
            if more:
                return f"{words} {'added' if more > 0 else 'removed'}"
            return f"{words} changed"
        if isinstance(was, dict | list) or isinstance(now, dict | list):
            return f"{words} changed"
        old, new = self._value(field, was), self._value(field, now)
        return f"{words}: {self._from_to(old, new)}"

    def _things(self, before: list[Any], after: list[Any]) -> Iterator[str]:
        """Yield what differs of lines of money, each by the name of its piece or pack."""
        was, now = _by_id(before), _by_id(after)
        for thing_id in dict.fromkeys((*was, *now)):
            old, new = was.get(thing_id, {}), now.get(thing_id, {})
            for field in dict.fromkeys((*old, *new)):
                if field != "id" and (old.get(field) or None) != (new.get(field) or None):
                    words = self._field(field, old.get(field), new.get(field))
                    yield f"{self._line(thing_id)}: {words}"

    def _line(self, thing_id: str) -> str:
        piece_id = thing_id.removeprefix(PIECE)
        if piece_id in self._names:
            return self._names[piece_id]
        return piece_id.replace("-", " ").replace(".", ", ")

    def _value(self, field: str, value: Any) -> str:
        if isinstance(value, int | float) and not isinstance(value, bool):
            if field.endswith("_mm"):
                return format_length(value, self._units)
            if field.endswith("_c"):
                return TEMPERATURE.words(value, self._units)
            if field.endswith("_kg"):
                return MASS.words(value, self._units)
            if field.endswith("minor"):
                return format_money(round(value), self._currency)
            return f"{value:g}"
        words = " ".join(str(value).split())
        return VALUES.get(words, words.replace("-", " "))[:TEXT_LETTERS] or "not said"


def _is_list(value: Any) -> bool:
    return value is None or isinstance(value, list)


def _by_id(things: list[Any]) -> dict[str, dict[str, Any]]:
    return {
        str(thing["id"]): thing for thing in things if isinstance(thing, dict) and "id" in thing
    }
