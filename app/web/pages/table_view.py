"""A form drawn from its table: what each field shows of a thing, in the units of the plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from app.forms.field_table import AS_DRAWN, Field, Table, Words
from app.model.fronts import wall_names
from app.model.plan import Plan
from app.model.room_walls import letter_at
from app.units import format_length


@dataclass(frozen=True, slots=True)
class Shown:
    """One field as it is drawn: the field, its label, what stands in it, its choices.

    `hint` is shown where nothing stands in it.
    """

    field: Field
    label: str
    value: Any
    choices: Words
    hint: str


def drawn(
    table: Table,
    plan: Plan,
    thing: Any,
    lists: Mapping[str, Words],
    labels: Mapping[str, str],
    hints: Mapping[str, str],
) -> dict[str, Shown]:
    """Return the fields of a form in their order, by name.

    `lists` are the choices that only the page knows, by name; `labels` stand for those of the
    table where they tell of the thing, `hints` for its examples. Sums say in which money they are.
    """
    texts = table.texts(plan, thing)
    shown = {}
    for each in table.fields:
        label = labels.get(each.name, each.label_in(plan.units))
        if each.kind == "money":
            label += f", {plan.currency}"
        choices = _choices(each, texts[each.name], thing, lists)
        shown[each.name] = Shown(
            each,
            label,
            texts[each.name],
            choices,
            hints.get(each.name, table.hint(each, plan.units)),
        )
    return shown


def in_groups(shown: Mapping[str, Shown]) -> list[tuple[str, list[Shown]]]:
    """Return fields in groups of those that are drawn alike: `rows`, `pictures`, `tick`."""
    return [(group, list(rows)) for group, rows in groupby(shown.values(), key=_group)]


def wall_words(plan: Plan) -> list[tuple[str, str]]:
    """Return every wall with what to call it in a list: letter, length, what sentences call it."""
    room = plan.room
    words = []
    for i, (wall, name) in enumerate(zip(room.walls, wall_names(plan), strict=True)):
        long = format_length(room.wall_length_mm(wall.id), plan.units)
        more = "" if name == f"wall {letter_at(i)}" else f", {name}"
        words.append((wall.id, f"{letter_at(i)}, {long}{more}"))
    return words


def _group(shown: Shown) -> str:
    return shown.field.look if shown.field.look in ("pictures", "tick") else "rows"


def _choices(each: Field, value: Any, thing: Any, lists: Mapping[str, Words]) -> Words:
    words = list(lists[each.choices] if isinstance(each.choices, str) else each.choices)
    if each.only:
        return [(key, name) for key, name in words if each.only(key, value, thing)]
    if each.drawn and value == AS_DRAWN:
        words.insert(0 if each.kind == "wall" else len(words), (AS_DRAWN, each.drawn))
    return words
