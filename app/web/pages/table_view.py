"""A form drawn from its table: what each field shows of a thing, in the units of the plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from app.forms.field_table import AS_DRAWN, Field, Table, Words
from app.model.plan import Plan
from app.model.room_walls import letter_at
from app.units import format_length, written


@dataclass(frozen=True, slots=True)
class Shown:
    """One field as it is drawn: the field, its label, what stands in it, its choices."""

    field: Field
    label: str
    value: Any
    choices: Words


def drawn(
    table: Table,
    plan: Plan,
    thing: Any,
    lists: Mapping[str, Words],
    labels: Mapping[str, str],
) -> list[tuple[str, list[Shown]]]:
    """Return the fields of a form in their order, in groups: `rows`, `pictures`, `tick`.

    `lists` are the choices that only the page knows, by name; `labels` stand for those of the
    table where they tell of the thing.
    """
    texts = table.texts(plan, thing)
    shown = [
        Shown(
            each,
            labels.get(each.name, each.label),
            _written(each, texts[each.name], plan),
            _choices(each, texts[each.name], lists),
        )
        for each in table.fields
    ]
    return [(group, list(rows)) for group, rows in groupby(shown, key=_group)]


def wall_words(plan: Plan) -> list[tuple[str, str]]:
    """Return every wall with what to call it in a list."""
    room = plan.room
    return [
        (wall.id, f"{letter_at(i)}, {format_length(room.wall_length_mm(wall.id), plan.units)}")
        for i, wall in enumerate(room.walls)
    ]


def _group(shown: Shown) -> str:
    return shown.field.look if shown.field.look in ("pictures", "tick") else "rows"


def _written(each: Field, value: Any, plan: Plan) -> Any:
    if each.kind == "yes":
        return bool(value)
    if value is None:
        return ""
    if each.kind == "length":
        return written(value, plan.units)
    return f"{value:g}" if each.kind == "number" else value


def _choices(each: Field, value: Any, lists: Mapping[str, Words]) -> Words:
    if isinstance(each.choices, str):
        words = lists[each.choices]
        return [(AS_DRAWN, each.drawn), *words] if each.drawn and value == AS_DRAWN else words
    more = [(AS_DRAWN, each.drawn)] if each.drawn and value == AS_DRAWN else []
    return [*each.choices, *more]
