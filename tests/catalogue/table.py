"""The catalogue's table: small plans, and what an experienced fitter says of each.

Every file of ``cases/`` is one part of the table; a case is one room with few pieces.

``stands``  what stands there, in words.
``plan``    the plan in the table's own short form (see `plans.py`); without it the plan is the
            file of the same name in ``plans/``.
``says``    what must be said: `severity` ("stop", "care", "note", or "care|note"), words that
            must be in it (`about`, a regular expression), whom and what it is about (`person`,
            `movement`, `piece`) and the figure: `is` what is there, `of` what is wanted or the
            least, `short` the difference; any of a list will do; `within` mm (or W, degrees).
``may``     stops and cares beside the point that may be said too, as regular expressions.
``never``   words that no row of the verdict may hold.
``way``     words of a way out that must be offered, in its sentence or in the row's own. Where
            it is a proposed change the plan is judged again with it: the first row of ``says``
            is gone or milder and no stop is new.
``no_way``  words that no way out may hold.
``source``  section of a published standard, or "common practice, no source".
``open``    what the program does not do yet and why that is wrong, by test ("says", "besides",
            "way", "holds", "turned"): the test is expected to fail and fails when it does not.
"""

from __future__ import annotations

import json
import re
import tomllib
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, cast

from app.changes.commands import Command, apply
from app.checks.run import in_few_words, run
from app.scene.build import build_scene
from app.store.flags import numbered
from app.usecases.files import judge, read_plan
from app.usecases.verdict import verdict_of
from tests.agreed_fields import as_agreed
from tests.catalogue.kit import case_of
from tests.catalogue.limits import cases_of
from tests.catalogue.plans import plan_file, turned

HERE = Path(__file__).parent
SEVERITIES = ("stop", "care", "note")
Row = dict[str, Any]


@dataclass(frozen=True)
class Case:
    """One plan and what is to be said of it."""

    key: str
    stands: str
    source: str
    plan: Row | None = None
    says: list[Row] = field(default_factory=list)
    may: list[str] = field(default_factory=list)
    never: list[str] = field(default_factory=list)
    way: str = ""
    no_way: str = ""
    open: dict[str, str] = field(default_factory=dict)


@cache
def cases() -> tuple[Case, ...]:
    """Return the whole table, part by part."""
    table: list[Case] = []
    for part in sorted((HERE / "cases").glob("*.toml")):
        for key, row in tomllib.loads(part.read_text("utf-8")).items():
            table.append(Case(key, **row))
    for movement, row in tomllib.loads((HERE / "limits.toml").read_text("utf-8")).items():
        table.extend(Case(key, **case) for key, case in cases_of(movement, row).items())
    for group in tomllib.loads((HERE / "kit.toml").read_text("utf-8")).values():
        table.extend(Case(f"kit-{key}", **case_of(key, row)) for key, row in group.items())
    return tuple(table)


def text_of(case: Case) -> str:
    """Return the plan file of a case."""
    if case.plan is None:
        return (HERE / "plans" / f"{case.key}.json").read_text("utf-8")
    return json.dumps(plan_file(case.key, case.plan))


@cache
def verdict(text: str) -> list[Row]:
    """Return the rows said of a plan file, without ways out: those take three times as long."""
    plan = read_plan(text)
    every = run(build_scene(plan))
    as_agreed(plan, every)
    snags = in_few_words(every)
    numbers = numbered((snag.key for snag in snags), {})
    return cast("list[Row]", verdict_of(plan, snags, numbers)["snags"])


def verdict_with_ways(text: str) -> list[Row]:
    """Return the rows said of a plan file, each with the way out that is offered."""
    return cast("list[Row]", judge(read_plan(text))["snags"])


def verdict_turned(text: str, degrees: float) -> list[Row]:
    """Return the rows said of a plan file whose room is turned with all that is in it."""
    return verdict(json.dumps(turned(json.loads(text), degrees)))


def verdict_after(text: str, way: Row) -> list[Row]:
    """Return the rows said of a plan file once a way out is taken."""
    plan = read_plan(text)
    for command in way["commands"]:
        plan = apply(plan, Command.model_validate(command))
    return verdict(plan.model_dump_json())


def words(row: Row) -> str:
    """Return all that a reader sees of a row, on one line."""
    said = [row["who"], row["sentence"], *(str(line) for line in row["lines"])]
    return " | ".join(said) + f" [{row['code']}]"


def ways(rows: list[Row]) -> list[Row]:
    """Return the ways out that are offered as a change."""
    return [row["remedy"] for row in rows if row["remedy"]]


def is_about(row: Row, wanted: Row) -> bool:
    """See whether a row is about what an expected one is about, whatever its figure."""
    if not re.search(wanted.get("about", ""), words(row), re.IGNORECASE):
        return False
    if "piece" in wanted and wanted["piece"] not in row["pieces"]:
        return False
    return all(row[part] == wanted[part] for part in ("person", "movement") if part in wanted)


def says(row: Row, wanted: Row) -> bool:
    """See whether a row says what is expected: severity, what about, and the figure."""
    return (
        row["severity"] in wanted["severity"].split("|")
        and is_about(row, wanted)
        and has_figure(row, wanted)
    )


def has_figure(row: Row, wanted: Row) -> bool:
    """See whether the figure stands in a row, in its own fields or in its words.

    The shortfall is as good as what is there and what is wanted.
    """
    within = wanted.get("within", 0)
    lettered = [float(text) for text in re.findall(r"\d+(?:\.\d+)?", words(row))]
    there, least, need = row["measured"], row["required"], row["need"]
    gaps = [abs(limit - there) for limit in (least, need) if None not in (limit, there)]

    def among(wish: Any, numbers: list[float | None]) -> bool:
        wishes = wish if isinstance(wish, list) else [wish]
        return any(
            abs(number - one) <= within
            for one in wishes
            for number in numbers
            if number is not None
        )

    if "short" in wanted and among(wanted["short"], [*gaps, *lettered]):
        return True
    if not {"is", "of"} & wanted.keys():
        return "short" not in wanted
    return all(
        among(wanted[part], [*numbers, *lettered])
        for part, numbers in (("is", [there]), ("of", [least, need]))
        if part in wanted
    )


def weight(row: Row | None) -> tuple[int, float]:
    """How heavy a row is: severity first, then the shortfall as a share of what is wanted."""
    if row is None:
        return (0, 0.0)
    heavy = len(SEVERITIES) - SEVERITIES.index(row["severity"])
    wanted = row["need"] or row["required"]
    if not wanted or row["measured"] is None:
        return (heavy, 1.0)
    return (heavy, abs(wanted - row["measured"]) / wanted)
