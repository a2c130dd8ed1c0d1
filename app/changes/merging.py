"""Two changes of one plan made side by side: merged where they touch different places.

Three versions are laid beside one another: the one that a command was made on, the one that
stands now, and what the command makes of the first. What only one side changed is taken over;
what both changed alike is agreed; what both changed differently is a clash, one for each place.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from app.changes.commands import Command, apply
from app.changes.difference import difference
from app.errors import ConflictError
from app.model.base import json_of
from app.model.faults import plan_error
from app.model.money import Price
from app.model.plan import Plan
from app.model.room_walls import fresh_id

Path = tuple[str, ...]
ONE_PLACE = frozenset({"pose"})
"""Fields that are taken as a whole: half of one position and half of another is neither."""
COMPANY = ("trains_alone", "trains_with")
IN_ORDER = frozenset({("room", "walls"), ("way_in",)})
INVENTED: Mapping[Path, tuple[tuple[Path, str], ...]] = {
    ("pieces",): ((("pieces",), "carried_by"),),
    ("people",): ((("people",), "trains_with"),),
    ("own_kit",): ((("pieces",), "type"),),
    ("situations",): (),
    ("way_in",): (),
    ("room", "openings"): (),
    ("room", "low_things"): (),
    ("room", "columns"): (),
    ("room", "sockets"): (),
    ("room", "electricity", "circuits"): (
        (("pieces",), "circuit"),
        (("room", "sockets"), "circuit"),
    ),
    ("room", "ceiling", "planes"): (),
    ("room", "floor", "planes"): (),
    ("fit_out", "floors"): (),
    ("fit_out", "paint"): (),
    ("fit_out", "strips"): (),
    ("fit_out", "mirrors"): (),
    ("fit_out", "projections"): (),
    ("works", "free"): (),
    ("works", "extra"): (),
    ("works", "loud"): (),
    ("works", "days_off"): (),
    ("works", "stored"): (),
}
"""Lists whose ids the program makes up, with the places that name them.

