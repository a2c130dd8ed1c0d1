"""A form as a table: each field once, with its words, its place in the document and its bounds.

The table is read by `values_of` (what was typed -> values of a model), by `app.forms.thing_edits`
(add, change, remove) and by the page that draws it. Bounds, choices and what may be left empty
come from the document's own model; a form may be narrower, never wider.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from operator import attrgetter
from types import NoneType
from typing import Annotated, Any, Literal, TypeVar, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from app.errors import CommandError, Fault, PlanError
from app.forms.typed_fields import Typed
from app.forms.typed_money import typed_sum, written_sum
from app.model.base import LABEL_LIMIT
from app.model.faults import plan_error
from app.model.plan import Plan
from app.scales import MASS, TEMPERATURE, Scale, written_fall
from app.units import Units, parse_length_mm, written_on_tape

Kind = Literal[
    "length", "number", "mass", "temperature", "fall", "money", "day", "clock", "choice", "yes",
    "text", "wall", "circuit", "key",
]  # fmt: skip
SCALES: Mapping[Kind, Scale] = {"mass": MASS, "temperature": TEMPERATURE}
"""What is counted otherwise in feet; the label says in what."""
_COUNTED = ("length", "number", "money", "fall", *SCALES)
"""What is typed in figures."""
Look = Literal["input", "list", "radio", "pictures", "tick"]
Words = list[tuple[str, str]] | tuple[tuple[str, str], ...]
Made = TypeVar("Made", bound=BaseModel)

AS_DRAWN = "as-drawn"
"""What a list offers for a shape that cannot be told by the fields of the form."""
FIRST = "first"
"""As `empty` of a wall: where none is given it is the first of the room."""
_KEY = re.compile(r"[a-z0-9][a-z0-9-]{0,47}")


def _itself(value: Any) -> Any:
    return value


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a form.

    `at` is the attribute of the model that it holds, empty where the table's `finish` makes
    something of it. `what` names it in a fault; of a wall it is said where it is not in the room,
    without it the whole form is refused then. `least` and `most` are the form's own bounds, where
    what lies beyond is sooner a slip of the unit than a thing in a room; what is not given is the
    document's. `empty` is what nothing typed stands for, where that is something; what may be empty
    is `optional` here or in the document, unless it is `needed` here. `choices` are words by key,
    or the name of a list that only the page knows; `drawn` is what that list calls `AS_DRAWN`.
    `only` tells whether a key is offered, given the key, what is shown now and the thing. `when`
    tells whether the field is read at all; then it is needed. `check` returns what is wrong with a
    value that could be read, else nothing. `show` and `cast` lead from the attribute to what is
    shown and back; `write` writes a length.
    """

    name: str
    label: str
    at: str
    kind: Kind
    look: Look = "input"
    what: str = ""
    example: str = ""
    least: float | None = None
    most: float | None = None
    empty: Any = None
    optional: bool = False
    needed: bool = False
    choices: Words | str = ()
    drawn: str = ""
    only: Callable[[str, Any, Any], bool] | None = None
    when: Callable[[Typed, Any], bool] | None = None
    check: Callable[[Any], str] | None = None
    show: Callable[[Any], Any] = _itself
    cast: Callable[[Any], Any] = _itself
    write: Callable[[float, Units], str] = written_on_tape
    span: str = "half"
    wrap: str = ""
    mark: str = ""

    def label_in(self, units: Units) -> str:
        """Return the label, with the unit of what is typed bare."""
        if self.kind == "fall":
            return f"{self.label}, " + (
                "mm for each metre" if units == "metric" else "in each foot"
            )
        scale = SCALES.get(self.kind)
        return f"{self.label}, {scale.unit(units)}" if scale else self.label

    def example_in(self, units: Units) -> str:
        """Return the example of what may be typed, in the units of a plan."""
        scale = SCALES.get(self.kind)
        if scale is None or units == "metric" or not self.example[:1].isdigit():
            return self.example
        return f"{scale.counted(float(self.example), units):.0f}"

    @property
    def words(self) -> Words:
        """The words of its own choices by key; none where the page knows them."""
        return () if isinstance(self.choices, str) else self.choices


length = partial(Field, kind="length")
number = partial(Field, kind="number")
mass = partial(Field, kind="mass")
temperature = partial(Field, kind="temperature")
fall = partial(Field, kind="fall")
money = partial(Field, kind="money")
text = partial(Field, kind="text")
day = partial(Field, kind="day")
clock = partial(Field, kind="clock")
tick = partial(Field, kind="yes", look="tick")
choice = partial(Field, kind="choice", look="list")
radio = partial(Field, kind="choice", look="radio", span="")
pictures = partial(Field, kind="choice", look="pictures", span="")
key = partial(Field, kind="key", look="list")
wall = partial(Field, at="wall", kind="wall", look="list", choices="walls",
               span="")  # fmt: skip


