"""Each plan of the catalogue is judged, and the verdict held against what a fitter says of it."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from tests.catalogue.kit import library
from tests.catalogue.table import (
    Case,
    Row,
    cases,
    is_about,
    says,
    text_of,
    verdict,
    verdict_after,
    verdict_turned,
    verdict_with_ways,
    ways,
    weight,
    words,
)
from tests.thinned import one_of

AT = 23.0
"""A room turned by so much has no wall along an axis."""
TURNING_MM = 2
"""Lengths of a turned room are rounded again."""
UNIT = re.compile(r"\d(?: ?%| (?:mm|m|kN|kg|kW|ppm|W|A|N|C|degrees|percent|lx|dB)\b)")
LENGTH = re.compile(r"(?<![\d.,])\d{3,}\b")


def of_cases(test: str, wanted: Callable[[Case], bool], every: int = 1) -> pytest.MarkDecorator:
    """Run a test of the cases that ask for it; those marked open must fail.

    The short run takes one of `every` so many.
    """
    rows = [
        pytest.param(
            case,
            id=case.key,
            marks=[pytest.mark.xfail(strict=True, reason=case.open[test])]
            if test in case.open
            else [],
        )
        for case in cases()
        if wanted(case)
    ]
    return pytest.mark.parametrize("case", one_of(every, rows))


def hard(rows: list[Row]) -> list[Row]:
    return [row for row in rows if row["severity"] != "note"]


def shown(rows: list[Row]) -> list[str]:
    return [f"{row['severity']}: {words(row)}" for row in rows]


@of_cases("says", lambda case: bool(case.says or case.never))
def test_what_must_be_said_is_said(case: Case) -> None:
    rows = verdict(text_of(case))
    missing = [wanted for wanted in case.says if not any(says(row, wanted) for row in rows)]
    assert missing == [], shown(rows)
    for pattern in case.never:
        assert [row for row in shown(rows) if re.search(pattern, row, re.IGNORECASE)] == []


@of_cases("besides", lambda case: True)
def test_nothing_besides_is_said_and_no_stop_rests_on_memory_alone(case: Case) -> None:
    every = verdict(text_of(case))
    lines = [line for row in every for line in row["lines"] or [row["sentence"]]]
    assert [line for line in lines if LENGTH.search(line) and not UNIT.search(line)] == []
    told = hard(every)
    for row in told:
        statuses = {source["status"] for source in row["sources"]}
        assert row["severity"] != "stop" or statuses != {"memory"}, words(row)
    rows = [
        row
        for row in told
        if not any(says(row, wanted) for wanted in case.says)
        and not any(re.search(may, f"{row['severity']}: {words(row)}", re.I) for may in case.may)
    ]
    assert shown(rows) == []


@of_cases("way", lambda case: bool(case.way or case.no_way), every=3)
def test_ways_out_are_offered_and_hold(case: Case) -> None:
    text = text_of(case)
    rows = verdict_with_ways(text)
    wrong = [way["sentence"] for way in ways(rows) if case.no_way and offers(way, case.no_way)]
    assert wrong == []
    if not case.way:
        return
    meant = [row for row in rows if is_about(row, case.says[0])]
    own = [way for way in ways(meant) if offers(way, case.way)]
    offered = own or [way for way in ways(rows) if offers(way, case.way)]
    in_words = any(re.search(case.way, words(row), re.IGNORECASE) for row in meant)
    assert offered or in_words, shown(rows)
    before = max(meant, key=weight)
    for way in offered:
        after = verdict_after(text, way)
        left = max((row for row in after if is_about(row, case.says[0])), key=weight, default=None)
        assert weight(left) < weight(before), way["sentence"]
        stops = {row["key"] for row in rows if row["severity"] == "stop"}
        new = [row for row in after if row["severity"] == "stop" and row["key"] not in stops]
        assert shown(new) == [], way["sentence"]


def offers(way: Row, pattern: str) -> bool:
    return re.search(pattern, way["sentence"], re.IGNORECASE) is not None


@pytest.mark.long
@of_cases("holds", lambda case: True)
def test_no_way_out_makes_it_worse(case: Case) -> None:
    """Each way out that is offered eases its own row, and nothing else gets worse than it was."""
    text = text_of(case)
    rows = verdict_with_ways(text)
    keys = {row["key"] for row in rows}
    stops = {row["key"] for row in rows if row["severity"] == "stop"}
    for row in hard(rows):
        if not row["remedy"]:
            continue
        after = verdict_after(text, row["remedy"])
        left = max((one for one in after if is_same(one, row)), key=weight, default=None)
        assert weight(left) < weight(row), row["remedy"]["sentence"]
        worse = [
            one
            for one in hard(after)
            if (one["severity"] == "stop" and one["key"] not in stops)
            or (one["key"] not in keys and weight(one) > weight(row))
        ]
        assert shown(worse) == [], row["remedy"]["sentence"]


def is_same(row: Row, other: Row) -> bool:
    """See whether two rows tell of one thing: a piece that it meets may be another one then."""
    return all(row[part] == other[part] for part in ("code", "person", "movement")) and (
        row["key"] == other["key"] or bool({*row["pieces"]} & {*other["pieces"]})
    )


@of_cases("turned", lambda case: True, every=2)
def test_a_turned_room_is_told_the_same(case: Case) -> None:
    text = text_of(case)
    straight, turned = hard(verdict(text)), hard(verdict_turned(text, AT))
    assert [row["key"] for row in turned] == [row["key"] for row in straight], shown(turned)
    for row, other in zip(straight, turned, strict=True):
        assert row["severity"] == other["severity"]
        for part in ("measured", "required", "need"):
            assert other[part] == (
                row[part] if row[part] is None else pytest.approx(row[part], abs=TURNING_MM)
            ), (words(row), words(other))


def test_every_kind_of_kit_is_wrongly_placed_once() -> None:
    assert {f"kit-{key}" for key in library()} == {
        case.key for case in cases() if case.key.startswith("kit-")
    }