Two sides that add to one at once may both take the next free id, so one of the two gets another.
Lists whose ids mean something, such as keys of the register, are not among them.
"""
CORNERS = ("room", "walls", "corners")
"""The place that stands for where all corners of the room are."""


@dataclass(frozen=True, slots=True)
class Clash:
    """One place that both sides changed: what stood there, what stands there now, what was meant.

    None means that nothing stands there.
    """

    path: Path
    base: Any
    now: Any
    mine: Any


class ClashError(ConflictError):
    """A command and what others changed meanwhile meet in one place; a person must choose.

    `insisting` is the command that puts through what was meant, on the plan as it stands now;
    None when that would not be a plan.
    """

    def __init__(
        self,
        base: Plan,
        now: Plan,
        mine: Plan,
        clashes: tuple[Clash, ...],
        insisting: Command | None,
    ) -> None:
        super().__init__("The same thing has been changed by somebody else meanwhile.")
        self.base = base
        self.now = now
        self.mine = mine
        self.clashes = clashes
        self.insisting = insisting
        self.revision = 0
        self.authors: tuple[str, ...] = ()


def rebased(base: Plan, now: Plan, command: Command) -> Command | None:
    """Return the command that does on the plan as it stands what one made on `base` meant.

    None when nothing is left to do: others did the same, or it was carried out already. Raises
    ClashError where both changed one place, ConflictError or CommandError when the command does
    not fit its own base, PlanError when the two together are no valid plan.
    """
    mine = apply(base, command)
    old, new, own = json_of(base), json_of(now), json_of(mine)
    _rename_doubles(old, new, own)
    _add_unsaid(base, old, new, own)
    merger = _Merger(insist=False)
    together = _mended(merger.merge((), old, new, own))
    if not merger.clashes:
        return difference(now, _plan(together), command.name, command.says)
    insisted = _mended(_Merger(insist=True).merge((), old, new, own))
    try:
        insisting = difference(now, Plan.model_validate(insisted), command.name, command.says)
    except ValidationError:
        insisting = None
    raise ClashError(base, now, mine, tuple(merger.clashes), insisting)


def _plan(data: dict[str, Any]) -> Plan:
    try:
        return Plan.model_validate(data)
    except ValidationError as error:
        raise plan_error(error) from None


def _rename_doubles(base: dict[str, Any], now: dict[str, Any], mine: dict[str, Any]) -> None:
    """Give a thing that both sides added under one id an id of its own, in `mine`, in place."""
    for path, references in INVENTED.items():
        was, stands, meant = (_at(side, path) for side in (base, now, mine))
        known = {_name(thing) for thing in was}
        there = {_name(thing): thing for thing in stands}
        taken = {str(name) for name in (*known, *there, *(_name(thing) for thing in meant))}
        for thing in meant:
            own_id = _name(thing)
            if own_id is None or own_id in known or there.get(own_id, thing) == thing:
                continue
            thing["id"] = fresh_id(own_id.rstrip("0123456789").rstrip("-") or own_id, taken)
            taken.add(thing["id"])
            for holders, key in references:
                for holder in _at(mine, holders):
                    if holder[key] == own_id:
                        holder[key] = thing["id"]


def _add_unsaid(
    plan: Plan, base: dict[str, Any], now: dict[str, Any], mine: dict[str, Any]
) -> None:
    """Put into `base` what held of a line of which both sides say something for the first time.

    So each field is compared with what it was by default, and not the one line with the other.
    """
    unsaid: Mapping[str, Callable[[str], dict[str, Any]]] = {
        "entries": lambda key: json_of(plan.usual_entry(key)),
        # a price has no usual sum
        "prices": lambda key: {**json_of(Price(id=key, minor=0)), "minor": None},
    }
    for name, usual in unsaid.items():
        was, stands, meant = (
            {str(_name(thing)) for thing in side["money"][name]} for side in (base, now, mine)
        )
        base["money"][name] += [usual(key) for key in sorted((stands & meant) - was)]


def _at(data: dict[str, Any], path: Path) -> list[dict[str, Any]]:
    items: Any = data
    for step in path:
        items = items[step]
    return list(items)


def _mended(data: dict[str, Any]) -> dict[str, Any]:
    """Set free what would be carried by a piece that one of the two has removed."""
    there = {piece["id"] for piece in data["pieces"]}
    for piece in data["pieces"]:
        if piece["carried_by"] not in there:
            piece["carried_by"] = None
    return data


@dataclass
class _Merger:
    insist: bool
    clashes: list[Clash] = field(default_factory=list)

    def merge(self, path: Path, base: Any, now: Any, mine: Any) -> Any:
        if mine == base or now == mine:
            return now
        if now == base:
            return mine
        if path and path[-1] in ONE_PLACE:
            return self._clash(path, base, now, mine)
        if all(isinstance(side, dict) for side in (base, now, mine)):
            keys = dict.fromkeys((*now, *mine))
            if len(path) == 2 and path[0] == "people":
                now, mine = self._company(path, base, now, mine)
            return {
                key: self.merge((*path, key), base.get(key), now.get(key), mine.get(key))
                for key in keys
            }
        if all(_is_named(side) for side in (base, now, mine)):
            return self._lists(path, base, now, mine)
        return self._clash(path, base, now, mine)

    def _company(
        self, path: Path, base: dict[str, Any], now: dict[str, Any], mine: dict[str, Any]
    ) -> tuple[dict[str, Any], dict[str, Any]]:
        """Take alone, with somebody or with whom as one place: it is one choice in two fields."""
        was, stands, meant = ([side[key] for key in COMPANY] for side in (base, now, mine))
        if was in (stands, meant) or stands == meant:
            return now, mine
        self._clash((*path, COMPANY[1]), was[1], stands[1], meant[1])
        company = dict(zip(COMPANY, meant if self.insist else stands, strict=True))
        return {**now, **company}, {**mine, **company}

    def _lists(self, path: Path, base: list[Any], now: list[Any], mine: list[Any]) -> Any:
        sides = [{str(_name(t)): t for t in side} for side in (base, now, mine)]
        was, stands, meant = sides
        if path in IN_ORDER:
            if not (list(was) == list(stands) == list(meant) or _both_append(path, sides)):
                return self._clash(path, base, now, mine)
            if path == ("room", "walls"):
                meant = self._corners(was, stands, meant)
        merged = []
        for name in dict.fromkeys((*stands, *meant)):
            thing = self.merge((*path, name), was.get(name), stands.get(name), meant.get(name))
            if thing is not None:
                merged.append(thing)
        return merged

    def _corners(
        self, was: dict[str, Any], stands: dict[str, Any], meant: dict[str, Any]
    ) -> dict[str, Any]:
        """Take all corners of a room as one place: half of two outlines is no outline."""
        base, now, mine = (
            [(wall["x_mm"], wall["y_mm"]) for wall in side.values()]
            for side in (was, stands, meant)
        )
        chosen = mine
        if now not in (base, mine):
            chosen = now if mine == base else self._clash(CORNERS, base, now, mine)
        for side in (was, stands):
            # Agreed on both sides, so that only the other fields of a wall are compared.
            for wall, (x_mm, y_mm) in zip(side.values(), chosen, strict=True):
                wall.update(x_mm=x_mm, y_mm=y_mm)
        return {
            name: {**wall, "x_mm": x_mm, "y_mm": y_mm}
            for (name, wall), (x_mm, y_mm) in zip(meant.items(), chosen, strict=True)
        }

    def _clash(self, path: Path, base: Any, now: Any, mine: Any) -> Any:
        self.clashes.append(Clash(path, base, now, mine))
        return mine if self.insist else now


def _both_append(path: Path, sides: list[dict[str, Any]]) -> bool:
    """Return whether two sides only put something after all that was in a list that is no ring.

    Then both have their way: what the other put there comes before.
    """
    was, stands, meant = (list(side) for side in sides)
    return path != ("room", "walls") and stands[: len(was)] == was == meant[: len(was)]


def _is_named(side: Any) -> bool:
    return isinstance(side, list) and all(_name(thing) is not None for thing in side)


def _name(thing: Any) -> str | None:
    if not isinstance(thing, dict):
        return None
    name = thing.get("id") or thing.get("movement") or thing.get("side")
    return str(name) if name else None
