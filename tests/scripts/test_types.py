"""The shapes of a plan that scripts are checked against are those that the program keeps."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from app.model.versions import schema

TYPES = Path(__file__).resolve().parent.parent.parent / "static" / "js" / "types.js"

# What scripts make themselves: a field left out there would be lost on the way.
MADE = {"ChalkLine", "Pose", "Settled", "Wish"}


def split(inside: str) -> Iterator[str]:
    """The fields of a shape written as ``{a: T, b: U}``, at the outer level only."""
    depth, begun = 0, 0
    for at, sign in enumerate(inside):
        depth += (sign in "{[<(") - (sign in "}]>)")
        if sign == "," and depth == 0:
            yield inside[begun:at]
            begun = at + 1
    yield inside[begun:]


def typedefs() -> dict[str, dict[str, str]]:
    """Every shape in types.js: name -> field -> type as written."""
    text = re.sub(r"^ \* ?", "", TYPES.read_text(encoding="utf-8"), flags=re.MULTILINE)
    shapes: dict[str, dict[str, str]] = {}
    for block in re.split(r"^@typedef ", text, flags=re.MULTILINE)[1:]:
        if whole := re.match(r"\{\{(.*?)\}\} (\w+)", block, re.DOTALL):
            fields = (field.partition(":") for field in split(whole[1]))
            shapes[whole[2]] = {name.strip(): said.strip() for name, _, said in fields}
        elif listed := re.match(r"\{object\} (\w+)", block):
            found = re.findall(r"^@property \{(.*?)\} \[?(\w+)", block, re.MULTILINE)
            shapes[listed[1]] = {name: said for said, name in found}
    return shapes


def kept() -> dict[str, dict[str, Any]]:
    """Every shape of a plan in its JSON schema: name -> field -> its schema."""
    whole = schema()
    shapes = {name: one.get("properties", {}) for name, one in whole["$defs"].items()}
    return {**shapes, "Plan": whole["properties"]}


TYPED, KEPT = typedefs(), kept()
SHARED = sorted(TYPED.keys() & KEPT.keys())


def choices(said: Any) -> set[str]:
    """The words that a field is limited to in the schema, also where it may be null."""
    found = set(said.get("enum", ()))
    for one in said.get("anyOf", ()):
        found |= choices(one)
    return found


def may_be_null(said: Any) -> bool:
    return any(one.get("type") == "null" for one in said.get("anyOf", ()))


def test_all_parts_of_a_plan_that_scripts_read_are_compared() -> None:
    assert {"Plan", "Piece", "Pose", "Room", "Wall", "Person", "Wish", "Settled"} <= set(SHARED)
    assert set(SHARED) >= MADE


@pytest.mark.parametrize("name", SHARED)
def test_scripts_read_only_fields_that_a_plan_has(name: str) -> None:
    assert TYPED[name].keys() <= KEPT[name].keys()


@pytest.mark.parametrize("name", sorted(MADE))
def test_what_scripts_make_has_every_field(name: str) -> None:
    assert TYPED[name].keys() == KEPT[name].keys()


@pytest.mark.parametrize("name", SHARED)
def test_scripts_know_which_fields_may_be_null_and_which_words_they_take(name: str) -> None:
    for field, said in TYPED[name].items():
        assert (field, "null" in said.split("|")) == (field, may_be_null(KEPT[name][field]))
        if words := set(re.findall(r"'([\w-]+)'", said)):
            assert (field, words) == (field, choices(KEPT[name][field]))
