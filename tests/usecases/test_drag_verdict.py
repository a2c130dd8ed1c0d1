"""What is sent of a step of a drag: with the verdict before, it gives the whole verdict after."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.checks.run import in_few_words, in_order, run
from app.model.kit import Pose
from app.usecases.plans import Elbowroom
from app.usecases.verdict import changed_rows, verdict_of
from tests.builders import make_plan, place

Moves = dict[str, Pose]
ROWS = st.lists(
    st.fixed_dictionaries({"key": st.sampled_from("abcdefgh"), "measured": st.integers(0, 2)}),
    max_size=8,
    unique_by=lambda row: row["key"],
)
PIECES = ("bench", "rack", "rower", "mat")
POSES = st.builds(
    Pose,
    x_mm=st.integers(0, 60).map(lambda step: 100.0 * step),
    y_mm=st.integers(0, 60).map(lambda step: 100.0 * step),
    angle_deg=st.sampled_from((0.0, 30.0, 90.0)),
)
SERIES = st.lists(
    st.dictionaries(st.sampled_from(PIECES), POSES, min_size=1), min_size=1, max_size=6
)


def verdict(rows: list[dict[str, Any]]) -> dict[str, Any]:
    return {"plan": "A room", "counts": {"stop": len(rows)}, "snags": rows}


def put_in(before: dict[str, Any], changed: dict[str, Any]) -> dict[str, Any]:
    """Do with what was sent as its description says."""
    other = {*changed["gone"], *(one["row"]["key"] for one in changed["rows"])}
    rows = [row for row in before["snags"] if row["key"] not in other]
    for one in changed["rows"]:
        rows.insert(one["at"], one["row"])
    return {**before, "counts": changed["counts"], "snags": rows}


@given(before=ROWS, after=ROWS)
def test_any_list_becomes_any_other(
    before: list[dict[str, Any]], after: list[dict[str, Any]]
) -> None:
    was, now = verdict(before), verdict(after)
    changed = changed_rows(was, now)
    assert changed is not None
    assert put_in(was, changed) == now


@given(before=ROWS, data=st.data())
def test_only_what_has_changed_is_sent(before: list[dict[str, Any]], data: st.DataObject) -> None:
    chosen = st.sets(st.integers(0, len(before) - 1)) if before else st.just(set[int]())
    other = data.draw(chosen)
    after = [{**row, "measured": 9} if i in other else row for i, row in enumerate(before)]
    changed = changed_rows(verdict(before), verdict(after))
    assert changed is not None
    assert [one["at"] for one in changed["rows"]] == sorted(other)
    assert changed["gone"] == []


def test_rows_that_cannot_be_named_are_not_told_apart() -> None:
    twice = verdict([{"key": "a"}, {"key": "a"}])
    assert changed_rows(twice, verdict([{"key": "a"}])) is None
    assert changed_rows(verdict([{"key": "a"}]), twice) is None


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Elbowroom, str]]:
    """A room in which four pieces stand."""
    folder: Path = tmp_path_factory.mktemp("plans")
    house = Elbowroom(folder)
    plan = make_plan(
        place("flat-bench", 1000, 1500, piece_id="bench"),
        place("mid-rack", 2600, 1200, piece_id="rack"),
        place("rower", 4000, 2600, piece_id="rower"),
        place("mat-space", 2000, 3600, piece_id="mat"),
    )
    yield house, house.create(plan).plan_id
    house.close()


@settings(max_examples=25, deadline=None)
@given(series=SERIES)
def test_any_series_of_moves_ends_in_the_whole_verdict_of_the_last(
    room: tuple[Elbowroom, str], series: list[Moves]
) -> None:
    house, plan_id = room
    seen = house.judged(plan_id)
    shown = seen.verdict
    for moves in series:
        changed, whole = house.try_against(plan_id, moves, seen.state.revision)
        assert changed is not None
        shown = put_in(seen.verdict, changed)
        assert shown == whole
    assert shown == house.try_moves(plan_id, series[-1])


@settings(max_examples=25, deadline=None)
@given(moves=st.dictionaries(st.sampled_from(PIECES), POSES, min_size=1))
def test_rows_at_hand_are_those_that_would_be_written(
    room: tuple[Elbowroom, str], moves: Moves
) -> None:
    house, plan_id = room
    seen = house.judged(plan_id)
    tried = house.try_moves(plan_id, moves)
    numbers = {row["key"]: row["number"] for row in tried["snags"]}
    scene = seen.scene.moved(moves)
    snags = in_few_words(in_order((*run(scene, full=False), *seen.findings.late)))
    assert tried == verdict_of(seen.state.plan, snags, numbers)


def test_a_revision_that_is_not_the_newest_is_answered_in_full(
    room: tuple[Elbowroom, str],
) -> None:
    house, plan_id = room
    revision = house.judged(plan_id).state.revision
    moves = {"bench": Pose(x_mm=2600, y_mm=1200)}
    changed, whole = house.try_against(plan_id, moves, revision + 1)
    assert changed is None
    assert whole == house.try_moves(plan_id, moves)