@dataclass(frozen=True)
class Table:
    """The fields of one form over a model.

    `fresh` is what an empty form shows instead of nothing. `shown` gives what the fields without
    an attribute show of a thing; a length may be given with the text that is shown for it.
    `finish` makes attributes of what was read of them.
    """

    model: type[BaseModel]
    fields: tuple[Field, ...]
    fresh: Mapping[str, Any] = field(default_factory=dict)
    shown: Callable[[Plan, Any], Mapping[str, Any]] | None = None
    finish: Callable[[Plan, Typed, Any, dict[str, Any]], dict[str, Any]] | None = None

    def texts(self, plan: Plan, thing: Any) -> dict[str, Any]:
        """Return what each field shows of a thing, None for an empty form: texts, ticks as bool."""
        held = self._held(plan, thing)
        return {each.name: _written(each, held[each.name], plan) for each in self.fields}

    def as_they_stand(self, plan: Plan, thing: Any) -> dict[tuple[str, str], float]:
        """Return each length of a thing, or of an empty form, by field and the text shown for it.

        Sent back as it stands it means that length, also where the text says it less finely.
        """
        if thing is None:
            held = {each.name: self._fresh(plan, each) for each in self.fields}
        else:
            held = self._held(plan, thing)
        return {
            (each.name, _written(each, value, plan)): value[1] if _is_pair(value) else value
            for each in self.fields
            if each.kind in ("length", "fall", *SCALES) and (value := held[each.name]) is not None
        }

    def hint(self, each: Field, units: Units) -> str:
        """Return what an empty field shows: its example, in the units of a plan.

        "such as" leads up to a value that is not taken where nothing is typed: it is no default.
        """
        example = each.example_in(units)
        optional = each.optional or _may_be_empty(attribute(self.model, each.at))
        if optional or each.kind not in _COUNTED or not each.example[:1].isdigit():
            return example
        if each.empty is not None and _counted(each) == each.empty:
            return example
        return f"such as {example}"

    def _held(self, plan: Plan, thing: Any) -> dict[str, Any]:
        more = self.shown(plan, thing) if self.shown else {}
        return {
            each.name: more[each.name]
            if each.name in more
            else each.show(attrgetter(each.at)(thing))
            if thing is not None
            else self._fresh(plan, each)
            for each in self.fields
        }

    def _fresh(self, plan: Plan, each: Field) -> Any:
        if each.name in self.fresh:
            return self.fresh[each.name]
        if each.kind == "wall":
            return plan.room.walls[0].id if each.empty in (None, FIRST) else each.empty
        if each.kind not in ("choice", "key", "yes"):
            return None
        info = attribute(self.model, each.at)
        if info is not None and not info.is_required():
            return each.show(info.default)
        return each.words[0][0]


def attribute(model: type[BaseModel], at: str) -> FieldInfo | None:
    """Return what a document says of an attribute, told by a dotted path; None without one."""
    first, point, rest = at.partition(".")
    info = model.model_fields.get(first)
    if info is None or not point:
        return info
    return attribute(_bare(info), rest)


def bounds_of(info: FieldInfo) -> tuple[float | None, float | None]:
    """Return the least and the most that a document takes, None where it has no such bound.

    Where what is least is itself left out ("more than nothing") a form has to say its own.
    """
    least = most = None
    for rule in _rules(info):
        least = getattr(rule, "ge", least)
        most = getattr(rule, "le", most)
    return least, most


def _may_be_empty(info: FieldInfo | None) -> bool:
    return info is not None and NoneType in get_args(info.annotation)


def _rules(info: FieldInfo) -> list[Any]:
    rules = list(info.metadata)
    for one in get_args(info.annotation):
        if get_origin(one) is Annotated:
            for rule in get_args(one)[1:]:
                rules += rule.metadata if isinstance(rule, FieldInfo) else [rule]
    return rules


def _bare(info: FieldInfo) -> Any:
    others = [one for one in get_args(info.annotation) if one is not NoneType]
    return others[0] if _may_be_empty(info) else info.annotation


def form_bounds(table: Table, each: Field) -> tuple[float, float]:
    """Return the least and the most that a field takes: its own, else the document's."""
    least, most = each.least, each.most
    info = attribute(table.model, each.at)
    if info is not None:
        low, high = bounds_of(info)
        least, most = low if least is None else least, high if most is None else most
    if least is None or most is None:
        raise TypeError(f"the field {each.name!r} has no bounds")
    return least, most


def _counted(each: Field) -> float:
    """Return what the example of a field comes to, in the units of the document."""
    return parse_length_mm(each.example) if each.kind == "length" else float(each.example)


def _is_pair(value: Any) -> bool:
    return isinstance(value, tuple)


def _written(each: Field, value: Any, plan: Plan) -> Any:
    if each.kind == "yes":
        return bool(value)
    if value is None:
        return ""
    if each.kind == "length":
        return value[0] if _is_pair(value) else each.write(value, plan.units)
    if each.kind == "money":
        return written_sum(value, plan.currency)
    if each.kind == "fall":
        return written_fall(value, plan.units)
    if each.kind in SCALES:
        return SCALES[each.kind].written(value, plan.units)
    return f"{value:g}" if each.kind == "number" else value


def values_of(table: Table, plan: Plan, typed: Typed, old: Any) -> dict[str, Any]:
    """Return the attributes that a form gives a thing; `old` is the thing before, None when new.

    Raises PlanError with all faults, CommandError for a wall that is gone.
    """
    as_they_stand = table.as_they_stand(plan, old)
    values = {}
    for each in sorted(table.fields, key=lambda each: each.kind != "wall"):
        sent = (each.name, typed.fields.get(each.name, "").strip())
        value: Any = as_they_stand.get(sent)
        if value is None or (each.when and not each.when(typed, old)):
            value = _read(table, each, plan, typed, old)
        wrong = each.check(value) if each.check and value is not None else ""
        if wrong and not typed.wrong(each.name):
            typed.fault(each.name, wrong)
        values[each.at or each.name] = each.cast(value)
    if table.finish:
        values = table.finish(plan, typed, old, values)
    typed.done()
    return values


def made(kind: type[Made], fault: str, values: Mapping[str, Any]) -> Made:
    """Return a model of values. Raises PlanError at the field `fault`."""
    try:
        return kind.model_validate(values)
    except ValidationError as error:
        raise PlanError(*(Fault(fault, f.sentence) for f in plan_error(error).faults)) from None


def _read(table: Table, each: Field, plan: Plan, typed: Typed, old: Any) -> Any:
    if each.when is not None and not each.when(typed, old):
        return None
    if each.kind == "yes":
        return typed.yes(each.name)
    missing = not typed.fields.get(each.name, "").strip()
    if each.needed and missing:
        typed.fault(each.name, f"{each.what} is missing")
        return each.empty
    if each.kind == "text":
        return typed.text(each.name, _letters(table, each)) or each.empty or ""
    if each.kind == "wall":
        return _wall(each, plan, typed, old)
    if each.kind == "circuit":
        known = [circuit.id for circuit in plan.room.electricity.circuits]
        return typed.choice(each.name, ["", *known]) or None
    optional = each.optional or (
        each.when is None and _may_be_empty(attribute(table.model, each.at))
    )
    if optional and missing:
        return each.empty
    if each.kind == "day":
        if missing:
            typed.fault(each.name, f"{each.what} is missing")
        return typed.day(each.name, each.what)
    if each.kind == "clock":
        return typed.clock(each.name, each.what)
    if each.kind == "key":
        return typed_key(typed, each.name, each.empty)
    if each.kind == "choice":
        known = [key for key, _ in each.words] or _literal(table, each)
        keys = [key for key in known if key or not optional]
        return typed.choice(each.name, [*keys, AS_DRAWN] if each.drawn else keys)
    if each.kind == "money":
        minor = typed_sum(typed, each.name, each.what, plan.currency)
        return each.empty if minor is None else minor
    bounds = form_bounds(table, each)
    if each.kind == "number":
        return typed.number(each.name, each.what, bounds, each.empty)
    if each.kind == "fall":
        return typed.fall(each.name, each.what, bounds, each.empty)
    if each.kind in SCALES:
        return typed.counted(each.name, each.what, bounds, SCALES[each.kind], each.empty)
    return typed.length(each.name, each.what, bounds, empty=each.empty, signed=bounds[0] < 0)


def _literal(table: Table, each: Field) -> list[str]:
    info = attribute(table.model, each.at)
    return [str(word) for word in get_args(_bare(info))] if info else []


def _letters(table: Table, each: Field) -> int:
    info = attribute(table.model, each.at)
    rules = _rules(info) if info else []
    limits = (rule.max_length for rule in rules if hasattr(rule, "max_length"))
    return min(limits, default=LABEL_LIMIT)


def _wall(each: Field, plan: Plan, typed: Typed, old: Any) -> str | None:
    given = typed.text(each.name)
    if not given and each.empty is not None:
        return plan.room.walls[0].id if each.empty == FIRST else str(each.empty)
    if each.drawn and given == AS_DRAWN and old is not None:
        return given
    if given not in {wall.id for wall in plan.room.walls}:
        if not each.what:
            raise CommandError("That wall is no longer in the room; what is kept is shown.")
        typed.fault(each.name, each.what)
    return given


def typed_key(typed: Typed, name: str, empty: str | None = None) -> str:
    """Return the key of a row of a library; whether there is one is asked where it counts."""
    given = typed.text(name) or empty or ""
    if not _KEY.fullmatch(given):
        typed.fault(name, "choose one of the list")
    return given
